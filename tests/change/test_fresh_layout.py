"""A fresh layout round what is driven: what stands stays to the thousandth, the rest is the best there is, no name is used twice."""

from collections.abc import Sequence
from datetime import timedelta
from itertools import pairwise
from math import ceil, floor, hypot
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import distance_ft
from engine.change.fresh_layout import FreshLayout, accepted_again, fresh_layout, standing
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import PlannedEntry
from engine.walk import walk
from tests.bench.big_job import big_job
from tests.demo import AT, BY, accepted
from tests.stages.flat_yards import logged, posts, straight, yard


def line_of(*stations: float, length_ft: float = 100.0, **tables: Any) -> Job:
    """Posts P1, P2, ... along one straight line of flat ground."""
    return straight(length_ft, posts=posts("n", *stations), **tables)


def rock(station_ft: float, radius_ft: float, n: int = 1) -> dict[str, Any]:
    return logged("obstacle", n, what="rock", line="n", station_ft=station_ft, radius_ft=radius_ft)


def driven(job: Job, *names: str) -> Job:
    for name in names:
        job = edits.tick(job, item_key(f"posts.{name}.driven_depth"), AT, BY, reading_in=24)
    return job


def fresh(job: Job) -> FreshLayout:
    return fresh_layout(job, walk(job))


def stations(found: FreshLayout) -> dict[str, float]:
    return {name: post.station_ft for name, post in found.posts.items()}


@pytest.mark.closed_form
def test_what_is_driven_stays_and_the_rest_is_the_best_there_is() -> None:
    """100 ft by 25 ft bays wants posts at 25, 50 and 75; from a post driven at 20 the other 80 ft want three more, 20 ft apart."""
    job = line_of(0, 20, 40, 60, 80, 100)
    assert stations(fresh(job)) == {"P1": 0, "P2": 25, "P3": 50, "P5": 75, "P6": 100}
    found = fresh(driven(job, "P2"))
    assert stations(found) == {"P1": 0, "P2": 20, "P3": 40, "P4": 60, "P5": 80, "P6": 100}
    assert (found.same, found.says) == (True, "P2 stays where it stands.")


@pytest.mark.closed_form
def test_a_driven_post_is_planned_where_it_stands_today() -> None:
    """P3 was moved to 42 and 1 ft out: 42 ft before it take one post at 21, the 58 ft after it two, 19' 3" apart or so."""
    job = driven(line_of(0, 20, 40, 60, 80, 100, log=[logged("move", post="P3", along_ft=2, out_ft=1)]), "P3")
    found = fresh(job)
    assert stations(found) == {"P1": 0, "P2": 21, "P3": 42, "P4": 61.25, "P5": 80.5, "P6": 100}
    assert found.posts["P3"].offset_ft == 1
    after = accepted_again(job, found, AT, BY)
    assert not walk(after).layout.supports["P3"].moved
    assert walk(after).layout.supports["P3"].xy == walk(job).layout.supports["P3"].xy


def test_keep_outs_found_since_are_counted_and_says_tells_who_moves() -> None:
    job = driven(line_of(0, 20, 40, 60, 80, 100, log=[rock(60, 1.5)]), "P2", "P3")
    found = fresh(job)
    assert stations(found) == {"P1": 0, "P2": 20, "P3": 40, "P4": 58.5, "P5": 79.25, "P6": 100}
    assert found.says == "P2 and P3 stay where they stand; P4 and P5 move."


def test_a_post_somebody_spoke_of_keeps_its_name_only_where_it_barely_moves() -> None:
    """P4's flag is set: 1' 6" away it is another post, under a name nothing had; 3 in away it is P4, its flag open again."""
    flagged = edits.tick(line_of(0, 20, 40, 60, 80, 100), item_key("layout.P4.flag"), AT, BY)
    far = driven(flagged.model_copy(update={"log": line_of(log=[rock(60, 1.5)]).log}), "P2", "P3")
    assert list(fresh(far).posts) == ["P1", "P2", "P3", "P7", "P5", "P6"]
    assert fresh(far).opened == ()
    near = driven(flagged.model_copy(update={"log": line_of(log=[rock(60, 0.2)]).log}), "P2", "P3")
    found = fresh(near)
    assert list(found.posts) == ["P1", "P2", "P3", "P4", "P5", "P6"]
    assert (found.posts["P4"].station_ft, found.opened) == (59.75, (item_key("layout.P4.flag"),))
    assert item_key("layout.P4.flag") not in accepted_again(near, found, AT, BY).checks


