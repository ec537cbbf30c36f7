"""What the ground gives a brace foot that is pushed level, and what to do where that is less than the push."""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor, hypot, sqrt
from typing import NamedTuple

from engine.calc.force_words import pull_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.remember import remembered
from engine.calc.statics.embedment import SoilClass, vertical_bearing_psf
from engine.calc.statics.short_pile import STEADY_FACTOR, short_pile_depth_ft, short_pile_lbf, soil_strength
from engine.calc.tolerances import ROUNDING_IN
from engine.findings import Finding, FindingOf
from engine.job.model.tick_facts import DEEP, PLATE, Size
from engine.stages.bracing.what_pulls import STATE_WORDS, StateName

_finding = FindingOf("bracing")

DEEPEST_IN = 48.0
"""Nobody drives a brace foot deeper: common practice, no source."""
LOWER_SHARE = 0.75
"""How far down a band may come, as a share of where it was meant to be; the push grows as much: judgement."""
LEAST_PLATE_IN = 4.0
"""A smaller plate is none: common practice, no source."""


class Pushed(NamedTuple):
    """A foot as it is pushed: level, along the brace, and how the brace stands and how high it is banded, ft."""

    thrust_lbf: float
    axial_lbf: float
    out_ft: float
    climb_ft: float
    nearest_ft: float
    band_ft: float


class FootTube(NamedTuple):
    """The tube that is driven, the ground, and how wide the plates of the stock are, the narrowest first."""

    width_in: float
    depth_in: float
    stock_ft: float
    soil: SoilClass
    plates_in: tuple[float, ...] = ()


class FootGround(NamedTuple):
    """What the ground holds of the push for good, lb, the side of a plate that spreads it, in, and what else would hold, in words.

    The plate is the narrowest of the stock that does; `stocked` is whether one is wide enough. `or_deep_in` is how deep the foot is driven
    then, 0 where nothing else would hold.
    """

    holds_lbf: float
    plate_in: float
    or_else: str
    stocked: bool = True
    or_deep_in: float = 0.0


@remembered
def foot_ground(pushed: Pushed, tube: FootTube) -> FootGround:
    """What the ground gives a foot, and what would hold it.

    The ground holds a driven foot as it holds a short pile, pushed at the surface; half of that for good. A plate set square to the brace
    bears all of its push.
    Source: engine.calc.statics.short_pile; engine.calc.statics.embedment for the plate.
    """
    holds_lbf = _for_good_lbf(tube.depth_in / 12, tube)
    side_in = 12 * sqrt(pushed.axial_lbf / vertical_bearing_psf(tube.soil))
    plate_in = max(LEAST_PLATE_IN, float(ceil(side_in - ROUNDING_IN)))
    wide_in = next((wide_in for wide_in in tube.plates_in if wide_in >= plate_in), None)
    or_else, deep_in = ("", 0.0) if holds_lbf >= pushed.thrust_lbf else _or_else(pushed, tube)
    return FootGround(holds_lbf, wide_in or plate_in, or_else, wide_in is not None or not tube.plates_in, deep_in)


def _or_else(pushed: Pushed, tube: FootTube) -> tuple[str, float]:
    """Deeper as it stands, nearer to the post or banded lower, the first that the stock brace is long enough for; else nothing."""
    deep_in = _deep_in(pushed.thrust_lbf, tube)
    if deep_in <= min(12 * (tube.stock_ft - hypot(pushed.out_ft, pushed.climb_ft)), DEEPEST_IN):
        return f"driven {format_in(deep_in)} deep", deep_in
    if deep_in <= min(12 * (tube.stock_ft - hypot(pushed.nearest_ft, pushed.climb_ft)), DEEPEST_IN):
        return f"set {format_ft_in(pushed.nearest_ft)} out and driven {format_in(deep_in)} deep", deep_in
    down_ft = (1 - LOWER_SHARE) * pushed.band_ft
    deep_in = _deep_in(pushed.thrust_lbf / LOWER_SHARE, tube)
    if deep_in <= min(12 * (tube.stock_ft - hypot(pushed.out_ft, pushed.climb_ft - down_ft)), DEEPEST_IN):
        return f"banded {format_in(floor(12 * down_ft))} lower and driven {format_in(deep_in)} deep", deep_in
    return "", 0.0


