"""Which dogs come to a place: those of the yards on whose edge it lies, else every dog of the job."""

from collections.abc import Callable, Mapping, Sequence

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import np, shapely
from engine.calc.remember import remembered_of, remembered_same
from engine.calc.tolerances import AT_YARD_FT
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.stages.survey.survey_facts import Survey


def yards_and_dogs(job: Job, survey: Survey) -> Callable[[Point], tuple[tuple[str, ...], Sequence[Dog]]]:
    """For a spot its yards and the dogs to ask: those of the yards at it, else every dog of the job."""
    edges = _edges(survey)

    def at(spot: Point) -> tuple[tuple[str, ...], Sequence[Dog]]:
        here = tuple(name for name, edge in edges.items() if shapely.distance(edge, shapely.Point(spot)) <= AT_YARD_FT)
        return here, _dogs_of(job.dogs, here)

    return at


def dogs_at(dogs: Mapping[str, Dog], survey: Survey, spots: Sequence[Point]) -> list[Sequence[Dog]]:
    """The dogs to ask at each of many spots."""
    if not spots:
        return []
    there = shapely.points(np.array(spots))
    near = {name: shapely.distance(edge, there) <= AT_YARD_FT for name, edge in _edges(survey).items()}
    return [_dogs_of(dogs, tuple(name for name, at in near.items() if at[place])) for place in range(len(spots))]


@remembered_of
def _edges(survey: Survey) -> "dict[str, shapely.LinearRing]":
    return {name: _edge(yard.ring) for name, yard in survey.yards.items() if len(yard.ring) > 2}


@remembered_same
def _edge(ring: tuple[Point, ...]) -> "shapely.LinearRing":
    return shapely.LinearRing(ring)


def _dogs_of(dogs: Mapping[str, Dog], here: tuple[str, ...]) -> Sequence[Dog]:
    own = [dog for dog in dogs.values() if dog.yard is None or dog.yard in here]
    return own if here and own else list(dogs.values())
