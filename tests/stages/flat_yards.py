"""Flat yards of known points for the layout tests: every place is exact, so stations can be worked by hand."""

from collections.abc import Mapping
from typing import Any

from engine.calc.geometry.plane import Point
from engine.findings import Finding
from engine.job.model.job import Job
from engine.stages.layout.stage import Layout, layout
from engine.stages.survey.stage import survey
from tests.stages.yards import known

AT = "2026-03-06T09:00:00+00:00"


def yard(points: Mapping[str, Point], lines: Mapping[str, Any], **tables: Any) -> Job:
    """A job of known points and lines; a line may be given as its bare list of points, with free ends."""
    rows = {name: {"points": line} if isinstance(line, list) else line for name, line in lines.items()}
    return Job.model_validate({"points": known(points), "lines": rows, **tables})


def straight(length_ft: float, points: Mapping[str, Point] | None = None, **tables: Any) -> Job:
    """One line "n" due north from S (0, 0) to E, free at both ends."""
    return yard({"S": (0.0, 0.0), "E": (0.0, length_ft), **(points or {})}, {"n": ["S", "E"]}, **tables)


def ring(**tables: Any) -> Job:
    """A closed line "r" round a 40 ft square, walked clockwise from its south-west corner Q1."""
    places = {"Q1": (0.0, 0.0), "Q2": (0.0, 40.0), "Q3": (40.0, 40.0), "Q4": (40.0, 0.0)}
    line = {"points": ["Q1", "Q2", "Q3", "Q4", "Q1"], "start_meets": "itself", "end_meets": "itself"}
    return yard(places, {"r": line}, **tables)


def posts(line: str, *stations: float, kinds: Mapping[int, str] | None = None) -> dict[str, Any]:
    """A plan P1, P2, ... of driven posts at stations of a line: ends first and last, line posts between, `kinds` by index."""
    last = len(stations) - 1
    return {
        f"P{n + 1}": {"line": line, "station_ft": station, "kind": (kinds or {}).get(n, "end" if n in (0, last) else "line")}
        for n, station in enumerate(stations)
    }


def logged(kind: str, n: int = 1, **fields: Any) -> dict[str, Any]:
    """One log entry."""
    return {"id": f"e{n}", "at": AT, "by": "Lee", "kind": kind, **fields}


def laid(job: Job) -> Layout:
    """Layout of a job after its own survey."""
    return layout(job, survey(job))


def stations(found: Layout, line: str) -> list[float]:
    """Stations of a line's own supports in order."""
    return [found.supports[name].station_ft for name in found.lines[line].supports if found.supports[name].line == line]


def coded(found: Layout, code: str) -> list[Finding]:
    """Findings of one code."""
    return [finding for finding in found.findings if finding.code == code]
