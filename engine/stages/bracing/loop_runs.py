"""Runs of bays between gates, and the loops a run is best strung in."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from itertools import count
from typing import NamedTuple

from engine.calc.cutting.run_shares import partition_run
from engine.calc.remember import remembered, remembered_of
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import TickFacts
from engine.stages.posts.standing_supports import Span
from engine.stages.sorted_ticks import sorted_ticks


def runs_of(bays: Sequence[Span]) -> list[tuple[Span, ...]]:
    """Longest chains of the bays of a line, in order, that no gate interrupts.

    A closed line is walked from its first gate, so that the run past its first support stays whole. A bay without length is left out.
    """
    gates = [place for place, bay in enumerate(bays) if bay.gate is not None]
    if gates and bays[0].from_id == bays[-1].to_id:
        bays = [*bays[gates[0] :], *bays[: gates[0]]]
    runs: list[list[Span]] = [[]]
    for bay in bays:
        if bay.gate is not None:
            runs.append([])
        elif bay.plan_ft > 0:
            runs[-1].append(bay)
    return [tuple(run) for run in runs if run]


class LoopEnds(NamedTuple):
    """The supports at a loop's ends."""

    first: str
    last: str


_ends = remembered(LoopEnds)


def loop_ends(of: TickFacts, supports: Container[str]) -> LoopEnds | None:
    """The ends that a closed loop's tick names, None where it names no two.

    In older files they stand as P4-P7: cut at the hyphen that has a support on either side; at the first where an end is gone.
    """
    if len(of.places) == len(LoopEnds._fields):
        return _ends(*(at.support for at in of.places))
    parts = of.words[0].split("-") if of.words else []
    cut = [_ends("-".join(parts[:n]), "-".join(parts[n:])) for n in range(1, len(parts))]
    return next((ends for ends in cut if ends.first in supports and ends.last in supports), next((ends for ends in cut if ends.last), None))


def closed_loops(checks: Mapping[ItemKey, Tick], supports: Container[str]) -> dict[LoopEnds, str]:
    """Loops that are closed already, by the supports they were closed between; in a repair those too that stand though nobody ticked it."""
    closed = ((loop_ends(of, supports) if of.words else ends, loop) for loop, of, ends in _closed(checks))
    return {ends: loop for ends, loop in closed if ends is not None}


@remembered_of
def _closed(checks: Mapping[ItemKey, Tick]) -> list[tuple[str, TickFacts, LoopEnds | None]]:
    """Loops that are closed, by what facts, and between what as far as their places say it."""
    ticks = sorted_ticks(checks).of("cables", "closed")
    return [(loop, tick.of, loop_ends(tick.of, ())) for loop, tick in ticks.items() if tick.state in ("done", "left open")]


def loops_of(run: Sequence[Span], firm: Container[str], rules: CableRules, built: Iterable[LoopEnds]) -> list[tuple[Span, ...]]:
    """A run shared out into loops: lengths within the limits first, then fewest loops, then breaks at supports that stand firm.

    Loops may meet at any support, for neighbours balance there; one that stands `firm` is better. A loop that is
    closed stays the loop it is, and what lies between closed ones is shared out. Lengths are those of the bays on the slope.
    Source: common practice, no source, for 40 to 60 ft loops; engine.calc.cutting.run_shares for the partition.
    Valid for: runs of one bay or more, each with a length; a closed loop with an end that is gone is no loop any more.
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


def _standing(run: Sequence[Span], built: Iterable[LoopEnds]) -> list[tuple[int, int]]:
    """First and last bay of every closed loop of a run, in order; one that overlaps an earlier one is left out."""
    starts = {bay.from_id: place for place, bay in enumerate(run)}
    ends = {bay.to_id: place for place, bay in enumerate(run)}
    spans = sorted((starts[a], ends[b]) for a, b in built if a in starts and b in ends and starts[a] <= ends[b])
    kept: list[tuple[int, int]] = []
    for first, last in spans:
        if not kept or first > kept[-1][1]:
            kept.append((first, last))
    return kept


def _shared_out(run: Sequence[Span], firm: Container[str], rules: CableRules) -> list[tuple[Span, ...]]:
    joints = [bay.from_id for bay in run[1:]]
    loose = [0 if name in firm else 1 for name in joints]
    lengths = tuple(bay.slope_ft for bay in run)
    parts = partition_run(lengths, (True,) * len(joints), rules.loop_min_ft, rules.loop_max_ft, tuple(loose))
    return [tuple(run[first : last + 1]) for first, last in parts]


@remembered
def _counted(number: int) -> str:
    return f"L{number}"


def named(strung: Sequence[tuple[Span, ...]], built: Mapping[LoopEnds, str]) -> Iterator[tuple[str, tuple[Span, ...]]]:
    """Loops with their ids: a closed one keeps its own, the others are counted L1, L2, ... past those."""
    taken, names = {tuple(ends): loop for ends, loop in built.items()}, set(built.values())
    free = (name for name in map(_counted, count(1)) if name not in names)
    for bays in strung:
        yield taken.get((bays[0].from_id, bays[-1].to_id)) or next(free), bays
