"""Hard ground and floors along a line: where each runs, the ground with them laid over it, and where nothing may be driven."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from engine.calc.geometry.ground import Profile, breaks_between, level_at_ft
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import shapely
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import EDGE_FT, MEETS_FT, ROUNDING_FT
from engine.findings import Finding, FindingOf
from engine.job.model.fence import Surface
from engine.job.model.job import Job
from engine.stages.survey.survey_facts import Floor, LineSurvey

_finding = FindingOf("survey")

RISER_FT = 0.01
"""A riser or a deck's face is drawn this far from one floor to the next, because stations must rise."""
BESIDE_FT = 1.0
"""A floor reaches this far to each side of its line, as far as keeping clear of it goes: judgement, common practice, no source."""


def line_floors(job: Job, line: str, path: tuple[Point, ...], length_ft: float, ground: Profile) -> tuple[Floor, ...]:
    """Hard ground and floors of one line in order, cut off at its end. Their areas reach `BESIDE_FT` to each side and end square."""
    found = [
        replace(_floor(name, row, min(row.to_ft, length_ft), ground), area=_area(path, row.from_ft, min(row.to_ft, length_ft)))
        for name, row in job.surfaces.items()
        if row.line == line and row.from_ft < length_ft - EDGE_FT
    ]
    return tuple(sorted(found, key=lambda floor: floor.from_ft))


def _floor(name: str, row: Surface, to_ft: float, ground: Profile) -> Floor:
    low_ft, high_ft = level_at_ft(ground, row.from_ft), level_at_ft(ground, to_ft)
    if row.kind == "deck" and row.height_ft > 0:
        levels: tuple[float, ...] = (low_ft + row.height_ft,)
    elif row.kind == "steps" and row.tread_count is not None:
        rise_ft = (high_ft - low_ft) / row.tread_count
        levels = tuple(low_ft + (tread + (rise_ft > 0)) * rise_ft for tread in range(row.tread_count))
    else:
        levels = ()
    return Floor(name, row.kind, row.from_ft, to_ft, levels, row.height_ft, row.rail_ft, row.open_under, row.driven)


def _area(path: tuple[Point, ...], from_ft: float, to_ft: float) -> tuple[Point, ...]:
    """Corners of the ground beside a stretch of a path."""
    run = shapely.ops.substring(shapely.LineString(path), from_ft, to_ft)
    area = run.buffer(BESIDE_FT, cap_style="flat", join_style="mitre")
    outline = area.exterior if isinstance(area, shapely.Polygon) else area.convex_hull.exterior
    return tuple((east, north) for east, north in outline.coords)[:-1]


def floor_findings(job: Job, lines: Mapping[str, LineSurvey]) -> Iterator[Finding]:
    """Floors that the survey can't draw as they were written: past the line's end, a deck without height, steps without rise."""
    drawn = {floor.surface: floor for line in lines.values() for floor in line.floors}
    for name, row in job.surfaces.items():
        line = lines.get(row.line)
        if line is None:
            continue
        length, floor = format_ft_in(line.length_ft), drawn.get(name)
        if floor is None or row.to_ft > line.length_ft + MEETS_FT:
            says = f"{row.kind.capitalize()} {name} runs to {format_ft_in(row.to_ft)} on line {row.line}, which is {length} long."
            do = "Put its stations right; what lies past the end is left out."
            yield _finding("surface_off_line", "fix", (name, row.line), says, do)
        elif row.kind == "deck" and row.height_ft == 0:
            says = f"Deck {name} has no height, so its floor counts as level with the ground."
            yield _finding("deck_without_height", "fix", (name, row.line), says, "Measure from the ground to its floor.")
        elif row.kind == "steps" and abs(floor.rise_ft(line.profile)) < RISER_FT:
            says = f"The ground is level from end to end of steps {name}, so they have no rise."
            yield _finding("steps_without_rise", "fix", (name, row.line), says, "Shoot the ground at their foot and at their top.")


def floored(ground: Profile, floors: Iterable[Floor], start_ft: float, end_ft: float) -> Profile:
    """The ground from one station to another with decks and treads laid over it. At both ends it is what lies between them: a stretch that
    starts at a deck's edge starts on the deck, one that ends there ends below."""
    flats = [flat for floor in floors for flat in floor.flats() if flat[1] > start_ft + EDGE_FT and flat[0] < end_ft - EDGE_FT]
    if not flats:
        return ground
    rows: list[Point] = []
    at_ft = start_ft
    for low, high, level in flats:
        _add(rows, _ground_rows(ground, at_ft + RISER_FT * bool(rows), low))
        at_ft = min(high, end_ft)
        first_ft = max(low, start_ft) if not rows else max(low, rows[-1][0] + RISER_FT)
        _add(rows, [(first_ft, level), (at_ft, level)])
    _add(rows, _ground_rows(ground, at_ft + RISER_FT, end_ft))
    return Profile(tuple(station for station, _ in rows), tuple(level for _, level in rows))


def _ground_rows(ground: Profile, low_ft: float, high_ft: float) -> list[Point]:
    """The ground from one station to another; nothing where they are the same."""
    if high_ft < low_ft + RISER_FT:
        return []
    return [(station, level_at_ft(ground, station)) for station in (low_ft, *breaks_between(ground, low_ft, high_ft), high_ft)]


def _add(rows: list[Point], more: list[Point]) -> None:
    """Add what lies further on than the last row."""
    for row in more:
        if not rows or row[0] > rows[-1][0] + ROUNDING_FT:
            rows.append(row)


def round_again(floors: tuple[Floor, ...], length_ft: float) -> tuple[Floor, ...]:
    """Floors of a closed line three times round, for bays that run across its start."""
    turns = (turn * length_ft for turn in (-1, 0, 1))
    return tuple(replace(floor, from_ft=floor.from_ft + turn, to_ft=floor.to_ft + turn) for turn in turns for floor in floors)


def floor_at(floors: Iterable[Floor], station_ft: float) -> Floor | None:
    """The floor that a station lies on, its edges included; of two that meet there the raised one."""
    here = [floor for floor in floors if floor.from_ft - EDGE_FT <= station_ft <= floor.to_ft + EDGE_FT]
    return max(here, key=lambda floor: floor.lift_ft, default=None)


def gaps_over_treads(floor: Floor) -> Iterator[tuple[float, float, float, float, float]]:
    """For every tread: where it lies, its level, and the levels over its ends of the straight line along the nosings."""
    flats = floor.flats()
    for n, (low, high, level) in enumerate(flats):
        before = flats[n - 1][2] if n else level
        after = flats[n + 1][2] if n + 1 < len(flats) else level
        yield low, high, level, max(level, before), max(level, after)


def raised(floors: Iterable[Floor]) -> Iterator[Floor]:
    """Decks that stand over the ground."""
    return (floor for floor in floors if floor.kind == "deck" and floor.lift_ft > 0)
