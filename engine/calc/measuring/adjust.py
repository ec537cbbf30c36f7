"""One plane network brought to one answer: weighted least squares over tapes, bearings and offsets together.

Every shot pulls on the points it touches with the weight 1/sigma^2. Gauss-Newton: the shots are made linear at the
present points, the normal equations are solved, the points are moved, until they stand still. A step that makes the
fit worse is halved.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import field

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import Floats, Indices, np
from engine.calc.measuring.made_linear import Linear, Network, laid_out
from engine.calc.measuring.observations import AdjustError, Observation
from engine.calc.tolerances import AT_REST_FT

_MAX_ITERATIONS = 50
_MAX_HALVINGS = 20
_FLOATING = 1e-12
"""Share of a coordinate's own information left after its neighbours took theirs, below which nothing holds it."""
_UNCHECKED = 1e-9


class FloatingPoint(AdjustError):
    """Points that the observations can't fix; `points` names them."""

    def __init__(self, points: tuple[str, ...]) -> None:
        super().__init__(f"The shots don't fix {', '.join(points)}: tie each to at least two points that are fixed.")
        self.points = points


@dataclass(frozen=True)
class Ellipse:
    """Standard error ellipse of a point, from the shots' own sigmas; azimuth of the long axis, 0 to 180."""

    semi_major_ft: float
    semi_minor_ft: float
    azimuth_deg: float


@dataclass(frozen=True)
class Fit:
    """How one observation sits in the adjusted network, in its own unit (feet or degrees).

    `residual` is measured minus adjusted: + when the reading was too long. `redundancy` runs from 0 (nothing checks
    it) to 1 (the others fix it alone). `standardised` is the residual over its own standard error; None when unchecked.
    """

    residual: float
    redundancy: float
    standardised: float | None


@dataclass(frozen=True)
class Adjustment:
    """The adjusted network; `points` and `ellipses` hold the points that were not known. `parts` are the coordinates of every part that no
    shot joins to another, east of point n being 2n, with their covariances, parts of one size together."""

    points: dict[str, Point]
    ellipses: dict[str, Ellipse]
    fits: dict[str, Fit]
    degrees_of_freedom: int
    converged: bool
    parts: tuple[tuple[Indices, Floats], ...] = field(compare=False, repr=False)

    def covariance(self, *names: str) -> Floats:
        """How the errors of points go together.

        names: points of the network, known ones too.
        Returns covariances in square feet, shape (2k, 2k), east and north of each point in turn; 0 for known points.
        Source: derived: the inverse of the normal equations of the part that holds both.
        Valid for: any network.
        """
        number = {name: 2 * n for n, name in enumerate(self.points)}
        found = np.zeros((2 * len(names), 2 * len(names)))
        for coordinates, covariances in self.parts:
            there = [np.argwhere(coordinates == number.get(name, -1)).tolist() for name in names]
            for n, one in enumerate(there):
                for m, other in enumerate(there):
                    if one and other and one[0][0] == other[0][0]:
                        (part, row), (_, column) = one[0], other[0]
                        found[2 * n : 2 * n + 2, 2 * m : 2 * m + 2] = covariances[part, row : row + 2, column : column + 2]
        return found


def adjust(known: Mapping[str, Point], approximate: Mapping[str, Point], observations: Sequence[Observation]) -> Adjustment:
    """Most likely place of every point that is not known, with its uncertainty and the fit of every observation.

    Known points are held exactly. Ellipses use the observations' own sigmas. Approximate points settle
    which of two mirror answers is found, so they should stand on the right side of their base.

    known, approximate: points by name, no name in both. observations: ids all different, sigmas over 0.
    Returns an Adjustment; `converged` is False when the points still moved after 50 rounds.
    Raises FloatingPoint naming points that the observations can't fix; AdjustError for unknown or repeated names and
    for points that coincide where a shot needs them apart; OutOfRange for a sigma that is not over 0.
    Source: derived: least squares by Gauss-Newton; redundancy numbers after W. Baarda, "A Testing Procedure for Use in
        Geodetic Networks" (1968), from memory.
    Valid for: plane sites, independent errors, approximate points good to a fraction of the shots' lengths.
    """
    _require_names(known, approximate, observations)
    network = laid_out(known, approximate, observations)
    places, linear, converged = _settled(network)
    blocks = linear.blocks
    inverses = [np.linalg.inv(normal) / _outer(scale) for _, normal, scale in _normal(linear, network.names)]
    cofactors = np.concatenate([np.zeros(0), *(inverse.ravel() for inverse in inverses)])
    fits = _fits(network, linear, cofactors)
    return Adjustment(
        points={name: (float(e), float(n)) for name, (e, n) in zip(network.names, places.reshape(-1, 2) + network.origin, strict=True)},
        ellipses={name: ellipse_of(cofactors[own]) for name, own in zip(network.names, blocks.own, strict=True)},
        fits=fits,
        degrees_of_freedom=len(observations) - places.size,
        converged=converged,
        parts=tuple(zip(blocks.coordinates, inverses, strict=True)),
    )


def ellipse_of(covariance: Floats) -> Ellipse:
    """The standard error ellipse of a point.

    covariance: of its east and north, square feet, shape (2, 2).
    Returns Ellipse.
    Source: derived: the axes of the quadratic form, by the double angle.
    Valid for: variances that are not negative.
    """
    (east, both), (_, north) = covariance.tolist()
    middle, swing = (east + north) / 2, math.hypot((east - north) / 2, both)
    azimuth = math.degrees(math.atan2(2 * both, north - east)) / 2 % 180
    return Ellipse(math.sqrt(middle + swing), math.sqrt(max(middle - swing, 0.0)), 0.0 if azimuth == 180 else azimuth)


