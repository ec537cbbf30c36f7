"""What was built, table by table, out of a record: the sealed one, or what this version works out."""

from functools import partial
from itertools import pairwise
from math import hypot

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import listed, measured, unit_word
from engine.calc.units import FEET_INCHES, METRES, Units, bare_unit, in_force, in_units
from engine.checklist import ChecklistLine
from engine.findings import STAGES, TITLES
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.signed_record import BuiltLoop, BuiltSupport, Record
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import same_place
from engine.paper.as_built import worked_lines
from engine.paper.repair_work import mended
from engine.paper.tables.told_cells import PLACES, ToldCell, told_ft, told_in, told_place, told_tape
from engine.stages.layout.bays import bay_id
from engine.stages.layout.stage import TapeTie
from engine.stages.takeoff import unit_of
from engine.walk import Walk

TIMES = "%Y-%m-%d %H:%M"
NOTHING_NEW = "nothing new"
DIAGONALS = tuple(f"diagonal_{number}_read_ft" for number in range(1, 5))
"""Two a leaf, of one leaf or two."""
OF_STOCK = ("stock", "unit")


@dataclass(frozen=True)
class Table:
    """A titled table of words; every row has as many cells as there are columns. `empty` says what no rows mean, the first `keys` cells of
    a row tell it from others. `figures` are heads of what other programs get before a column: its cells are `ToldCell`; of the columns in
    `for_people` they get nothing else."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str = "none"
    keys: int = 1
    figures: tuple[tuple[str, tuple[str, ...]], ...] = ()
    for_people: tuple[str, ...] = ()


def built_tables(job: Job, walk: Walk, record: Record) -> dict[str, Table]:
    """Every table whose figures a record holds, by its title."""
    tables = (
        _supports(job, walk, record),
        _bays(walk, record),
        _loops(record),
        _gates(walk, record),
        _used(job, walk, record),
        _plan_and_built(walk, record),
        _braces(record),
        _sleeves(record),
        _times(job, walk, record),
    )
    return {table.title: table for table in tables}


def stands(walk: Walk, name: str, built: BuiltSupport) -> bool:
    """Whether a support is there for certain: a post whose sleeve is in the ground or that is bolted down, a tree or a wall with its eyes
    in."""
    if built.driven_in is not None or name in walk.in_sleeves:
        return True
    line = _set_line(walk, name)
    return line is not None and line.state == "done"


def _set_line(walk: Walk, name: str) -> ChecklistLine | None:
    """The item that says a post is in the ground, or bolted down; of a tree or a wall, that its eyes are in."""
    asked = walk.checklists["posts"].by_key
    return next((asked[key] for what in ("driven_depth", "plate", "eyes") if (key := ItemKey("posts", name, what)) in asked), None)


def _stands_in(walk: Walk, name: str, built: BuiltSupport) -> str:
    today = walk.layout.supports.get(name)
    if built.support != "driven":
        return (today.at if today and today.support == built.support else None) or built.support
    if built.driven_in is not None:
        return f"driven {format_in(built.driven_in)}"
    line = _set_line(walk, name)
    plate = line is not None and line.item.key.what == "plate"
    before = f"; {was_words(line)}" if line is not None and line.was is not None else ""
    if stands(walk, name, built):
        return "bolted down" if plate else f"driven{before}"
    if line is not None and line.state == "not needed":
        return "marked as not needed"
    return f"{'not bolted down' if plate else 'not driven'}{before}"


def was_words(line: ChecklistLine) -> str:
    """What an item was read or ticked as before it changed: `30" was read at its old place`."""
    was, reading = line.was, line.item.reading
    if was is None:
        return ""
    now, then = line.item.of.places, was.of.places
    same = len(now) == len(then) and all(same_place(a, b) for a, b in zip(now, then, strict=True))
    where = f"with {listed(line.other_stock)}" if line.other_stock else "before what is wanted changed" if same else "at its old place"
    if reading and was.reading is not None:
        did = f"{reading.words(was.reading)} was read"
    else:
        did = {"done": "was ticked", "not needed": "was marked as not needed"}.get(was.state, "wasn't asked")
    return f"{did} {where}, {was.at:{TIMES}} by {was.by}"


def _supports(job: Job, walk: Walk, record: Record) -> Table:
    """In a repair those at which something was done say so."""
    here = {one.of: f", {one.says}" for one in mended(job, walk) if one.stage == "posts"}
    rows = tuple(
        (
            name, built.kind, ToldCell(f"{_stands_in(walk, name, built)}{here.get(name, '')}", built.driven_in),
            ToldCell(f"{format_ft_in(built.station_ft)} on {built.line}", built.line, built.station_ft, built.east_ft, built.north_ft),
            *_tapes(walk, name, built),
        )
        for name, built in record.supports.items()
    )  # fmt: skip
    place = ("line", "station_ft", "east_ft", "north_ft")
    tapes = (("tape", ("tape_ft", "tape_from")), ("and tape", ("and_tape_ft", "and_tape_from")))
    figures = (("stands in", ("driven_in",)), ("place", place), *tapes)
    return Table("Supports", ("id", "kind", "stands in", "place", "tape", "and tape"), rows, figures=figures)


def _tapes(walk: Walk, name: str, built: BuiltSupport) -> tuple[str, str]:
    """The two tapes as the record has them; where the layout's are the same to the mark, in the units of that day, those."""
    tie = walk.layout.ties.get(name)
    if tie is None or (built.tie_a, built.tie_b) not in map(partial(_words_in, tie), (FEET_INCHES, METRES)):
        return told_tape(built.tie_a), told_tape(built.tie_b)
    a, b = tie.words
    return ToldCell(a, tie.tape_a_ft, tie.from_a), ToldCell(b, tie.tape_b_ft, tie.from_b)


