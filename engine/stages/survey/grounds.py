"""Every piece of ground that lines close, with walls where those help: what goes round it, how large it is, and a place well inside it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import shapely

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, azimuth_deg, distance_ft
from engine.calc.length_words import area_words
from engine.calc.phrases import listed
from engine.calc.tolerances import AT_YARD_FT, MEETS_FT, SAME_SPOT_FT
from engine.job.model.job import Job
from engine.stages.survey.yards import Chain, closed_by

_WAYS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True)
class YardGround:
    """A piece of ground: the lines and walls round it, its area, and a place inside it, as far from its edges as there is."""

    bounds: tuple[str, ...]
    area_ft2: float
    inside: Point
    words: str


def grounds(job: Job, places: Mapping[str, Point]) -> tuple[YardGround, ...]:
    """Every ground that at least one line helps to close, the largest first, each called so that no two are called alike. Slivers between a
    line and a wall it was drawn along are none."""
    chains, faces = closed_by(job, places)
    found = []
    for face in faces:
        bounds = _bounds(face, chains)
        if face.area > AT_YARD_FT**2 and any(name in job.lines for name in bounds):
            spot = shapely.maximum_inscribed_circle(face).coords[0]
            found.append((bounds, float(face.area), (float(spot[0]), float(spot[1]))))
    found.sort(key=lambda one: -one[1])
    words = _apart(found)
    return tuple(YardGround(bounds, area, inside, said) for (bounds, area, inside), said in zip(found, words, strict=True))


def ground_at(found: Sequence[YardGround], job: Job, places: Mapping[str, Point], place: Point) -> YardGround | None:
    """The ground that holds a place; None where none does."""
    _, faces = closed_by(job, places)
    for face in faces:
        if shapely.intersects_xy(face, *place):
            return next((one for one in found if shapely.intersects_xy(face, *one.inside)), None)
    return None


def _bounds(face: Any, chains: Sequence[Chain]) -> tuple[str, ...]:
    """Lines and walls that run along the edge of a face, the longest along it first."""
    edge = face.boundary.buffer(MEETS_FT)
    along: dict[str, float] = {}
    for chain in chains:
        length_ft = sum(float(shapely.LineString(run).intersection(edge).length) for run in pairwise(chain.path))
        along[chain.owner] = along.get(chain.owner, 0.0) + length_ft
    return tuple(sorted((name for name, length_ft in along.items() if length_ft > AT_YARD_FT), key=lambda name: -along[name]))


def _apart(found: Sequence[tuple[tuple[str, ...], float, Point]]) -> list[str]:
    """What each is called: by what goes round it and its size; by where it lies too, where those are the same."""
    plain = [f"{listed(bounds)}, {area_words(area)}" for bounds, area, _ in found]
    alike = Counter(listed(bounds) for bounds, _, _ in found)
    middle = (sum(inside[0] for _, _, inside in found) / (len(found) or 1), sum(inside[1] for _, _, inside in found) / (len(found) or 1))
    return [
        f"{words}, {_WAYS[round(azimuth_deg(middle, inside) / 45) % 8]}"
        if alike[listed(bounds)] > 1 and distance_ft(middle, inside) > SAME_SPOT_FT
        else words
        for words, (bounds, _, inside) in zip(plain, found, strict=True)
    ]
