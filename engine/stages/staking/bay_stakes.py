"""The stakes of one bay: as few as leave no gap over the limit, closer at firm posts and over dips, none in blocked ground."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise
from math import inf
from typing import NamedTuple

from engine.calc.cutting.run_shares import even_stations_ft, stake_stations_ft
from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_rows
from engine.calc.tolerances import EDGE_FT, ROUNDING_FT, STAKE_FT, TAPE_FT
from engine.job.model.rules import StakeRules
from engine.stages.fabric.aprons import BayApron
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.layout.keep_outs import KeepOutId, merged
from engine.stages.posts.standing_supports import Stand
from engine.stages.staking.no_stakes import Part, Stretch, past_ends


@dataclass(frozen=True)
class BayStakes:
    """Stake stations of one bay on its line; `fastened_ft` are spots where the edge is fastened to a hard floor, or weighted, instead;
    `uncovered` are gaps over the limit that a keep-out leaves: (from, to)."""

    bay: str
    stations_ft: tuple[float, ...]
    uncovered: tuple[tuple[float, float], ...]
    blocked_by: tuple[KeepOutId, ...]
    fastened_ft: tuple[float, ...] = ()


class Limits(NamedTuple):
    """What the stakes of a bay are held to: rules, its ends and which of them is at more than a line post, ground where none goes in, dips
    and hard floors."""

    rules: StakeRules
    ends: Stretch
    firm: tuple[bool, bool]
    parts: tuple[Part, ...]
    dips: tuple[Stretch, ...]
    floors: tuple[Part, ...]

    def blocked(self) -> tuple[Stretch, ...]:
        """Stretches that take no stake."""
        return merged((low, high, 0) for low, high, _ in sorted([*self.parts, *self.floors])) if self.parts or self.floors else ()

    def beside_firm(self, as_far_ft: float) -> tuple[Stretch, ...]:
        """As far from either end as stakes stand closer, where that is at more than a line post."""
        (start, end), (first, last) = self.ends, self.firm
        return ((start, start + as_far_ft),) * first + ((end - as_far_ft, end),) * last


Given = tuple[StakeRules, Stand, Stand, BayApron | None, float | None]
"""What the stakes of a bay go by: rules, the supports at its ends, its apron, and the last stake of the bay before."""


@remembered_rows
def stakes_of(ground: BayGround, given: Given, others: tuple[Part, ...], zones: tuple[Part, ...]) -> tuple[BayStakes, float]:
    """The stakes of a bay after another, whose last stake is given, and the last of it."""
    rules, start, _, _, last_ft = given
    stakes = _bay_stakes(ground.bay.id, limits_of(ground, given, others, zones))
    stakes = _across_post(rules, stakes, -inf if last_ft is None else last_ft, ground.start_ft)
    own = _without_shared(stakes, start, inf if last_ft is None else last_ft)
    return own, max((*stakes.stations_ft, *stakes.fastened_ft), default=inf)


def limits_of(ground: BayGround, given: Given, others: tuple[Part, ...], zones: tuple[Part, ...]) -> Limits:
    """What the stakes of a bay are held to, by the same."""
    rules, start, end, apron, _ = given
    dips = tuple((short.from_ft, short.to_ft) for short in apron.short if short.kind == "soil") if apron else ()
    floors = tuple((*past_ends(one.from_ft, one.to_ft, ground), KeepOutId("surface", one.surface)) for one in ground.floors)
    firm = (start.kind != "line", end.kind != "line")
    return Limits(rules, (ground.start_ft, ground.end_ft), firm, tuple(sorted([*others, *zones])), dips, floors)


def do_as_well(limits: Limits, planned: BayStakes, driven: Sequence[float], fastened: Sequence[float]) -> bool:
    """Whether stakes and spots that stand otherwise than planned meet what is asked of their bay today.

    No stake is where none goes in, the first and the last are as near to the bay's ends as they are planned, and no gap that the plan fills
    is over the limit.
    Beside a firm post the closer limit holds as far along as the widest of those is long: what a narrower rule asked meets a wider one.
    """
    whole = _bay_stakes(planned.bay, limits)
    asked = sorted({*whole.stations_ft, *whole.fastened_ft})
    shared = {*asked}.difference(planned.stations_ft, planned.fastened_ft)
    row = sorted({*shared, *driven, *fastened})
    start, end = limits.ends
    for low, high in limits.blocked():
        if any((low < start or low + STAKE_FT < at) and (high > end or at < high - STAKE_FT) for at in driven):
            return False
    if not row or max(row[0] - asked[0], asked[-1] - row[-1]) > STAKE_FT:
        return False
    gaps = pairwise((start, *row, end))
    return not _any_over(limits, [(low, high) for low, high in gaps if any(low + STAKE_FT < at < high - STAKE_FT for at in asked)])


def _any_over(limits: Limits, gaps: Sequence[Stretch]) -> bool:
    """Whether a gap is over the limit, as far as a tape tells."""
    rules = limits.rules
    widest_ft = min(rules.stake_max_ft, max((high - low for low, high in gaps), default=0.0))
    close = _close_stretches(limits.beside_firm(widest_ft), (), *limits.ends)
    if any(_is_over(gap, limits.floors, rules, close, TAPE_FT) for gap in gaps):
        return True
    wide = [(low, high) for low, high in gaps if high - low > rules.stake_close_ft + TAPE_FT]
    return any(a < high - STAKE_FT and low + STAKE_FT < b for low, high in wide for a, b in limits.dips)


def _bay_stakes(bay: str, limits: Limits) -> BayStakes:
    """The stakes of a bay by itself, shared ones too."""
    rules, (start, end), firm, parts, dips, floors = limits
    most, blocked = rules.stake_max_ft, limits.blocked()
    wanted = (*dips, *limits.beside_firm(most)) if True in firm else dips
    asked = _close_stretches(wanted, (), start, end)
    close = _close_stretches(wanted, blocked, start, end) if blocked else asked
    edges = sorted({start, end, *chain.from_iterable(close)})
    stations: set[float] = set()
    fastened: set[float] = set()
    uncovered: list[Stretch] = []
    for low, high in pairwise(edges):
        limit = min(most, rules.stake_close_ft) if (low, high) in close else most
        stakes = stake_stations_ft(low, high, limit, blocked)
        stations.update(stakes.stations_ft)
        for gap in stakes.uncovered:
            spots = _fastened(gap, floors, most)
            fastened.update(spots)
            uncovered += _still_open(gap, spots, floors, rules, asked)
    fastened.update([at for at in limits.ends for low, high, _ in floors if low < at < high])
    by = tuple(dict.fromkeys([area for _, _, area in (*parts, *floors)]))
    return BayStakes(bay, tuple(sorted(stations)), tuple(uncovered), by, tuple(sorted(fastened - stations)))


def _fastened(gap: Stretch, floors: Iterable[Part], most_ft: float) -> tuple[float, ...]:
    """Spots on the floors inside a gap, shared evenly, both edges of each included."""
    inside = ((max(gap[0], low), min(gap[1], high)) for low, high, _ in floors)
    return tuple(spot for low, high in inside if high - low > EDGE_FT for spot in even_stations_ft(low, high, most_ft))


def _still_open(
    gap: Stretch, spots: Sequence[float], floors: Iterable[Part], rules: StakeRules, close: Sequence[Stretch]
) -> Iterator[Stretch]:
    """What of a gap is wider than the limit once its floors are fastened."""
    return (part for part in pairwise((gap[0], *spots, gap[1])) if _is_over(part, floors, rules, close, ROUNDING_FT))


def _is_over(gap: Stretch, floors: Iterable[Part], rules: StakeRules, close: Sequence[Stretch], by_ft: float) -> bool:
    """Whether a gap is wider than the limit by so much. The closer limit holds for as much of it as lies where stakes are wanted closer,
    and on no floor."""
    low, high = gap
    on_floor = any(a - ROUNDING_FT <= low and high <= b + ROUNDING_FT for a, b, _ in floors)
    in_close_ft = 0.0 if on_floor else sum(max(0.0, min(high, b) - max(low, a)) for a, b in close)
    return high - low > rules.stake_max_ft + by_ft or in_close_ft > rules.stake_close_ft + by_ft


def _close_stretches(wanted: Iterable[Stretch], blocked: Sequence[Stretch], start: float, end: float) -> list[Stretch]:
    """Stretches staked closer, each carried on to the far edge of blocked ground that it ends in, joined where they meet."""
    joined: list[Stretch] = []
    for low, high in sorted(wanted):
        low = min([low, *(a for a, b in blocked if a < low < b)])
        high = max([high, *(b for a, b in blocked if a < high < b)])
        low, high = start if low < start + ROUNDING_FT else low, end if high > end - ROUNDING_FT else high
        if joined and low <= joined[-1][1] + ROUNDING_FT:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        elif high > low + ROUNDING_FT:
            joined.append((low, high))
    return joined


def _across_post(rules: StakeRules, stakes: BayStakes, before_ft: float, start_ft: float) -> BayStakes:
    """The stakes with the gap across the post they begin at, where neither bay has one near enough to it."""
    first_ft = min((*stakes.stations_ft, *stakes.fastened_ft), default=inf)
    if not start_ft - rules.stake_max_ft <= before_ft <= start_ft <= first_ft <= start_ft + rules.stake_max_ft:
        return stakes
    if first_ft - before_ft <= rules.stake_max_ft + ROUNDING_FT:
        return stakes
    return replace(stakes, uncovered=((before_ft, first_ft), *stakes.uncovered))


def _without_shared(stakes: BayStakes, post: Stand, shared: float) -> BayStakes:
    """The stakes without the first, where it is the last of the bay before at a line post; so too spots that are fastened."""
    if post.kind != "line":
        return stakes
    stations, fastened = _after(shared, stakes.stations_ft), _after(shared, stakes.fastened_ft)
    return BayStakes(stakes.bay, stations, stakes.uncovered, stakes.blocked_by, fastened)


def _after(shared: float, row: tuple[float, ...]) -> tuple[float, ...]:
    return row[1:] if row and abs(row[0] - shared) <= ROUNDING_FT else row
