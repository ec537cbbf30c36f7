"""Where no move helps: posts spread again, one more or another in its place, at a turn and across a ring's first point too."""

from math import cos, radians, sin

import pytest

from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.walk import walk
from tests.change.test_suggestions import kinds, line_of, of, rock, settled
from tests.demo import AT, BY
from tests.stages.flat_yards import posts, yard

UNSTAKED = " No stake goes into the rock: weight the apron down there."


def test_where_no_move_helps_posts_are_set_anew_though_the_rock_leaves_the_apron_unstaked() -> None:
    """A rock of 6 ft takes the line from 34 to 46: past a move, and more than stakes bridge wherever the posts stand."""
    rocky = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 6)])
    (spread,) = of(rocky, "P3")
    assert spread.kind == "respread"
    assert "between P1 and P6" in spread.reason
    assert spread.reason.endswith(UNSTAKED)
    for post in ("P2", "P4"):
        rocky = edits.tick(rocky, item_key(f"posts.{post}.solid"), AT, BY)
    (more,) = of(rocky, "P3")
    assert more.reason == f"2 posts spread again between P2 and P4, one post more: bays 13' 3\" to 13' 6\".{UNSTAKED}"
    after = walk(settled(rocky, more))
    assert not [one for one in after.findings if one.code == "in_keep_out"]
    assert max(bay.slope_ft for bay in after.layout.bays.values()) <= 25
    assert not any(offer.reason.endswith(UNSTAKED) for offer in of(line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 3)]), "P3"))


def test_bays_that_are_alike_are_told_once() -> None:
    spread = next(offer for offer in of(line_of(0, 15, 30, 45, 60, length_ft=60, log=[rock(30, 7)]), "P3") if offer.kind == "respread")
    assert spread.reason == f"3 posts spread again between P1 and P5, one post fewer: bays 20' 0\".{UNSTAKED}"


@pytest.mark.parametrize("radius_ft", [4, 6])
def test_a_post_at_a_point_of_the_line_is_spread_too_and_the_turn_keeps_one(radius_ft: float) -> None:
    """The line turns 10 degrees at M, 40 ft on."""
    places = {"S": (0.0, 0.0), "M": (0.0, 40.0), "E": (60 * sin(radians(10)), 40 + 60 * cos(radians(10)))}
    plan = posts("n", 0, 20, 40, 60, 80, 100)
    job = yard(places, {"n": ["S", "M", "E"]}, posts=plan, log=[rock(40, radius_ft)])
    (spread,) = of(job, "P3")
    assert (spread.kind, "P3" in {step.get("post") for step in spread.steps if step["kind"] == "move"}) == ("respread", True)
    assert not [one for one in walk(settled(job, spread)).findings if one.code in ("in_keep_out", "point_without_post", "bay_over")]


@pytest.mark.closed_form
@pytest.mark.parametrize(("radius_ft", "kinds_found"), [(2, {"move", "add"}), (4, {"add", "respread"}), (6, {"respread"})])
def test_a_rings_first_point_is_a_spot_like_others(radius_ft: float, kinds_found: set[str]) -> None:
    """The ring begins at A, in the middle of its south side; P8 stands 20 ft before it, P2 20 ft past it: 16 and 24 ft, or two posts."""
    places = {"A": (20.0, 0.0), "B": (0.0, 0.0), "C": (0.0, 40.0), "D": (40.0, 40.0), "F": (40.0, 0.0)}
    line = {"points": ["A", "B", "C", "D", "F", "A"], "start_meets": "itself", "end_meets": "itself"}
    plan = posts("n", *range(0, 160, 20), kinds=dict.fromkeys((1, 3, 5, 7), "corner") | {0: "line"})
    job = yard(places, {"n": line}, posts=plan, log=[rock(0, radius_ft)])
    found = of(job, "P1")
    assert set(kinds(found)) == kinds_found
    assert all("between P8 and P2" in offer.reason for offer in found if offer.kind == "respread")
    added = [step["station_ft"] for offer in found for step in offer.steps if offer.kind == "add" and step["kind"] == "add"]
    assert all(0 <= station <= 160 for station in added)
    assert radius_ft != 4 or added == [156, 4]
    for offer in found:
        after = walk(settled(job, offer))
        assert not [one for one in after.findings if one.code in ("in_keep_out", "bay_over")]
