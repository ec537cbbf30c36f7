"""Ways to settle a post: none breaks a rule the plan keeps, none cheaper is missed, each says what it does."""

from datetime import timedelta
from itertools import product
from math import hypot
from random import Random
from typing import Any

import pytest
import shapely

from engine.change.candidates import candidates
from engine.change.found_in_ground import rock_where_it_stopped
from engine.change.spot_rules import case_of
from engine.change.suggestions import Suggestion, suggestions
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.walk import Walk, walk
from tests.bench.big_job import NOON, big_job
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import logged, posts, straight
from tests.test_done_means_done import all_ticked


def line_of(*stations: float, length_ft: float = 100.0, points: Any = None, **tables: Any) -> Job:
    """Posts P1, P2, ... along one straight line of flat ground."""
    return straight(length_ft, points, posts=posts("n", *stations), **tables)


def rock(station_ft: float, radius_ft: float, offset_ft: float = 0.0) -> dict[str, Any]:
    return logged("obstacle", what="rock", line="n", station_ft=station_ft, offset_ft=offset_ft, radius_ft=radius_ft)


def of(job: Job, post: str, reach_ft: float | None = None) -> tuple[Suggestion, ...]:
    return tuple(suggestions(job, walk(job), post, AT, reach_ft))


def costs(job: Job, post: str, found: tuple[Suggestion, ...], reach_ft: float = 3.0) -> list[float]:
    """Feet of trouble by which each was ranked."""
    case = case_of(job, walk(job), post)
    assert case is not None
    looked_at = list(candidates(case, reach_ft))
    return [next(one.cost for one in looked_at if one.steps == offer.steps) for offer in found]


def kinds(found: tuple[Suggestion, ...]) -> list[str]:
    return [offer.kind for offer in found]


GRID = {spot for spot in product([step / 4 for step in range(-12, 13)], repeat=2) if hypot(*spot) <= 3}
"""Every spot within 3 ft, along the line and out of it, 3 in apart."""
ASKED = ("reading_out_of_range", "post_lifted", "foot_gives")


def bad(walked: Walk) -> set[tuple[str, str]]:
    """Code and subject of every stop and fix; what a tick settles is work, no rule broken."""
    told = [one for one in walked.findings if one.level != "note" and one.code not in ASKED]
    return {(one.code, subject) for one in told for subject in one.subjects or ("job",)}


def settled(job: Job, offer: Suggestion) -> Job:
    return edits.apply_steps(job, offer.steps, AT, BY)


@pytest.mark.closed_form
def test_a_post_on_a_rock_goes_to_its_edge_along_the_line_first() -> None:
    """P3 at 40 on a rock of 1.25 ft between 20 and 60: 1 ft 3 in clears it, and bays 21.25 and 18.75 differ by 2.5 ft: 1.25 + 0.625."""
    job = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 1.25)])
    found = of(job, "P3")
    assert [offer.kind for offer in found[:4]] == ["move"] * 4
    trouble = costs(job, "P3", found)
    assert trouble[0] == pytest.approx(1.875)
    assert trouble == sorted(trouble)
    assert dict(found[0].steps[0]) in (
        {"kind": "move", "post": "P3", "along_ft": 1.25, "out_ft": 0.0},
        {"kind": "move", "post": "P3", "along_ft": -1.25, "out_ft": 0.0},
    )
    assert {offer.reason for offer in found[:2]} == {
        "1' 3\" forward along the line: clear of the rock, bays 21' 3\" and 18' 9\".",
        "1' 3\" back along the line: clear of the rock, bays 18' 9\" and 21' 3\".",
    }
    assert len(found) <= 6