def _words_in(tie: TapeTie, units: Units) -> tuple[str, str]:
    with in_units(units):
        return tie.words


def _bays(walk: Walk, record: Record) -> Table:
    """The line and the gate of a bay are the layout's, for a record keeps only its length."""
    loop_of = {bay_id(*ends): name for name, loop in record.loops.items() for ends in pairwise(loop.supports)}
    rows = []
    for name, length_ft in record.bays_ft.items():
        bay = walk.layout.bays.get(name)
        rows.append((name, bay.line if bay else "", told_ft(length_ft), f"gate {bay.gate}" if bay and bay.gate else loop_of.get(name, "")))
    return Table("Bays", ("bay", "line", "length", "loop"), tuple(rows), figures=(("length", ("length_ft",)),))


def _ends(loop: BuiltLoop) -> str:
    return f"{loop.supports[0]} to {loop.supports[-1]}" if loop.supports else ""


def _loops(record: Record) -> Table:
    rows = tuple(
        (
            name, _ends(loop), told_ft(loop.cable_ft), "read" if loop.cable_read else "worked out",
            *((told_ft(loop.wire_ft), told_ft(loop.mesh_ft)) if loop.wire_ft or loop.mesh_ft else ("", "")),
        )
        for name, loop in record.loops.items()
    )  # fmt: skip
    figures = tuple((name, (f"{name}_ft",)) for name in ("cable", "wire", "mesh"))
    return Table("Cable loops", ("loop", "from", "cable", "cable is", "wire", "mesh"), rows, figures=figures)


def _gates(walk: Walk, record: Record) -> Table:
    rows = []
    for name, built in record.gates.items():
        opening, gap = told_ft(built.opening_ft), told_in(built.bottom_gap_in)
        diagonals = ToldCell(", ".join(map(format_ft_in, built.diagonals_ft)), *built.diagonals_ft[: len(DIAGONALS)])
        wanted = told_ft(walk.gate.gates[name].opening_ft) if name in walk.gate.gates else ""
        rows.append((name, f"{built.hinge_post} to {built.latch_post}", str(built.leaves), wanted, opening, diagonals, gap))
    columns = ("gate", "posts", "leaves", "opening", "opening read", "diagonals read", "bottom gap read")
    figures = (("opening", ("opening_ft",)), ("opening read", ("opening_read_ft",)), ("diagonals read", DIAGONALS))
    return Table("Gates", columns, tuple(rows), figures=(*figures, ("bottom gap read", ("bottom_gap_read_in",))))


