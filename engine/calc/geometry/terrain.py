"""Ground between spots of known level: straight across the triangles between them."""

from collections.abc import Sequence

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import Bools, Floats, np, shapely
from engine.calc.limits import OutOfRange

FLAT_FT2 = 1e-6
"""A triangle of less than this lies along one row of spots, as on a straight line, and holds nothing."""
EDGE = 1e-9
"""How far outside a triangle, as a share of it, still counts as in it."""


def levels_between(spots: Sequence[Point], levels_ft: Sequence[float], east_ft: Floats, north_ft: Floats) -> tuple[Floats, Bools]:
    """Levels at places between spots, straight across the Delaunay triangle that a place lies in, and which places lie in one.

    spots: (east_ft, north_ft), no two alike, in any order.  levels_ft: as many, ft.  east_ft, north_ft: of the places, any shape, alike.
    Returns: levels in ft (0 where a place lies in no triangle) and whether it lies in one, both of that shape.
    Raises: OutOfRange where a level isn't finite or there aren't as many levels as spots.
    Source: derived: barycentric coordinates in a Delaunay triangulation, the usual surface through scattered levels.
    Valid for: ground that runs evenly between neighbouring spots; a hump or a dip among three of them isn't seen.
    Example: levels 0, 0 and 3 ft at (0, 0), (6, 0) and (0, 6): 1 ft at (2, 2).
    """
    if len(spots) != len(levels_ft) or not np.isfinite(np.asarray(levels_ft, dtype=np.float64)).all():
        raise OutOfRange("levels_ft", len(levels_ft), f"{len(spots)} finite levels", "each spot has one")
    found: Floats = np.zeros(np.shape(east_ft))
    known: Bools = np.zeros(np.shape(east_ft), dtype=np.bool_)
    level_of = dict(zip(spots, levels_ft, strict=True))
    triangles = shapely.get_parts(shapely.delaunay_triangles(shapely.MultiPoint(list(spots))))
    for triangle in triangles[shapely.area(triangles) > FLAT_FT2]:
        corners = [(float(east), float(north)) for east, north in triangle.exterior.coords[:3]]
        shares = _shares(corners, east_ft, north_ft)
        inside = (shares >= -EDGE).all(axis=0) & ~known
        levels = np.tensordot(np.array([level_of[corner] for corner in corners]), shares, axes=1)
        found = np.where(inside, levels, found)
        known |= inside
    return found, known


def _shares(corners: Sequence[Point], east_ft: Floats, north_ft: Floats) -> Floats:
    """Barycentric coordinates of places in a triangle, shape (3, ...)."""
    (e1, n1), (e2, n2), (e3, n3) = corners
    twice_area = (e2 - e1) * (n3 - n1) - (e3 - e1) * (n2 - n1)
    second = ((east_ft - e1) * (n3 - n1) - (e3 - e1) * (north_ft - n1)) / twice_area
    third = ((e2 - e1) * (north_ft - n1) - (east_ft - e1) * (n2 - n1)) / twice_area
    return np.stack([1 - second - third, second, third])
