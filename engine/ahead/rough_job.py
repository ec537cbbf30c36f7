"""A job made up of what was said before the survey: a fence of one length through as many corners, with its gates, on level ground.

A question of the first talk is a field of `Rough`, asked in `edit/first_talk.py`, on the command line and in the new-job form; what it does
to the fence is done here.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate
from math import cos, radians, sin
from typing import Any

from engine.calc.geometry.plane import Point
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.job.model.rules import Rules

LINE = "fence"
_WALL_FT = 6.0
_TRUNK_IN = 12.0
_INSIDE = "inside"
_TRIED_FT = 4_000.0
"""So many feet of fence are tried between low and high, and two lengths of the longest."""


def rough_job(job: Job, rough: Rough, length_ft: float) -> Job:
    """The job with a made-up fence of this length for its site: its rules, stock and dogs, no ticks, no log."""
    legs = [share * length_ft for share in rough.stretches]
    corners = _corners(legs, rough)
    height_ft = rough.height_ft or job.fence.height_ft
    named = {f"C{n}": at for n, at in enumerate(corners)}
    tables = _ring(named) if rough.ring else _open(named, rough)
    made = Job.model_validate({**tables, "gates": dict(_gates(rough, legs, job.rules.gate.gap_in / 12))})
    dogs = {name: dog.model_copy(update={"yard": None}) for name, dog in job.dogs.items()}
    fence = job.fence.model_copy(update={"height_ft": height_ft})
    return made.model_copy(update={"job": job.job, "rules": job.rules, "stock": job.stock, "dogs": dogs, "fence": fence})


def _corners(legs: Sequence[float], rough: Rough) -> list[Point]:
    """Both ends and every corner; a ring's first point once. Two corners turn round the yard, more of an open fence to and fro."""
    turn = 360 / len(legs) if rough.ring else 90.0
    to_and_fro = not rough.ring and len(legs) > 3
    azimuths = accumulate((turn * (-1 if to_and_fro and n % 2 else 1) for n in range(len(legs) - 1)), initial=0.0)
    steps = [(leg * sin(radians(azimuth)), leg * cos(radians(azimuth))) for leg, azimuth in zip(legs, azimuths, strict=True)]
    places = list(accumulate(steps, lambda at, step: (at[0] + step[0], at[1] + step[1]), initial=(0.0, 0.0)))
    return places[:-1] if rough.ring else places


def _ring(named: dict[str, Point]) -> dict[str, Any]:
    inside = tuple(sum(at[axis] for at in named.values()) / len(named) for axis in (0, 1))
    line = {"points": (*named, next(iter(named))), "start_meets": "itself", "end_meets": "itself"}
    points = {**named, _INSIDE: inside}
    return {"points": _known(points), "lines": {LINE: line}, "yards": {"yard": {"inside": _INSIDE}}}


def _open(named: dict[str, Point], rough: Rough) -> dict[str, Any]:
    """The line with what its ends meet: a straight wall square to it, a sound tree, or nothing."""
    names = list(named)
    points, structures, trees = dict(named), {}, {}
    line: dict[str, Any] = {"points": tuple(names)}
    ends = (("start", rough.start_meets, names[0], names[1]), ("end", rough.end_meets, names[-1], names[-2]))
    for end, meets, at, toward in ends:
        if meets == "house":
            points |= {f"{end}{n}": spot for n, spot in enumerate(_wall(named[at], named[toward]))}
            structures[end] = {"points": (f"{end}0", at, f"{end}1")}
            line |= {f"{end}_meets": "structure", f"{end}_at": end}
        elif meets == "tree":
            trees[end] = {"point": at, "diameter_in": _TRUNK_IN}
            line |= {f"{end}_meets": "tree", f"{end}_at": end}
    return {"points": _known(points), "structures": structures, "trees": trees, "lines": {LINE: line}}


def _wall(at: Point, toward: Point) -> tuple[Point, Point]:
    east, north = toward[0] - at[0], toward[1] - at[1]
    share = _WALL_FT / (abs(east) + abs(north))
    return (at[0] - north * share, at[1] + east * share), (at[0] + north * share, at[1] - east * share)


def _gates(rough: Rough, legs: Sequence[float], gap_ft: float) -> Iterator[tuple[str, dict[str, Any]]]:
    """Gates evenly along their stretch."""
    number, starts = 0, accumulate(legs, initial=0.0)
    for start_ft, leg_ft, widths in zip(starts, legs, rough.gates_on, strict=False):
        clear_ft = (leg_ft - sum(width + gap_ft for width in widths)) / (len(widths) + 1)
        at_ft = start_ft
        for width in widths:
            number += 1
            at_ft += clear_ft
            leaves = rough.leaves(width)
            yield f"gate{number}", {"line": LINE, "station_ft": at_ft, "leaf_width_ft": width / leaves, "leaves": leaves}
            at_ft += width + gap_ft


def lengths_to_try(rough: Rough, low_ft: float, likely_ft: float, high_ft: float, rules: Rules) -> tuple[float, ...]:
    """The low, likely and high length, and those between at which a stretch takes one bay more: the last on the grid before it and the
    first after. Of a long fence only some are tried: one bay is less of it, and its walk takes longer."""
    bay_ft, grid_ft, gap_ft = rules.layout.bay_max_ft, rules.layout.grid_in / 12, rules.gate.gap_in / 12
    steps = set()
    for share, widths in zip(rough.stretches, rough.gates_on, strict=True):
        parts, taken_ft = len(widths) + 1, sum(width + gap_ft for width in widths)
        bays = range(1, 1 + int((high_ft * share - taken_ft) / parts / bay_ft))
        steps |= {(bay * bay_ft * parts + taken_ft) / share + off / share for bay in bays for off in (-grid_ft, grid_ft)}
    between = sorted(step for step in steps if low_ft < step < high_ft)
    most = max(2, min(len(between), int(_TRIED_FT / likely_ft)))
    some = [between[n * len(between) // most] for n in range(most)] if between else []
    return tuple(sorted({low_ft, likely_ft, high_ft, *some}))


def _known(places: dict[str, Any]) -> dict[str, Any]:
    return {name: {"east_ft": at[0], "north_ft": at[1]} for name, at in places.items()}
