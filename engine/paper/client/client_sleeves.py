"""Sleeves that stay in the ground where no post stands, as a client is told of them: the nearest to a gate or a wall first."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from operator import add

import shapely

from engine.calc.geometry.plane import Point
from engine.calc.length_words import tape_words
from engine.calc.lengths import format_ft_in
from engine.drawing.site_shapes import placed
from engine.job.errors import shown
from engine.job.model.job import Job
from engine.job.model.signed_record import LeftSleeve, Record
from engine.paper.client.client_lists import ToldList, rows_of
from engine.paper.client.paper_heights import high_pt
from engine.paper.client.shared_room import short
from engine.paper.known_places import KnownPlace
from engine.paper.markup import element, escaped
from engine.walk import Walk

COLUMNS = (("sleeve of", 12), ("two tapes cross over it", 41), ("along its line then", 18), ("what happened", 17), ("since", 12))
"""Heads of the table with the share of its width that each has, in hundredths."""
NOT_IN_GROUND = "No sleeve was left in the ground without its post."
BESIDES = (
    "Every driven post stands in a steel sleeve, and brace feet and stakes go into the ground beside them. "
    "If a post ever comes out, its sleeve may stay."
)

MOST_LETTERS = 24
"""Of what happened to one."""


def sleeves_for_client(job: Job, walk: Walk, record: Record) -> tuple[tuple[str, LeftSleeve], ...]:
    """Every one with its post. People walk and dig most by gates and walls, so the nearest to those come first, and last those whose place
    isn't known. Source: common practice, no source."""
    posts = [name for gate in record.gates.values() for name in (gate.hinge_post, gate.latch_post)]
    gates = [shapely.Point(post.east_ft, post.north_ft) for name in posts if (post := record.supports.get(name))]
    paths = (placed(walk.survey, structure.points) for structure in job.structures.values())
    near = shapely.union_all([*gates, *(shapely.LineString(path) for path in paths if len(path) > 1)])

    def away_ft(name: str) -> float:
        there = _there(record.sleeves_left[name])
        return float("inf") if there is None else 0.0 if near.is_empty else float(shapely.Point(there).distance(near))

    return tuple((name, record.sleeves_left[name]) for name in sorted(record.sleeves_left, key=away_ft))


def _there(left: LeftSleeve) -> Point | None:
    return None if left.east_ft is None or left.north_ft is None else (left.east_ft, left.north_ft)


def sleeves_told(sleeves: Sequence[tuple[str, LeftSleeve]], places: Sequence[KnownPlace]) -> ToldList:
    """Every one with the two tapes to it; its height is that of its row and of what it adds to the words on where tapes start."""
    told = rows_of(COLUMNS, _rows(sleeves), len(sleeves))
    starts = [tapes_start(sleeves[:count], places) for count in range(len(told.rows) + 1)]
    starts_pt = [high_pt(element("p", escaped(says))) if says else 0.0 for says in starts]
    added = (after - before for before, after in pairwise(starts_pt))
    return told._replace(heights_pt=tuple(map(add, told.heights_pt, added)))


def _rows(sleeves: Sequence[tuple[str, LeftSleeve]]) -> Iterator[tuple[str, ...]]:
    for name, left in sleeves:
        tapes = " and ".join(filter(None, map(tape_words, _tapes(left)))) or "no tape to it is known"
        along = f"{format_ft_in(left.station_ft)} of {short(left.line)}" if left.station_ft is not None and left.line else ""
        yield name, tapes, along, shown(left.what, MOST_LETTERS), f"{left.at:%Y-%m-%d}"


def _tapes(left: LeftSleeve) -> tuple[str, str]:
    return left.tie_a, left.tie_b


def tapes_start(sleeves: Sequence[tuple[str, LeftSleeve]], places: Sequence[KnownPlace]) -> str:
    """What the places are that tapes to some sleeves start from; empty where there are none."""
    tapes = {tape.rpartition(" from ")[2] for _, left in sleeves for tape in _tapes(left)}
    used = [f"{place.name} is the {short(place.what)}" for place in places if place.name in tapes]
    return f"Hold the tapes at the places the plan names: {'; '.join(used)}." if used else ""
