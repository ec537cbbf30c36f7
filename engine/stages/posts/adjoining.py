"""Whether a support stands in ground where nothing may be driven."""

from collections.abc import Sequence

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import np, shapely
from engine.calc.remember import remembered, remembered_each
from engine.stages.layout.keep_outs import Ground, KeepOut, standing_in


@remembered_each
def keep_outs_at(points: Sequence[Point], keep_outs: tuple[KeepOut, ...]) -> list[KeepOut | None]:
    """The first keep-out that each point stands in, or None."""
    if not keep_outs:
        return [None] * len(points)
    return [areas[0] if areas else None for areas in standing_in(points, ground_of(keep_outs))]


@remembered
def ground_of(keep_outs: tuple[KeepOut, ...]) -> Ground:
    """Keep-outs with a search tree over them."""
    corners = np.array([corner for area in keep_outs for corner in area.polygon])
    which = np.repeat(np.arange(len(keep_outs)), [len(area.polygon) for area in keep_outs])
    return Ground(keep_outs, shapely.STRtree(shapely.polygons(shapely.linearrings(corners, indices=which))), ())
