"""A point that one offset from a base line fixes, and nothing else: worked out beside the network, which it doesn't change."""

from engine.calc.geometry.plane import Point, azimuth_deg, distance_ft, offset_point
from engine.calc.large_libraries import Floats, np
from engine.calc.measuring.adjust import Ellipse, ellipse_of


def side_shot(
    a: Point, b: Point, measured_ft: tuple[float, float], sigmas_ft: tuple[float, float], covariance: Floats
) -> tuple[Point, Ellipse]:
    """Place and standard error of a point measured along a base line from `a` towards `b` and square off it.

    a, b: adjusted or known, feet, apart. measured_ft: along the base, and off it, + to the right. sigmas_ft: standard errors of both.
    covariance: of a and b together, square feet, shape (4, 4), zeros for what is known.
    Returns the place and its ellipse, the same as if it had been adjusted with the network: as many readings as unknowns leave no misfit,
    and pull at nothing.
    Raises PlaneError where a and b stand on one spot.
    Source: derived: with u along the base, r right of it and L its length, p = a + s u + o r moves by
        da + (s r - o u) (r . (db - da)) / L when a and b move.
    Valid for: errors small against the base's length.
    """
    along_ft, offset_ft = measured_ft
    place, heading, base_ft = offset_point(a, b, along_ft, offset_ft), np.radians(azimuth_deg(a, b)), distance_ft(a, b)
    ahead, right = np.array([np.sin(heading), np.cos(heading)]), np.array([np.cos(heading), -np.sin(heading)])
    swing = np.outer((along_ft * right - offset_ft * ahead) / base_ft, right)
    moves = np.hstack([np.eye(2) - swing, swing])
    own = sigmas_ft[0] ** 2 * np.outer(ahead, ahead) + sigmas_ft[1] ** 2 * np.outer(right, right)
    return place, ellipse_of(moves @ covariance @ moves.T + own)
