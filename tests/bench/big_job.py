"""A big job of our own invention, the same for the same seed: yards of about 500 ft each round a house, on rolling ground.

Four yards are 2,000 ft and about 100 supports. Each yard has its own house corners to tape from, a taped check of every corner, ground
levels, a tree that carries the cables and one in the way, a buried line across, a rock, and a gate; a property line runs along the south.
"""

import math
import random
from bisect import bisect_right
from datetime import UTC, datetime, timedelta
from typing import Any

from engine.calc.geometry.plane import Point, apex_angle_deg, distance_ft, offset_point, vertex_stations_ft
from engine.findings import STAGES
from engine.job.model.checks import Tick
from engine.job.model.job import Job
from engine.job.model.log_entries import MoveEntry, NoteEntry
from engine.stages.layout.stage import planned_posts
from engine.walk import Walk, walk

Tables = dict[str, Any]

SIDES = 8
RADIUS_FT = 81.0
APART_FT = 260.0
NOON = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
HOUSE: dict[str, Point] = {"A": (-26.0, -17.0), "B": (26.0, -17.0), "C": (26.0, 17.0), "D": (-26.0, 17.0)}


def proposed(yards: int = 4, seed: int = 7) -> Job:
    """The job surveyed and drawn, no plan accepted yet; 500 ft and about 25 supports a yard."""
    rng = random.Random(seed)
    across = math.ceil(math.sqrt(yards))
    tables: Tables = {
        "job": {"number": "BIG-1", "title": "Rolling ground", "crew": ["Lead", "Second"]},
        "utility_notice": {
            "ticket": "T-1",
            "called": "2026-04-20",
            "earliest_start": "2026-04-24",
            "expires": "2026-06-01",
            "marks_seen": True,
        },
        "points": {"SW": {"east_ft": -130, "north_ft": -96}, "SE": {"east_ft": APART_FT * across, "north_ft": -96}},
        "boundaries": {"south": {"points": ["SW", "SE"], "client_side": "left"}},
    }
    for number in range(1, yards + 1):
        at = (APART_FT * ((number - 1) % across), APART_FT * ((number - 1) // across))
        for table, rows in _yard(rng, f"{number}", at).items():
            tables.setdefault(table, {}).update(rows)
    return Job.model_validate(tables)


def big_job(yards: int = 4, seed: int = 7) -> Job:
    """The job at work: plan accepted, a post in ten moved, two items in three ticked with the reading they want."""
    drawn = proposed(yards, seed)
    planned = drawn.model_copy(update={"posts": planned_posts(walk(drawn).layout)})
    moved = planned.model_copy(update={"log": _log(random.Random(seed), planned)})
    return moved.model_copy(update={"checks": _ticks(walk(moved))})


def _yard(rng: random.Random, n: str, at: Point) -> Tables:
    """One yard's tables about a place; every name ends in the yard's number."""
    corners = {f"{name}{n}": _shift(at, place) for name, place in HOUSE.items()}
    ring = {
        f"R{n}-{k}": _shift(at, _polar(RADIUS_FT + rng.uniform(-6, 6), 360 * (k + rng.uniform(0.4, 0.6)) / SIDES)) for k in range(SIDES)
    }
    path = [*ring.values(), next(iter(ring.values()))]
    stations = vertex_stations_ft(path)
    rock = _point_at(path, stations[5] + 20.0)
    spots = {
        **ring,
        f"T{n}": _point_at(path, stations[1] + rng.uniform(22, 26)),
        f"U{n}": _shift(_point_at(path, stations[2] + 30.0), (rng.uniform(-2, 2), rng.uniform(-2, 2))),
        f"K{n}": _shift(rock, (rng.uniform(-1, 1), rng.uniform(-1, 1))),
        f"IN{n}": _shift(at, (0.0, 45.0)),
    }
    pins = {
        f"G{n}a": _shift(at, (-120.0, 20.0)),
        f"G{n}b": _shift(at, (120.0, 6.0)),
    }
    return {
        "dogs": {f"dog{n}": {"weight_lb": 55, "shoulder_in": 22, "body_in": 31, "digs": True, "yard": f"yard{n}"}},
        "points": {name: {"east_ft": east, "north_ft": north} for name, (east, north) in {**corners, **pins}.items()},
        "shots": {**_ties(rng, n, corners, spots), **_levels(rng, n, path)},
        "structures": {f"house{n}": {"points": [*corners, f"A{n}"]}},
        "trees": {f"oak{n}": {"point": f"T{n}", "diameter_in": 11}, f"ash{n}": {"point": f"U{n}", "diameter_in": 7}},
        "obstacles": {f"rock{n}": {"kind": "rock", "points": [f"K{n}"], "radius_ft": 1.5}},
        "utilities": {f"gas{n}": {"kind": "gas", "points": [f"G{n}a", f"G{n}b"], "width_in": 2}},
        "lines": {f"ring{n}": {"points": [*ring, f"R{n}-0"], "start_meets": "itself", "end_meets": "itself"}},
        "gates": {f"gate{n}": {"line": f"ring{n}", "station_ft": round(stations[4] + 12.0, 2), "leaf_width_ft": 5}},
        "yards": {f"yard{n}": {"inside": f"IN{n}"}},
    }


def _point_at(path: list[Point], station_ft: float) -> Point:
    stations = vertex_stations_ft(path)
    run = min(max(bisect_right(stations, station_ft) - 1, 0), len(path) - 2)
    return offset_point(path[run], path[run + 1], station_ft - stations[run], 0)


def _ties(rng: random.Random, n: str, corners: dict[str, Point], spots: dict[str, Point]) -> Tables:
    """A tie to each spot from the two house corners that cut best, and a tape from a third to check it."""
    shots: Tables = {}
    for k, (name, place) in enumerate(spots.items(), 1):
        names = sorted(corners)
        pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
        a, b = min(pairs, key=lambda pair: abs(_apex_deg(corners[pair[0]], corners[pair[1]], place) - 90))
        third = min((c for c in names if c not in (a, b)), key=lambda c: distance_ft(corners[c], place))
        shots[f"t{n}-{k}"] = {
            "method": "tie", "point": name, "from_a": a, "from_b": b, "side": _side(corners[a], corners[b], place),
            "tape_a_ft": _taped(rng, corners[a], place), "tape_b_ft": _taped(rng, corners[b], place),
        }  # fmt: skip
        shots[f"c{n}-{k}"] = {"method": "tape", "from_point": third, "to_point": name, "length_ft": _taped(rng, corners[third], place)}
    return shots


def _levels(rng: random.Random, n: str, path: list[Point]) -> Tables:
    """Ground levels about every 20 ft: long waves of some feet, small ones of some inches."""
    shots: Tables = {}
    station, k = 0.0, 0
    while station <= vertex_stations_ft(path)[-1]:
        east, north = _point_at(path, station)
        level = 5 * math.sin(east / 70) + 3 * math.cos(north / 55) + 0.3 * math.sin(east / 9) + rng.gauss(0, 0.03)
        shots[f"l{n}-{k}"] = {"method": "level", "line": f"ring{n}", "station_ft": round(station, 2), "level_ft": round(level, 2)}
        station, k = station + rng.uniform(17, 23), k + 1
    return shots


def _log(rng: random.Random, job: Job) -> tuple[MoveEntry | NoteEntry, ...]:
    """A rock under one driven line post in ten, each moved along the line by inches."""
    driven = [name for name, post in job.posts.items() if post.support == "driven" and post.kind == "line"]
    moves = tuple(
        MoveEntry(
            id=f"m{k}",
            at=NOON + timedelta(minutes=k),
            by="Lead",
            kind="move",
            post=name,
            along_ft=round(rng.uniform(-0.6, 0.6), 2),
            why="rock",
        )
        for k, name in enumerate(driven[::10], 1)
    )
    return (*moves, NoteEntry(id="n1", at=NOON, by="Lead", kind="note", about="job", text="Ground is dry."))


def _ticks(worked: Walk) -> dict[str, Tick]:
    """Two items in three done, a reading as it is wanted."""
    ticks = {}
    items = [line.item for stage in STAGES for line in worked.checklists[stage].lines]
    for item in (item for k, item in enumerate(items) if k % 3):
        reading = {}
        if item.reading is not None:
            wanted = next((value for value in (item.reading.wanted, item.reading.low, item.reading.high) if value is not None), 1.0)
            reading = {f"reading_{item.reading.unit}": max(0.0, wanted)}
        ticks[item.key] = Tick.model_validate({"at": NOON, "by": "Lead", "of": item.of, **reading})
    return ticks


def _shift(place: Point, by: Point) -> Point:
    return (place[0] + by[0], place[1] + by[1])


def _polar(radius_ft: float, azimuth_deg: float) -> Point:
    return (radius_ft * math.sin(math.radians(azimuth_deg)), radius_ft * math.cos(math.radians(azimuth_deg)))


def _taped(rng: random.Random, a: Point, b: Point) -> float:
    return round(distance_ft(a, b) + rng.gauss(0, 0.02), 2)


def _apex_deg(a: Point, b: Point, place: Point) -> float:
    return apex_angle_deg(distance_ft(a, place), distance_ft(b, place), distance_ft(a, b))


def _side(a: Point, b: Point, place: Point) -> str:
    return "left" if (b[0] - a[0]) * (place[1] - a[1]) > (b[1] - a[1]) * (place[0] - a[0]) else "right"
