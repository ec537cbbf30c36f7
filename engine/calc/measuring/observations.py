"""What a crew measures between points, as records the adjustment reads: reading, standard error, and how it would change."""

from __future__ import annotations

import math
from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.limits import require_positive


class AdjustError(ValueError):
    """Observations that can't be adjusted as they stand."""


@dataclass(frozen=True)
class Distance:
    """Level tape from a to b."""

    id: str
    a: str
    b: str
    length_ft: float
    sigma_ft: float


@dataclass(frozen=True)
class Direction:
    """Bearing of b seen from a, as an azimuth."""

    id: str
    a: str
    b: str
    azimuth_deg: float
    sigma_deg: float


@dataclass(frozen=True)
class Along:
    """Feet along the base line from base_a towards base_b to where the point stands square off it."""

    id: str
    base_a: str
    base_b: str
    point: str
    along_ft: float
    sigma_ft: float


@dataclass(frozen=True)
class Offset:
    """Feet square off the base line to the point: + right of base_a to base_b."""

    id: str
    base_a: str
    base_b: str
    point: str
    offset_ft: float
    sigma_ft: float


Observation = Distance | Direction | Along | Offset

Slopes = tuple[tuple[str, float, float], ...]
"""For each point: its name, and the change of the reading for a foot east and for a foot north."""


def sigma_of(observation: Observation) -> float:
    """Standard error of an observation in its own unit.

    observation: any shot.
    Returns feet, or degrees for a Direction.
    Raises OutOfRange when it is not over 0.
    Source: derived: field of the record.
    Valid for: any shot.
    """
    if isinstance(observation, Direction):
        require_positive(sigma_deg=observation.sigma_deg)
        return observation.sigma_deg
    require_positive(sigma_ft=observation.sigma_ft)
    return observation.sigma_ft


def misfit_and_slopes(observation: Observation, at: Mapping[str, Point]) -> tuple[float, Slopes]:
    """Reading minus what it would be with the points where they are, and how that would change as they move.

    A bearing's misfit is taken the short way round.

    observation: a shot with a finite reading. at: every point it names, feet.
    Returns (misfit, slopes): feet and feet a foot; for a Direction degrees and degrees a foot.
    Raises AdjustError for a name that is not in `at`, a reading that is not finite, or ends that coincide.
    Source: derived: partial derivatives of length, azimuth and base-line coordinates.
    Valid for: points that stand apart where the shot needs a line.
    """
    match observation:
        case Distance(_, a, b, reading):
            length, east, north = _line(observation, at, a, b)
            return _misfit(observation, reading, length), ((a, -east, -north), (b, east, north))
        case Direction(_, a, b, reading):
            length, east, north = _line(observation, at, a, b)
            turn = math.degrees(1 / length)
            misfit = _misfit(observation, reading, math.degrees(math.atan2(east, north)))
            return (misfit + 180) % 360 - 180, ((a, -north * turn, east * turn), (b, north * turn, -east * turn))
        case Along(_, a, b, p, reading):
            length, east, north, along, offset = _on_base(observation, at, a, b, p)
            swing = offset / length
            by_b = (b, swing * north, -swing * east)
            by_a = (a, -east - swing * north, -north + swing * east)
            return _misfit(observation, reading, along), (by_a, by_b, (p, east, north))
        case Offset(_, a, b, p, reading):
            length, east, north, along, offset = _on_base(observation, at, a, b, p)
            swing = along / length
            by_b = (b, -swing * north, swing * east)
            by_a = (a, (swing - 1) * north, (1 - swing) * east)
            return _misfit(observation, reading, offset), (by_a, by_b, (p, north, -east))


def _misfit(observation: Observation, reading: float, computed: float) -> float:
    if not math.isfinite(reading):
        raise AdjustError(f"Shot {observation.id} reads {reading}: it must be a finite number.")
    return reading - computed


def _line(observation: Observation, at: Mapping[str, Point], a: str, b: str) -> tuple[float, float, float]:
    """Length of a to b and its direction as (east, north) parts of 1."""
    (a_east, a_north), (b_east, b_north) = _point(observation, at, a), _point(observation, at, b)
    length = math.hypot(b_east - a_east, b_north - a_north)
    if length == 0:
        raise AdjustError(f"Shot {observation.id} needs {a} and {b} apart: they stand on one spot.")
    return length, (b_east - a_east) / length, (b_north - a_north) / length


def _on_base(observation: Observation, at: Mapping[str, Point], a: str, b: str, p: str) -> tuple[float, float, float, float, float]:
    """Length and direction of the base line, and p's feet along it and right of it."""
    length, east, north = _line(observation, at, a, b)
    (a_east, a_north), (p_east, p_north) = at[a], _point(observation, at, p)
    along = (p_east - a_east) * east + (p_north - a_north) * north
    offset = (p_east - a_east) * north - (p_north - a_north) * east
    return length, east, north, along, offset


def _point(observation: Observation, at: Mapping[str, Point], name: str) -> Point:
    try:
        return at[name]
    except KeyError:
        raise AdjustError(f"Shot {observation.id} names {name}, which is neither known nor approximate.") from None
