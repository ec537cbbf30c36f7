"""Published examples as a crew would enter them: a job of the printed figures, walked, so that what is checked is what a crew is shown."""

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import accumulate
from typing import Any

from engine.calc.geometry.plane import Point
from engine.job.model.job import Job
from engine.walk import Walk, walk
from tests.stages.yards import known

RULES = {"layout": {"bay_max_ft": 200}, "cables": {"loop_min_ft": 10, "loop_max_ft": 200}, "fabric": {"overrun_in": 0}}
"""Rules of a job whose loops each take one piece as long as their line."""


def leg_shots(start: str, *legs: tuple[str, float]) -> dict[str, Any]:
    """Legs round from a point and back to it, as the field book holds them: L1, L2, ... through T1, T2, ..."""
    names = [start, *(f"T{n}" for n in range(1, len(legs))), start]
    return {
        f"L{n + 1}": {"method": "leg", "from_point": names[n], "to_point": names[n + 1], "length_ft": length_ft, "azimuth_deg": bearing}
        for n, (bearing, length_ft) in enumerate(legs)
    }


def legs_walked(*legs: tuple[str, float], at: Point = (0.0, 0.0)) -> Walk:
    """A job of one known point and legs round from it."""
    return walk(Job.model_validate({"points": known({"K": at}), "shots": leg_shots("K", *legs)}))


def lines_walked(places: Mapping[str, Point], lines: Mapping[str, Sequence[str]], **tables: Any) -> Walk:
    """A job of known points and lines with free ends, or closed ones."""
    rows = {
        name: {"points": tuple(points), **({"start_meets": "itself", "end_meets": "itself"} if points[0] == points[-1] else {})}
        for name, points in lines.items()
    }
    return walk(Job.model_validate({"points": known(places), "lines": rows, **tables}))


@cache
def cut_from_rolls(lengths_ft: tuple[float, ...], roll_ft: float) -> Walk:
    """A job whose wire and mesh take these pieces: a straight line of each length, each from the end of the one before, and rolls of one
    length."""
    places = {f"C{n}": (0.0, north_ft) for n, north_ft in enumerate(accumulate(lengths_ft, initial=0.0))}
    lines = {f"n{n}": {"points": (f"C{n}", f"C{n + 1}"), **_meets_the_one_before(n)} for n in range(len(lengths_ft))}
    stock = {name: {"length_ft": roll_ft} for name in ("wire-48", "mesh-48")}
    return walk(Job.model_validate({"points": known(places), "lines": lines, "rules": RULES, "stock": stock}))


def _meets_the_one_before(number: int) -> dict[str, str]:
    return {"start_meets": "line", "start_at": f"n{number - 1}"} if number else {}