def test_no_name_is_used_again_by_a_tick_a_log_entry_a_dropped_post_or_one_that_went() -> None:
    job = line_of(0, 20, 45, 70, 80, 100, log=[logged("drop", 1, post="P5"), logged("add", 2, post="P9", line="n", station_ft=80)])
    job = edits.tick(job, item_key("layout.P12.flag"), AT, BY)
    job = edits.tick(job, item_key("layout.P9.flag"), AT, BY)
    found = fresh(job)
    assert list(found.posts) == ["P1", "P2", "P3", "P4", "P6"]
    after = accepted_again(job, found, AT, BY)
    entry = after.log[-1]
    assert isinstance(entry, PlannedEntry)
    assert entry.gone == ("P9",)
    assert edits.next_post_id(after) == "P13"
    bare = after.model_copy(update={"checks": {}, "log": after.log[-1:]})
    assert edits.next_post_id(bare) == "P10"


def test_a_stretch_that_has_no_legal_layout_is_named_with_why_and_nothing_is_offered() -> None:
    found = fresh(driven(line_of(0, 20, 40, 60, 80, 100, log=[rock(52, 14)]), "P2"))
    assert found.why_none == (
        "Between P2 and P6 on n no layout keeps the limit; the best still has a bay of 28' 0\": "
        "nothing may be driven in rock found at 52' 0\" on n from 38' 0\" to 66' 0\".",
    )


def test_a_gate_keeps_its_opening_round_the_post_that_is_driven() -> None:
    """A 5 ft leaf wants 5' 2": its first post stands driven 6 in further on, so the other goes 5' 2" from there."""
    gate = {"g": {"line": "n", "station_ft": 40, "leaf_width_ft": 5}}
    plan = posts("n", 0, 20, 40, 45.1667, 72, 100, kinds={2: "gate", 3: "gate"})
    job = driven(straight(100, posts=plan, gates=gate, log=[logged("move", post="P3", along_ft=0.5)]), "P3")
    found = fresh(job)
    assert stations(found)["P3"] == 40.5
    assert stations(found)["P4"] == pytest.approx(45.6667, abs=1e-4)
    assert walk(accepted_again(job, found, AT, BY)).layout.supports["P4"].gate == "g"


def test_a_driven_gate_post_near_its_partner_keeps_the_gate_and_the_other_one_goes_on() -> None:
    """A leaf wants 5' 2" from 40'. Driven at 42' 8" the first post is the nearest to either edge, and the other goes to 47' 10"."""
    gate = {"g": {"line": "n", "station_ft": 40, "leaf_width_ft": 5}}
    plan = posts("n", 0, 20, 40, 45.1667, 72, 100, kinds={2: "gate", 3: "gate"})
    job = driven(straight(100, posts=plan, gates=gate, log=[logged("move", post="P3", along_ft=2.6667)]), "P3")
    after = walk(accepted_again(job, fresh(job), AT, BY))
    assert {after.gate.gates["g"].hinge_post, after.gate.gates["g"].latch_post} == {"P3", "P4"}
    assert after.layout.supports["P4"].station_ft == pytest.approx(47.8333, abs=1e-3)


