"""What gives first at a support, and at what wind."""

import re
from math import floor, sqrt
from typing import Any

import pytest

from engine.calc.lengths import parse_length_ft
from engine.calc.statics.section import tube
from engine.calc.statics.short_pile import cohesive_pile_lbf
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.stages.cables.first_to_give import Gives
from engine.walk import Walk, walk
from tests.bench.big_job import NOON
from tests.demo import demo, others
from tests.stages.flat_yards import posts, straight, yard
from tests.stages.yards import levels

YIELD_LBF_FT = tube(1.625, 0.065).section_in3 * 30_000 / 12


def straight_walk(*stations: float, **tables: Any) -> Walk:
    """A fence due north on level ground, its posts planned."""
    return walk(straight(stations[-1], posts=posts("n", *stations), **tables))


def mph_of(found: Walk, support: str) -> dict[str, float]:
    """Speeds by part; of several loops the least."""
    speeds: dict[str, float] = {}
    for one in found.cables.gives[support]:
        speeds.setdefault(one.part, one.mph)
    return speeds


def push_at_90(bays_ft: float) -> tuple[float, float]:
    """Level push and bending at the ground of a 6 ft post with so much fence, lb and lb ft: strips and their heights by hand."""
    pressure = 0.85 * 0.00256 * 2.01 * (15 / 1200) ** (2 / 7) * 0.85 * 90**2
    mesh, wire, cable = pressure * 2.0 * (1 - (1 - 0.06 / 1.75) ** 2), pressure * 1.2 * 0.0592, pressure * 1.2 * 0.09375 / 12
    top, post = 6 - 0.25 / 12, pressure * 1.2 * 1.625 / 12 * 6
    lap = 3 - (top - 4)
    level = bays_ft * (mesh * (top - 3 + lap * (3 - lap / 2) / 3) + wire * 1.5 + 2 * cable) + post
    return level, bays_ft * (mesh * (top**2 - (top - 4) ** 2) / 2 + wire * 4.5 + cable * (3 + top)) + 3 * post


@pytest.mark.independent
def test_a_line_post_bends_and_lies_over_where_half_its_bays_make_it() -> None:
    level, bending = push_at_90(22.5)
    found = straight_walk(0, 25, 45, 65)
    speeds = mph_of(found, "P2")
    held = cohesive_pile_lbf(1.9 / 12, 2.5, bending / level, 750)

    assert speeds["post"] == pytest.approx(90 * sqrt(YIELD_LBF_FT / bending), rel=1e-3)
    assert speeds["sleeve"] == pytest.approx(90 * sqrt(held / level), rel=1e-3)
    assert found.cables.gives["P2"][0].part == "post"


@pytest.mark.independent
def test_one_bay_blown_alone_bends_a_post_by_the_half_of_it_alone() -> None:
    """25 ft on one side, 20 on the other: half of the longer, and the post itself."""
    _, bending = push_at_90(12.5)
    (post,) = [one for one in straight_walk(0, 25, 45, 65).cables.gives["P2"] if one.part == "post"]
    assert post.alone_mph == pytest.approx(90 * sqrt(YIELD_LBF_FT / bending), rel=1e-3)


@pytest.mark.closed_form
def test_a_lock_holds_more_where_the_longest_bay_is_blown_alone() -> None:
    """The stretch is shared: the load of one bay counts as the root of its cube over all cubes, and load goes with speed squared."""
    found = straight_walk(0, 25, 45, 65, rules={"cables": {"wind_mph": 200}})
    one_bay, two_bays = (next(one for one in found.cables.gives[name] if one.part == "lock") for name in ("P1", "P4"))
    assert one_bay.alone_mph == one_bay.mph
    assert two_bays.alone_mph == pytest.approx(two_bays.mph * 2**0.25, rel=1e-6)


@pytest.mark.parametrize("mph", [90, 200])
def test_one_bay_alone_never_uses_a_part_up_sooner_than_all(mph: float) -> None:
    """In the demos and in a fence that bends, up and down."""
    bent = yard({"S": (0, 0), "C": (0, 40), "E": (5, 79.69)}, {"n": ["S", "C", "E"]}, posts=posts("n", 0, 15, 40, 62, 80))
    for job in (demo(), *others().values(), bent):
        rules = job.rules.model_copy(update={"cables": job.rules.cables.model_copy(update={"wind_mph": mph})})
        gives = [one for parts in walk(job.model_copy(update={"rules": rules})).cables.gives.values() for one in parts]
        assert gives
        assert [one for one in gives if one.alone_mph is not None and one.alone_mph < one.mph] == []


@pytest.mark.closed_form
def test_at_an_end_half_a_bay_bends_the_post_sideways_whatever_its_brace_holds() -> None:
    _, bending = push_at_90(12.5)
    speeds = mph_of(straight_walk(0, 25, 45, 65), "P1")
    assert speeds["post"] == pytest.approx(90 * sqrt(YIELD_LBF_FT / bending), rel=1e-3)


