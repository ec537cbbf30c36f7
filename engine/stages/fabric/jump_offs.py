"""Over the fence: things near it that a jumping dog can stand on, and stretches lower than the dogs want."""

from collections.abc import Iterable, Iterator, Mapping
from math import inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import shapely
from engine.calc.lengths import format_ft_in
from engine.calc.limits import OutOfRange
from engine.calc.measuring.kennel import suited_height_ft
from engine.calc.tolerances import AT_YARD_FT, TAPE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.heights import BayHeight, lower_than_usual
from engine.stages.survey.before_digging import WITH_STOCK
from engine.stages.survey.stage import Survey

_finding = FindingOf("fabric")

HIGHEST_FT = 8.0
"""The highest fence a job may have."""


@dataclass(frozen=True)
class JumpOff:
    """Something to stand on beside one bay: how high, how far off the fence, what height of fence is left from up there, and for whom.
    `spot` is the place on the fence that is nearest to it."""

    thing: str
    bay: str
    spot: Point
    station_ft: float
    away_ft: float
    stand_ft: float
    left_ft: float
    dog: str
    suits_ft: float
    reach_ft: float

    @property
    def closes(self) -> str:
        """The mesh that closes it, in words: the job's own posts and mesh mostly don't reach so high, and it may lie beside several bays.
        Empty where no fence is so high."""
        top_ft = self.stand_ft + self.suits_ft
        beside = f"all along where {self.thing} is within {format_ft_in(self.reach_ft, 1)} of it"
        return f"mesh up to {format_ft_in(top_ft, 1)} on posts that reach so high, {beside}" if top_ft <= HIGHEST_FT else ""


def jump_offs(job: Job, survey: Survey, layout: Layout, hangs: Mapping[str, BayHeight]) -> tuple[JumpOff, ...]:
    """Everything in a yard that lifts a dog that jumps or climbs too near to the fence's top: the worst bay of each thing.

    Decks, and structures and obstacles whose height is known, count up to the height a dog gets up onto and within reach of the fence.
    What a dog wants is judged from up there as from the ground: the fence's height less that of what it stands on.
    Source: common practice, no source: reach and height are rules of the job; see engine.calc.measuring.kennel for what suits a dog.
    Valid for: ground alike under the thing and the fence; dogs that are written down as jumping or climbing.
    """
    jumpers = {name: dog for name, dog in job.dogs.items() if dog.jumps or dog.climbs}
    found = []
    for thing, shape, stand_ft in _things(job, survey) if jumpers else ():
        wants = _wants(_dogs_near(survey, jumpers, shape))
        beside = [one for bay in layout.bays.values() if (one := _beside(job, layout, hangs, bay, thing, shape, stand_ft, wants))]
        found += sorted(beside, key=lambda one: (one.left_ft, one.away_ft))[:1]
    return tuple(sorted(found, key=lambda one: one.left_ft))


def _things(job: Job, survey: Survey) -> "Iterator[tuple[str, shapely.Geometry, float]]":
    """What a dog can get up onto: name, shape in ft, height in ft."""
    rows: list[tuple[str, tuple[str, ...], float | None, float]] = [
        *((name, deck.points, deck.height_ft, 0.0) for name, deck in job.decks.items()),
        *((name, structure.points, structure.height_ft, 0.0) for name, structure in job.structures.items()),
        *((name, obstacle.points, obstacle.height_ft, obstacle.radius_ft) for name, obstacle in job.obstacles.items()),
    ]
    for name, points, height_ft, round_ft in rows:
        if height_ft and height_ft <= job.rules.fabric.jump_up_ft and all(point in survey.points for point in points):
            spots = [survey.points[point].xy for point in points]
            closed = len(set(spots)) > 2 and (spots[0] == spots[-1] or name in job.decks or name in job.obstacles)
            bare = shapely.Polygon(spots) if closed else shapely.LineString(spots) if len(set(spots)) > 1 else shapely.Point(spots[0])
            yield name, bare.buffer(round_ft) if round_ft else bare, height_ft