def test_a_driven_corner_that_was_moved_out_of_reach_stays_planned_at_its_turn() -> None:
    """The line turns at M, 40 ft on; its corner was driven 4 ft short of it, round a rock."""
    places = {"S": (0.0, 0.0), "M": (0.0, 40.0), "E": (60.0, 40.0)}
    plan = posts("n", 0, 20, 40, 60, 80, 100, kinds={2: "corner"})
    job = driven(yard(places, {"n": ["S", "M", "E"]}, posts=plan, log=[rock(40, 2), logged("move", 2, post="P3", along_ft=-4)]), "P3")
    assert "point_without_post" not in {one.code for one in walk(job).findings}
    found = fresh(job)
    assert found.posts["P3"].station_ft == 40
    assert [dict(step) for step in found.steps] == [{"kind": "move", "post": "P3", "along_ft": -4.0, "out_ft": 0.0}]
    after = walk(accepted_again(job, found, AT, BY))
    assert after.layout.supports["P3"].xy == (0.0, 36.0)
    assert "point_without_post" not in {one.code for one in after.findings}


def test_a_post_past_its_lines_end_stays_there_by_a_move_in_the_log() -> None:
    job = driven(line_of(0, 20, 40, length_ft=40, log=[logged("move", post="P1", along_ft=-2)]), "P1")
    found = fresh(job)
    assert [dict(step) for step in found.steps] == [{"kind": "move", "post": "P1", "along_ft": -2.0}]
    after = walk(accepted_again(job, found, AT, BY)).layout.supports["P1"]
    assert (after.xy, after.station_ft) == ((0.0, -2.0), -2.0)


def test_what_stands_is_told_by_its_own_ticks_and_those_of_what_hangs_on_it() -> None:
    job, before = accepted(), walk(accepted())
    assert standing(job, before) == set()
    loop = next(iter(before.cables.loops.values()))
    for key in ("layout.P12.flag", "posts.P7.diameter", f"cables.{loop.id}.cut_length"):
        job = edits.tick(job, item_key(key), AT, BY)
    assert standing(job, walk(job)) == set()
    for key in ("posts.P7.eyes", f"cables.{loop.id}.closed", "bracing.P9.foot_a"):
        job = edits.tick(job, item_key(key), AT, BY)
    assert standing(job, walk(job)) == {"P7", "P9", *loop.supports}


@pytest.mark.parametrize("job", [accepted(), big_job().model_copy(update={"checks": {}, "log": ()})], ids=["willow_bend", "big"])
def test_a_plan_that_is_the_best_already_stays_as_it_is(job: Job) -> None:
    found = fresh(job)
    assert (found.same, found.why_none, found.steps, found.posts) == (True, (), (), job.posts)
    assert all(found.posts[name] is post for name, post in job.posts.items())  # what was made of them is found again


def test_on_a_job_of_four_yards_all_that_is_driven_stays_to_the_thousandth() -> None:
    job = big_job()
    ticks = {key: tick for n, (key, tick) in enumerate(job.checks.items()) if key.stage != "posts" or n % 5 == 0}
    job = job.model_copy(update={"checks": {key: tick for key, tick in ticks.items() if key.stage in ("posts", "layout")}})
    before = walk(job)
    found = fresh_layout(job, before)
    after = walk(accepted_again(job, found, AT, BY))
    held = standing(job, before)
    assert 20 < len(held) < 90
    assert all(distance_ft(before.layout.supports[name].xy, after.layout.supports[name].xy) < 0.001 for name in held)
    assert not {one.code for one in after.stage_findings["layout"]} & {"bay_over", "same_place", "gate_without_posts", "point_without_post"}


Spot = tuple[float, float]


def best_by_trying(start: Spot, end: Spot, blocked: Sequence[Spot]) -> tuple[int, float] | None:
    """Fewest posts and then least sum of squared bays between two supports, over every 3 in of the line, by a plain table."""
    free = [k / 4 for k in range(floor(start[0] * 4) + 1, ceil(end[0] * 4)) if not any(low < k / 4 < high for low, high in blocked)]
    row: list[Spot] = [start, *((station, 0.0) for station in free if start[0] < station < end[0]), end]
    best: list[tuple[int, float] | None] = [(0, 0.0)]
    for n in range(1, len(row)):
        ways = [
            (known[0] + (n < len(row) - 1), known[1] + bay**2)
            for m in range(n)
            for bay in [hypot(row[n][0] - row[m][0], row[n][1] - row[m][1])]
            for known in [best[m]]
            if known is not None and 4 <= bay <= 25.0004
        ]
        best.append(min(ways, default=None))
    return best[-1]


