"""A braced post is asked for all of its sleeve, and told where it has less."""

from typing import Any

import pytest

from engine.job.model.job import Job
from engine.stages.posts.stage import Posts, posts
from tests.stages.layouts import Spot, layout_of, survey_of

ROW = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 40, kind="corner"), Spot("P4", 40, 20, "end")]})
CALM = {"cables": {"wind_mph": 0}}


def read(**depths_in: float) -> Posts:
    checks = {
        f"posts.{post}.driven_depth": {"state": "done", "at": "2026-05-01T09:00:00Z", "by": "Kit", "reading_in": depth_in}
        for post, depth_in in depths_in.items()
    }
    job = Job.model_validate({"rules": CALM, "checks": checks})
    return posts(job, survey_of(ROW), ROW)


def test_ends_and_corners_want_all_of_the_sleeve_and_a_line_post_half_of_it() -> None:
    work = read().work
    assert {name: (post.braced, post.depth_wanted_in) for name, post in work.items()} == {
        "P1": (True, 30.0), "P2": (False, 15.0), "P3": (True, 30.0), "P4": (True, 30.0),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("depths_in", "subjects"),
    [
        ({"P1": 30.0, "P2": 16.0}, None),
        ({"P1": 24.0, "P2": 16.0, "P3": 20.0}, ("P3", "P1")),
        ({"P1": 12.0}, None),  # stopped short altogether, which is told in its own words
    ],
)
def test_a_braced_sleeve_that_is_short_of_all_is_one_note_the_shortest_first(
    depths_in: dict[str, Any], subjects: tuple[str, ...] | None
) -> None:
    found = {one.code: one for one in read(**depths_in).findings}
    assert found["braced_sleeve_short"].subjects == subjects if subjects else "braced_sleeve_short" not in found
