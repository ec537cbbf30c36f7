"""What runs from point to point: lines with their ground, chains of legs, and paced lengths against measured ones."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

from engine.calc.geometry.ground import Profile, grade_deg, level_at_ft
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.taping import paced_ft
from engine.calc.measuring.traverse import Course, traverse
from engine.calc.phrases import listed, plural
from engine.calc.remember import remembered, remembered_rows, remembered_same
from engine.calc.tolerances import MEETS_FT, SAME_SPOT_FT
from engine.findings import Finding, FindingOf
from engine.job.model.cross_checks import gate_end_ft
from engine.job.model.fence import FenceLine
from engine.job.model.job import Job
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import LegShot, LevelShot, Shot
from engine.stages.survey.floors import floor_findings, line_floors
from engine.stages.survey.network import level_ft
from engine.stages.survey.survey_facts import Floor, LegTraverse, LineSurvey, PacedCheck, line_stations_ft

_finding = FindingOf("survey")

_FLAT = Profile((0.0,), (0.0,))
_STEEPEST_DEG = 45.0


def line_surveys(job: Job, places: Mapping[str, Point]) -> tuple[dict[str, LineSurvey], Iterator[Finding]]:
    """Every line all of whose points have places, with length and ground, and findings on lines, levels and gates, made when asked for."""
    levels: dict[str, dict[str, LevelShot]] = {name: {} for name in job.lines}
    for key, shot in job.shots.items():
        if shot.method == "level" and shot.line in levels:
            levels[shot.line][key] = shot
    trouble = {name: found for name, line in job.lines.items() if (found := _trouble(name, line, places))}
    drawn = {name: line for name, line in job.lines.items() if name not in trouble}
    grounds = {name: _line_ground(line, tuple(levels[name].values()), places) for name, line in drawn.items()}
    lines = {name: _line(job, name, ground) for name, ground in grounds.items()}

    def told() -> Iterator[Finding]:
        for name, shots in levels.items():
            yield from (trouble[name],) if name in trouble else _wanted(grounds[name], (name, *shots), tuple(shots.values()))
        yield from floor_findings(job, lines)
        yield from _gate_findings(job, lines)

    return lines, told()


def line_survey(job: Job, name: str, shots: Mapping[str, Shot], places: Mapping[str, Point]) -> LineSurvey:
    """One line all of whose points have places, with the ground that these shots give it."""
    levels = tuple(shot for shot in shots.values() if shot.method == "level" and shot.line == name)
    return _line(job, name, _line_ground(job.lines[name], levels, places))


def _line_ground(line: FenceLine, levels: tuple[LevelShot, ...], places: Mapping[str, Point]) -> "_Ground":
    return _ground(line, levels, tuple(places[point] for point in line.points))


def _line(job: Job, name: str, ground: "_Ground") -> LineSurvey:
    return _drawn(name, job.lines[name], ground, line_floors(job, name, ground.path, ground.length_ft, ground.profile))


@remembered_same
def _drawn(name: str, line: FenceLine, ground: "_Ground", floors: tuple[Floor, ...]) -> LineSurvey:
    return _same_line(
        LineSurvey(name, line.points, ground.path, ground.length_ft, ground.profile, ground.shots_on_it, floors, ground.beside)
    )


class _Ground(NamedTuple):
    """A line's path and length, the ground along it, how many levels on it give that, and those beside it."""

    path: tuple[Point, ...]
    length_ft: float
    profile: Profile
    shots_on_it: int
    beside: tuple[tuple[float, float, float], ...]


@remembered_rows
def _ground(line: FenceLine, levels: tuple[LevelShot, ...], path: tuple[Point, ...]) -> _Ground:
    """By the line's own levels."""
    length_ft = line_stations_ft(path)[-1]
    reached = [shot for shot in levels if shot.station_ft <= length_ft + MEETS_FT]
    on_line = [(shot.station_ft, shot.ground_ft) for shot in reached if not shot.offset_ft]
    profile = _profile(on_line, length_ft, line.closed)
    beside = tuple((shot.station_ft, shot.offset_ft, shot.ground_ft) for shot in reached if shot.offset_ft)
    return _Ground(path, length_ft, profile, len(on_line), beside)


