"""What one change does to everything downstream: the walk before beside the walk after, in words a crew reads."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import compress
from operator import is_not
from typing import TypeVar

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import figure, listed
from engine.calc.tolerances import SAME_SPOT_FT, TAPE_IN
from engine.change.changed_findings import FindingChange, found_otherwise
from engine.checklist import ChecklistLine, alike_ends
from engine.findings import Finding
from engine.stages.layout.stage import Support, TapeTie
from engine.stages.posts.sleeves.old_sleeves import OldSleeve
from engine.stages.punch.stage import WayOut
from engine.stages.takeoff import Takeoff, TakeoffRow
from engine.walk import Walk

T = TypeVar("T")
Lines = tuple[ChecklistLine, ...]
_TAPES = ("first tape", "second tape")


@dataclass(frozen=True)
class Difference:
    """One thing that differs: before and after in trade notation; a dash where it isn't there."""

    subject: str
    what: str
    before: str
    after: str


@dataclass(frozen=True)
class WayChange:
    """A way out that comes, goes or is another size: where, and how big before and after, in; None where there is none."""

    where: str
    before_in: float | None
    after_in: float | None


@dataclass(frozen=True)
class Consequences:
    """All that differs: figures in the order of the stages, findings that appear, go and are other than they were.

    `opened` are items done before and open or not asked after, and items not needed before and open after, as they were before; `again` are
    those that a tick counts for after and none did before, as they are after. `sleeves` are those that no post stands in any more, or that
    come out after all where they were to stay; `said` those of which nothing is asked any more, for the log says that they were cut off;
    `reused` posts that come into an old one, with the post it was of. `ways` is what becomes of ways out, of which there were `ways_before`
    and are `ways_after`.
    """

    changes: tuple[Difference, ...] = ()
    appear: tuple[Finding, ...] = ()
    go: tuple[Finding, ...] = ()
    changed: tuple[FindingChange, ...] = ()
    opened: tuple[ChecklistLine, ...] = ()
    again: tuple[ChecklistLine, ...] = ()
    sleeves: tuple[OldSleeve, ...] = ()
    said: tuple[OldSleeve, ...] = ()
    reused: tuple[tuple[str, str], ...] = ()
    ways: tuple[WayChange, ...] = ()
    ways_before: int = 0
    ways_after: int = 0


def consequences(before: Walk, after: Walk) -> Consequences:
    """Everything that differs between two walks of one job."""
    findings = found_otherwise(before, after)
    opened, again = _answered_otherwise(before, after)
    old = {sleeve.key: sleeve.stays for sleeve in before.posts.old_sleeves}
    return Consequences(
        tuple(_changes(before, after)),
        *findings,
        opened,
        again,
        tuple(sleeve for sleeve in after.posts.old_sleeves if sleeve.key not in old or (old[sleeve.key] and not sleeve.stays)),
        tuple(sleeve for sleeve in after.posts.old_sleeves if _is_asked(sleeve, before) and not _is_asked(sleeve, after)),
        tuple((post, of) for post, of in after.posts.reused.items() if before.posts.reused.get(post) != of),
        tuple(_ways(before.punch.ways_out, after.punch.ways_out)),
        len(before.punch.ways_out),
        len(after.punch.ways_out),
    )


def _is_asked(sleeve: OldSleeve, walk: Walk) -> bool:
    return sleeve.key in walk.checklists["posts"].by_key


def _answered_otherwise(before: Walk, after: Walk) -> tuple[tuple[ChecklistLine, ...], tuple[ChecklistLine, ...]]:
    """What is done or not needed in the walk before, and open or not asked after; and the other way round. What wasn't needed and isn't
    asked any more opens nothing."""
    opened: list[ChecklistLine] = []
    again: list[ChecklistLine] = []
    for stage, checklist in before.checklists.items():
        old, new = ({line.item.key: line for line in lines} for lines in _apart(checklist.lines, after.checklists[stage].lines))
        now = after.checklists[stage]
        opened += (line for key, line in old.items() if key not in new and (line.state != "not needed" or key in now.by_key))
        again += (line for key, line in new.items() if key not in old)
    return tuple(opened), tuple(again)