def _used(job: Job, walk: Walk, record: Record) -> Table:
    """Packs are of what is still to be loaded, and no fact of a job that is signed off."""
    today, stock = {row.stock: row for row in walk.takeoff.rows}, stock_of(job.stock)
    rows = []
    for name, used in record.quantities.items():
        row, kept = today.get(name), stock.get(name)
        unit = row.unit if row else unit_of(kept) if kept else ""
        planned = _so_much(record.planned[name], unit) if name in record.planned else ""
        packs = f"{row.packs}" if row and job.record is None else ""
        loaded = ToldCell(f"{row.loaded}", row.loaded) if row and row.loaded is not None else ""
        what = ToldCell((kept.name if kept else None) or name, name, unit_word(unit))
        rows.append((what, planned, _so_much(used, unit), packs, loaded))
    figures = (("what", OF_STOCK), ("planned", ("planned_units",)), ("used", ("used_units",)), ("loaded", ("loaded_packs",)))
    return Table("Materials", ("what", "planned", "used", "packs", "loaded"), tuple(rows), figures=figures, for_people=("loaded",))


def _so_much(amount: float, unit: str) -> str:
    return ToldCell(measured(amount, unit), in_force(amount, unit))


def _plan_and_built(walk: Walk, record: Record) -> Table:
    """Places in feet east and north of the survey's origin, as a record keeps them."""
    what = {change.support: change.what for change in walk.punch.changes}
    rows = []
    for name, built in record.supports.items():
        today = walk.layout.supports.get(name)
        c, d = built.east_ft, built.north_ft
        a, b = (round(far_ft, PLACES) for far_ft in today.planned) if today else (c, d)
        apart = told_ft(hypot(c - a, d - b))
        said = _how_it_stands(walk, name, built, what.get(name, ""))
        rows.append((name, *map(told_place, (a, b, c, d)), apart, said))
    rows += [(name, "", "", "", "", "", said) for name, said in what.items() if name not in record.supports]
    unit = bare_unit("ft")
    columns = ("id", f"planned east {unit}", f"planned north {unit}", f"east {unit}", f"north {unit}", "apart", "what")
    return Table("Plan against built", columns, tuple(rows), empty="no posts", figures=(("apart", ("apart_ft",)),))


def _how_it_stands(walk: Walk, name: str, built: BuiltSupport, change: str) -> str:
    if not walk.layout.accepted:
        return change or "proposed"
    if stands(walk, name, built):
        return change or "as planned"
    yet = "not standing yet" if built.support == "driven" else "no eyes in yet"
    return f"{change}, {yet}" if change else yet


def _braces(record: Record) -> Table:
    """Where a foot was read, records of older programs don't hold what was planned for it."""
    rows = []
    for brace in record.braces.values():
        foot = told_ft(brace.foot_ft)
        wanted = foot if not brace.foot_read else "" if brace.foot_planned_ft is None else told_ft(brace.foot_planned_ft)
        rows.append((brace.support, brace.toward or "outward", wanted, foot if brace.foot_read else ""))
    figures = (("foot out, planned", ("foot_out_planned_ft",)), ("foot out, read", ("foot_out_read_ft",)))
    return Table("Braces", ("support", "toward", "foot out, planned", "foot out, read"), tuple(rows), keys=2, figures=figures)


def _sleeves(record: Record) -> Table:
    """Where the file says it: stationed along the line as it ran then, and feet east and north of the survey's origin."""
    rows = []
    for name, left in record.sleeves_left.items():
        where = f"{format_ft_in(left.station_ft)} on {left.line}" if left.station_ft is not None else "not known"
        told = ToldCell(where, left.line, left.station_ft)
        east, north = told_place(left.east_ft), told_place(left.north_ft)
        rows.append((name, left.what, f"{left.at:%Y-%m-%d}", told, told_tape(left.tie_a), told_tape(left.tie_b), east, north))
    places = (f"east {bare_unit('ft')}", f"north {bare_unit('ft')}")
    columns = ("sleeve of", "what happened", "when", "place", "first tape", "second tape", *places)
    tapes = tuple((f"{which} tape", (f"{which}_tape_ft", f"{which}_tape_from")) for which in ("first", "second"))
    figures = (("place", ("line", "station_ft")), *tapes)
    return Table("Sleeves left in the ground", columns, tuple(rows), empty="none", figures=figures)


def _times(job: Job, walk: Walk, record: Record) -> Table:
    rows = []
    for stage in STAGES:
        lines = worked_lines(job, walk, stage)
        worked = record.stages.get(stage)
        started, finished = (f"{at:{TIMES}}" if at else "" for at in ((worked.started, worked.finished) if worked else (None, None)))
        items = f"{sum(line.state != 'open' for line in lines)} of {len(lines)}" if lines or job.repair_of is None else NOTHING_NEW
        rows.append((TITLES[stage], started, finished, items))
    return Table("Times", ("stage", "begun", "done", "items"), tuple(rows))
