"""Rocks and whatever else stands in the ground where wire and apron of a loop come: they are slit round it."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import shapely
from engine.calc.remember import remembered_each
from engine.job.model.tick_facts import Size
from engine.stages.layout.keep_outs import KeepOut


class HungWire(NamedTuple):
    """A loop's wire: from support to support, and how far its apron lies out on level ground."""

    supports: tuple[Point, ...]
    apron_ft: float


def slit_round(areas: Sequence[KeepOut], loops: Mapping[str, HungWire]) -> dict[str, tuple[Size, ...]]:
    """By loop, where everything lies that its wire is slit round, and how far across it is. That is what the survey or the log calls an
    obstacle, within an apron's width of the wire: which side of it is turned out isn't asked."""
    rocks = [area for area in areas if area.id.source in ("obstacle", "log")]
    if not rocks:
        return dict.fromkeys(loops, ())
    return dict(zip(loops, _slits(list(loops.values()), tuple(rocks)), strict=True))


@remembered_each
def _slits(wires: Sequence[HungWire], rocks: tuple[KeepOut, ...]) -> list[tuple[Size, ...]]:
    outlines = shapely.polygons([shapely.linearrings(rock.polygon) for rock in rocks])
    sizes = [_sizes(rock) for rock in rocks]
    near = [shapely.dwithin(shapely.linestrings(wire.supports), outlines, wire.apron_ft) for wire in wires]
    return [tuple(size for hit, of in zip(hits, sizes, strict=True) if hit for size in of) for hits in near]


def _sizes(rock: KeepOut) -> tuple[Size, ...]:
    easts, norths = zip(*rock.polygon, strict=True)
    across_ft = max(max(easts) - min(easts), max(norths) - min(norths))
    middle = (min(easts) + max(easts)) / 2, (min(norths) + max(norths)) / 2
    told = {"east": middle[0], "north": middle[1], "across": across_ft}
    return tuple(Size(f"{rock.kind} {what}", round(ft, 3)) for what, ft in told.items())
