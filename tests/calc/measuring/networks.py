"""Random plane networks for the adjustment's tests: points true and roughly placed, and shots of every kind with honest errors."""

import random
from dataclasses import dataclass

from engine.calc.geometry.plane import Point, azimuth_deg, distance_ft, station_offset
from engine.calc.measuring.observations import Along, Direction, Distance, Observation, Offset

KNOWN: dict[str, Point] = {"H1": (0.0, 0.0), "H2": (42.0, 6.0), "H3": (40.0, 34.0)}


@dataclass(frozen=True)
class Made:
    """A network whose true points are known to the test alone."""

    known: dict[str, Point]
    true: dict[str, Point]
    approximate: dict[str, Point]
    shots: list[Observation]


def random_network(seed: int, points: int = 8) -> Made:
    """Every point: a tape and a bearing from known points, then a tape to, or an offset from, points placed before it."""
    rng = random.Random(seed)
    true = {f"P{k}": (rng.uniform(-90, 150), rng.uniform(-90, 150)) for k in range(points)}
    places = KNOWN | true
    shots: list[Observation] = []
    for k, name in enumerate(true):
        earlier = [*KNOWN, *list(true)[:k]]
        shots.append(_tape(rng, f"t{k}", rng.choice(list(KNOWN)), name, places))
        bearing = azimuth_deg(places["H2"], places[name]) + rng.gauss(0, 0.3)
        shots.append(Direction(f"b{k}", "H2", name, bearing % 360, 0.3))
        if rng.random() < 0.5:
            shots.append(_tape(rng, f"u{k}", rng.choice(earlier), name, places))
        else:
            shots.extend(_offset_pair(rng, k, rng.sample(earlier, 2), name, places))
    approximate = {name: (east + rng.uniform(-2, 2), north + rng.uniform(-2, 2)) for name, (east, north) in true.items()}
    return Made(KNOWN, true, approximate, shots)


def _tape(rng: random.Random, id_: str, a: str, b: str, places: dict[str, Point]) -> Observation:
    return Distance(id_, a, b, distance_ft(places[a], places[b]) + rng.gauss(0, 0.03), 0.03)


def _offset_pair(rng: random.Random, k: int, base: list[str], p: str, places: dict[str, Point]) -> list[Observation]:
    """The base line is drawn out far both ways so that its nearest place is always square to the point."""
    a, b = base
    (a_east, a_north), (b_east, b_north) = places[a], places[b]
    far = 50
    start = (a_east - far * (b_east - a_east), a_north - far * (b_north - a_north))
    end = (b_east + far * (b_east - a_east), b_north + far * (b_north - a_north))
    station_ft, offset_ft = station_offset([start, end], places[p])
    along_ft = station_ft - distance_ft(start, places[a])
    return [
        Along(f"s{k}", a, b, p, along_ft + rng.gauss(0, 0.1), 0.1),
        Offset(f"o{k}", a, b, p, offset_ft + rng.gauss(0, 0.1), 0.1),
    ]
