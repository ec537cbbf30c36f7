"""What is advised where no post stands at a line's point: taken, it adds no stop and no fix, and the point has its support."""

from functools import cache
from typing import Any

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.settling import settled
from engine.findings import Finding
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.walk import Walk, walk
from tests.change.test_advice import wrong
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import posts, yard
from tests.test_done_means_done import all_ticked

ADD, AFRESH, NONE = "See what a post there would do", "out afresh: that hangs its", "No post goes there"


@cache
def jobs() -> dict[str, Job]:
    ring = others()["ridge_ring"].model_copy(update={"record": None, "checks": {}})
    return {"willow": accepted(), "willow, done": all_ticked(accepted()), "ridge": ring}


def bare(walked: Walk) -> list[Finding]:
    return [one for one in walked.findings if one.code == "point_without_post"]


def taken(job: Job, walked: Walk, told: Finding, line: str, station_ft: float) -> Job:
    """The job with what is advised done."""
    if AFRESH in told.do:
        return accepted_again(job, fresh_layout(job, walked), AT, BY)
    assert told.do.startswith(ADD)
    return settled(job, walked, ({"kind": "add", "line": line, "station_ft": station_ft},), AT, BY)


@pytest.mark.parametrize("name", ["willow", "willow, done", "ridge"])
def test_what_is_advised_where_a_post_was_left_out_adds_no_stop_and_no_fix(name: str) -> None:
    job = jobs()[name]
    tried = 0
    for post in [one for one in walk(job).layout.supports.values() if one.kind in ("end", "corner", "tee")]:
        left_out = edits.drop_post(job, post.id, AT, BY)
        before = walk(left_out)
        for told in bare(before)[:1]:
            after = walk(taken(left_out, before, told, post.line, round(post.station_ft, 4)))
            assert {code for code, _ in wrong(after, "", "")} <= {code for code, _ in wrong(before, "", "")}, (post.id, told.do)
            assert not bare(after)
            tried += 1
    assert tried >= 3


def test_an_end_at_a_house_is_hung_on_it_and_no_post_goes_in_its_footing() -> None:
    for post, end in (("P1", "start"), ("P16", "end")):
        job = edits.drop_post(accepted(), post, AT, BY)
        (told,) = bare(walk(job))
        assert told.do == f"Lay back out afresh: that hangs its {end} on house. Or draw the line differently."
        held = [one.at for one in walk(taken(job, walk(job), told, "", 0)).layout.supports.values() if one.support == "structure"]
        assert held == ["house", "house"]


def cornered(**tables: Any) -> Job:
    """A line with posts 20 ft apart, but for its turn at C (0, 40)."""
    points = {"S": (0.0, 0.0), "C": (0.0, 40.0), "E": (40.0, 40.0), "K": (0.1, 40.1), **tables.pop("points", {})}
    plan = posts("n", 0, 20, 60, 80)
    return yard(points, {"n": ["S", "C", "E"]}, posts=plan, **tables)


@pytest.mark.parametrize(
    ("tables", "do"),
    [
        ({}, "See what a post there would do, or draw the line differently."),
        (
            {"trees": {"oak": {"point": "K", "diameter_in": 12}}},
            "Lay n out afresh: that hangs its turn on oak. Or draw the line differently.",
        ),
        (
            {"trees": {"oak": {"point": "K", "diameter_in": 12, "sound": False}}},
            "No post goes there, for it would stand in the roots of tree oak: draw the line clear of it.",
        ),
        (
            {"points": {"G1": (-90.0, 40.0), "G2": (90.0, 40.0)}, "utilities": {"main": {"kind": "gas", "points": ["G1", "G2"]}}},
            "No post goes there, for it would stand in the tolerance zone of gas line main: draw the line clear of it.",
        ),
        (
            {
                "points": {"B1": (-90.0, 40.5), "B2": (90.0, 40.5)},
                "boundaries": {"north": {"points": ["B1", "B2"], "client_side": "right", "setback_ft": 1.0}},
            },
            "No post goes there, for it would stand in the setback of boundary north: draw the line clear of it.",
        ),
        (
            {
                "points": {"B1": (-90.0, 39.5), "B2": (90.0, 39.5)},
                "boundaries": {"north": {"points": ["B1", "B2"], "client_side": "right"}},
            },
            "No post goes there, for it would stand over boundary north: draw the line clear of it.",
        ),
    ],
)
def test_a_post_is_advised_only_where_one_may_be_driven(tables: dict[str, Any], do: str) -> None:
    (told,) = bare(walk(cornered(**tables)))
    assert told.do == do


def test_a_turn_in_a_trunk_hangs_on_the_tree_once_the_line_is_laid_out_afresh_as_it_says() -> None:
    job = cornered(trees={"oak": {"point": "K", "diameter_in": 12}})
    (told,) = bare(walk(job))
    after = walk(taken(job, walk(job), told, "n", 40))
    assert [one.at for one in after.layout.supports.values() if one.support == "tree"] == ["oak"]
    assert not bare(after)


def test_a_line_ends_short_of_a_wall_that_turned_out_to_hold_no_eyes_once_it_is_laid_out_afresh() -> None:
    house = accepted().structures["house"].model_copy(update={"holds_eyes": False})
    job = accepted().model_copy(update={"structures": {**accepted().structures, "house": house}})
    before = walk(job)
    assert [one.subject for one in before.findings if one.code == "wall_unfit"] == ["P1", "P16"]
    after = walk(accepted_again(job, fresh_layout(job, before), AT, BY))
    assert {one.code for one in after.findings if one.code in ("wall_unfit", "gap_at_wall")} == {"gap_at_wall"}