def ellipse_sigma_ft(ellipse: Ellipse, azimuth_deg: float) -> float:
    """Standard error of a point along one direction, such as square to a boundary.

    ellipse: from `adjust`. azimuth_deg: degrees clockwise from north.
    Returns feet, between the semi-minor and the semi-major axis.
    Raises AdjustError for an azimuth that is not finite.
    Source: derived: variance along a direction, a^2 cos^2 + b^2 sin^2 of the angle from the long axis.
    Valid for: any direction.
    """
    if not math.isfinite(azimuth_deg):
        raise AdjustError(f"A direction must be a finite number of degrees, not {azimuth_deg}.")
    angle = math.radians(azimuth_deg - ellipse.azimuth_deg)
    return math.hypot(ellipse.semi_major_ft * math.cos(angle), ellipse.semi_minor_ft * math.sin(angle))


def _settled(network: Network) -> tuple[Floats, Linear, bool]:
    """Places and the shots made linear there once nothing moves; whether they came to rest."""
    places = network.start
    linear = network.linear_at(places)
    for _ in range(_MAX_ITERATIONS):
        step = _step(linear, network.names)
        allowed = float(linear.misfits @ linear.misfits) * (1 + 1e-9) + 1e-12
        for _ in range(_MAX_HALVINGS):
            moved = places + step
            linear = network.linear_at(moved)
            if float(linear.misfits @ linear.misfits) <= allowed:
                break
            step = step / 2
        places = moved
        if not step.size or float(np.abs(step).max()) < AT_REST_FT:
            return places, linear, True
    return places, linear, False


def _step(linear: Linear, names: tuple[str, ...]) -> Floats:
    pull = linear.pull
    step = np.zeros_like(pull)
    for coordinates, normal, scale in _normal(linear, names):
        step[coordinates] = np.linalg.solve(normal, (pull[coordinates] / scale)[:, :, None])[:, :, 0] / scale
    return step


def _outer(scale: Floats) -> Floats:
    return scale[:, :, None] * scale[:, None, :]


def _normal(linear: Linear, names: tuple[str, ...]) -> list[tuple[Indices, Floats, Floats]]:
    """Coordinates, normal matrices with ones on their diagonals, and what each coordinate was divided by to make it so, by size of part.

    So scaled, a paced shot and a steel tape stand side by side, and what is left of a coordinate once its neighbours
    are free shows on one scale.
    """
    scaled = []
    for coordinates, matrices in zip(linear.blocks.coordinates, linear.blocks.matrices(linear.slopes), strict=True):
        information = np.sqrt(matrices.diagonal(axis1=1, axis2=2))
        scale = np.where(information > 0, information, 1.0)
        scaled.append((coordinates, matrices / _outer(scale), scale))
    if not all(_is_held(normal) for _, normal, _ in scaled):
        raise FloatingPoint(_floating(scaled, names))
    return scaled


def _is_held(normal: Floats) -> bool:
    try:
        held = np.linalg.cholesky(normal).diagonal(axis1=-2, axis2=-1) ** 2
    except np.linalg.LinAlgError:
        return False
    return bool(held.min() >= _FLOATING)


def _floating(scaled: Sequence[tuple[Indices, Floats, Floats]], names: tuple[str, ...]) -> tuple[str, ...]:
    """Points that move in the ways in which the network can move without any shot noticing."""
    found = []
    for coordinates, normals, scales in scaled:
        for part, normal, scale in zip(coordinates[:, ::2] // 2, normals, scales, strict=True):
            if _is_held(normal):
                continue
            values, vectors = np.linalg.eigh(normal)
            loose = vectors[:, values < _FLOATING * len(values)] / scale[:, None]
            shift = np.sqrt((loose**2).sum(axis=1).reshape(-1, 2).sum(axis=1))
            found += part[shift > 1e-4 * shift.max()].tolist()
    return tuple(names[point] for point in sorted(found))


def _fits(network: Network, linear: Linear, cofactors: Floats) -> dict[str, Fit]:
    first, second, terms = linear.blocks.first, linear.blocks.second, linear.blocks.terms
    shares = np.einsum("ij,ijk,ik->i", linear.slopes[first], cofactors[terms], linear.slopes[second])
    redundancies = 1 - np.bincount(linear.rows[first], shares, len(network.observations))
    fits = {}
    for observation, misfit, sigma, share in zip(network.observations, linear.misfits, network.sigmas, redundancies, strict=True):
        checked = share > _UNCHECKED
        fits[observation.id] = Fit(
            residual=float(misfit * sigma),
            redundancy=float(share) if checked else 0.0,
            standardised=float(misfit / math.sqrt(share)) if checked else None,
        )
    return fits


def _require_names(known: Mapping[str, Point], approximate: Mapping[str, Point], observations: Sequence[Observation]) -> None:
    if not known and not approximate:
        raise AdjustError("There are no points to adjust.")
    twice = sorted(known.keys() & approximate.keys())
    if twice:
        raise AdjustError(f"{', '.join(twice)} can't be both known and approximate.")
    for name, point in (*known.items(), *approximate.items()):
        if not all(map(math.isfinite, point)):
            raise AdjustError(f"{name} stands at {point}: both figures must be finite feet.")
    repeated = [id_ for id_, count in Counter(observation.id for observation in observations).items() if count > 1]
    if repeated:
        raise AdjustError(f"{', '.join(repeated)} names more than one shot.")
