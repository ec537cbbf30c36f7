"""Stage 1, survey: where every point is and how well, the ground along each line, the yards and what the dogs need.

Limits: places are horizontal feet on a plane, and stations are horizontal. Known points are held exactly; the sigmas in the rules are
trusted. Two tapes with nothing to check them are accepted, and told so. Ground is straight between level shots: a dip between two isn't
seen. Notices compare dates in the file with the planned day; no clock is asked about the law. Local code, the permit office and licensed
practice decide.
"""

from collections.abc import Iterator, Mapping

from engine.calc.geometry.plane import Point, apex_angle_deg, distance_ft
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import first_few
from engine.calc.tolerances import SAME_SPOT_FT
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.shots import TieShot, is_measured
from engine.stages.survey.adjusted import Solution
from engine.stages.survey.before_digging import notice_findings, suited_height, survey_items
from engine.stages.survey.line_ground import line_surveys, paced_checks, traverse_findings, traverses
from engine.stages.survey.measured import Measured, judged, measured
from engine.stages.survey.network import Placing, ReadValue, floating
from engine.stages.survey.survey_facts import Floor, LegTraverse, LineSurvey, PacedCheck, PlacedPoint, ShotFit, Survey, YardArea
from engine.stages.survey.yards import yard_areas

_finding = FindingOf("survey")

__all__ = ["READS", "Floor", "LegTraverse", "LineSurvey", "PacedCheck", "PlacedPoint", "ShotFit", "Survey", "YardArea", "placed", "survey"]

READS = (
    "job", "dogs", "utility_notice", "rules", "points", "shots", "structures", "trees", "obstacles", "utilities",
    "boundaries", "decks", "fence", "lines", "surfaces", "heights", "gates", "yards", "rough",
)  # fmt: skip

_FLATTEST_DEG, _BLUNTEST_DEG = 30.0, 150.0
"""Tapes that cross outside these double the error: derived, for the error of a place by two tapes grows as 1 / sin(angle)."""


def survey(job: Job) -> Survey:
    """Everything the survey gives: places by least squares over all shots, lines with their ground, yards, and what to ask. Bearings count
    from the same north as the known points. Lengths are level, in feet."""
    rules = job.rules.survey
    found = measured(job)
    known, solution, said = found.known, found.solution, judged(rules, found)
    unplaced = _unplaced(job, found, said.without_place)
    lines, line_findings = line_surveys(job, solution.places)
    yards, yard_findings = yard_areas(job, solution.places)
    closed = traverses(found.shots, known, solution.places)
    height_ft, dog_findings = suited_height(job)
    return Survey(
        points=found.points,
        unplaced={name: f"{says} {do}" for name, (says, do) in unplaced.items()},
        fits=said.fits,
        degrees_of_freedom=solution.degrees_of_freedom,
        traverses=closed,
        paced=paced_checks(found.shots, solution.places, rules),
        lines=lines,
        yards=yards,
        suited_height_ft=height_ft,
        findings=(
            *notice_findings(job),
            *_point_findings(job, known, found.placing, unplaced),
            *said.unfit,
            *_weak_findings(job, said.unchecked, solution),
            *traverse_findings(closed, rules),
            *line_findings,
            *yard_findings,
            *dog_findings,
        ),
        items=tuple(survey_items(job, found.shots, solution.places)),
    )


def placed(job: Job) -> Survey:
    """The survey as far as a layout asks it, points and lines, with nothing said of them."""
    found = measured(job)
    lines, _ = line_surveys(job, found.solution.places)
    return Survey(found.points, {}, (), found.solution.degrees_of_freedom, (), (), lines, {}, None, (), ())


def _unplaced(job: Job, found: Measured, read: tuple[str, ...]) -> dict[str, tuple[str, str]]:
    """Every point that something names and that has no place, those that are read first: why, and the shot that would fix it."""
    names = dict.fromkeys((*read, *(name for name in _used(job) if name not in found.solution.places)))
    return {name: _why(name, job, found.placing, found.solution, found.read) for name in names}


def _why(name: str, job: Job, placing: Placing, solution: Solution, read: tuple[ReadValue, ...]) -> tuple[str, str]:
    if name not in placing.places:
        return floating(name, job.shots, placing, read)
    if not solution.settled:
        return f"{name} floats: the shots to it contradict each other.", "Take out the wrong one, or measure it again."
    return (f"{name} floats: its tapes cross too flat to hold it.", "Tape it from a point well off that line, or measure it as an offset.")


def _used(job: Job) -> Iterator[str]:
    for table in (job.structures, job.obstacles, job.utilities, job.boundaries, job.decks, job.lines):
        for row in table.values():
            yield from row.points
    yield from (tree.point for tree in job.trees.values())
    yield from (yard.inside for yard in job.yards.values() if yard.inside is not None)


def _point_findings(job: Job, known: Mapping[str, Point], placing: Placing, unplaced: Mapping[str, tuple[str, str]]) -> Iterator[Finding]:
    if not known and unplaced:
        yield _finding(
            "no_known_points", "fix", (), "No point is known yet, so nothing can be placed.",
            "Give one house corner a place, east 0 and north 0, and a second one along the wall.",
        )  # fmt: skip
        return
    for name, (says, do) in unplaced.items():
        yield _finding("point_unplaced", "fix", (name,), says, do)
    for shot, gap_ft in placing.apart.items():
        tie = job.shots[shot]
        if isinstance(tie, TieShot) and tie.point not in unplaced:
            says = f"The tapes of {shot} to {tie.point} miss each other by {format_ft_in(gap_ft)}."
            yield _finding("tapes_apart", "fix", (shot, tie.point), says, f"Tape {tie.point} again from {tie.from_a} and {tie.from_b}.")


def _weak_findings(job: Job, unchecked: tuple[str, ...], solution: Solution) -> Iterator[Finding]:
    """Points that nothing checks, together, but for those that only say where a post stands; ties that cross flat where nothing else holds
    the point."""
    stand = {shot.point for shot in job.shots.values() if shot.method == "offset" and not is_measured(shot)} if unchecked else ()
    unchecked = tuple(name for name in unchecked if name not in stand)
    if not unchecked:
        return
    says = f"Nothing checks {first_few(unchecked)}: one wrong tape would go unseen."
    yield _finding("points_unchecked", "note", unchecked, says, "Tape each once more, from a third point.")
    for name, shot in job.shots.items():
        if shot.method == "tie" and shot.point in unchecked:
            yield from _flat_tie(name, shot, solution)


def _flat_tie(name: str, tie: TieShot, solution: Solution) -> Iterator[Finding]:
    places = [solution.places[of] for of in (tie.from_a, tie.from_b, tie.point) if of in solution.places]
    if len(places) < 3:
        return
    a, b, point = places
    sides_ft = distance_ft(a, point), distance_ft(b, point), distance_ft(a, b)
    if min(sides_ft) < SAME_SPOT_FT:
        return
    apex = apex_angle_deg(*sides_ft)
    if not _FLATTEST_DEG <= apex <= _BLUNTEST_DEG:
        good = format_ft_in(solution.ellipses[tie.point].semi_major_ft)
        says = f"The tapes to {tie.point} cross at {apex:.0f}°, so it is only good to {good}."
        do = "Tie it from two points that see it closer to square."
        yield _finding("tie_flat", "note", (name, tie.point), says, do)
