"""How hard the dogs of a yard lean on each bay of its fence."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered, remembered_each, remembered_of
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.stages.layout.stage import Layout
from engine.stages.posts.standing_supports import Span
from engine.stages.survey.stage import Survey
from engine.stages.survey.yard_dogs import dogs_at

JUMP_FACTOR = 2.0
"""How many times its weight a dog that jumps at a fence puts on a cable: judgement, common practice, no source. One of 50 lb that a bay of
20 ft stops from 8 ft/s pushes with 1.7 times its weight where the cable runs free, 2.7 where the eyes grip. One that doesn't jump leans
with all its weight at most."""
NO_DOG_LBF = 50.0
"""A lean where no dog is written down: common practice, no source."""


def lean_of_lbf(dogs: Iterable[Dog]) -> float:
    """The hardest lean of one of the dogs: its weight, twice that where it jumps; 50 lb without dogs. Several alike lean one at a time."""
    return max((dog.weight_lb * (JUMP_FACTOR if dog.jumps else 1.0) for dog in dogs), default=NO_DOG_LBF)


def leans_lbf(job: Job, survey: Survey, layout: Layout, bays: Sequence[Span]) -> list[float]:
    """How hard each bay is leaned on at its middle: by the rule where the crew set one, else by the dogs of the yards there."""
    rule_lbf = job.rules.cables.lean_lbf
    if rule_lbf is not None:
        return [rule_lbf] * len(bays)
    if len({lean_of_lbf((dog,)) for dog in job.dogs.values()}) < 2:  # wherever they come, they lean alike
        return [_same_lbf(lean_of_lbf(job.dogs.values()))] * len(bays)
    ends = [(layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy) for bay in bays]
    middles = [((e1 + e2) / 2, (n1 + n2) / 2) for (e1, n1), (e2, n2) in ends]
    return _leans(middles, _who_lean(job.dogs, survey))


@dataclass(frozen=True, eq=False)
class _WhoLean:
    """The dogs of a job and its yards; like no others, so that they are found by what they are."""

    dogs: Mapping[str, Dog]
    survey: Survey


@remembered_of
def _who_lean(dogs: Mapping[str, Dog], survey: Survey) -> _WhoLean:
    return _WhoLean(dogs, survey)


@remembered_each
def _leans(middles: Sequence[Point], who: _WhoLean) -> list[float]:
    return [_same_lbf(lean_of_lbf(dogs)) for dogs in dogs_at(who.dogs, who.survey, middles)]


@remembered
def _same_lbf(lean_lbf: float) -> float:
    """The very same number from survey to survey: what hangs on it is found by that."""
    return lean_lbf
