"""A gate from the yard: leaves, hinges and latch where they hang."""

from math import isfinite

import pytest

from engine.drawing.gate_shapes import gate_shapes
from engine.drawing.shapes import Area, Drawing, Mark, Stroke, Words
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import demo
from tests.drawing.drawn_jobs import JOBS, numbers, there, two_leaves
from tests.stages.yards import build


def gate(job: Job, name: str) -> Drawing:
    return there(gate_shapes(job, walk(job), name))


@pytest.mark.parametrize("name", JOBS)
def test_any_gate_can_be_drawn(name: str) -> None:
    job = JOBS[name]
    for each in (*job.gates, "no such gate"):
        assert all(isfinite(number) for number in numbers(gate_shapes(job, walk(job), each) or ()))


@pytest.mark.closed_form
@pytest.mark.parametrize(("hinge", "hinge_ft", "latch_ft"), [("start", 1 / 12, 61 / 12), ("end", 61 / 12, 1 / 12)])
def test_a_gate_of_one_leaf_stands_in_the_middle_of_its_opening(hinge: str, hinge_ft: float, latch_ft: float) -> None:
    """5 ft of leaf in 5' 2": an inch each side; hinges a foot from top and bottom; the wire from the top hinge corner down to the latch."""
    picture = gate(build(gates={"G1": {"line": "fence", "station_ft": 75, "hinge": hinge}}), "G1")
    (leaf,), (wire,), (side,) = picture.of(Area, "leaf"), picture.of(Stroke, "face wire"), picture.of(Words, "hinge side")
    (left, bottom), (right, _), (_, top), _ = leaf.points
    assert (leaf.id, left, right - left) == ("G1", pytest.approx(1 / 12, abs=1e-4), pytest.approx(5.0))
    assert bottom == pytest.approx(2 / 12)
    assert [mark.pos[0] for mark in picture.of(Mark, "hinge")] == pytest.approx([hinge_ft] * 2, abs=1e-4)
    assert [mark.pos[1] for mark in picture.of(Mark, "hinge")] == pytest.approx([bottom + 1.0, top - 1.0])
    assert [mark.pos[0] for mark in picture.of(Mark, "latch")] == pytest.approx([latch_ft], abs=1e-4)
    assert wire.points == (pytest.approx((hinge_ft, top), abs=1e-4), pytest.approx((latch_ft, bottom), abs=1e-4))
    assert [at for at, _ in side.along] == pytest.approx([hinge_ft, latch_ft], abs=1e-4)
    assert "opening 5' 2\"" in [words.text for words in picture.of(Words, "size")]


@pytest.mark.closed_form
@pytest.mark.parametrize("hinge", ["start", "end"])
def test_two_leaves_hang_on_the_outer_posts_and_latch_in_the_middle(hinge: str) -> None:
    """An even gap at both posts and between the leaves."""
    picture = gate(two_leaves(hinge=hinge), "G1")
    first, second = (leaf.points for leaf in picture.of(Area, "leaf"))
    opening = picture.of(Stroke, "ground")[0].points[1][0]
    gaps = (first[0][0], second[0][0] - first[1][0], opening - second[1][0])
    assert gaps == pytest.approx([(opening - 10.0) / 3] * 3, abs=1e-4)
    assert [mark.pos[0] for mark in picture.of(Mark, "latch")] == [first[1][0]]
    assert [mark.pos[0] for mark in picture.of(Mark, "hinge")] == [first[0][0]] * 2 + [second[1][0]] * 2
    assert [wire.points[1][0] for wire in picture.of(Stroke, "face wire")] == [first[1][0], second[0][0]]


def test_a_gate_that_is_not_there_gives_no_drawing() -> None:
    assert gate_shapes(demo(), walk(demo()), "front") is None
