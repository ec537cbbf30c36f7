"""Rocks and whatever else stands in the ground where wire and apron of a loop come: they are slit round it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import shapely
from engine.calc.remember import ByParts, remembered, remembered_columns
from engine.calc.tolerances import TAPE_FT
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
    rocks = rocks_in(areas)
    if not rocks:
        return dict.fromkeys(loops, ())
    return dict(zip(loops, _slits(repeat(_rocks(rocks)), loops.values()), strict=True))


def rocks_in(areas: Sequence[KeepOut]) -> tuple[KeepOut, ...]:
    """What wire is slit round, the very same tuple where it is the same."""
    return _same(tuple([area for area in areas if area.id.source in ("obstacle", "log")]))


@remembered
def _same(rocks: tuple[KeepOut, ...]) -> tuple[KeepOut, ...]:
    return rocks


@dataclass(frozen=True, eq=False)
class _Rocks:
    """Outlines of rocks, what each reaches from and to, and what is told of it; like no others, so that they are found by what they are."""

    outlines: "Sequence[shapely.Polygon]"
    reaches: tuple[tuple[Point, Point], ...]
    sizes: tuple[tuple[Size, ...], ...]


@remembered
def _rocks(areas: tuple[KeepOut, ...]) -> _Rocks:
    outlines = shapely.polygons([shapely.linearrings(rock.polygon) for rock in areas])
    return _Rocks(outlines, tuple(_reach(rock.polygon) for rock in areas), tuple(map(_sizes, areas)))


def _reach(spots: Sequence[Point]) -> tuple[Point, Point]:
    """The south-west and the north-east corner of what holds them all."""
    easts, norths = zip(*spots, strict=True)
    return (min(easts), min(norths)), (max(easts), max(norths))


@remembered_columns
def _slits(rocks: _Rocks, wire: HungWire) -> tuple[Size, ...]:
    (west, south), (east, north), off_ft = *_reach(wire.supports), wire.apron_ft + TAPE_FT
    if all(w - off_ft > east or s - off_ft > north or e + off_ft < west or n + off_ft < south for (w, s), (e, n) in rocks.reaches):
        return ()
    hits = shapely.dwithin(shapely.linestrings(wire.supports), rocks.outlines, wire.apron_ft)
    return tuple(size for hit, sizes in zip(hits, rocks.sizes, strict=True) if hit for size in sizes)


def _sizes(rock: KeepOut) -> tuple[Size, ...]:
    easts, norths = zip(*rock.polygon, strict=True)
    across_ft = max(max(easts) - min(easts), max(norths) - min(norths))
    middle = (min(easts) + max(easts)) / 2, (min(norths) + max(norths)) / 2
    told = {"east": middle[0], "north": middle[1], "across": across_ft}
    return tuple(Size(f"{rock.kind} {what}", round(ft, 3)) for what, ft in told.items())