def _apart(before: Lines, after: Lines) -> tuple[Lines, Lines]:
    """Lines with a tick that aren't the very same in both."""
    if len(before) == len(after):
        others = [*map(is_not, before, after)]
        before, after = tuple(compress(before, others)), tuple(compress(after, others))
    else:
        first, last = alike_ends(before, after)
        before, after = before[first : len(before) - last], after[first : len(after) - last]
    alike = set(map(id, before)).intersection(map(id, after))
    old, new = (tuple([line for line in lines if line.tick is not None and id(line) not in alike]) for lines in (before, after))
    return old, new


def _ways(before: Sequence[WayOut], after: Sequence[WayOut]) -> Iterator[WayChange]:
    old, new = ({way.key: way for way in ways} for ways in (before, after))
    for key in dict.fromkeys((*new, *old)):
        was, now = old.get(key), new.get(key)
        if was is None or now is None or abs(was.opening_in - now.opening_in) > TAPE_IN:
            way = now or was
            assert way is not None
            yield WayChange(way.where, was.opening_in if was else None, now.opening_in if now else None)


def _changes(a: Walk, b: Walk) -> Iterator[Difference]:
    yield from _posts(a.layout.supports, b.layout.supports)
    yield from _differ("length", a.layout.bays, b.layout.bays, lambda bay: bay.slope_ft, format_ft_in)
    yield from _ties(a.layout.ties, b.layout.ties)
    yield from _braces(a, b)
    yield from _runs(a, b)
    yield from _differ("cable to cut", a.cables.loops, b.cables.loops, lambda loop: loop.cut_ft, format_ft_in)
    yield from _differ("run", a.cables.loops, b.cables.loops, lambda loop: loop.run_ft, format_ft_in)
    yield from _differ("wire to cut", a.fabric.loops, b.fabric.loops, lambda cut: cut.wire_cut_ft, format_ft_in)
    yield from _differ("mesh to cut", a.fabric.loops, b.fabric.loops, lambda cut: cut.mesh_cut_ft, format_ft_in)
    yield from _differ("rings", a.fabric.loops, b.fabric.loops, lambda cut: cut.rings, _count)
    yield from _differ("least apron", a.fabric.bays, b.fabric.bays, lambda bay: bay.least_apron_in, format_in, 0.06)
    yield from _differ("stakes", a.staking.bays, b.staking.bays, lambda bay: len(bay.stations_ft), _count)
    yield from _differ("opening", a.gate.gates, b.gate.gates, lambda gate: gate.opening_ft, format_ft_in)
    yield from _loads(_by_name(a.takeoff), _by_name(b.takeoff))


def _loads(before: Mapping[str, TakeoffRow], after: Mapping[str, TakeoffRow]) -> Iterator[Difference]:
    """Rows of the take-off, those of one unit together."""
    units = dict.fromkeys(row.unit for row in (*before.values(), *after.values()))
    alike = {name for name, row in before.items() if row == after.get(name)}
    before, after = ({name: row for name, row in rows.items() if name not in alike} for rows in (before, after))
    for unit in units:
        old, new = ({name: row for name, row in rows.items() if row.unit == unit} for rows in (before, after))
        yield from _differ("needed", old, new, lambda row: row.needed + row.spare, partial(_needed, unit), 0.5)
        yield from _differ("loaded and came", _came(old), _came(new), lambda came: came, partial(_needed, unit), 0.05)
    yield from _differ("packs to load", before, after, lambda row: row.packs, _count)
    yield from _differ("packs short", _lacked(before), _lacked(after), lambda short: short, _count)


def _by_name(takeoff: Takeoff) -> dict[str, TakeoffRow]:
    """Rows by the name people see; two of one name are told apart by their ids."""
    called = Counter(row.name for row in takeoff.rows)
    return {row.name if called[row.name] < 2 else f"{row.name} ({row.stock})": row for row in takeoff.rows}


def _came(rows: Mapping[str, TakeoffRow]) -> dict[str, float]:
    """What was loaded or came since, where anybody counted."""
    return {name: row.came for name, row in rows.items() if row.came is not None}