@pytest.mark.closed_form
def test_past_a_move_another_post_takes_its_place_and_neighbours_are_spread_anew() -> None:
    """A rock of 1 ft 3 in leaves no spot within 1 ft; the nearest grid places on the line past it are at 38.75 and 41.25."""
    job = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 1.25)])
    found = of(job, "P3", 1.0)
    assert set(kinds(found)) == {"add", "respread"}
    add = next(offer for offer in found if offer.kind == "add")
    assert dict(add.steps[0]) == {"kind": "drop", "post": "P3"}
    assert dict(add.steps[1])["station_ft"] in (38.75, 41.25)
    assert costs(job, "P3", (add,), 1.0) == [pytest.approx(1.25 + 0.25 * 2.5 + 1)]
    after = settled(job, add)
    assert "P7" in walk(after).layout.supports
    spread = next(offer for offer in found if offer.kind == "respread")
    assert len(spread.steps) > 1
    assert {step["post"] for step in spread.steps} <= {"P2", "P3", "P4", "P5"}
    assert max(bay.slope_ft for bay in walk(settled(job, spread)).layout.bays.values()) <= 25


def test_what_is_wrong_today_is_not_held_against_a_way_whose_post_has_another_name() -> None:
    """No stake goes into the 8 ft of a 4 ft rock, with P3 or with the post that takes its place 4 ft back."""
    job = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 4)])
    found = of(job, "P3")[0]
    assert [dict(step).get("station_ft") for step in found.steps] == [None, 36.0]
    told = [[one.subjects for one in walked.findings if one.code == "apron_unstaked"] for walked in (walk(job), walk(settled(job, found)))]
    assert told == [[("P3-P4",)], [("P7-P4",)]]


def test_what_is_driven_stays_where_it_is_when_the_rest_is_spread_anew() -> None:
    job = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 1.25)])
    for what in ("solid", "driven_depth"):
        job = edits.tick(job, item_key(f"posts.P4.{what}"), AT, BY, reading_in=20 if what == "driven_depth" else None)
    spread = [offer for offer in of(job, "P3", 1.0) if offer.kind == "respread"]
    assert all("between P1 and P4" in offer.reason for offer in spread)
    assert spread
    assert {step.get("post") for offer in spread for step in offer.steps} <= {"P2", "P3"}


@pytest.mark.closed_form
def test_a_post_nobody_needs_is_left_out() -> None:
    """12 and 12 make a bay of 24, within 25: 0.25 a foot for 12 ft more."""
    job = line_of(0, 12, 24, 44)
    drop = next(offer for offer in of(job, "P2") if offer.kind == "drop")
    assert [dict(step) for step in drop.steps] == [{"kind": "drop", "post": "P2"}]
    assert (costs(job, "P2", (drop,)), drop.reason) == ([3.0], "Left out: one bay of 24' 0\", within the limit of 25' 0\".")
    assert "drop" not in kinds(of(line_of(0, 13, 26, 44), "P2"))


def test_a_sound_tree_near_takes_the_cables_and_a_thin_or_used_one_does_not() -> None:
    def swaps(**tree: Any) -> list[str]:
        job = line_of(0, 20, 40, 60, points={"K": (0.5, 22.0)}, length_ft=60, trees={"oak": {"point": "K", "diameter_in": 10, **tree}})
        return [offer.reason for offer in of(job, "P2") if offer.kind == "swap"]

    assert swaps() == ["Tree oak, 2' 1\" away, carries the cables: bays 22' 0\" and 18' 0\"."]
    assert swaps(diameter_in=4) == swaps(sound=False) == []


def test_a_refused_sleeve_keeps_a_foot_off_its_spot_with_no_rock_logged() -> None:
    job = edits.tick(line_of(0, 20, 40, 60, length_ft=60), item_key("posts.P2.driven_depth"), AT, BY, reading_in=8, note="rock")
    first = of(job, "P2")[0]
    assert first.reason.startswith("1' 0\" ")


def test_a_bay_over_its_limit_is_mended_by_the_least_move() -> None:
    first = of(line_of(0, 25.5, 45, 65, length_ft=65), "P2")[0]
    assert dict(first.steps[0]) == {"kind": "move", "post": "P2", "along_ft": -0.5, "out_ft": 0.0}


