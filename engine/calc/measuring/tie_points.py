"""The two reference points from which tapes fix a place best."""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import ArrayLike, Floats, Indices, np
from engine.calc.limits import require_positive, require_within
from engine.calc.remember import remembered

NEAREST = 16
"""References weighed for a place: the nearest ones."""
REACH_FT = (1.0, 150.0)
"""The shortest and the longest tape."""
GROWTH_STEP = 0.1
"""Error growths that round to the same tenth count as equal, and the shorter tapes win."""


@dataclass(frozen=True)
class BestTie:
    """Two references by index, their tapes, the angle between them, and a third reference to check by."""

    a: int
    b: int
    tape_a_ft: float
    tape_b_ft: float
    angle_deg: float
    check: int | None
    check_ft: float | None


def best_ties(
    places: ArrayLike,
    references: ArrayLike,
    sigmas_ft: Sequence[float],
    tape_sigma_ft: float,
    reach_ft: tuple[float, float] = REACH_FT,
    angle_deg: tuple[float, float] = (30.0, 150.0),
) -> tuple[BestTie | None, ...]:
    """For each place the pair of references whose tapes fix it with least error, then with least tape.

    The error of a place is the root of both tapes' variances, each with its reference's own added, over the sine of the angle between
    them. The check is the nearest third reference in reach.
    places: feet, shape (n, 2). references: feet, shape (k, 2). sigmas_ft: standard error of each reference, k values, 0 or more.
    tape_sigma_ft: standard error of a tape, over 0. reach_ft: shortest and longest tape. angle_deg: least and most between tapes,
    within 0 to 180.
    Returns one BestTie a place, in feet and degrees, or None where no pair is in reach at such an angle.
    Raises OutOfRange outside those.
    Source: derived: crossing of two circles with independent errors. Angles of 30° to 150° keep the error under twice the best case
    (same formula); tape reach: common practice, no source.
    Valid for: level tapes; only the 16 references nearest to a place are weighed.
    """
    require_positive(tape_sigma_ft=tape_sigma_ft, longest_tape_ft=reach_ft[1])
    require_within(0, 180, "the angle between two tapes", least_deg=angle_deg[0], most_deg=angle_deg[1])
    spots = np.asarray(places, dtype=np.float64).reshape(-1, 2)
    marks = np.asarray(references, dtype=np.float64).reshape(-1, 2)
    if not len(spots) or len(marks) < 2:
        return (None,) * len(spots)
    east, north = marks[:, 0] - spots[:, :1], marks[:, 1] - spots[:, 1:]
    tapes = np.hypot(east, north)
    reached = (tapes >= reach_ft[0]) & (tapes <= reach_ft[1])
    most = min(NEAREST, int(reached.sum(axis=1).max()))
    if most < 2:
        return (None,) * len(spots)
    usable = np.where(reached, tapes, np.inf)
    near = np.argsort(usable, axis=1, kind="stable")[:, :most]
    rows = np.arange(len(spots))
    own = rows[:, None]
    a, b = _pairs(most)
    angles = _angles_deg(east[own, near], north[own, near], a, b)
    variances = (tape_sigma_ft**2 + np.asarray(sigmas_ft, dtype=np.float64) ** 2)[near]
    with np.errstate(divide="ignore"):
        sigmas = np.sqrt(variances[:, a] + variances[:, b]) / np.sin(np.radians(angles))
    in_reach = usable[own, near]
    total = in_reach[:, a] + in_reach[:, b]
    good = (angles >= angle_deg[0]) & (angles <= angle_deg[1]) & np.isfinite(total)
    growth = np.rint(sigmas / (tape_sigma_ft * math.sqrt(2)) / GROWTH_STEP)
    best = np.where(good, growth * 4 * reach_ft[1] + total, np.inf).argmin(axis=1)
    rounds = zip(
        good[rows, best].tolist(),
        a[best].tolist(),
        b[best].tolist(),
        angles[rows, best].tolist(),
        near.tolist(),
        in_reach.tolist(),
        strict=True,
    )
    return tuple(_tie(*one) if fixed else None for fixed, *one in rounds)


@remembered
def _pairs(count: int) -> tuple[Indices, Indices]:
    """Pairs of so many near references, by their places among them."""
    a, b = np.triu_indices(count, 1)
    return a, b


def _angles_deg(east: Floats, north: Floats, a: Indices, b: Indices) -> Floats:
    east_a, east_b, north_a, north_b = east[:, a], east[:, b], north[:, a], north[:, b]
    angles: Floats = np.degrees(np.arctan2(np.abs(east_a * north_b - north_a * east_b), east_a * east_b + north_a * north_b))
    return angles


def _tie(first: int, second: int, angle_deg: float, near: list[int], tapes_ft: list[float]) -> BestTie:
    """The tie by two of the near references, and the nearest other one in reach: the near ones come in the order of their tapes."""
    third = next((n for n in range(len(near)) if n not in (first, second)), None)
    check = third if third is not None and math.isfinite(tapes_ft[third]) else None
    return BestTie(
        near[first], near[second], tapes_ft[first], tapes_ft[second], angle_deg,
        None if check is None else near[check], None if check is None else tapes_ft[check],
    )  # fmt: skip
