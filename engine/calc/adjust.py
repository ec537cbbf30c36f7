"""One plane network brought to one answer: weighted least squares over tapes, bearings and offsets together.

Every shot pulls on the points it touches with the weight 1/sigma^2. Gauss-Newton: the shots are made linear at the
present points, the normal equations are solved, the points are moved, until they stand still. A step that makes the
fit worse is halved.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from engine.calc.plane import Point
from engine.calc.shots import AdjustError, Observation, misfit_and_slopes, sigma_of

_STILL_FT = 1e-8
_MAX_ITERATIONS = 50
_MAX_HALVINGS = 20
_FLOATING = 1e-12
"""Share of a coordinate's own information left after its neighbours took theirs, below which nothing holds it."""
_UNCHECKED = 1e-9

_Array = NDArray[np.float64]


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

    id: str
    residual: float
    redundancy: float
    standardised: float | None


@dataclass(frozen=True)
class Adjustment:
    """The adjusted network; `points` and `ellipses` hold the points that were not known."""

    points: dict[str, Point]
    ellipses: dict[str, Ellipse]
    fits: dict[str, Fit]
    sigma0: float | None
    """Spread of the misfits against what the sigmas promised, about 1 when they are honest; None without redundancy."""
    degrees_of_freedom: int
    iterations: int
    converged: bool


def adjust(known: Mapping[str, Point], approximate: Mapping[str, Point], observations: Sequence[Observation]) -> Adjustment:
    """Most likely place of every point that is not known, with its uncertainty and the fit of every observation.

    Known points are held exactly. Ellipses use the observations' own sigmas (sigma0 = 1). Approximate points settle
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
    network = _Network.laid_out(known, approximate, observations)
    places, rows, misfits, iterations, converged = _settled(network)
    normal, scale = _normal(rows, network.names)
    cofactors = np.linalg.inv(normal) / np.outer(scale, scale)
    fits = _fits(network, rows, misfits, cofactors)
    freedom = len(observations) - places.size
    return Adjustment(
        points={name: (float(e), float(n)) for name, (e, n) in zip(network.names, places.reshape(-1, 2) + network.origin, strict=True)},
        ellipses={name: _ellipse(cofactors[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]) for k, name in enumerate(network.names)},
        fits=fits,
        sigma0=math.sqrt(float(misfits @ misfits) / freedom) if freedom > 0 else None,
        degrees_of_freedom=freedom,
        iterations=iterations,
        converged=converged,
    )


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


@dataclass(frozen=True)
class _Network:
    """The task in numbers, moved so that its middle is the origin (small coordinates keep their digits)."""

    names: tuple[str, ...]
    known: dict[str, Point]
    start: _Array
    origin: _Array
    observations: Sequence[Observation]
    sigmas: _Array

    @staticmethod
    def laid_out(known: Mapping[str, Point], approximate: Mapping[str, Point], observations: Sequence[Observation]) -> _Network:
        origin = np.mean([*known.values(), *approximate.values()], axis=0)
        return _Network(
            names=tuple(approximate),
            known={name: (e - float(origin[0]), n - float(origin[1])) for name, (e, n) in known.items()},
            start=(np.array(list(approximate.values())).reshape(-1, 2) - origin).ravel(),
            origin=origin,
            observations=observations,
            sigmas=np.array([sigma_of(observation) for observation in observations]),
        )

    def linear_at(self, places: _Array) -> tuple[_Array, _Array]:
        """Slopes (a row an observation, two columns a point) and misfits, both in standard errors."""
        columns = {name: 2 * k for k, name in enumerate(self.names)}
        at = self.known | {name: (e, n) for name, (e, n) in zip(self.names, places.reshape(-1, 2).tolist(), strict=True)}
        fits = [misfit_and_slopes(observation, at) for observation in self.observations]
        entries = [
            (row, columns[name], east, north) for row, (_, slopes) in enumerate(fits) for name, east, north in slopes if name in columns
        ]
        row, column, east, north = np.array(entries).reshape(-1, 4).T
        rows = np.zeros((len(fits), places.size))
        np.add.at(rows, (row.astype(int), column.astype(int)), east)
        np.add.at(rows, (row.astype(int), column.astype(int) + 1), north)
        misfits = np.array([misfit for misfit, _ in fits])
        return rows / self.sigmas[:, None], misfits / self.sigmas


def _settled(network: _Network) -> tuple[_Array, _Array, _Array, int, bool]:
    """Places, slopes and misfits once nothing moves; rounds taken; whether they came to rest."""
    places = network.start
    rows, misfits = network.linear_at(places)
    for iteration in range(1, _MAX_ITERATIONS + 1):
        normal, scale = _normal(rows, network.names)
        step = np.linalg.solve(normal, rows.T @ misfits / scale) / scale
        allowed = float(misfits @ misfits) * (1 + 1e-9) + 1e-12
        for _ in range(_MAX_HALVINGS):
            moved = places + step
            rows, misfits = network.linear_at(moved)
            if float(misfits @ misfits) <= allowed:
                break
            step = step / 2
        places = moved
        if not step.size or float(np.abs(step).max()) < _STILL_FT:
            return places, rows, misfits, iteration, True
    return places, rows, misfits, _MAX_ITERATIONS, False


def _normal(rows: _Array, names: tuple[str, ...]) -> tuple[_Array, _Array]:
    """Normal matrix with ones on its diagonal, and what each coordinate was divided by to make it so.

    So scaled, a paced shot and a steel tape stand side by side, and what is left of a coordinate once its neighbours
    are free shows on one scale.
    """
    information = np.sqrt((rows**2).sum(axis=0))
    scale = np.where(information > 0, information, 1.0)
    normal = (rows.T @ rows) / np.outer(scale, scale)
    try:
        held = np.linalg.cholesky(normal).diagonal() ** 2
    except np.linalg.LinAlgError:
        held = np.zeros(1)
    if held.size and held.min() < _FLOATING:
        raise FloatingPoint(_floating(normal, scale, names))
    return normal, scale


def _floating(normal: _Array, scale: _Array, names: tuple[str, ...]) -> tuple[str, ...]:
    """Points that move in the ways in which the network can move without any shot noticing."""
    values, vectors = np.linalg.eigh(normal)
    loose = vectors[:, values < _FLOATING * len(values)] / scale[:, None]
    shift = np.sqrt((loose**2).sum(axis=1).reshape(-1, 2).sum(axis=1))
    return tuple(name for name, moved in zip(names, shift, strict=True) if moved > 1e-4 * shift.max())


def _fits(network: _Network, rows: _Array, misfits: _Array, cofactors: _Array) -> dict[str, Fit]:
    redundancies = 1 - ((rows @ cofactors) * rows).sum(axis=1)
    fits = {}
    for observation, misfit, sigma, share in zip(network.observations, misfits, network.sigmas, redundancies, strict=True):
        checked = share > _UNCHECKED
        fits[observation.id] = Fit(
            id=observation.id,
            residual=float(misfit * sigma),
            redundancy=float(share) if checked else 0.0,
            standardised=float(misfit / math.sqrt(share)) if checked else None,
        )
    return fits


def _ellipse(covariance: _Array) -> Ellipse:
    (east, both), (_, north) = covariance.tolist()
    middle, swing = (east + north) / 2, math.hypot((east - north) / 2, both)
    azimuth = math.degrees(math.atan2(2 * both, north - east)) / 2 % 180
    return Ellipse(math.sqrt(middle + swing), math.sqrt(max(middle - swing, 0.0)), 0.0 if azimuth == 180 else azimuth)


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