def test_nothing_is_offered_without_a_plan_or_for_what_is_not_driven() -> None:
    assert of(straight(60), "P1") == ()
    assert of(accepted(), "P7") == ()
    assert of(accepted(), "P99") == ()


def jobs() -> dict[str, Job]:
    """Demos with a plan and the big job, and a rock on one post of each."""
    planned = {name: job for name, job in others().items() if job.posts}
    return {"willow_bend": accepted(), **planned, "big": big_job()}


@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring", "big"])
def test_an_offer_never_adds_a_stop_or_a_fix(name: str) -> None:
    job = jobs()[name].model_copy(update={"record": None})
    driven = [post for post, one in walk(job).layout.supports.items() if one.support == "driven" and one.line in job.lines]
    looked = 0
    for post in driven[1 :: max(1, len(driven) // 3)]:
        one = walk(job).layout.supports[post]
        rocky = edits.obstacle(job, "rock", one.line, max(one.station_ft, 0.0), NOON, BY, radius_ft=1.0)
        before = walk(rocky)
        for offer in suggestions(rocky, before, post, AT):
            looked += 1
            added = edits.next_post_id(rocky)
            after = bad(walk(edits.apply_steps(rocky, offer.steps, NOON, BY)))
            in_its_place = {(code, "-".join(post if word == added else word for word in subject.split("-"))) for code, subject in after}
            assert in_its_place <= bad(before), (post, offer)
    assert looked


@pytest.mark.independent
@pytest.mark.parametrize("post", ["P2", "P3"])
def test_no_cheaper_spot_is_missed(post: str) -> None:
    """Every spot of the 3 in grid within 3 ft, judged by the whole walk alone and priced by the formula written out again."""
    tables = {"obstacles": {"slab": {"kind": "slab", "points": ["K"], "radius_ft": 1.5}}, "points": {"K": (-0.5, 40.5)}}
    job = line_of(0, 18, 40, 62, 80, length_ft=80, points=tables["points"], obstacles=tables["obstacles"], log=[rock(18, 1.2, 0.3)])
    before = walk(job)
    here = before.layout.supports[post]
    beside = [bay for bay in before.layout.bays.values() if post in (bay.from_id, bay.to_id)]
    apart = max(bay.slope_ft for bay in beside) - min(bay.slope_ft for bay in beside)
    priced: list[float] = []
    for least, along, out in sorted((hypot(*spot) + 2 * abs(spot[1]), *spot) for spot in GRID if spot != (0, 0)):
        if priced and least > min(priced):
            break  # even bays leave it at that, and uneven ones add to it
        after = walk(edits.move_post(job, post, AT, BY, along_ft=along, out_ft=out))
        if bad(after) <= bad(before) and not any(code == "in_keep_out" and name == post for code, name in bad(after)):
            bays = [after.layout.bays[bay.id].slope_ft for bay in beside]
            uneven = max(0.0, max(bays) - min(bays) - apart)
            priced.append(least + 0.25 * uneven)
    assert here.offset_ft == 0
    best = next(offer for offer in suggestions(job, before, post, AT) if offer.kind == "move")
    assert costs(job, post, (best,)) == [pytest.approx(min(priced))]


def refused(job: Job, post: str) -> Job:
    stopped = edits.tick(job, item_key(f"posts.{post}.driven_depth"), AT, BY, reading_in=8, note="rock")
    return edits.untick(stopped, item_key(f"posts.{post}.solid"), AT, BY)


def is_legal(job: Job, post: str, spot: tuple[float, float]) -> bool:
    """Whether a spot is one of the 3 in grid from 1 ft to 3 ft off that the whole walk finds nothing new wrong with."""
    if spot not in GRID or hypot(*spot) < 1:
        return False
    before, after = bad(walk(job)), bad(walk(edits.move_post(job, post, AT, BY, along_ft=spot[0], out_ft=spot[1])))
    return after <= before and ("in_keep_out", post) not in after


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(12))
def test_where_a_legal_spot_is_in_reach_something_is_offered(seed: int) -> None:
    """Rocks all round a refused post leave a spot or two, or none: where nothing is offered, every spot of the grid is tried by the whole
    walk alone."""
    random = Random(seed)
    log = [
        logged("obstacle", n, what="rock", line="n", station_ft=40 + random.uniform(-3, 3), offset_ft=random.uniform(-3, 3), radius_ft=1.6)
        for n in range(9)
    ]
    job = refused(line_of(0, 20, 40, 60, 80, length_ft=80, log=log), "P3")
    found = of(job, "P3")
    assert found or not any(is_legal(job, "P3", spot) for spot in GRID)
    spots = [(step["along_ft"], step["out_ft"]) for one in found if one.kind == "move" for step in one.steps]
    assert [spot for spot in spots if not is_legal(job, "P3", spot)] == []


@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
def test_every_post_that_is_refused_is_offered_something(name: str) -> None:
    job = jobs()[name].model_copy(update={"record": None})
    for post, one in walk(job).layout.supports.items():
        if one.support == "driven":
            assert of(refused(job, post), post), post


def test_what_is_cut_already_is_no_rule_broken_but_told_and_counted() -> None:
    """A loop's cable is cut and read; a refused post of it is offered the same ways, 2 ft dearer, each saying what has to fit again."""
    job = refused(line_of(0, 20, 40, 60, length_ft=60), "P2")
    before = of(job, "P2")
    loops = walk(job).cables.loops
    loop = next(name for name, one in loops.items() if "P1-P2" in one.bays)
    ticked = edits.tick(job, item_key(f"cables.{loop}.cut_length"), AT, BY, reading_ft=loops[loop].cut_ft)
    cut = of(ticked, "P2")
    assert [offer.steps for offer in cut] == [offer.steps for offer in before]
    dearer = zip(costs(ticked, "P2", cut), costs(job, "P2", before), strict=True)
    assert [round(now - then, 6) for now, then in dearer] == [2.0] * len(before)
    assert all(offer.reason.endswith(f" What is cut or hung for {loop} has to fit again.") for offer in cut)


def gated(**tables: Any) -> Job:
    gate = {"g": {"line": "n", "station_ft": 20, "leaf_width_ft": 5}}
    plan = posts("n", 0, 20, 25.1667, 45, kinds={1: "gate", 2: "gate"})
    return straight(45, posts=plan, gates=gate, **tables)


@pytest.mark.closed_form
def test_a_gates_posts_go_along_the_line_together_and_keep_the_opening() -> None:
    """1 ft clear of the spot: both posts go 1 ft, and 1 for the second: 3 ft of trouble; the bay of 19' 10" or 20' grows as long."""
    job = refused(gated(), "P2")
    found = of(job, "P2")
    assert kinds(found) == ["gate"] * 2
    assert costs(job, "P2", found) == [pytest.approx(3.0)] * 2
    assert {tuple((step["post"], step["along_ft"], step["out_ft"]) for step in offer.steps) for offer in found} == {
        (("P2", 1.0, 0.0), ("P3", 1.0, 0.0)), (("P2", -1.0, 0.0), ("P3", -1.0, 0.0)),
    }  # fmt: skip
    assert "P2 and P3 1' 0\" forward along the line: clear of where the sleeve stopped, the opening fits the leaf" in (
        found[0].reason + found[1].reason
    )
    standing = edits.tick(job, item_key("posts.P3.driven_depth"), AT, BY, reading_in=24)
    pulled = of(standing, "P2")
    assert costs(standing, "P2", pulled) == [pytest.approx(7.0)] * 2
    assert pulled[0].reason.endswith("P3 stands already and is pulled.")


def test_a_gate_post_off_its_line_is_found_and_the_way_back_offered() -> None:
    job = gated(log=[logged("move", post="P2", out_ft=0.5)])
    found = [one for one in walk(job).findings if one.code == "gate_post_off_line"]
    assert [one.subjects for one in found] == [("P2", "g")]
    assert 'P2, a post of gate g, stands 6" right of n' in found[0].says
    assert found[0].level == "fix"
    first = of(job, "P2")[0]
    assert [dict(step) for step in first.steps] == [{"kind": "move", "post": "P2", "along_ft": 0.0, "out_ft": -0.5}]
    assert not [one for one in walk(settled(job, first)).findings if one.code == "gate_post_off_line"]
    assert not [one for one in walk(gated(log=[logged("move", post="P2", out_ft=0.04)])).findings if one.code == "gate_post_off_line"]


@pytest.mark.independent
@pytest.mark.parametrize("post", ["P10", "P11"])
def test_the_offers_of_a_bay_through_a_trunk_take_it_past(post: str) -> None:
    """A 4 in dogwood stands in the middle of P10 to P11: 2 in of trunk and 6 in of gap are 8 in from its middle, by shapely's distance."""
    plan = accepted().posts
    job = accepted().model_copy(update={"posts": {**plan, "P10": plan["P10"].model_copy(update={"offset_ft": 0.0})}})
    before = walk(job)
    (told,) = [one for one in before.findings if one.code == "through_trunk"]
    assert told.do.startswith("Settle P10 or P11 by an offer;")
    dogwood = shapely.Point(before.survey.points[job.trees["dogwood"].point].xy)
    found = of(job, post)
    assert found
    for offer in found:
        after = walk(settled(job, offer)).layout.supports
        away = shapely.distance(shapely.LineString([after["P10"].xy, after["P11"].xy]), dogwood)
        assert away >= 8 / 12 - 0.005
        assert "past tree dogwood" in offer.reason
    assert post != "P10" or dict(found[0].steps[0]) == {"kind": "move", "post": "P10", "along_ft": 0.0, "out_ft": pytest.approx(-11 / 12)}
    inch_less = walk(edits.move_post(job, "P10", AT, BY, out_ft=-10 / 12)).layout.supports
    assert shapely.distance(shapely.LineString([inch_less["P10"].xy, inch_less["P11"].xy]), dogwood) < 8 / 12


def test_several_steps_are_refused_whole() -> None:
    job = line_of(0, 20, 40, length_ft=40)
    with pytest.raises(EditRefused, match=r"^P9 is not"):
        edits.apply_steps(job, ({"kind": "drop", "post": "P2"}, {"kind": "move", "post": "P9", "along_ft": 1.0}), AT, BY)
    with pytest.raises(EditRefused, match="isn't settled by burn"):
        edits.apply_steps(job, ({"kind": "burn", "post": "P2"},), AT, BY)


@pytest.mark.parametrize(("days", "short"), [(6, ""), (7, "The truck is short: 1 of steel sleeve 30 in.")])
def test_an_offer_tells_what_the_truck_lacks_for_it_at_the_time_that_it_is_made_for(days: int, short: str) -> None:
    """Twelve sleeves were loaded and driven. A week later that of P6 stays where it is, and any other place takes a thirteenth: once that
    has come, the same is offered without a word of it."""
    plan = accepted()
    sleeves = stock_of(plan.stock)["sleeve-30"].model_copy(update={"loaded": 12})
    built = all_ticked(plan.model_copy(update={"stock": {**plan.stock, "sleeve-30": sleeves}}))
    at = AT + timedelta(days=days)
    job = rock_where_it_stopped(built, walk(built), "P6", at, BY)
    offers = list(suggestions(job, walk(job), "P6", at))
    assert len(offers) == 6
    for offer in offers:
        assert offer.lacks == short
        told = f" {short}" if short else ""
        assert offer.reason.endswith(f"What is cut or hung for L3 has to fit again.{told}")
    came = edits.delivery(job, "sleeve-30", at, BY, packs=None, loose=1)
    offered = list(suggestions(came, walk(came), "P6", at))
    assert [offer.steps for offer in offered] == [offer.steps for offer in offers]
    assert not any(offer.lacks for offer in offered)
    for offer in offered:
        assert bad(walk(edits.apply_steps(came, offer.steps, at, BY))) <= bad(walk(came))
