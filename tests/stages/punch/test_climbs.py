"""Lower stretches: which dogs are asked, which bays are told together, and when it is the gate alone."""

from collections.abc import Sequence
from typing import Any

import pytest

from engine.calc.geometry.plane import Point
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.stages.posts.stage import posts
from engine.stages.punch.climbs import lower_stretches
from engine.stages.punch.openings import Place
from tests.stages.layouts import Spot, layout_of, survey_of

SPOTS = (
    Spot("P1", 10, 20, kind="end"),
    Spot("P2", 30, 20, kind="gate"),
    Spot("P3", 34, 20, kind="gate"),
    Spot("P4", 54, 20),
    Spot("P5", 74, 20, kind="end"),
)


def dog(shoulder_in: float) -> Dog:
    """A fence of 4 ft suits a dog under 15 in, one of 5 ft a dog under 22, else 6."""
    return Dog.model_validate({"weight_lb": 40, "shoulder_in": shoulder_in, "body_in": 30})


def stretches(dogs: Sequence[Dog], low: tuple[float, float], asked: list[Point] | None = None, **gate: Any) -> list[Place]:
    """A 6 ft fence due east from (10, 20) with a 4 ft gate after 20 ft and a stretch of 4 ft fence."""
    stretch = {"dip": {"line": "n", "from_ft": low[0], "to_ft": low[1], "height_ft": 4}}
    gates = {"G1": {"line": "n", "station_ft": 20, "leaf_width_ft": 4, **gate}}
    job = Job.model_validate({"fence": {"height_ft": 6}, "heights": stretch, "gates": gates})
    layout = layout_of({"n": SPOTS}, gates={"P2-P3": "G1"})

    def dogs_at(spot: Point) -> Sequence[Dog]:
        if asked is not None:
            asked.append(spot)
        return dogs

    return list(lower_stretches(job, layout, posts(job, survey_of(layout), layout), dogs_at))


@pytest.mark.closed_form
def test_the_dogs_in_the_middle_of_each_lower_bay_are_asked() -> None:
    asked: list[Point] = []
    stretches([dog(24)], (24, 64), asked)

    assert asked == [(44.0, 20.0), (64.0, 20.0)]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("shoulders_in", "missing_in"),
    [((24,), [24.0]), ((12, 24), [24.0]), ((24, 12), [24.0]), ((18,), [12.0]), ((12,), []), ((), []), ((50,), [])],
)
def test_the_dog_that_wants_the_highest_fence_counts_and_one_just_suited_does_not(
    shoulders_in: tuple[float, ...], missing_in: list[float]
) -> None:
    """4 ft of fence: 6 ft suits 24 in, 5 ft 18 in, 4 ft 12 in; no dog is 50 in."""
    found = stretches([dog(shoulder_in) for shoulder_in in shoulders_in], (24, 64))

    assert [place.opening_in for place in found] == pytest.approx(missing_in)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("low", "gate", "key", "mesh_ft"),
    [
        ((44, 64), {}, "way_out:low_fence:P4-P5", 20.0),
        ((20, 24), {}, "way_out:low_gate:G1", 4.0),
        ((20, 64), {}, "way_out:low_fence:P2-P3", 44.0),  # the gate begins a longer stretch of one height
        ((24, 64), {}, "way_out:low_fence:P3-P4", 40.0),
    ],
)
def test_bays_of_one_height_in_a_row_are_one_and_a_gate_alone_is_a_gate(
    low: tuple[float, float], gate: dict[str, Any], key: str, mesh_ft: float
) -> None:
    (place,) = stretches([dog(24)], low, **gate)

    assert str(place.key) == key
    assert [(piece.stock, piece.amount) for piece in place.pieces] == [("mesh-48", pytest.approx(mesh_ft))]


def test_bays_with_a_higher_one_between_them_are_told_apart() -> None:
    """The gate is 6 ft again between two bays of 4 ft."""
    found = stretches([dog(24)], (0, 44), height_ft=6)

    assert [str(place.key) for place in found] == ["way_out:low_fence:P1-P2", "way_out:low_fence:P3-P4"]
