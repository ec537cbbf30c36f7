"""The plan from near by: two bays each side of a post, their lengths first, and what it must keep clear of within reach."""

from math import dist

from engine.drawing.close_up import RANK, REACH_FT, close_up
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Drawing, Mark, Words
from engine.job.edit import edits
from engine.walk import walk
from tests.demo import AT, BY, accepted, others


def near(post: str) -> Drawing:
    walked = walk(accepted())
    return close_up(plan_shapes(accepted(), walked), walked, post)


def test_it_opens_on_two_bays_each_side() -> None:
    supports = walk(accepted()).layout.supports
    assert {supports[name].xy for name in ("P8", "P9", "P10", "P11", "P12")} <= set(near("P10").opens_on)
    assert supports["P13"].xy not in near("P10").opens_on


def test_the_lengths_of_those_bays_come_before_other_names_and_the_rest_stays() -> None:
    drawing = near("P10")
    forward = {words.id for words in drawing.of(Words, "bay length") if words.rank == RANK}
    assert forward == {"P8-P9", "P9-P10", "P10-P11", "P11-P12"}
    assert len(drawing.shapes) == len(plan_shapes(accepted(), walk(accepted())).shapes)


def test_where_lines_meet_it_reaches_along_each() -> None:
    job = others()["ridge_ring"]
    walked = walk(job)
    opens_on = set(close_up(plan_shapes(job, walked), walked, "P5").opens_on)
    assert {walked.layout.supports[name].xy for name in ("P3", "P4", "P6", "P7", "P21", "P22")} <= opens_on


def test_a_property_line_beside_it_is_in_view_and_a_far_gas_line_is_not() -> None:
    walked = walk(accepted())
    west = {walked.survey.points[name].east_ft for name in accepted().boundaries["west"].points}
    here = walked.layout.supports["P5"].xy
    beside = [spot for spot in near("P5").opens_on if spot not in {one.xy for one in walked.layout.supports.values()}]
    assert any(min(west) - 0.01 <= spot[0] <= max(west) + 0.01 for spot in beside)
    assert all(dist(spot, here) <= REACH_FT for spot in beside)


def test_the_old_and_the_new_place_are_in_view() -> None:
    job = edits.move_post(accepted(), "P6", AT, BY, out_ft=30)
    before, after = walk(accepted()), walk(job)
    drawn = close_up(plan_shapes(job, after, before), before, "P6")
    assert {mark.pos for mark in drawn.of(Mark, "goes from", "goes to")} <= set(drawn.opens_on)


def test_without_such_a_post_it_is_the_whole_plan() -> None:
    walked = walk(accepted())
    drawing = plan_shapes(accepted(), walked)
    assert close_up(drawing, walked, "nobody") is drawing
