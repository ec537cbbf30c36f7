"""The record: what was built, as tables the screen, the command line and the office all show alike."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from engine import __version__
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import measured
from engine.findings import STAGES, TITLES
from engine.job.model.job import Job
from engine.job.model.log_sentences import sentence
from engine.job.model.signed_record import BuiltSupport, Record
from engine.paper.as_built import built_braces, built_gates, built_loops, left_sleeves, tape_words, worked_stages
from engine.stages.punch.reasons import reason_given
from engine.walk import Walk

TIMES = "%Y-%m-%d %H:%M"


@dataclass(frozen=True)
class Table:
    """A titled table of words; every row has as many cells as there are columns. `empty` says what no rows mean."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str = "none"


def build_record(job: Job, walk: Walk, at: datetime, by: str, accepted_by: str, left_open: Mapping[str, str]) -> Record:
    """The as-built fence in numbers at the moment of sign-off; the digest is added when the job is sealed."""
    supports = {
        name: BuiltSupport(
            line=support.line,
            station_ft=max(0.0, support.station_ft),
            east_ft=support.east_ft,
            north_ft=support.north_ft,
            kind=support.kind,
            support=support.support,
            tie_a=tape_words(walk.layout.ties.get(name), first=True),
            tie_b=tape_words(walk.layout.ties.get(name), first=False),
            driven_in=walk.posts.work[name].driven_in if name in walk.posts.work else None,
        )
        for name, support in walk.layout.supports.items()
    }
    return Record(
        signed_at=at,
        signed_by=by,
        accepted_by=accepted_by,
        engine=__version__,
        left_open=dict(left_open),
        supports=supports,
        bays_ft={name: bay.slope_ft for name, bay in walk.layout.bays.items()},
        loops=built_loops(walk),
        braces=built_braces(walk),
        gates=built_gates(walk),
        stages=worked_stages(walk),
        quantities={row.stock: round(row.used, 2) for row in walk.takeoff.rows},
        sleeves_left=left_sleeves(job, walk),
    )


def record_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Every table of the record, in reading order."""
    return (
        _head(job),
        _supports(walk),
        _bays(walk),
        _loops(walk),
        _gates(walk),
        _changes(walk),
        _log(job),
        _readings(walk),
        _used(walk),
        _left(job, walk),
    )


def _head(job: Job) -> Table:
    who = job.job
    rows = [("job", " ".join(part for part in (who.number, who.title) if part)), ("client", who.client), ("site", who.site)]
    rows.append(("crew", ", ".join(who.crew)))
    if job.record is None:
        rows.append(("state", "not signed off"))
    else:
        signed = job.record
        rows.append(("state", f"signed off {signed.signed_at:{TIMES}} by {signed.signed_by}, accepted by {signed.accepted_by}"))
        rows += [("worked out by", f"linewalk {signed.engine}"), ("seal", signed.digest)]
    return Table("What was built", ("", ""), tuple(row for row in rows if row[1]))


def _supports(walk: Walk) -> Table:
    rows = []
    for name, support in walk.layout.supports.items():
        depth = walk.posts.work[name].driven_in if name in walk.posts.work else None
        tie = walk.layout.ties.get(name)
        stands = support.at or "" if support.support != "driven" else f"driven {format_in(depth)}" if depth is not None else "driven"
        place = f"{format_ft_in(support.station_ft)} on {support.line}"
        rows.append((name, support.kind, stands, place, tape_words(tie, first=True), tape_words(tie, first=False)))
    return Table("Supports", ("id", "kind", "stands in", "place", "tape", "and tape"), tuple(rows))


def _bays(walk: Walk) -> Table:
    rows = tuple(
        (name, bay.line, format_ft_in(bay.slope_ft), f"gate {bay.gate}" if bay.gate else walk.cables.loop_of.get(name, ""))
        for name, bay in walk.layout.bays.items()
    )
    return Table("Bays", ("bay", "line", "length", "loop"), rows)


def _loops(walk: Walk) -> Table:
    rows = []
    for name, loop in walk.cables.loops.items():
        cut = walk.fabric.loops.get(name)
        wire, mesh = (format_ft_in(cut.wire_cut_ft), format_ft_in(cut.mesh_cut_ft)) if cut else ("", "")
        rows.append((name, f"{loop.supports[0]} to {loop.supports[-1]}", format_ft_in(loop.cut_ft), wire, mesh))
    return Table("Cable loops", ("loop", "from", "cable", "wire", "mesh"), tuple(rows))


def _gates(walk: Walk) -> Table:
    rows = []
    for name, built in built_gates(walk).items():
        opening = "" if built.opening_ft is None else format_ft_in(built.opening_ft)
        diagonals = ", ".join(map(format_ft_in, built.diagonals_ft))
        gap = "" if built.bottom_gap_in is None else format_in(built.bottom_gap_in)
        wanted = format_ft_in(walk.gate.gates[name].opening_ft)
        rows.append((name, f"{built.hinge_post} to {built.latch_post}", str(built.leaves), wanted, opening, diagonals, gap))
    columns = ("gate", "posts", "leaves", "opening", "opening read", "diagonals read", "bottom gap read")
    return Table("Gates", columns, tuple(rows))


def _changes(walk: Walk) -> Table:
    rows = tuple((change.support, change.what, format_ft_in(change.moved_ft)) for change in walk.punch.changes)
    return Table(
        "Changed from the plan",
        ("support", "what", "by"),
        rows,
        empty="built as planned" if walk.layout.accepted else "no plan accepted yet",
    )


def _log(job: Job) -> Table:
    rows = tuple((f"{entry.at:{TIMES}}", entry.by, sentence(entry)) for entry in job.log)
    return Table("Log", ("when", "who", "what happened"), rows)


def _readings(walk: Walk) -> Table:
    rows = []
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            reading = line.item.reading
            if line.tick is None or line.tick.reading is None or reading is None:
                continue
            passed = "in range" if line.passes else "out of range"
            rows.append((TITLES[stage], line.item.says, reading.words(line.tick.reading), reading.range_words, passed))
    return Table("Readings", ("stage", "item", "read", "wanted", "judged"), tuple(rows))


def _used(walk: Walk) -> Table:
    rows = tuple(
        (row.name, measured(row.needed, row.unit), f"{row.used:,.0f}", f"{row.packs}", "" if row.loaded is None else f"{row.loaded}")
        for row in walk.takeoff.rows
    )
    return Table("Materials", ("what", "planned", "used", "packs", "loaded"), rows)


def _left(job: Job, walk: Walk) -> Table:
    reasons = job.record.left_open if job.record else {}
    rows = tuple(
        (finding.level, finding.says, reason_given(finding, walk.punch, reasons)) for finding in walk.findings if finding.level != "note"
    )
    return Table("Left open", ("level", "finding", "reason given"), rows, empty="nothing")
