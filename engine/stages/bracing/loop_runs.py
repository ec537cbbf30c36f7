"""Runs of bays between gates, and the loops a run is best strung in."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import count
from typing import NamedTuple

from engine.calc.cutting.run_shares import partition_run
from engine.calc.remember import remembered, remembered_columns, remembered_of
from engine.findings import StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import TickFacts
from engine.stages.posts.standing_supports import Span
from engine.stages.sorted_ticks import sorted_ticks


class LoopEnds(NamedTuple):
    """The supports at a loop's ends."""

    first: str
    last: str


class LoopTick(NamedTuple):
    """What was ticked of a loop: between which ends, over which supports where it holds for these alone, what it is called, what was done,
    and when; `begun` is the first that was ticked of it."""

    ends: LoopEnds
    over: tuple[str, ...]
    name: str
    what: str
    at: datetime
    begun: datetime

    def runs_along(self, bays: Sequence[Span]) -> bool:
        """Whether bays that end where this loop does are its own."""
        return not self.over or self.over == row_of(bays)


_ends = remembered(LoopEnds)
_loop_tick = remembered(LoopTick)
CLOSED, CUT = "closed", "cut_length"
LOOP_TICKS: Mapping[str, StageName] = {
    CLOSED: "cables", "tail": "cables", "sag": "cables", "wire_hung": "fabric", "mesh_hung": "fabric", CUT: "cables",
}  # fmt: skip
"""What tells of a loop, in which stage: that it is closed, that it was strung, and that its cable was cut."""


def row_of(bays: Sequence[Span]) -> tuple[str, ...]:
    """Supports of a row of bays, in order."""
    return (bays[0].from_id, *[bay.to_id for bay in bays])


def loop_ends(of: TickFacts, supports: Container[str]) -> LoopEnds | None:
    """The ends that a loop's tick names, None where it names no two.

    Of a cut they stand as P4 to P7, in older files as P4-P7: cut at the hyphen that has a support on either side; at the first where an end
    is gone.
    """
    if len(of.places) > 1:
        return _ends(of.places[0].support, of.places[-1].support)
    first, to, last = of.words[0].partition(" to ") if of.words else ("", "", "")
    parts = first.split("-")
    cut = [_ends(first, last)] if to else [_ends("-".join(parts[:n]), "-".join(parts[n:])) for n in range(1, len(parts))]
    return next((ends for ends in cut if ends.first in supports and ends.last in supports), next((ends for ends in cut if ends.last), None))


def loop_ticks(checks: Mapping[ItemKey, Tick], supports: Container[str]) -> list[LoopTick]:
    """What was ticked of loops, the last first: of each that it was closed, in a repair of those too that stand though nobody ticked it; of
    those that aren't, or were opened again, what was done at them: neither their place nor their name hangs on the lock alone."""
    told = ((tick, loop_ends(of, supports) if of is not None else tick.ends) for tick, of in _told(checks))
    return [tick if ends is tick.ends else _loop_tick(*tick._replace(ends=ends)) for tick, ends in told if ends is not None]


@remembered_of
def _told(checks: Mapping[ItemKey, Tick]) -> list[tuple[LoopTick, TickFacts | None]]:
    """Ticks that tell of loops, the last first; beside those of an older file, whose words name ends that hang on what stands, what they
    say."""
    every = sorted_ticks(checks)
    closed = {loop for loop, tick in every.of("cables", CLOSED).items() if tick.state in ("done", "left open")}
    ticks_of_loops = [(loop, what, tick) for what, stage in LOOP_TICKS.items() for loop, tick in every.of(stage, what).items()]
    ticks = [
        (loop, what, tick)
        for loop, what, tick in ticks_of_loops
        if (loop in closed if what == CLOSED else loop not in closed and tick.state == "done")
    ]
    begun: dict[str, datetime] = {}
    for loop, _, tick in ticks_of_loops:
        begun[loop] = min(tick.at, begun.get(loop, tick.at))
    every_one = zip(_of_ticks(*zip(*ticks, strict=True), [begun[loop] for loop, *_ in ticks]), ticks, strict=True)
    told = [(one, None if tick.of.places else tick.of) for one, (_, _, tick) in every_one if one is not None]
    return sorted(told, key=lambda one: (-one[0].at.timestamp(), one[0].name, one[0].what))


@remembered_columns
def _of_ticks(loop: str, what: str, tick: Tick, begun: datetime) -> LoopTick | None:
    """What each tick tells of its loop; None where it names no ends."""
    ends = loop_ends(tick.of, ())
    return None if ends is None else _loop_tick(ends, _over(what, tick.of), loop, what, tick.at, begun)


def _over(what: str, of: TickFacts) -> tuple[str, ...]:
    """The supports that a tick holds for alone; a lock and a tail hold as long as a loop's ends do."""
    return () if what in (CLOSED, "tail") else tuple([at.support for at in of.places])


def runs_of(bays: Sequence[Span], built: Iterable[LoopTick] = ()) -> list[tuple[Span, ...]]:
    """Longest chains of the bays of a line, in order, that no gate interrupts.

    A closed line is walked from its first gate, so that the run past its first support stays whole; one without a gate from the first
    support that no closed loop runs past. A bay without length is left out.
    """
    gates = [place for place, bay in enumerate(bays) if bay.gate is not None]
    if bays and bays[0].from_id == bays[-1].to_id:
        first = gates[0] if gates else _first_joint(bays, built)
        bays = [*bays[first:], *bays[:first]]
    runs: list[list[Span]] = [[]]
    for bay in bays:
        if bay.gate is not None:
            runs.append([])
        elif bay.plan_ft > 0:
            runs[-1].append(bay)
    return [tuple(run) for run in runs if run]


