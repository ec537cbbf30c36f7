"""Rocks and whatever else stands in the ground where wire and apron of a loop come: they are slit round it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import shapely
from engine.calc.remember import ByParts, remembered, remembered_columns
from engine.job.model.tick_facts import Size
from engine.stages.layout.keep_outs import KeepOut


class HungWire(NamedTuple):
    """A loop's wire: from support to support, and how far its apron lies out on level ground."""

    supports: tuple[Point, ...]
    apron_ft: float


def hung_wires(each_in: Sequence[float], rows: Iterable[Sequence[Point]]) -> list[HungWire]:
    """Wires of loops from support to support, by how wide an apron level ground would leave each, in."""
    return _wires(each_in, ByParts(rows))


@remembered_columns
def _wires(apron_in: float, row: Sequence[Point]) -> HungWire:
    return _known(HungWire(tuple(row), max(0.0, apron_in / 12)))


@remembered
def _known(wire: HungWire) -> HungWire:
    """The very same where it is like it: what it is slit round is found by that."""
    return wire


def slit_round(areas: Sequence[KeepOut], loops: Mapping[str, HungWire]) -> dict[str, tuple[Size, ...]]:
    """By loop, where everything lies that its wire is slit round, and how far across it is. That is what the survey or the log calls an
    obstacle, within an apron's width of the wire: which side of it is turned out isn't asked."""
    rocks = tuple([area for area in areas if area.id.source in ("obstacle", "log")])
    if not rocks:
        return dict.fromkeys(loops, ())
    return dict(zip(loops, _slits(repeat(_rocks(rocks)), loops.values()), strict=True))


@dataclass(frozen=True, eq=False)
class _Rocks:
    """Outlines of rocks and what is told of each; like no others, so that they are found by what they are."""

    outlines: "Sequence[shapely.Polygon]"
    sizes: tuple[tuple[Size, ...], ...]


@remembered
def _rocks(areas: tuple[KeepOut, ...]) -> _Rocks:
    return _Rocks(shapely.polygons([shapely.linearrings(rock.polygon) for rock in areas]), tuple(map(_sizes, areas)))


@remembered_columns
def _slits(rocks: _Rocks, wire: HungWire) -> tuple[Size, ...]:
    hits = shapely.dwithin(shapely.linestrings(wire.supports), rocks.outlines, wire.apron_ft)
    return tuple(size for hit, sizes in zip(hits, rocks.sizes, strict=True) if hit for size in sizes)


def _sizes(rock: KeepOut) -> tuple[Size, ...]:
    easts, norths = zip(*rock.polygon, strict=True)
    across_ft = max(max(easts) - min(easts), max(norths) - min(norths))
    middle = (min(easts) + max(easts)) / 2, (min(norths) + max(norths)) / 2
    told = {"east": middle[0], "north": middle[1], "across": across_ft}
    return tuple(Size(f"{rock.kind} {what}", round(ft, 3)) for what, ft in told.items())
