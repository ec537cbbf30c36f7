"""Wind on a hung fence: what its cables and the ground take of it, and what that does to a post."""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from engine.calc.limits import OutOfRange, require_positive, require_within


class Strip(NamedTuple):
    """Fabric along the fence: wind on its gross area, psf, and its lower and upper edge over the ground, ft."""

    psf: float
    low_ft: float
    high_ft: float


class Blown(NamedTuple):
    """Wind on a foot of fence: what the top cable, the bottom cable and the ground take, lb/ft."""

    top_plf: float
    bottom_plf: float
    ground_plf: float


class Push(NamedTuple):
    """A level load on a post and the bending that it makes at the ground, lb and lb ft."""

    level_lbf: float
    bending_lbf_ft: float

    @property
    def height_ft(self) -> float:
        """How high over the ground the load acts as one; 0 without a load."""
        return self.bending_lbf_ft / self.level_lbf if self.level_lbf else 0.0


def blown_plf(strips: Sequence[Strip], low_eye_ft: float, high_eye_ft: float) -> Blown:
    """Wind on a foot of fabric that hangs between two cables and is staked to the ground, shared out like a load on simple beams.

    Between the cables it goes to either by the lever, below the bottom cable to that and the ground. Strips that lap count twice there.
    strips: psf 0 or more, from a low edge, ft, 0 or more, to a higher one.
    low_eye_ft, high_eye_ft: cables over the ground, ft, 0 < low < high.
    Returns: Blown, lb/ft; in all the wind on the strips, and top x high + bottom x low is its bending at the ground.
    Raises: OutOfRange.
    Source: derived: moments about each cable and about the ground.
    Valid for: fabric that bends freely at the cables, its lower edge held by stakes.
    Example: 1 psf from the ground to 6 ft, cables at 3 and 6 ft: 1.5, 3 and 1.5 lb/ft.
    """
    require_positive(low_eye_ft=low_eye_ft)
    if not low_eye_ft < high_eye_ft < inf:
        raise OutOfRange("high_eye_ft", high_eye_ft, f"above {low_eye_ft:g}", "the top cable runs over the bottom one")
    top = bottom = ground = 0.0
    for psf, low_ft, high_ft in strips:
        require_within(0, inf, "a pressure", psf=psf)
        require_within(0, inf, "an edge over the ground", low_ft=low_ft)
        require_within(low_ft, inf, "its lower edge", high_ft=high_ft)
        under_ft, over_ft = min(high_ft, low_eye_ft), max(low_ft, low_eye_ft)
        if low_ft < under_ft:
            tall_ft, share = under_ft - low_ft, (low_ft + under_ft) / 2 / low_eye_ft
            bottom += psf * tall_ft * share
            ground += psf * tall_ft * (1 - share)
        if over_ft < high_ft:
            tall_ft, share = high_ft - over_ft, ((over_ft + high_ft) / 2 - low_eye_ft) / (high_eye_ft - low_eye_ft)
            top += psf * tall_ft * share
            bottom += psf * tall_ft * (1 - share)
    return Blown(top, bottom, ground)


def blown_post(diameter_plf: float, height_ft: float) -> Push:
    """Wind on a post itself, even from the ground to its top.

    diameter_plf: wind on a foot of it, lb/ft, 0 or more, from `engine.calc.statics.wind.wind_on_round_plf`.  height_ft: ft, 0 or more.
    Returns: Push: lb and lb ft.
    Raises: OutOfRange.
    Source: derived: an even load on a cantilever.
    Valid for: a post that stands clear of other things.
    Example: 1.4 lb/ft on 6 ft: 8.4 lb, 25.2 lb ft.
    """
    require_within(0, inf, "a load", diameter_plf=diameter_plf)
    require_within(0, inf, "a height over the ground", height_ft=height_ft)
    return Push(diameter_plf * height_ft, diameter_plf * height_ft**2 / 2)
