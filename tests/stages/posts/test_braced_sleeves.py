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


@pytest.mark.parametrize(("turn_ft", "wanted_in"), [(0.0, 15.0), (0.5, 15.0), (6.0, 30.0)])
def test_a_bend_that_may_pull_its_post_over_for_good_wants_all_of_the_sleeve(turn_ft: float, wanted_in: float) -> None:
    """In clay half a sleeve holds 27 lb for good; 17 degrees pull with 30 lb as they are set, 50 on the coldest day with wire hung."""
    bent = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 40, turn_ft, kind="end")]})
    work = posts(Job.model_validate({"rules": CALM}), survey_of(bent), bent).work["P2"]
    assert (work.depth_wanted_in, work.braced) == (wanted_in, False)
