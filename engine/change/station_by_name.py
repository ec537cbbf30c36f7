"""A place along a line as a crew says it: a length from the line's start, or the name of a point or a post that stands on the line."""

from engine.calc.geometry.plane import station_offset
from engine.calc.lengths import LengthError, format_ft_in, parse_length_ft
from engine.calc.tolerances import MEETS_FT
from engine.calc.units import bare_unit
from engine.change.found_in_ground import where_it_stands
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.stages.survey.survey_facts import LineSurvey, line_stations_ft
from engine.walk import Walk

_FIELD = "station_ft"


def station_told_ft(job: Job, walked: Walk, line: str, text: str, *, last: bool = False) -> float:
    """Station of what was typed. Where a ring passes a point twice, at its start and its end, the first one, or the `last`. Capitals don't
    matter where they tell no two names apart. A number is a length: of a name that is one too, `point 5` says the point."""
    said = text.strip()
    called = said[6:].strip() if said.lower().startswith("point ") else ""
    name = _called(walked, called or said)
    try:
        length_ft = parse_length_ft(said, "ft")
    except LengthError as error:
        if name:
            return _by_name_ft(job, walked, line, name, last)
        raise EditRefused(_unknown(said, line, str(error)), _FIELD) from error
    if name and not called:
        raise EditRefused(f"{said} is a length, and a point is called so: write {said} {bare_unit('ft')}, or point {name}.", _FIELD)
    return length_ft


def _called(walked: Walk, said: str) -> str:
    """The point or the post of that name, capitals or not; empty where none has it."""
    names = [*walked.survey.points, *walked.survey.unplaced, *walked.layout.supports]
    folded = [name for name in names if name.casefold() == said.casefold()]
    return said if said in names else folded[0] if len(set(folded)) == 1 else ""


def _by_name_ft(job: Job, walked: Walk, line: str, name: str, last: bool) -> float:
    on = walked.survey.lines.get(line)
    support = walked.layout.supports.get(name)
    found = _point_stations_ft(walked, on, name) if on else []
    if support and support.line == line:
        found.append(where_it_stands(job, walked, name)[1])
    if not found:
        raise EditRefused(_not_on(walked, on, line, name), _FIELD)
    return max(found) if last else min(found)


def _point_stations_ft(walked: Walk, on: LineSurvey, name: str) -> list[float]:
    """Where a line passes a point: at the turns called so, else where the point stands so near that it is on it."""
    turns = [station for station, turn in zip(line_stations_ft(on.path), on.vertices, strict=True) if turn == name]
    point = walked.survey.points.get(name)
    if turns or point is None:
        return turns
    station_ft, offset_ft = station_offset(on.path, point.xy)
    return [station_ft] if abs(offset_ft) <= MEETS_FT else []


def _not_on(walked: Walk, on: LineSurvey | None, line: str, name: str) -> str:
    if on is None:
        return f"Line {line} has no place yet: give a length."
    support, point = walked.layout.supports.get(name), walked.survey.points.get(name)
    if point is None:
        return f"{name} is on {support.line}, not on {line}." if support else f"{name} has no place yet: give a length."
    station_ft, offset_ft = station_offset(on.path, point.xy)
    return f"{name} isn't on {line}: it is {format_ft_in(abs(offset_ft))} off it, square at {format_ft_in(station_ft)}."


def _unknown(said: str, line: str, why: str) -> str:
    if not said or any(character in "0123456789'\"." for character in said[:1]):
        return why
    return f"{said} is no point and no post of this job: give a length along {line}, or a name that is on it."