def _dogs_near(survey: Survey, dogs: Mapping[str, Dog], shape: "shapely.Geometry") -> dict[str, Dog]:
    """Dogs whose yard a shape lies in or beside; every dog where no yard is known to close."""
    areas = {name: shapely.Polygon(yard.ring) for name, yard in survey.yards.items() if len(yard.ring) > 2}
    here = {name for name, area in areas.items() if area.distance(shape) <= AT_YARD_FT}
    return {name: dog for name, dog in dogs.items() if dog.yard is None or dog.yard in here or dog.yard not in areas}


def _wants(dogs: Mapping[str, Dog]) -> tuple[str, float]:
    """The dog that suits the highest fence, and that height; nothing for dogs of no known size."""
    wanted = [("", 0.0)]
    for name, dog in dogs.items():
        try:
            wanted.append((name, suited_height_ft(dog.shoulder_in, dog.jumps, dog.climbs).height_ft))
        except OutOfRange:
            continue
    return max(wanted, key=lambda row: row[1])


def _run(layout: Layout, bay: Bay) -> "shapely.LineString":
    return shapely.LineString([layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy])


def _beside(
    job: Job,
    layout: Layout,
    hangs: Mapping[str, BayHeight],
    bay: Bay,
    thing: str,
    shape: "shapely.Geometry",
    stand_ft: float,
    wants: tuple[str, float],
) -> JumpOff | None:
    run, hang = _run(layout, bay), hangs[bay.id]
    away_ft = run.distance(shape) if run.length > 0 else inf
    left_ft = hang.height_ft - stand_ft
    if hang.deck or away_ft > job.rules.fabric.jump_reach_ft or left_ft >= wants[1] - TAPE_FT:
        return None
    nearest = shapely.ops.nearest_points(run, shape)[0]
    share = run.project(nearest) / run.length
    return JumpOff(
        thing, bay.id, (nearest.x, nearest.y), bay.start_ft + share * (bay.end_ft - bay.start_ft), away_ft, stand_ft, left_ft, *wants,
        job.rules.fabric.jump_reach_ft,
    )  # fmt: skip


def over_findings(job: Job, survey: Survey, layout: Layout, hangs: Mapping[str, BayHeight], jumps: Iterable[JumpOff]) -> Iterator[Finding]:
    """A finding for each thing to jump off, and one for each stretch lower than the fence that is too low for a dog there. Source: common
    practice, no source."""
    for one in jumps:
        away = f"{format_ft_in(one.away_ft, 1)} from the fence" if one.away_ft >= 1 / 24 else "at the fence"
        up = f"From {one.thing}, {format_ft_in(one.stand_ft, 1)} up and {away} at {format_ft_in(one.station_ft, 1)},"
        says = f"{up} {format_ft_in(max(one.left_ft, 0.0), 1)} of fence is left, and {one.dog} needs {format_ft_in(one.suits_ft, 1)}."
        off = format_ft_in(job.rules.fabric.jump_reach_ft - one.away_ft, 1)
        do = f"Keep dogs off {one.thing}; or take a new way there, {off} further off, where boundary and ground let it"
        do += f"; or carry {one.closes}." if one.closes else "."
        yield _finding("jump_off", "fix", (one.bay, one.thing), says, do)
    yield from _low_parts(job, survey, layout, hangs)


def _low_parts(job: Job, survey: Survey, layout: Layout, hangs: Mapping[str, BayHeight]) -> Iterator[Finding]:
    told: set[tuple[str, BayHeight]] = set()
    for name, bay in layout.bays.items():
        hang = hangs[name]
        if not lower_than_usual(job, hang) or bay.gate is not None or (bay.line, hang) in told:
            continue
        dog, suits_ft = _wants(_dogs_near(survey, job.dogs, _run(layout, bay)))
        if suits_ft > hang.height_ft + TAPE_FT:
            told.add((bay.line, hang))
            where = f"On {hang.deck}" if hang.deck else f"From {bay.from_id}"
            says = f"{where} the fence is only {format_ft_in(hang.height_ft, 1)} high; {dog} needs {format_ft_in(suits_ft, 1)}."
            yield _finding(
                "low_part", "fix", (name, bay.line), says, f"Talk it over with the client, or make it higher there, {WITH_STOCK}."
            )
