"""A corner from above: arms, braces, the pull, and the keep-outs that reach beside it."""

from math import dist, isfinite

import pytest

from engine.drawing.corner_shapes import corner_shapes
from engine.drawing.shapes import Area, Mark, Stroke, Words
from engine.walk import walk
from tests.demo import demo
from tests.drawing.drawn_jobs import JOBS, numbers, there


@pytest.mark.parametrize("name", JOBS)
def test_any_post_can_be_drawn(name: str) -> None:
    walked = walk(JOBS[name])
    for post in (*walked.bracing.pulls, ""):
        assert all(isfinite(number) for number in numbers(corner_shapes(walked, post) or ()))


@pytest.mark.pinned
def test_the_corner_of_the_demo() -> None:
    picture = there(corner_shapes(walk(demo()), "P9"))
    assert [(words.text, words.kind) for words in picture.of(Words, "brace")] == [("P9-a 5' 0\"", ""), ("P9-b 5' 0\"", "")]
    assert [words.text for words in picture.of(Words, "arm")] == ["to P8", "to P10"]
    assert [words.text for words in picture.of(Words, "pull")] == ["181 lb NE"]
    assert picture.says[1] == "turns 130°: braces toward P8 and P10  419 % of yield unbraced"
    assert (picture.id, picture.steps) == ("P9", ("P2", "P3", "P9"))


def test_the_frame_holds_the_post_and_every_foot_and_no_keep_out_that_is_far() -> None:
    walked = walk(demo())
    for name in walked.bracing.pulls:
        picture = there(corner_shapes(walked, name))
        (left, bottom), _, (right, top), _ = picture.of(Area, "frame")[0].points
        spots = [mark.pos for mark in picture.of(Mark)]
        assert all(left < east < right and bottom < north < top for east, north in spots)
        for area in picture.of(Area, "keepout"):
            assert min(east for east, _ in area.points) <= right
            assert max(east for east, _ in area.points) >= left


@pytest.mark.closed_form
def test_the_arrow_is_as_long_at_every_post() -> None:
    (pull,) = there(corner_shapes(walk(demo()), "P9")).of(Stroke, "pull")
    assert dist(*pull.points) == pytest.approx(3.5)


def test_without_a_choice_the_first_braced_post_and_without_posts_nothing() -> None:
    assert there(corner_shapes(walk(demo()), "")).id == "P2"
    empty = demo().model_copy(update={"lines": {}, "gates": {}, "yards": {}, "posts": {}, "heights": {}, "surfaces": {}})
    assert corner_shapes(walk(empty), "P9") is None
