"""What meets at a support: its bays, and whether it stands in ground where nothing may be driven."""

from collections.abc import Sequence

import shapely

from engine.calc.plane import Point
from engine.stages.layout import Bay, KeepOut, Layout


def bays_at(layout: Layout) -> dict[str, list[Bay]]:
    """Bays and gate openings that begin or end at each support.

    Arguments: layout, with lengths in ft.
    Returns: bays by support id, every support present, bays in layout order.
    Source: derived: reading of the layout.
    Valid for: any layout.
    """
    meeting: dict[str, list[Bay]] = {name: [] for name in layout.supports}
    for bay in layout.bays.values():
        for name in dict.fromkeys((bay.from_id, bay.to_id)):
            meeting.setdefault(name, []).append(bay)
    return meeting


def keep_outs_at(points: Sequence[Point], keep_outs: Sequence[KeepOut]) -> list[KeepOut | None]:
    """The first keep-out that each point stands in, or None; a point on an edge is outside.

    Arguments: points, (east_ft, north_ft), shape (n, 2); keep_outs, their outlines in ft.
    Returns: one keep-out or None for each point.
    Source: derived: point in polygon.
    Valid for: outlines of three points or more that don't cross themselves; shorter ones enclose nothing.
    """
    areas = [area for area in keep_outs if len(area.polygon) >= 3]
    found: list[KeepOut | None] = [None] * len(points)
    if not areas or not points:
        return found
    tree = shapely.STRtree([shapely.Polygon(area.polygon) for area in areas])
    which, inside = tree.query(shapely.points(points), predicate="within")
    for point, area in sorted(zip(which.tolist(), inside.tolist(), strict=True), reverse=True):
        found[point] = areas[area]
    return found