def _deep_in(thrust_lbf: float, tube: FootTube) -> float:
    """Depth at which the ground alone holds the push, to the inch above."""
    deep_ft = short_pile_depth_ft(tube.width_in / 12, thrust_lbf * STEADY_FACTOR, 0.0, soil_strength(tube.soil))
    return float(ceil(12 * deep_ft - ROUNDING_IN))


def _for_good_lbf(depth_ft: float, tube: FootTube) -> float:
    return short_pile_lbf(tube.width_in / 12, depth_ft, 0.0, soil_strength(tube.soil)) / STEADY_FACTOR


class LooseFoot(NamedTuple):
    """A brace whose foot the ground doesn't hold."""

    support: str
    brace: str
    thrust_lbf: float
    state: StateName
    ground: FootGround


def plate_of_post_in(feet: Sequence[FootGround]) -> float:
    """How wide the plates of one post's feet are, alike."""
    return max(foot.plate_in for foot in feet)


def held_sizes(feet: Sequence[FootGround]) -> tuple[Size, ...]:
    """What would hold the feet of one post, as a tick says it."""
    deep_in = max(foot.or_deep_in for foot in feet) if len({foot.or_else for foot in feet}) == 1 else 0.0
    plate = Size(PLATE, plate_of_post_in(feet) / 12)
    return (plate, Size(DEEP, deep_in / 12)) if deep_in else (plate,)


def held_words(feet: Sequence[FootGround]) -> str:
    """What would hold the feet of one post."""
    plate_in = plate_of_post_in(feet)
    ways = {foot.or_else for foot in feet}
    alone = next(iter(ways)) if len(ways) == 1 else ""
    return f"on a plate {format_in(plate_in)} square set square to the brace{f', or {alone}' if alone else ''}"


class LoosePost(NamedTuple):
    """A post with feet that the ground doesn't hold: the worst of them, what it does, and how wide a plate the stock lacks, in; 0 where it
    has one wide enough."""

    worst: LooseFoot
    says: str
    lacks_in: float


def loose_post(feet: Sequence[LooseFoot], tube: FootTube | None) -> LoosePost | None:
    """What is told of the loose feet of a post; None where it has none."""
    if tube is None or not feet:
        return None
    worst = max(feet, key=_short_lbf)
    return LoosePost(worst, _gives_words(worst, tube), max((foot.ground.plate_in for foot in feet if not foot.ground.stocked), default=0.0))


def foot_findings(loose: Mapping[str, LoosePost]) -> Iterator[Finding]:
    """One finding a job: posts whose brace feet the ground doesn't hold and that nobody has put right, the worst first."""
    if not loose:
        return
    first = max(loose, key=lambda name: _short_lbf(loose[name].worst))
    said = {name: loose[name].says for name in (first, *(name for name in loose if name != first))}
    do = f"Have it {held_words([loose[first].worst.ground])} (guidance), before the loop is closed."
    if lacking_in := max(post.lacks_in for post in loose.values()):
        do = f"{do.removesuffix('.')}; the stock has no plate so wide: add one of {format_in(lacking_in)}."
    yield _finding.of_many("foot_gives", "fix", said, "pushed too hard", do)


def _short_lbf(foot: LooseFoot) -> float:
    return foot.thrust_lbf - foot.ground.holds_lbf


def _gives_words(foot: LooseFoot, tube: FootTube) -> str:
    return (
        f"{foot.brace} pushes its foot level with {pull_words(foot.thrust_lbf)}, {STATE_WORDS[foot.state]}; {tube.soil} holds it for good "
        f"with {pull_words(foot.ground.holds_lbf)} where it is driven {format_in(tube.depth_in)}"
    )
