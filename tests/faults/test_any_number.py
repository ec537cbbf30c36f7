"""A job that loads gives a walk, the plan, the record in every form, the load list and its screens: never a traceback."""

from collections.abc import Callable

import pytest

from engine.job.edit.entering import put
from engine.job.errors import EntryRefused
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import demo
from tests.faults.any_number import broken, loaded_with, numbers

CASES = {"alder_row": 900, "ridge_ring": 300, "willow_bend": 300}


@pytest.mark.parametrize("name", CASES)
def test_any_number_gives_a_walk_or_a_sentence(name: str, record_property: Callable[[str, object], None]) -> None:
    """Fifteen hundred cases over every number of the three demos and pairs of them."""
    loaded, wrong = broken(name, CASES[name])
    record_property("counted", f"Numbers replaced in {name}: {CASES[name]:,} cases, {loaded:,} of them load.")
    assert not wrong, "\n".join(wrong[:20])
    assert loaded > CASES[name] / 8


def level_shot(job: Job) -> tuple[str, str]:
    """A level shot of the demo and its line."""
    return next((name, shot.line) for name, shot in job.shots.items() if shot.method == "level")


@pytest.mark.parametrize(
    ("fields", "place"),
    [
        ({"instrument_ft": 45_000, "rod_ft": 4}, "instrument_ft"),
        ({"instrument_ft": 100, "rod_ft": 15_000}, "rod_ft"),
        ({"level_ft": -20_001}, "level_ft"),
    ],
)
def test_a_level_no_yard_has_is_refused_where_it_is_typed_with_its_field(fields: dict[str, float], place: str) -> None:
    job = demo()
    name, line = level_shot(job)
    with pytest.raises(EntryRefused) as refused:
        put(job, "shots", name, {"method": "level", "line": line, "station_ft": 10, **fields})
    assert [problem.path for problem in refused.value.problems] == [("shots", name, place)]


def test_the_highest_and_the_lowest_that_a_file_allows_are_taken_side_by_side() -> None:
    job = demo()
    instruments = [path for path, _ in numbers(job) if path[-1] == "instrument_ft"]
    assert len(instruments) > 3
    steep = loaded_with(job, {path: 20_000 if index % 2 else -20_000 for index, path in enumerate(instruments)})
    assert steep is not None
    assert any(finding.code == "ground_steep" for finding in walk(steep).findings)


def test_a_cap_leaves_the_eye_over_the_ground() -> None:
    """The least rail, of 2 ft, has its eyes at 1 ft and, under the thickest cap, 1 1/2 ft; a cap of 25 ft put them under the ground."""
    job = demo()
    assert loaded_with(job, {("rules", "posts", "cap_in"): 6.1}) is None
    thick = loaded_with(job, {("rules", "posts", "cap_in"): 6.0})
    assert thick is not None
    assert {work.eye_high_ft for work in walk(thick).posts.work.values()} == {5.5}