def loops_of(run: Sequence[Span], firm: Container[str], rules: CableRules, built: Iterable[LoopTick]) -> list[tuple[Span, ...]]:
    """A run shared out into loops: lengths within the limits first, then fewest loops, then breaks at supports that stand firm.

    Loops may meet at any support, for neighbours balance there; one that stands `firm` is better. A loop that is
    closed stays the loop it is, and what lies between closed ones is shared out. Lengths are those of the bays on the slope.
    Source: common practice, no source, for 40 to 60 ft loops; engine.calc.cutting.run_shares for the partition.
    Valid for: runs of one bay or more, each with a length; a closed loop with an end that is gone is no loop any more, nor is one where
    another was closed since.
    """
    loops: list[tuple[Span, ...]] = []
    start = 0
    for first, last in [*_standing(run, built), (len(run), len(run) - 1)]:
        if start < first:
            loops += _shared_out(run[start:first], firm, rules)
        if first <= last:
            loops.append(tuple(run[first : last + 1]))
        start = last + 1
    return loops


def _standing(run: Sequence[Span], built: Iterable[LoopTick]) -> list[tuple[int, int]]:
    """First and last bay of every strung loop of a run, in order: one was taken down where another that overlaps it was strung later, or
    begins before it."""
    starts = {bay.from_id: place for place, bay in enumerate(run)}
    ends = {bay.to_id: place for place, bay in enumerate(run)}
    kept: set[tuple[int, int]] = set()
    passed: set[tuple[int, int]] = set()
    for one in sorted(built, key=lambda one: (-one.at.timestamp(), one.what != CLOSED, starts.get(one.ends.first, 0))):
        first, last = starts.get(one.ends.first, len(run)), ends.get(one.ends.last, -1)
        if first <= last and one.what != CUT and all(last < low or first > high for low, high in passed - {(first, last)}):
            passed.add((first, last))
            if one.what == CLOSED or one.runs_along(run[first : last + 1]):
                kept.add((first, last))
    return sorted(kept)


def _first_joint(bays: Sequence[Span], built: Iterable[LoopTick]) -> int:
    """The bay that a ring without a gate is walked from: behind the one that closed it where a gate was taken out, so that its loop laps
    those that hung there; else its first, unless a closed loop runs past that; then where a closed loop begins behind what none holds, or
    where no closed loop runs past."""
    starts = {bay.from_id: place for place, bay in enumerate(bays)}
    ends = {bay.to_id: place for place, bay in enumerate(bays)}
    held: dict[int, LoopTick] = {}
    within: set[int] = set()
    begin: list[int] = []
    for one in built:
        if one.what != CUT and one.ends.first in starts and one.ends.last in ends:
            first = starts[one.ends.first]
            along = [place % len(bays) for place in range(first, first + 1 + (ends[one.ends.last] - first) % len(bays))]
            if held.keys().isdisjoint(along):
                held.update(dict.fromkeys(along, one))
                within.update(along[1:])
                begin.append(first)
    if (closing := _closing_bay(len(bays), held)) is not None:
        return (closing + 1) % len(bays)
    if 0 not in within:
        return 0
    return next((place for place in sorted(begin) if (place - 1) % len(bays) not in held), min(begin))


def _closing_bay(count_of: int, held: Mapping[int, LoopTick]) -> int | None:
    """The one bay of a ring that no loop holds, or that a loop of its own does which was begun after both beside it; None without."""
    free = [place for place in range(count_of) if place not in held]
    if free:
        return free[0] if len(free) == 1 < count_of else None
    beside = [(place, held[place - 1 if place else count_of - 1], held[(place + 1) % count_of]) for place in range(count_of)]
    alone = [place for place, *others in beside if all(held[place].begun > other.begun for other in others)]
    return alone[0] if len(alone) == 1 else None


def _shared_out(run: Sequence[Span], firm: Container[str], rules: CableRules) -> list[tuple[Span, ...]]:
    joints = [bay.from_id for bay in run[1:]]
    loose = [0 if name in firm else 1 for name in joints]
    lengths = tuple(bay.slope_ft for bay in run)
    parts = partition_run(lengths, (True,) * len(joints), rules.loop_min_ft, rules.loop_max_ft, tuple(loose))
    return [tuple(run[first : last + 1]) for first, last in parts]


@remembered
def _counted(number: int) -> str:
    return f"L{number}"


def named(strung: Sequence[tuple[Span, ...]], built: Iterable[LoopTick]) -> Iterator[tuple[str, tuple[Span, ...]]]:
    """Loops with their ids: a closed one keeps its own, and one that was strung or cut the name it had then; the others are counted L1,
    L2, ... past those."""
    today, closed = {(bays[0].from_id, bays[-1].to_id) for bays in strung}, [one for one in built if one.what == CLOSED]
    names, kept = {one.name for one in closed}, dict[tuple[str, str], str]()
    for one in (*closed, *(other for other in built if other.name not in names)):
        if one.ends in today and one.ends not in kept and one.name not in kept.values():
            kept[one.ends] = one.name
    names.update(kept.values())
    free = (name for name in map(_counted, count(1)) if name not in names)
    for bays in strung:
        ends = bays[0].from_id, bays[-1].to_id
        yield kept.pop(ends) if ends in kept else next(free), bays
