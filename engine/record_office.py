"""The tables that the office gets on top of those on the screen: plan against built in numbers, braces, and every item of the checklist."""

from engine.as_built import foot_read_ft
from engine.calc.lengths import format_ft_in
from engine.calc.plane import distance_ft
from engine.findings import STAGES, TITLES
from engine.job.job import Job
from engine.record import TIMES, Table, record_tables
from engine.walk import Walk


def office_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Every table of the record as the office files it: those of `record_tables`, then plan against built, braces, checklist.

    Arguments: job and its walk.
    Returns: tables of words; each title is there once.
    Source: derived.
    Valid for: any job that loads, signed or not.
    """
    return (*record_tables(job, walk), _plan_and_built(walk), _braces(walk), _checklist(walk))


def _plan_and_built(walk: Walk) -> Table:
    """Places in feet east and north of the survey's origin, to a hundredth."""
    what = {change.support: change.what for change in walk.punch.changes}
    same = "as planned" if walk.layout.accepted else "proposed"
    rows = [
        (name, *_places(support.planned, support.xy), format_ft_in(distance_ft(support.planned, support.xy)), what.get(name, same))
        for name, support in walk.layout.supports.items()
    ]
    rows += [(name, "", "", "", "", "", said) for name, said in what.items() if name not in walk.layout.supports]
    return Table(
        "Plan against built",
        ("id", "planned east ft", "planned north ft", "built east ft", "built north ft", "apart", "what"),
        tuple(rows),
        empty="no posts",
    )


def _places(*places: tuple[float, float]) -> tuple[str, str, str, str]:
    (a, b), (c, d) = places
    return f"{a + 0.0:.2f}", f"{b + 0.0:.2f}", f"{c + 0.0:.2f}", f"{d + 0.0:.2f}"


def _braces(walk: Walk) -> Table:
    rows = []
    for pull in walk.bracing.pulls.values():
        for leg in pull.legs:
            foot = foot_read_ft(walk, leg)
            rows.append(
                (pull.support, leg.toward or "outward", format_ft_in(leg.foot_distance_ft), "" if foot is None else format_ft_in(foot))
            )
    return Table("Braces", ("support", "toward", "foot out, planned", "foot out, read"), tuple(rows))


def _checklist(walk: Walk) -> Table:
    rows = []
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            tick, reading = line.tick, line.item.reading
            read = reading.words(tick.reading) if reading and tick and tick.reading is not None else ""
            wanted = reading.range_words if reading else ""
            judged = "out of range" if line.passes is False else ""
            signed = (f"{tick.at:{TIMES}}", tick.by, tick.note) if tick else ("", "", "")
            rows.append((TITLES[stage], line.item.says, line.state, read, wanted, judged, *signed))
    columns = ("stage", "item", "state", "read", "wanted", "judged", "when", "who", "note")
    return Table("Checklist", columns, tuple(rows), empty="nothing to tick")