def test_at_a_corner_braces_hold_the_post_from_every_side() -> None:
    turned = yard(
        {"S": (0, 0), "C": (0, 40), "E": (40, 40)}, {"n": ["S", "C", "E"]}, posts=posts("n", 0, 20, 40, 60, 80, kinds={2: "corner"})
    )
    found = walk(turned)
    assert [leg.toward for leg in found.bracing.pulls["P3"].legs] == ["P2", "P4"]
    assert not {"post", "sleeve"} & set(mph_of(found, "P3"))
    assert {"post", "sleeve"} <= set(mph_of(found, "P2"))


def test_a_foot_that_the_ground_does_not_hold_gives_as_driven_until_it_is_put_right() -> None:
    """6 in of tube in clay hold 59 lb at the last; the cables push with more before any wind. On its plate the foot outlasts the post."""
    ticked = {f"bracing.{name}.footed": {"at": "2026-04-02T09:00:00Z", "by": "Lee"} for name in ("P1", "P4")}
    loose, held = straight_walk(0, 25, 45, 65), straight_walk(0, 25, 45, 65, checks=ticked)

    assert loose.cables.gives["P1"][0] == Gives("foot", "P1", 0.0, 0.0)
    assert [one.code for one in loose.findings if one.code in ("foot_gives", "wind_pushes_foot")] == ["foot_gives"]
    assert held.cables.gives["P1"][0].part == "post"
    assert mph_of(held, "P1").get("foot", 135.0) > mph_of(held, "P1")["post"]


