"""All tables of the record, as the screen, the office's page and the tables for other programs show them; and as plain text."""

from collections.abc import Iterable

from engine.calc.lengths import format_ft_in
from engine.findings import STAGES, TITLES
from engine.job.model.job import Job
from engine.paper.as_built import foot_read_ft, left_sleeves, worked_times
from engine.paper.record_tables import TIMES, Table, record_tables
from engine.walk import Walk


def office_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Every table of the record: those of `record_tables`, then plan against built, braces, sleeves left, times, checklist."""
    return (*record_tables(job, walk), _plan_and_built(walk), _braces(walk), _sleeves(job, walk), _times(walk), _checklist(walk))


def record_text(job: Job, walk: Walk) -> str:
    """The record as plain text, columns lined up, for a terminal or a printer."""
    return "\n\n".join(_lines(table) for table in office_tables(job, walk)) + "\n"


def _plan_and_built(walk: Walk) -> Table:
    """Places in feet east and north of the survey's origin, to a hundredth."""
    what = {change.support: change.what for change in walk.punch.changes}
    same = "as planned" if walk.layout.accepted else "proposed"
    rows = [
        (name, *_places(support.planned, support.xy), format_ft_in(support.moved_ft), what.get(name, same))
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


def _sleeves(job: Job, walk: Walk) -> Table:
    """Where the file says it: statiforward along the line as it ran then, and feet east and north of the survey's origin."""
    rows = []
    for name, left in left_sleeves(job, walk).items():
        where = f"{format_ft_in(left.station_ft)} on {left.line}" if left.station_ft is not None else "not known"
        east, north = ("" if number is None else f"{number:.2f}" for number in (left.east_ft, left.north_ft))
        rows.append((name, left.what, f"{left.at:%Y-%m-%d}", where, left.tie_a, left.tie_b, east, north))
    columns = ("sleeve of", "what happened", "when", "place", "first tape", "second tape", "east ft", "north ft")
    return Table("Sleeves left in the ground", columns, tuple(rows), empty="none")


def _times(walk: Walk) -> Table:
    rows = []
    for stage in STAGES:
        lines = walk.checklists[stage].lines
        started, finished = worked_times(walk, stage)
        done = f"{sum(line.state != 'open' for line in lines)} of {len(lines)}"
        rows.append((TITLES[stage], f"{started:{TIMES}}" if started else "", f"{finished:{TIMES}}" if finished else "", done))
    return Table("Times", ("stage", "begun", "done", "items"), tuple(rows))


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


def _lines(table: Table) -> str:
    title = f"{table.title}\n{'-' * len(table.title)}"
    if not table.rows:
        return f"{title}\n{table.empty}"
    heads = (table.columns,) if any(table.columns) else ()
    rows = [tuple(" ".join(cell.split()) for cell in row) for row in (*heads, *table.rows)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join((title, *(_padded(row, widths) for row in rows)))


def _padded(row: Iterable[str], widths: list[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
