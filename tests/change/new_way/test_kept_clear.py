"""A new way keeps clear of the fence that stays, and of itself."""

import pytest

from engine.change.new_way.given_up import NewWay
from tests.change.new_way.test_job_after import another_way, line_of, refused
from tests.stages.flat_yards import posts, ring, straight


@pytest.mark.parametrize(
    ("way", "clear"),
    [
        (NewWay("P3", "P5", ("N",)), True),
        (NewWay("P3", "P5", ("S",)), False),
        (NewWay("P3", "P5", ("back", "N")), True),
        (NewWay("P3", "P5", ("right", "left")), False),
        (NewWay("P3", "P5", ("right", "N", "cross", "left")), False),
        (NewWay("P1", "P7", ("N",)), True),
    ],
)
def test_a_new_way_does_not_run_over_the_fence_that_stays_nor_over_itself(way: NewWay, clear: bool) -> None:
    """P3 at 40 and P5 at 80 of a line due north. To S it would go back along the fence; from 20 ft right to 20 ft left across it, at 10."""
    points = {"back": (20.0, 30.0), "right": (20.0, 10.0), "left": (-20.0, 10.0), "cross": (10.0, 0.0)}
    job = line_of(points)
    if clear:
        assert another_way(job, way).lines["n"] != job.lines["n"]
    else:
        assert refused(job, way) == "The new way would run over n where that stays. Name points that keep it clear of the fence."


def test_a_rings_new_way_does_not_run_over_the_ring_that_stays() -> None:
    """Eight posts round a 40 ft square. From P8 over the first point to P2, and from P2 to P4: inside it is clear, by Q3 or Q1 it isn't."""
    job = ring(posts=posts("r", *range(0, 160, 20), kinds={0: "corner", 7: "line"}))
    job = job.model_copy(update={"points": {**job.points, "M": straight(1, {"M": (12.0, 12.0)}).points["M"]}})
    for way in (NewWay("P8", "P2", ("M",)), NewWay("P2", "P4", ("M",))):
        assert "M" in another_way(job, way).lines["r"].points
    for way in (NewWay("P8", "P2", ("Q3",)), NewWay("P2", "P4", ("Q1",))):
        assert refused(job, way).startswith("The new way would run over r where that stays.")