def test_a_depth_that_was_read_counts() -> None:
    read = {"posts.P2.driven_depth": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_in": 16}}
    deep, shallow = straight_walk(0, 25, 45, 65), straight_walk(0, 25, 45, 65, checks=read)
    assert mph_of(shallow, "P2")["sleeve"] < mph_of(deep, "P2")["sleeve"]
    assert mph_of(shallow, "P2")["post"] == mph_of(deep, "P2")["post"]


def test_a_shallow_bend_bends_sooner_for_its_cables_pull_harder_in_the_wind() -> None:
    bent = yard({"S": (0, 0), "C": (0, 40), "E": (5, 79.69)}, {"n": ["S", "C", "E"]}, posts=posts("n", 0, 20, 40, 60, 80))
    gives = walk(bent).cables.gives
    assert next(one for one in gives["P3"] if one.part == "post").bent
    assert next(one.mph for one in gives["P3"] if one.part == "post") < next(one.mph for one in gives["P2"] if one.part == "post")


def test_a_break_of_the_slope_pulls_along_the_fence_and_bends_no_post_sooner() -> None:
    """A dip in a straight line: no brace inside a bend, for there is none."""
    shots = levels("n", ((0, 0), (25, 0), (50, -6), (75, 0), (100, 0)))
    found = straight_walk(0, 25, 50, 75, 100, shots=shots)

    assert found.bracing.pulls["P2"].pull_lbf > 2
    assert [one.bent for one in found.cables.gives["P2"]] == [False, False]
    assert mph_of(found, "P2")["post"] == pytest.approx(mph_of(straight_walk(0, 25, 50, 75, 100), "P2")["post"], rel=1e-6)
    assert "inside of the bend" not in next(one.do for one in found.findings if one.code == "wind_bends_post")


def test_a_line_that_turns_straight_back_has_no_way_across() -> None:
    back = yard({"S": (0, 0), "C": (0, 40), "E": (0, 10)}, {"n": ["S", "C", "E"]}, posts=posts("n", 0, 20, 40, 70, kinds={2: "corner"}))
    assert not any(one.bent for one in walk(back).cables.gives["P3"])


def test_locks_and_cables_are_those_of_loops_that_end_there() -> None:
    found = straight_walk(0, 25, 50, 75, 100, rules={"cables": {"wind_mph": 200}})
    ends = {end for loop in found.cables.loops.values() for end in (loop.supports[0], loop.supports[-1])}
    assert {name for name in found.cables.gives if {"lock", "cable"} & set(mph_of(found, name))} == ends


def test_what_holds_to_half_as_much_again_as_the_rule_is_not_told() -> None:
    calm, gale = (straight_walk(0, 20, 40, 60, rules={"cables": {"wind_mph": mph}}).cables for mph in (40, 90))
    assert all(one.mph <= 60 for parts in calm.gives.values() for one in parts)
    assert max(one.mph for parts in gale.gives.values() for one in parts) > 60


@pytest.mark.parametrize(
    "tables",
    [{"rules": {"cables": {"wind_mph": 0}}}, {"stock": {"mesh-48": {"wire_in": 1.0, "pitch_in": 1.0}}}, {"fence": {"cable": "none"}}],
)
def test_without_wind_fabric_or_cable_nothing_is_told(tables: dict[str, Any]) -> None:
    found = straight_walk(0, 20, 40, **tables)
    assert found.cables.gives == {}
    assert found.cables.blown == {}
    assert not [finding for finding in found.cables.findings if finding.code.startswith("wind_")]


def test_trees_and_walls_give_only_what_ends_at_them() -> None:
    plan = posts("n", 0, 20, 40, 60)
    plan["P2"] |= {"support": "tree", "at": "oak"}
    trees = {"oak": {"point": "O", "diameter_in": 12}}
    found = walk(straight(60.0, {"O": (0.0, 20.0)}, posts=plan, trees=trees))
    assert set(mph_of(found, "P2")) <= {"lock", "cable"}


def wind_said(**tables: Any) -> list[tuple[str, str, tuple[str, ...], str]]:
    found = straight_walk(0, 25, 50, 75, 100, **tables)
    return [(one.code, one.level, one.subjects, one.says) for one in found.findings if one.code.startswith("wind_")]


def test_one_finding_names_the_worst_and_counts_the_rest() -> None:
    ((code, level, subjects, says),) = wind_said()
    assert (code, level) == ("wind_bends_post", "note")
    assert subjects[0] in ("P2", "P3", "P4")
    assert set(subjects) >= {"P2", "P3", "P4"}
    assert says.startswith(f"{subjects[0]} bends at 6")
    assert " mph with every bay blown, at 9" in says
    assert " with one alone; 90 is the rule (" in says


def test_ground_that_gives_is_another_finding() -> None:
    assert sorted(row[0] for row in wind_said(rules={"posts": {"soil": "sand"}})) == ["wind_bends_post", "wind_leans_sleeve"]


def test_nothing_is_said_where_the_rule_is_met() -> None:
    assert wind_said(rules={"cables": {"wind_mph": 60}}) == []
    strong = {"post-8": {"diameter_in": 2.375, "wall_in": 0.154}}
    assert wind_said(stock=strong) == []


def remedy(found: Walk, code: str) -> str:
    return next((one.do for one in found.findings if one.code == code), "")


def longest_told_ft(do: str) -> float:
    return parse_length_ft(re.findall(r"bays of (.*?) at most beside P2", do)[0])


def test_the_remedy_of_a_post_holds_to_the_rule() -> None:
    """What is said of a post that bends is done to the inch: with bays as short, or a post as strong, it holds. By hand: what its yield
    leaves beside the wind on itself, over what a foot of fence does."""
    do = remedy(straight_walk(0, 25, 50, 75, 100), "wind_bends_post")
    times, most_ft = float(do.split("Posts ")[1].split(" times")[0]), longest_told_ft(do)
    (_, own), (_, with_a_foot) = push_at_90(0), push_at_90(1)
    assert most_ft == floor(12 * (YIELD_LBF_FT - own) / (with_a_foot - own)) / 12
    assert not remedy(straight_walk(0, 25, 50, 75, 100, stock={"post-8": {"yield_psi": 30_000 * times}}), "wind_bends_post")
    assert not remedy(straight_walk(*(most_ft * n for n in range(9))), "wind_bends_post")
    assert remedy(straight_walk(*((most_ft + 0.5) * n for n in range(9))), "wind_bends_post")


def test_the_remedy_of_ground_that_gives_holds_to_the_rule() -> None:
    sandy = {"rules": {"posts": {"soil": "sand"}}}
    do = remedy(straight_walk(0, 25, 50, 75, 100, **sandy), "wind_leans_sleeve")
    assert do.startswith("Longer sleeves hold, or bays of ")
    most_ft = longest_told_ft(do)
    assert not remedy(straight_walk(*(most_ft * n for n in range(9)), **sandy), "wind_leans_sleeve")
    assert remedy(straight_walk(*((most_ft + 0.5) * n for n in range(9)), **sandy), "wind_leans_sleeve")


def test_a_sleeve_driven_on_as_deep_as_it_is_told_holds_and_no_bay_is_told_that_is_too_short_to_build() -> None:
    job = straight(100, posts=posts("n", 0, 25, 50, 75, 100))
    key = ItemKey("posts", "P3", "driven_depth")

    def told(deep_in: float) -> str:
        return remedy(walk(edits.tick(job, key, NOON, "Lee", reading_in=deep_in)), "wind_leans_sleeve")

    do = told(8)
    deep_in = float(re.findall(r'^Driven on to (\d+)" it holds; local code decides\.$', do)[0])
    assert not told(deep_in)
    assert told(deep_in - 1)


def test_a_post_whose_bays_hang_otherwise_than_each_other_is_told_no_length_for_them() -> None:
    """The fence is 6 ft high to 50 and 5 ft from there: another post would stand where that changes."""
    tables = {"heights": {"low": {"line": "n", "from_ft": 50, "to_ft": 100, "height_ft": 5}}, "rules": {"cables": {"wind_mph": 100}}}
    found = straight_walk(0, 25, 50, 75, 100, **tables)
    gives = {name: found.cables.gives[name][0].pushed is not None for name in ("P2", "P3", "P4")}
    assert gives == {"P2": True, "P3": False, "P4": True}
