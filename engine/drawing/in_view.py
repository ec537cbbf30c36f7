"""Where in a view an area or a long line is named, when the place it is usually named at lies outside."""

from collections.abc import Sequence

import shapely

from engine.calc.geometry.plane import Point

Bounds = tuple[float, float, float, float]
"""West, south, east, north, ft."""


def place_in_view(place: Point, shape: Sequence[Point], bounds: Bounds, closed: bool) -> Point | None:
    """The place itself where it is in view; else one on what is seen of the line or of the area it closes; None where nothing is."""
    west, south, east, north = bounds
    if west <= place[0] <= east and south <= place[1] <= north:
        return place
    if len(shape) < 2 or (closed and len(shape) < 3):
        return None
    whole = shapely.make_valid(shapely.Polygon(shape)) if closed else shapely.LineString(shape)
    seen = whole.intersection(shapely.box(*bounds))
    if seen.is_empty:
        return None
    spot = seen.interpolate(0.5, normalized=True) if seen.geom_type == "LineString" else seen.representative_point()
    return float(spot.x), float(spot.y)