@remembered_rows
def _wanted(ground: _Ground, named: tuple[str, ...], levels: tuple[LevelShot, ...]) -> tuple[Finding, ...]:
    """What the levels of a line want; the first name is the line's, the others are theirs."""
    return tuple(_level_findings(named[0], dict(zip(named[1:], levels, strict=True)), ground.length_ft, ground.profile))


@remembered
def _same_line(line: LineSurvey) -> LineSurvey:
    """The very same object from walk to walk, as long as nothing of it differs: all that stands on it is found by that."""
    return line


def _trouble(name: str, line: FenceLine, places: Mapping[str, Point]) -> Finding | None:
    """Why a line can't be drawn yet."""
    missing = [point for point in dict.fromkeys(line.points) if point not in places]
    if missing:
        says = f"Line {name} can't be drawn: {listed(missing)} {plural(len(missing), 'has', 'have')} no place."
        return _finding("line_unplaced", "fix", (name, *missing), says, f"Place {listed(missing)} first.")
    return _stands_still(line, (name,), tuple(places[point] for point in line.points))


@remembered_rows
def _stands_still(line: FenceLine, named: tuple[str], path: tuple[Point, ...]) -> Finding | None:
    """Whether two of its points in a row come out at one place; the name is the line's."""
    for (a, b), ends in zip(pairwise(line.points), pairwise(path), strict=True):
        if distance_ft(*ends) < SAME_SPOT_FT:
            says = f"Line {named[0]} can't be drawn: {a} and {b} come out at the same place."
            do = "Take one of them out of the line, or measure both again."
            return _finding("line_stands_still", "fix", (named[0], a, b), says, do)
    return None


def _profile(shots: Sequence[tuple[float, float]], length_ft: float, closed: bool) -> Profile:
    """Ground through the level shots; levels shot twice at one station are averaged; a closed line's ends agree."""
    if not shots:
        return _FLAT
    grouped = groupby(sorted(shots), key=lambda shot: round(shot[0] / SAME_SPOT_FT))
    means = [(group[0][0], sum(level for _, level in group) / len(group)) for _, rows in grouped if (group := list(rows))]
    profile = Profile(tuple(station for station, _ in means), tuple(level for _, level in means))
    return _round(profile, length_ft) if closed else profile


def _round(profile: Profile, length_ft: float) -> Profile:
    """The ground of a closed line from 0 to its length: between its last and first shots it runs on across the start."""
    inner = [(s, z) for s, z in zip(profile.stations_ft, profile.levels_ft, strict=True) if 0 < s < length_ft]
    ends = [z for s, z in zip(profile.stations_ft, profile.levels_ft, strict=True) if not 0 < s < length_ft]
    if ends:
        start_ft = sum(ends) / len(ends)
    else:
        (first, first_ft), (last, last_ft) = inner[0], inner[-1]
        start_ft = level_at_ft(Profile((last - length_ft, first), (last_ft, first_ft)), 0.0)
    rows = [(0.0, start_ft), *inner, (length_ft, start_ft)]
    return Profile(tuple(s for s, _ in rows), tuple(z for _, z in rows))


def _level_findings(name: str, shots: Mapping[str, LevelShot], length_ft: float, profile: Profile) -> Iterator[Finding]:
    if all(shot.offset_ft for shot in shots.values()):
        yield _finding(
            "no_levels", "note", (name,), f"No levels are shot along line {name}, so its ground counts as flat.",
            "Shoot the ground at its ends and at every break.",
        )  # fmt: skip
    for key, shot in shots.items():
        if shot.station_ft > length_ft + MEETS_FT:
            says = f"Level {key} is at {format_ft_in(shot.station_ft)} on line {name}, which is {format_ft_in(length_ft)} long."
            yield _finding("level_off_line", "fix", (key, name), says, "Put its station right; it is left out until then.")
    for before, after in pairwise(profile.stations_ft):
        if abs(grade_deg(profile, before, after)) > _STEEPEST_DEG:
            rise_ft = level_at_ft(profile, after) - level_at_ft(profile, before)
            says = (
                f"Line {name} {'rises' if rise_ft > 0 else 'falls'} {format_ft_in(abs(rise_ft))} "
                f"from {format_ft_in(before)} to {format_ft_in(after)}."
            )
            read = (key for key, shot in shots.items() if before - SAME_SPOT_FT <= shot.station_ft <= after + SAME_SPOT_FT)
            yield _finding("ground_steep", "note", (name, *read), says, "Read both levels again; if it is a wall or a bank, draw it.")


