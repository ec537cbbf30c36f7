"""A station said by the name of a point or a post: where it is, and a sentence where it isn't on the line."""

import pytest

from engine.change.station_by_name import station_told_ft
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.shots import Point
from engine.walk import Walk, walk
from tests.demo import accepted, others


def told(text: str, line: str = "back", job: Job | None = None, *, last: bool = False) -> float:
    job = job or accepted()
    return station_told_ft(job, walked(job), line, text, last=last)


def walked(job: Job) -> Walk:
    return walk(job)


def refusal(text: str, line: str = "back", job: Job | None = None) -> str:
    with pytest.raises(EditRefused) as refused:
        told(text, line, job)
    assert refused.value.field == "station_ft"
    return refused.value.says


@pytest.mark.parametrize(
    ("text", "station_ft"),
    [("23' 4 1/2\"", 23.375), ("23-4-1/2", 23.375), ("M", 66.0945), (" m ", 66.0945), ("C", 136.1031), ("R1", 46.9419), ("P4", 43.75)],
)
def test_a_length_a_turn_a_point_near_the_line_and_a_post_are_stations(text: str, station_ft: float) -> None:
    assert told(text) == pytest.approx(station_ft, abs=1e-4)


def test_a_ring_passes_its_first_point_twice() -> None:
    job = others()["ridge_ring"]
    assert told("R1", "ring", job) == 0.0
    assert told("R1", "ring", job, last=True) == pytest.approx(walked(job).survey.lines["ring"].length_ft)


def test_a_point_that_isn_t_on_the_line_is_refused_with_where_it_is() -> None:
    assert refusal("Y1") == "Y1 isn't on back: it is 34' 9 5/8\" off it, square at 34' 3\"."


def test_a_post_of_another_line_is_refused() -> None:
    job = others()["ridge_ring"]
    post = next(name for name, one in walked(job).layout.supports.items() if one.line == "split" and name not in walked(job).survey.points)
    assert refusal(post, "ring", job) == f"{post} is on split, not on ring."


def test_what_is_no_name_is_refused_with_what_would_do() -> None:
    assert refusal("nowhere") == "nowhere is no point and no post of this job: give a length along back, or a name that is on it."
    assert refusal("5' 14\"").startswith("5' 14\" has 12 inches or more")
    assert refusal("").startswith("No length ")


def test_a_point_called_like_a_length_has_to_be_called_a_point() -> None:
    job = accepted()
    place = walked(job).survey.points["C"]
    job = job.model_copy(update={"points": {**job.points, "5": Point(east_ft=place.east_ft, north_ft=place.north_ft)}})
    assert refusal("5", job=job) == "5 is a length, and a point is called so: write 5 ft, or point 5."
    assert told("5 ft", job=job) == 5.0
    assert told("point 5", job=job) == pytest.approx(136.1031, abs=1e-4)
