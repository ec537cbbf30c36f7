"""Grounds that lines close: what goes round each, how large it is, a place inside it; and a yard known by such a place alone."""

import pytest
from pydantic import ValidationError

from engine.job.model.fence import Yard
from engine.stages.survey.grounds import YardGround, ground_at, grounds
from engine.stages.survey.stage import survey
from tests.demo import others
from tests.stages import yards
from tests.stages.yards import said


def of(job: yards.Job) -> tuple[YardGround, ...]:
    return grounds(job, {name: point.xy for name, point in survey(job).points.items()})


@pytest.mark.closed_form
def test_the_plain_yard_is_the_one_ground_and_the_house_is_none() -> None:
    (ground,) = of(yards.plain())
    assert ground.words == "fence and house, 2,400 sq ft"
    assert ground.area_ft2 == pytest.approx(2400, abs=0.01)
    assert ground.inside[0] == pytest.approx(20, abs=1)


def test_two_yards_of_one_ring_are_called_apart() -> None:
    job = others()["ridge_ring"]
    found = of(job)
    assert len(found) == 2
    assert len({ground.words for ground in found}) == 2
    assert all({"ring", "split"} <= set(ground.bounds) for ground in found)
    places = {name: point.xy for name, point in survey(job).points.items()}
    assert [ground_at(found, job, places, ground.inside) for ground in found] == list(found)
    assert ground_at(found, job, places, (9999.0, 0.0)) is None


def test_a_yard_known_by_its_chosen_ground_closes_like_one_known_by_a_point() -> None:
    job = yards.plain()
    (ground,) = of(job)
    chosen = job.model_copy(update={"yards": {"back": Yard(east_ft=ground.inside[0], north_ft=ground.inside[1])}})
    assert survey(chosen).yards["back"] == survey(job).yards["back"]
    east, north = 300.0, 0.0
    away = survey(job.model_copy(update={"yards": {"back": Yard(east_ft=east, north_ft=north)}}))
    assert said(away, "yard_open")[0] == "Yard back doesn't close: no lines or walls go round its ground."


@pytest.mark.parametrize("fields", [{}, {"east_ft": 1.0}, {"inside": "A", "east_ft": 1.0, "north_ft": 2.0}])
def test_a_yard_is_known_by_one_place(fields: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        Yard.model_validate(fields)