def _lacked(rows: Mapping[str, TakeoffRow]) -> dict[str, int]:
    """Packs that the truck lacks."""
    return {name: row.short for name, row in rows.items() if row.short}


def _posts(before: Mapping[str, Support], after: Mapping[str, Support]) -> Iterator[Difference]:
    """Posts that come, go, or stand elsewhere."""
    for name in _others(before, after):
        old, new = before.get(name), after.get(name)
        if old is None or new is None or distance_ft(old.xy, new.xy) > SAME_SPOT_FT or old.at != new.at:
            yield Difference(name, "stands at", _place_words(old), _place_words(new))


def _place_words(one: Support | None) -> str:
    """Its station on its line, how far off it, and the tree or structure that carries the cables."""
    if one is None:
        return "-"
    side = f", {format_ft_in(abs(one.offset_ft), 4)} {'right' if one.offset_ft > 0 else 'left'}"
    return f"{format_ft_in(one.station_ft)}{side if abs(one.offset_ft) > SAME_SPOT_FT else ''}{f' on {one.at}' if one.at else ''}"


def _ties(before: Mapping[str, TapeTie], after: Mapping[str, TapeTie]) -> Iterator[Difference]:
    """Tapes that read something else, or start somewhere else."""
    for name in _others(before, after):
        old, new = before.get(name), after.get(name)
        tapes = zip(_tapes(old), _tapes(new), strict=True)
        for number, ((old_ft, old_from), (new_ft, new_from)) in enumerate(tapes):
            if old_from != new_from or abs(old_ft - new_ft) > SAME_SPOT_FT:
                yield Difference(name, _TAPES[number], *(tie.words[number] if tie is not None else "-" for tie in (old, new)))


def _tapes(tie: TapeTie | None) -> tuple[tuple[float, str], tuple[float, str]]:
    return ((0.0, ""), (0.0, "")) if tie is None else ((tie.tape_a_ft, tie.from_a), (tie.tape_b_ft, tie.from_b))


def _runs(a: Walk, b: Walk) -> Iterator[Difference]:
    """Loops that take in other supports."""
    old, new = a.cables.loops, b.cables.loops
    for name in _others(old, new):
        was, now = (loops[name].supports if name in loops else () for loops in (old, new))
        if was != now:
            yield Difference(name, "supports", listed(was) if was else "-", listed(now) if now else "-")


def _braces(a: Walk, b: Walk) -> Iterator[Difference]:
    were, are = a.bracing.pulls, b.bracing.pulls
    others = _others(were, are)
    old, new = ({leg.id: leg for name in others if name in pulls for leg in pulls[name].legs} for pulls in (were, are))
    yield from _differ("brace length", old, new, lambda leg: leg.length_ft, format_ft_in)
    for name, leg in new.items():
        if name in old and old[name] is not leg and (shift := distance_ft(old[name].foot, leg.foot)) > SAME_SPOT_FT:
            yield Difference(name, "foot", "as set out", f"{format_ft_in(shift)} over")


def _differ(
    what: str,
    before: Mapping[str, T],
    after: Mapping[str, T],
    value: Callable[[T], float],
    words: Callable[[float], str],
    same: float = SAME_SPOT_FT,
) -> Iterator[Difference]:
    for name in _others(before, after):
        old = value(before[name]) if name in before else None
        new = value(after[name]) if name in after else None
        if old is None or new is None or abs(old - new) > same:
            yield Difference(name, what, "-" if old is None else words(old), "-" if new is None else words(new))


def _needed(unit: str, value: float) -> str:
    return figure(value, unit)


def _others(before: Mapping[str, T], after: Mapping[str, T]) -> list[str]:
    """Those that aren't the very same in both."""
    if [*before] == [*after]:
        return list(compress(before, map(is_not, before.values(), after.values())))
    names = dict.fromkeys((*before, *after))
    return list(compress(names, map(is_not, map(before.get, names), map(after.get, names))))


def _count(value: float) -> str:
    return f"{value:.0f}"
