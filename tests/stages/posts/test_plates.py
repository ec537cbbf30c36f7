"""Base plates on hard ground: which posts stand on one, and where a plate alone takes a pull."""

from typing import Any

import pytest

from engine.job.model.job import Job
from engine.stages.posts.plates import plate_findings
from tests.stages.layouts import Spot, layout_of

SPOTS = [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 40, kind="corner"), Spot("P4", 60)]


class Work:
    """A post's work as far as its plate goes."""

    def __init__(self, plate_on: str) -> None:
        self.plate_on = plate_on


@pytest.mark.parametrize(
    ("plates", "found"),
    [
        ({}, []),
        ({"P2": "pad"}, ["on_base_plate:P2:pad"]),
        ({"P1": "pad", "P2": "pad"}, ["on_base_plate:P1:pad:P2", "plate_pulled:P1:pad"]),
        ({"P2": "walk", "P3": "pad", "P4": "walk"}, ["on_base_plate:P3:pad", "plate_pulled:P3:pad", "on_base_plate:P2:walk:P4"]),
        ({"P1": "pad", "P3": "pad"}, ["on_base_plate:P1:pad:P3", "plate_pulled:P1:pad:P3"]),
    ],
)
def test_posts_on_plates_are_told_by_their_hard_ground_and_those_that_are_pulled_apart(plates: dict[str, str], found: list[str]) -> None:
    surface: dict[str, Any] = {"line": "north", "kind": "slab", "from_ft": 0.0, "to_ft": 60.0}
    job = Job.model_validate({"surfaces": {"pad": surface, "walk": surface}})
    work = {spot.id: Work(plates.get(spot.id, "")) for spot in SPOTS}

    told = list(plate_findings(job, layout_of({"north": SPOTS}), work))

    assert [str(finding.key) for finding in told] == found
    assert {(finding.code, finding.level) for finding in told} <= {("on_base_plate", "note"), ("plate_pulled", "fix")}
