"""Runs of bays between gates, and the loops a run is best strung in."""

from collections.abc import Collection, Container, Iterable, Iterator, Mapping, Sequence
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


class Strung(NamedTuple):
    """A loop that is strung, as a tick tells it: between which supports, and over which where that tick holds for these alone; `closed`
    where it is the lock's."""

    loop: str
    first: str
    last: str
    over: tuple[str, ...] = ()
    closed: bool = True

    def runs_along(self, bays: Sequence[Span]) -> bool:
        """Whether bays that end where this loop does are its own."""
        return not self.over or self.over == row_of(bays)


_strung = remembered(Strung)
_AFTER_IT = (
    (("cables", "tail"), False),
    (("cables", "sag"), True),
    *((("fabric", what), True) for what in ("wire_hung", "apron_turned", "slits_lapped", "mesh_hung", "seam_ringed", "corners_tied")),
)
"""What is done at a loop once it is closed, and whether it holds for all its supports, or for its ends alone."""


def row_of(bays: Sequence[Span]) -> tuple[str, ...]:
    """Supports of a row of bays, in order."""
    return (bays[0].from_id, *[bay.to_id for bay in bays])


def loop_ends(of: TickFacts, supports: Container[str]) -> tuple[str, str] | None:
    """The ends that a closed loop's tick names, None where it names no two.

    In older files they stand as P4-P7: cut at the hyphen that has a support on either side; at the first where an end is gone.
    """
    if len(of.places) == 2:
        return of.places[0].support, of.places[1].support
    parts = of.words[0].split("-") if of.words else []
    cut = [("-".join(parts[:n]), "-".join(parts[n:])) for n in range(1, len(parts))]
    return next((both for both in cut if all(end in supports for end in both)), next((both for both in cut if both[1]), None))


def strung_already(checks: Mapping[ItemKey, Tick], supports: Container[str]) -> tuple[Strung, ...]:
    """Loops that are closed, in a repair those too that stand though nobody ticked it; then those that were opened again, where what was
    done at them since stands: neither its place nor its name hangs on the lock alone."""
    closed, others = _told(checks)
    ends = ((loop, loop_ends(of, supports)) for loop, of in closed)
    return (*(_strung(loop, *both) for loop, both in ends if both is not None), *others)


@remembered_of
def _told(checks: Mapping[ItemKey, Tick]) -> tuple[list[tuple[str, TickFacts]], list[Strung]]:
    """Loops whose lock is closed, by what facts; and the others, as what was done at them tells it, the latest first."""
    ticks = sorted_ticks(checks)
    closed = {loop: tick.of for loop, tick in ticks.of("cables", "closed").items() if tick.state in ("done", "left open")}
    done = [(tick, loop, over) for item, over in _AFTER_IT for loop, tick in ticks.of(*item).items() if loop not in closed]
    return list(closed.items()), [
        _strung(loop, row[0], row[-1], row if over else (), False)
        for tick, loop, over in sorted(done, key=lambda one: one[0].at, reverse=True)
        if len(row := tuple([at.support for at in tick.of.places])) > 1
    ]


def loops_of(run: Sequence[Span], firm: Container[str], rules: CableRules, built: Iterable[Strung]) -> list[tuple[Span, ...]]:
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


def _standing(run: Sequence[Span], built: Iterable[Strung]) -> list[tuple[int, int]]:
    """First and last bay of every strung loop of a run, in order; one that overlaps an earlier one, or a closed one, is left out."""
    starts = {bay.from_id: place for place, bay in enumerate(run)}
    ends = {bay.to_id: place for place, bay in enumerate(run)}
    spans = [(starts[one.first], ends[one.last], one) for one in built if one.first in starts and one.last in ends]
    kept: list[tuple[int, int]] = []
    for first, last, one in sorted(spans, key=lambda span: (not span[2].closed, *span[:2])):
        if first <= last and all(last < begins or first > stops for begins, stops in kept) and one.runs_along(run[first : last + 1]):
            kept.append((first, last))
    return sorted(kept)


def _shared_out(run: Sequence[Span], firm: Container[str], rules: CableRules) -> list[tuple[Span, ...]]:
    joints = [bay.from_id for bay in run[1:]]
    loose = [0 if name in firm else 1 for name in joints]
    lengths = tuple(bay.slope_ft for bay in run)
    parts = partition_run(lengths, (True,) * len(joints), rules.loop_min_ft, rules.loop_max_ft, tuple(loose))
    return [tuple(run[first : last + 1]) for first, last in parts]


@remembered
def _counted(number: int) -> str:
    return f"L{number}"


def named(strung: Sequence[tuple[Span, ...]], built: Collection[Strung]) -> Iterator[tuple[str, tuple[Span, ...]]]:
    """Loops with their ids: one that is strung keeps its own, the others are counted L1, L2, ... past those and past all closed ones."""
    there = {(bays[0].from_id, bays[-1].to_id): bays for bays in strung}
    names, taken = {one.loop for one in built if one.closed}, dict[tuple[str, str], str]()
    for one in built:
        ends = (one.first, one.last)
        if ends in there and ends not in taken and (one.closed or one.loop not in names) and one.runs_along(there[ends]):
            taken[ends] = one.loop
            names.add(one.loop)
    free = (name for name in map(_counted, count(1)) if name not in names)
    for ends, bays in there.items():
        yield taken.get(ends) or next(free), bays
