"""Shared small jobs for the stage tests, built from true coordinates so that every shot is exact unless a test spoils it.

The plain yard: a house whose back wall runs from A (0, 0) to B (40, 0), and a fence north of it through T1 (0, 60) and T2 (40, 60).

    T1 (0,60) ---- north ---- T2 (40,60)      line "fence": A, T1, T2, B; stations A 0, T1 60, T2 100, B 160
        |                         |           gate "G1": station 75, a 5 ft leaf, in the middle of the north run
        |          IN (20,30)     |           yard "back": 40 by 60 ft, 2,400 sq ft
     A (0,0) ===== house ===== B (40,0)
     D (0,-30) =============== C (40,-30)
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from engine.calc.geometry.plane import Point
from engine.findings import Finding
from engine.job.model.job import Job

Tables = dict[str, Any]


class Found(Protocol):
    """A stage's result, as far as its findings go."""

    @property
    def findings(self) -> tuple[Finding, ...]: ...


HOUSE: dict[str, Point] = {"A": (0.0, 0.0), "B": (40.0, 0.0), "C": (40.0, -30.0), "D": (0.0, -30.0)}
TRUE: dict[str, Point] = {"T1": (0.0, 60.0), "T2": (40.0, 60.0), "IN": (20.0, 30.0)}


def known(points: Mapping[str, Point]) -> Tables:
    """The `points` table of known points."""
    return {name: {"east_ft": east, "north_ft": north} for name, (east, north) in points.items()}


def tape_ft(a: Point, b: Point) -> float:
    """What a perfect tape reads between two places, ft."""
    return math.hypot(b[0] - a[0], b[1] - a[1])


def tie(point: str, place: Point, a: str = "A", b: str = "B", bases: Mapping[str, Point] = HOUSE) -> Tables:
    """A perfect two-tape tie from two known points."""
    (ae, an), (be, bn) = bases[a], bases[b]
    left = (be - ae) * (place[1] - an) - (bn - an) * (place[0] - ae) > 0
    return {
        "method": "tie",
        "point": point,
        "from_a": a,
        "from_b": b,
        "tape_a_ft": tape_ft(bases[a], place),
        "tape_b_ft": tape_ft(bases[b], place),
        "side": "left" if left else "right",
    }


def ties(places: Mapping[str, Point], a: str = "A", b: str = "B", bases: Mapping[str, Point] = HOUSE) -> Tables:
    """One perfect tie a point, shots S1, S2, ... in their order."""
    return {f"S{n}": tie(name, place, a, b, bases) for n, (name, place) in enumerate(places.items(), 1)}


def tape(a: str, b: str, length_ft: float) -> Tables:
    """One tape from a to b."""
    return {"method": "tape", "from_point": a, "to_point": b, "length_ft": length_ft}


def leg(a: str, b: str, azimuth_deg: float, length_ft: float) -> Tables:
    """A bearing and a distance from a to b."""
    return {"method": "leg", "from_point": a, "to_point": b, "azimuth_deg": azimuth_deg, "length_ft": length_ft}


def offset(point: str, along_ft: float, offset_ft: float, side: str) -> Tables:
    """A point along the wall from A to B and square off it."""
    row = {"method": "offset", "point": point, "base_from": "A", "base_to": "B"}
    return {**row, "along_ft": along_ft, "offset_ft": offset_ft, "side": side}


def levels(line: str, ground: Sequence[tuple[float, float]]) -> Tables:
    """Level shots (station ft, level ft) along a line, as shots `line`-L1, L2, ..."""
    return {
        f"{line}-L{n}": {"method": "level", "line": line, "station_ft": station, "level_ft": level}
        for n, (station, level) in enumerate(ground, 1)
    }


def tables() -> Tables:
    """The plain yard's tables, fresh, for a test to change before `build`."""
    return {
        "dogs": {"rex": {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "yard": "back"}},
        "utility_notice": {
            "ticket": "T-100",
            "called": "2026-03-02",
            "earliest_start": "2026-03-05",
            "expires": "2026-03-30",
            "marks_seen": True,
        },
        "points": known(HOUSE),
        "shots": ties(TRUE),
        "structures": {"house": {"kind": "house", "points": ["A", "B", "C", "D", "A"]}},
        "fence": {"height_ft": 6},
        "lines": {
            "fence": {
                "points": ["A", "T1", "T2", "B"],
                "start_meets": "structure",
                "start_at": "house",
                "end_meets": "structure",
                "end_at": "house",
            }
        },
        "gates": {"G1": {"line": "fence", "station_ft": 75, "leaf_width_ft": 5}},
        "yards": {"back": {"inside": "IN"}},
    }


def with_shots(**more: Tables) -> Tables:
    """The plain yard's tables with more shots, by id."""
    base = tables()
    base["shots"].update(more)
    return base


def build(changed: Tables | None = None, **more: Any) -> Job:
    """A Job from tables; `more` replaces whole tables of the plain yard (or of `changed`)."""
    return Job.model_validate({**(tables() if changed is None else changed), **more})


def plain() -> Job:
    """The plain yard: flat, exact shots, one gate, one dog, no plan yet."""
    return build()


def sloping(ground: Sequence[tuple[float, float]] = ((0, 0), (60, 3), (100, 1), (160, 0))) -> Job:
    """The plain yard with ground levels shot along its line."""
    base = tables()
    return build(base, shots={**base["shots"], **levels("fence", ground)})


def empty() -> Job:
    """A job with nothing in it."""
    return Job()


def half_surveyed() -> Job:
    """A line through a point no shot reaches, a gate beyond its line, a yard that doesn't close."""
    base = tables()
    base["shots"] = {
        **ties({"T1": TRUE["T1"], "IN": TRUE["IN"]}),
        "S9": {"method": "tape", "from_point": "A", "to_point": "T2", "length_ft": 72.0},
    }
    base["gates"] = {"G1": {"line": "fence", "station_ft": 900}}
    return build(base)


def long_job(sides: int = 40, run_ft: float = 50.0) -> Job:
    """A big closed yard: a ring of `sides` runs of `run_ft` (40 by 50 ft: 2,000 ft), each corner tied twice, levels every 25 ft."""
    radius = run_ft / (2 * math.sin(math.pi / sides))
    bases = {"A": (-20.0, 0.0), "B": (20.0, 0.0), "C": (20.0, -30.0), "D": (-20.0, -30.0)}
    ring = {
        f"R{n + 1}": (radius * math.sin(angle), radius * math.cos(angle))
        for n, angle in enumerate(math.radians(360 / sides) * (k + 0.25) for k in range(sides))
    }
    first = ties({**ring, "IN": (0.0, 40.0)}, "A", "C", bases)
    second = {f"{key}b": row for key, row in ties(ring, "B", "D", bases).items()}
    ground = [(25.0 * n, 4.0 * math.sin(n / 7)) for n in range(int(sides * run_ft / 25.0))]
    return Job.model_validate(
        {
            **tables(),
            "points": known(bases),
            "shots": {**first, **second, **levels("ring", ground)},
            "lines": {"ring": {"points": [*ring, "R1"], "start_meets": "itself", "end_meets": "itself"}},
            "gates": {"G1": {"line": "ring", "station_ft": 60}},
        }
    )


def codes(result: Found) -> set[str]:
    """Codes of a stage's findings."""
    return {finding.code for finding in result.findings}


def said(result: Found, code: str) -> tuple[str, str]:
    """What the one finding of a code says and asks for."""
    found = [finding for finding in result.findings if finding.code == code]
    assert len(found) == 1, result.findings
    return found[0].says, found[0].do
