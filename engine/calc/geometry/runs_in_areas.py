"""Parts of straight runs that lie inside areas, of many runs at once."""

from engine.calc.large_libraries import Floats, np, shapely
from engine.calc.tolerances import EDGE_FT


def parts_inside(starts: Floats, ends: Floats, areas: "shapely.STRtree") -> list[tuple[int, float, float, int]]:
    """Parts of runs inside areas, each as (number of the run, from, to, number of the area).

    starts, ends: places of the two ends of every run, finite feet, shape (n, 2).  areas: polygons in a search tree.
    Returns: from and to in feet along the run from its start, in any order.
    Source: derived: each run cut by each polygon that it meets.
    Valid for: any runs; what only touches an area, or is shorter in it than an edge is wide (`tolerances.EDGE_FT`), is left out.
    """
    runs = shapely.linestrings(np.stack([starts, ends], axis=1))
    which, area = areas.query(runs, predicate="intersects")
    if not len(which):
        return []
    cut, source = shapely.get_parts(shapely.intersection(runs[which], areas.geometries[area]), return_index=True)
    spots, part = shapely.get_coordinates(cut, return_index=True)
    run = which[source]
    away = np.hypot(*(spots - starts[run[part]]).T)
    low, high = np.full(len(cut), np.inf), np.full(len(cut), -np.inf)
    np.minimum.at(low, part, away)
    np.maximum.at(high, part, away)
    kept = high - low > EDGE_FT
    numbers = (run[kept].tolist(), low[kept].tolist(), high[kept].tolist(), area[source[kept]].tolist())
    return list(zip(*numbers, strict=True))