def _gate_findings(job: Job, lines: Mapping[str, LineSurvey]) -> Iterator[Finding]:
    for name, gate in job.gates.items():
        line = lines.get(gate.line)
        if line is None:
            continue
        end_ft = gate_end_ft(gate, job.rules.gate.gap_in)
        if end_ft <= line.length_ft + SAME_SPOT_FT and end_ft - gate.station_ft <= line.length_ft:
            continue
        opening_ft, length = end_ft - gate.station_ft, format_ft_in(line.length_ft)
        if opening_ft > line.length_ft:
            says = f"Gate {name} needs {format_ft_in(opening_ft)}, and line {gate.line} is {length} long."
            yield _finding("gate_wider_than_line", "fix", (name, gate.line), says, "Make it narrower, or put it in another line.")
        else:
            says = f"Gate {name} ends at {format_ft_in(end_ft)}, and line {gate.line} is {length} long."
            by = f"{format_ft_in(line.length_ft - opening_ft)} or less"
            do = f"Set its station to {by}, and where its posts are planned already lay {gate.line} out afresh for them."
            yield _finding("gate_off_line", "fix", (name, gate.line), says, do)


def paced_checks(shots: Mapping[str, Shot], places: Mapping[str, Point], rules: SurveyRules) -> tuple[PacedCheck, ...]:
    """Every paced length beside the distance between the adjusted points."""
    if not 1 <= rules.step_ft <= 7:
        return ()
    return tuple(
        PacedCheck(name, a, b, paced_ft(shot.paces, rules.step_ft), distance_ft(places[a], places[b]))
        for name, shot in shots.items()
        if shot.method == "paces" and (a := shot.from_point) in places and (b := shot.to_point) in places
    )


def traverses(shots: Mapping[str, Shot], known: Mapping[str, Point], places: Mapping[str, Point]) -> tuple[LegTraverse, ...]:
    """Chains of legs that close on their start or on another known point, with their misclosure by the compass rule."""
    left = [shot for shot in shots.values() if shot.method == "leg"]
    left.sort(key=lambda leg: leg.from_point not in known)
    found = []
    while left:
        chain = _chain(left, known)
        if len(chain) > 1 and _closes(chain, known) and chain[0].from_point in places:
            found.append(_traverse(chain, places))
    return tuple(found)


def _chain(left: list[LegShot], known: Mapping[str, Point]) -> list[LegShot]:
    """Take from `left` its first leg and those that follow on, to the first known point or back to the start."""
    chain = [left.pop(0)]
    while not _closes(chain, known):
        following = next((leg for leg in left if leg.from_point == chain[-1].to_point), None)
        if following is None:
            break
        left.remove(following)
        chain.append(following)
    return chain


def _closes(chain: Sequence[LegShot], known: Mapping[str, Point]) -> bool:
    start, end = chain[0].from_point, chain[-1].to_point
    return end == start or (start in known and end in known)


def _traverse(chain: Sequence[LegShot], places: Mapping[str, Point]) -> LegTraverse:
    courses = [Course(level_ft(leg.length_ft, leg.rise_ft), leg.azimuth_deg) for leg in chain]
    walked = traverse(places[chain[0].from_point], courses, places[chain[-1].to_point])
    return LegTraverse(
        points=(chain[0].from_point, *(leg.to_point for leg in chain)),
        length_ft=walked.total_ft,
        lat_error_ft=walked.closure_latitude_ft,
        dep_error_ft=walked.closure_departure_ft,
        misclosure_ft=walked.misclosure_ft,
        precision=walked.precision,
    )


def traverse_findings(found: Sequence[LegTraverse], rules: SurveyRules) -> Iterator[Finding]:
    """Findings on traverses that close worse than the rule. Source: common practice, no source: the job's rule."""
    for walked in found:
        if walked.precision is not None and walked.precision < rules.precision_min:
            start, end = walked.points[0], walked.points[-1]
            says = (
                f"The legs from {start} round to {end} miss by {format_ft_in(walked.misclosure_ft)} "
                f"in {format_ft_in(walked.length_ft)}, 1 in {walked.precision:.0f}; 1 in {rules.precision_min:.0f} is wanted."
            )
            yield _finding("traverse_open", "fix", tuple(dict.fromkeys(walked.points)), says, "Read its bearings and lengths again.")
