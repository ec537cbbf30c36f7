"""A ring's length is its first point: a station there is 0, and nothing that is told of a post there is longer than the ring."""

import re
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.found_in_ground import obstacle_found
from engine.change.settling import settled
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.stages.fabric.bay_ground import bay_grounds
from engine.walk import Walk, walk
from tests.demo import AT, BY, others
from tests.stages.flat_yards import posts, ring

RIDGE = "ring"
PRINTED_FT = 373 + 5 / 12 + 1 / 96
"""The ridge ring's length as it is printed, 373' 5 1/8"; it is 373.4279."""


@cache
def ridge() -> Job:
    """The ridge's ring with its plan, nothing ticked."""
    return others()["ridge_ring"].model_copy(update={"checks": {}, "record": None})


@cache
def length_ft() -> float:
    return walk(ridge()).survey.lines[RIDGE].length_ft


def square() -> Job:
    return ring(posts=posts("r", *range(0, 160, 20), kinds=dict.fromkeys((0, 2, 4, 6), "corner") | {7: "line"}))


def added(job: Job, line: str, station_ft: float, offset_ft: float = 0.0) -> Job:
    step = {"kind": "add", "line": line, "station_ft": station_ft, "offset_ft": offset_ft}
    return settled(job, walk(job), (step,), AT, BY)


@pytest.mark.parametrize("station_ft", [0.0, 0.01, 373.4269, PRINTED_FT, 373.4279])
def test_a_post_where_one_stands_at_the_first_point_is_refused(station_ft: float) -> None:
    with pytest.raises(EditRefused, match=r"P1 stands at .* on ring already.*: no second post goes there\.") as refused:
        added(ridge(), RIDGE, station_ft)
    assert refused.value.field == "station_ft"


def test_the_rings_length_is_told_as_its_first_point() -> None:
    with pytest.raises(EditRefused, match=r"P1 stands at 0\" on r already, the ring's first point: no second post goes there\."):
        added(square(), "r", 160)
    with pytest.raises(EditRefused, match=r"P3 stands at 40' 0\" on r already: no second post goes there\."):
        added(square(), "r", 40)


def test_a_post_goes_where_the_one_at_the_first_point_goes_away_and_stands_at_0() -> None:
    job, add = square(), {"kind": "add", "line": "r", "station_ft": 160.0}
    away: list[dict[str, Any]] = [{"kind": "drop", "post": "P1"}, {"kind": "move", "post": "P1", "along_ft": 4.0}]
    for step in away:
        done = settled(job, walk(job), (step, add), AT, BY)
        assert walk(done).layout.supports["P9"].station_ft == 0
    moved_there = {"kind": "move", "post": "P2", "along_ft": 4.0}
    with pytest.raises(EditRefused, match=r"P2 stands at 24' 0\" on r already"):
        settled(job, walk(job), (moved_there, {"kind": "add", "line": "r", "station_ft": 24.0}), AT, BY)


@pytest.mark.parametrize(("station_ft", "stands_ft"), [(160.0, 0.0), (159.995, 0.0), (161.0, 1.0), (-1.0, 159.0), (150.0, 150.0)])
def test_something_found_at_a_rings_length_lies_at_its_first_point(station_ft: float, stands_ft: float) -> None:
    job = square()
    assert obstacle_found(job, walk(job), "rock", "r", station_ft, AT, BY).log[-1].station_ft == stands_ft  # type: ignore[union-attr]  # the rock


def test_a_tree_on_the_far_side_of_the_first_point_is_as_near_as_it_stands() -> None:
    """It stands 1 ft from P1, on the last side, at 159 ft of 160."""
    spots = {**square().points, "K": {"east_ft": 1.0, "north_ft": -0.5}}
    job = Job.model_validate(
        {**square().model_dump(exclude_unset=True), "points": spots, "trees": {"oak": {"point": "K", "diameter_in": 10}}}
    )
    done = settled(job, walk(job), ({"kind": "swap", "post": "P1", "tree": "oak"},), AT, BY)
    assert walk(done).layout.supports["P1"].at == "oak"
    assert longest_ft(walk(done), "r") < 25
    with pytest.raises(EditRefused, match=r"P2 would come as far as P1"):
        settled(job, walk(job), ({"kind": "swap", "post": "P2", "tree": "oak"},), AT, BY)


def longest_ft(walked: Walk, line: str) -> float:
    """Of all bays of a line."""
    grounds = bay_grounds(walked.survey, walked.layout).values()
    return max(max(one.end_ft - one.start_ft, one.along_ft) for one in grounds if one.bay.line == line)


def told_ft(walked: Walk) -> Iterator[float]:
    """Every length in feet that a finding speaks of."""
    for one in walked.findings:
        yield from (float(feet) for feet in re.findall(r"(\d+)' ", f"{one.says} {one.do}"))


@settings(max_examples=60, deadline=None)
@given(past_ft=st.one_of(st.floats(-5, 378.4), st.floats(373.36, 373.45), st.floats(0, 0.1)))
@example(past_ft=PRINTED_FT)
@example(past_ft=373.378)
@example(past_ft=373.3979)
def test_nothing_that_is_told_of_a_post_added_to_a_ring_is_longer_than_the_ring(past_ft: float) -> None:
    """Nor where a file has one that the box would refuse, but for where it is said to stand."""
    jobs = []
    with suppress(EditRefused):
        jobs.append((edits.add_post(ridge(), RIDGE, past_ft, AT, BY), length_ft() + 5))
    with suppress(EditRefused):
        jobs.append((added(ridge(), RIDGE, past_ft), length_ft()))
    for job, most_ft in jobs:
        walked = walk(job)
        assert longest_ft(walked, RIDGE) <= 25
        assert max(told_ft(walked), default=0) <= most_ft
        assert all(loop.cut_ft <= length_ft() for loop in walked.cables.loops.values())
        pieces = [cut_ft for rows in walked.fabric.pieces.values() for row in rows.values() for cut_ft in row.values()]
        assert max(pieces) <= length_ft()


def test_two_posts_in_one_place_are_told_across_the_first_point_too() -> None:
    walked = walk(edits.add_post(square(), "r", 160, AT, BY))
    assert [one.subjects for one in walked.findings if one.code == "same_place"] == [("P9", "P1")]