@pytest.mark.independent
@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-1.5, 1.5)), min_size=2, max_size=2), st.floats(34, 70), st.floats(0.3, 4))
def test_between_what_is_driven_no_better_set_exists(moves: list[Spot], station_ft: float, radius_ft: float) -> None:
    """Two posts driven off their places and a rock anywhere: posts and evenness of each part against every grid place tried."""
    log = [
        logged("move", n, post=name, along_ft=along, out_ft=out)
        for n, (name, (along, out)) in enumerate(zip(("P2", "P4"), moves, strict=True))
    ]
    job = driven(line_of(0, 20, 40, 60, 80, 100, log=[*log, rock(station_ft, radius_ft, 9)]), "P2", "P4")
    found = fresh(job)
    assert not found.why_none
    after = walk(accepted_again(job, found, AT, BY)).layout
    row = [after.supports[name] for name in after.lines["n"].supports]
    cuts = [n for n, one in enumerate(row) if one.id in ("P1", "P2", "P4", "P6")]
    for low, high in pairwise(cuts):
        part = [(one.station_ft, one.offset_ft) for one in row[low : high + 1]]
        bays = sum(hypot(b[0] - a[0], b[1] - a[1]) ** 2 for a, b in pairwise(part))
        wanted = best_by_trying(part[0], part[-1], [(station_ft - radius_ft, station_ft + radius_ft)])
        assert wanted is not None
        assert len(part) - 2 == wanted[0]
        assert bays == pytest.approx(wanted[1], abs=0.0625 + 0.05)


@pytest.mark.closed_form
@pytest.mark.parametrize(("stands", "at_ft"), [((), [22, 27 + 1 / 6]), (("P2", "P3"), [20, 25 + 1 / 6])])
def test_a_gate_that_was_agreed_elsewhere_is_set_there_unless_it_stands(stands: tuple[str, ...], at_ft: list[float]) -> None:
    gate = {"g": {"line": "n", "station_ft": 22, "leaf_width_ft": 5}}
    job = straight(45, posts=posts("n", 0, 20, 25 + 1 / 6, 45, kinds={1: "gate", 2: "gate"}), gates=gate)
    found = stations(fresh(driven(job, *stands)))
    assert [found["P2"], found["P3"]] == pytest.approx(at_ft, abs=1e-3)


@pytest.mark.closed_form
def test_a_fresh_layout_keeps_a_foot_off_a_sleeve_that_stays() -> None:
    """P3 left its sleeve at 47' 3", 9" before the middle of 96 ft, when it was moved a week after: none comes nearer than 48' 3"."""
    job = edits.move_post(driven(line_of(0, 24, 47.25, 72, 96, length_ft=96.0), "P3"), "P3", AT + timedelta(days=7), BY, along_ft=2)
    assert sorted(stations(fresh(job)).values())[2] == 48.25


def test_a_post_that_a_small_correction_left_in_its_sleeve_stays_there() -> None:
    """The line's end is put 0.8 ft aside, which shifts the post at 60 ft by 0.48 ft."""
    job, depth = line_of(0, 20, 40, 60, 80, 100), item_key("posts.P4.driven_depth")
    read = edits.tick(job, depth, AT, BY, reading_in=24, of=walk(job).checklists["posts"].by_key[depth].item.of)
    put_right = read.model_copy(update={"points": {**job.points, "E": job.points["E"].model_copy(update={"east_ft": 0.8})}})
    assert (standing(read, walk(read)), standing(put_right, walk(put_right))) == ({"P4"}, {"P4"})
    assert stations(fresh(put_right))["P4"] == stations(fresh(read))["P4"] == 60
