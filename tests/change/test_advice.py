"""Advice taken never makes things worse: the very steps of an offer add no stop and no fix, and a finding names no step of its own."""

import re
from datetime import timedelta
from functools import cache, reduce
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import parse_length_ft
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.judged_layout import layout_that_settles, where_gates_may_begin
from engine.change.settling import settled
from engine.change.suggestions import suggestions
from engine.job.edit import edits, entering
from engine.job.errors import EditRefused
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.shots import Point
from engine.job.model.site import Boundary
from engine.job.model.stock_table import stock_of
from engine.stages.layout.stage import Support
from engine.walk import Walk, walk
from tests.bench.big_job import big_job
from tests.change.new_way.test_kept_ground import hilly
from tests.change.test_suggestions import line_of, of, rock
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import logged, posts, straight

OF_SLEEVES = ("sleeve_stopped_short", "off_its_sleeve", "near_old_sleeve")
SITING = ("in_keep_out", "bay_over", "through_trunk", "over_boundary", "in_setback")


@cache
def demos() -> tuple[Job, ...]:
    planned = (job.model_copy(update={"record": None}) for job in others().values() if job.posts)
    return (accepted(), *planned, big_job(1))


def driven(job: Job) -> list[Support]:
    return [one for one in walk(job).layout.supports.values() if one.support == "driven"]


def stony(seed: int) -> Job:
    """A demo or hilly ground of our own, with rocks at some posts, a post moved, one refused, and a boundary close by."""
    random = Random(seed)
    job = random.choice(demos()) if random.random() < 0.4 else hilly(seed)
    for one in random.sample(driven(job), random.randint(1, 2)):
        station_ft = max(0.0, one.station_ft + random.uniform(-1, 1))
        job = edits.obstacle(
            job, "rock", one.line, station_ft, AT, BY, offset_ft=one.offset_ft + random.uniform(-1, 1), radius_ft=random.uniform(0.5, 5)
        )
    one = random.choice(driven(job))
    if random.random() < 0.3:
        job = edits.move_post(job, one.id, AT, BY, along_ft=random.uniform(0.5, 6))
    if random.random() < 0.3:
        job = edits.tick(job, ItemKey("posts", one.id, "driven_depth"), AT, BY, reading_in=8)
    if random.random() < 0.5:
        job = with_sleeve_given_up(job, random)
    if random.random() < 0.3:
        job = with_little_loaded(job, random)
    if random.random() < 0.3:
        east_ft = one.east_ft + random.choice([-2, 2])
        spots = {"BA": Point(east_ft=east_ft, north_ft=-500), "BB": Point(east_ft=east_ft, north_ft=500)}
        side = Boundary(points=("BA", "BB"), client_side="right" if east_ft < one.east_ft else "left", setback_ft=0.5)
        job = job.model_copy(update={"points": {**job.points, **spots}, "boundaries": {**job.boundaries, "close": side}})
    return job


def with_little_loaded(job: Job, random: Random) -> Job:
    """As many sleeves, posts and braces on the truck as are needed, or one fewer."""
    rows = {row.stock: row.packs - random.randint(0, 1) for row in walk(job).takeoff.rows}
    ids = (job.fence.sleeve, job.fence.post, job.fence.brace)
    stock = {
        name: job.stock.get(name, stock_of(job.stock)[name]).model_copy(update={"loaded": max(rows[name], 0)})
        for name in ids
        if name in rows
    }
    return job.model_copy(update={"stock": {**job.stock, **stock}})


def with_sleeve_given_up(job: Job, random: Random) -> Job:
    """A post driven and after a week left out or moved, its sleeve pulled, cut off by the log or by its item, or not touched yet; and often
    a post put near it."""
    one = random.choice(driven(job))
    key = ItemKey("posts", one.id, "driven_depth")
    job = edits.tick(job, key, AT, BY, reading_in=24, of=walk(job).checklists["posts"].by_key[key].item.of)
    later, nobody = AT + timedelta(days=random.choice([1, 8])), random.random() < 0.25
    moved = random.random() < 0.5
    job = edits.move_post(job, one.id, later, BY, along_ft=random.uniform(1, 4)) if moved else edits.drop_post(job, one.id, later, BY)
    old = walk(job).posts.old_sleeves[-1:]
    for sleeve in () if nobody else old:
        line = walk(job).checklists["posts"].by_key.get(sleeve.key)
        if random.random() < 0.5 and sleeve.there is not None:
            job = edits.sleeve_left(job, sleeve.post, sleeve.there, later, BY)
        elif line is not None:
            job = edits.tick(job, sleeve.key, later, BY, of=line.item.of)
    if random.random() < 0.5:
        near_ft = max(0.0, one.station_ft + random.choice([0.0, random.uniform(-1.2, 1.2)]))
        job = edits.add_post(job, one.line, near_ft, later, BY, offset_ft=one.offset_ft)
    return job


def in_trouble(walked: Walk) -> list[str]:
    """Posts that a stop or fix of the layout, or of the sleeve that they go into, is about."""
    told = [one for one in walked.findings if one.level != "note" and (one.stage == "layout" or one.code in OF_SLEEVES)]
    return [name for name in walked.layout.supports if any(name in one.subjects for one in told)]


ASKED = ("reading_out_of_range", "post_lifted", "foot_gives")
"""What is told until it is ticked: of a reading to be read again, and of every braced post."""


def wrong(walked: Walk, post: str, added: str) -> set[tuple[str, str]]:
    """Code and subject of every stop and fix but readings to be read again, a post that takes another's place counted as that one."""
    told = [one for one in walked.findings if one.level != "note" and one.code not in ASKED]
    pairs = [(one.code, subject) for one in told for subject in one.subjects or ("job",)]
    return {(code, "-".join(post if word == added else word for word in subject.split("-"))) for code, subject in pairs}


def stood_beside(walked: Walk) -> set[ItemKey]:
    """Sleeves that were cut off and that a driven post stands less than a foot from, by their places alone."""
    lines, posts = walked.checklists["posts"].by_key, [one.xy for one in walked.layout.supports.values() if one.support == "driven"]
    cut = {one.key: one.there for one in walked.posts.old_sleeves if one.stays and (one.key not in lines or lines[one.key].state == "done")}
    return {key for key, there in cut.items() if there is not None and any(distance_ft(there, spot) < 1 - 0.01 for spot in posts)}


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=1385)
@example(seed=11995)
def test_an_offer_taken_adds_no_stop_and_no_fix(seed: int) -> None:
    """But for the apron over the rock that the post stood in, which is told: no stake goes in there, whatever is done."""
    job = stony(seed)
    before = walk(job)
    for post in in_trouble(before)[:2]:
        added = edits.next_post_id(job)
        for offer in suggestions(job, before, post, AT):
            if offer.lacks:
                continue  # it can't be taken before what it lacks has come
            taken = walk(settled(job, before, offer.steps, AT, BY))
            new = wrong(taken, post, added) - wrong(before, post, "")
            assert {code for code, _ in new} <= ({"apron_unstaked"} if "No stake goes" in offer.reason else set()), (post, offer)
            assert stood_beside(taken) <= stood_beside(before), (post, offer)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=90296)
@example(seed=95301)
@example(seed=95397)
def test_a_fresh_layout_is_named_only_where_it_settles_the_post_and_adds_no_stop_and_no_fix(seed: int) -> None:
    job = stony(seed)
    before = walk(job)
    for post in in_trouble(before)[:2]:
        fresh = layout_that_settles(job, before, post, AT)
        if fresh is not None:
            after = walk(accepted_again(job, fresh, AT, BY))
            assert {code for code, _ in wrong(after, "", "")} <= {code for code, _ in wrong(before, "", "")}, "posts have other names"
            left = [one.says for one in after.findings if one.stage == "layout" and one.level != "note" and post in one.subjects]
            assert not left
            assert stood_beside(after) <= stood_beside(before)


def test_a_fresh_layout_is_named_where_it_settles_a_post_and_not_where_it_leaves_it() -> None:
    """Posts 20 ft apart, a rock at P4: 3 bays of 25 ft do. P2 has nothing to settle; with P4 driven, it stays in the rock."""
    rocky = straight(100, posts=posts("n", 0, 20, 40, 60, 80, 100), log=[logged("obstacle", what="rock", line="n", station_ft=60)])
    fresh = layout_that_settles(rocky, walk(rocky), "P4", AT)
    assert fresh is not None
    assert layout_that_settles(rocky, walk(rocky), "P2", AT) is None
    driven_there = edits.tick(rocky, ItemKey("posts", "P4", "driven_depth"), AT, BY, reading_in=24)
    assert layout_that_settles(driven_there, walk(driven_there), "P4", AT) is None


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=1854)
def test_a_finding_of_where_posts_stand_sends_nobody_anywhere_and_names_what_is_left(seed: int) -> None:
    """How far a post lacks to the boundary is no way to send it: 1854 has one that lacks inches."""
    job = stony(seed)
    for one in walk(job).findings:
        if one.code in SITING:
            where_to = re.sub(r"^It has to come .* further in\. ", "", one.do)
            assert "'" not in where_to
            assert '"' not in where_to
            assert "afresh" not in one.do
            assert "a new way" in one.do


@pytest.mark.parametrize("along_ft", [-1.5, -0.4, 0.4, 1.5])
def test_a_gate_that_a_move_left_too_wide_or_narrow_is_settled_by_an_offer(along_ft: float) -> None:
    """The other post isn't sent into the rock beside it."""
    first, other = walk(accepted()).gate.gates["side"].hinge_post, walk(accepted()).gate.gates["side"].latch_post
    beside = walk(accepted()).layout.supports[other].station_ft
    rocky = edits.obstacle(accepted(), "rock", "back", beside + (1.1 if along_ft > 0 else -1.1), AT, BY, radius_ft=1)
    job = edits.move_post(rocky, first, AT, BY, along_ft=along_ft)
    before = walk(job)
    told = next(one for one in before.findings if one.code == "gate_opening_off")
    assert told.do.startswith("Settle ")
    offers = list(suggestions(job, before, first, AT))
    assert offers
    for offer in offers:
        after = walk(settled(job, before, offer.steps, AT, BY))
        assert not {one.code for one in after.findings} & {"gate_opening_off", "in_keep_out"}


def test_a_gate_post_that_was_left_out_comes_back_with_a_fresh_layout_as_the_advice_says() -> None:
    for post in ("P2", "P3"):
        job = edits.drop_post(accepted(), post, AT, BY)
        before = walk(job)
        told = next(one for one in before.findings if one.code == "gate_without_posts")
        assert told.do.startswith("Lay back out afresh")
        after = walk(accepted_again(job, fresh_layout(job, before), AT, BY))
        assert {code for code, _ in wrong(after, "", "")} <= {code for code, _ in wrong(walk(accepted()), "", "")}, "bays have other names"


def test_a_gate_post_moved_out_of_its_opening_is_to_be_moved_for_a_fresh_layout_leaves_it_there() -> None:
    job = edits.move_post(accepted(), "P2", AT, BY, along_ft=-4)
    job = edits.tick(job, ItemKey("posts", "P2", "driven_depth"), AT, BY, reading_in=24)
    told = next(one for one in walk(job).findings if one.code == "gate_without_posts")
    assert told.do.startswith("Move P2 or the gate so that they fit: its opening is from ")


def test_a_gate_that_hangs_on_a_tree_beside_its_line_is_put_right_as_it_is_told() -> None:
    """The oak stands 18" beside P3's place: the fresh layout drives a post there in its stead, and P2 stays."""
    gate = {"g": {"line": "n", "station_ft": 20, "leaf_width_ft": 5}}
    plan = posts("n", 0, 20, 25.1667, 45, kinds={1: "gate", 2: "gate"})
    oak = {"oak": {"point": "K", "diameter_in": 8}}
    job = edits.swap_to_tree(straight(45, {"K": (1.5, 25.1667)}, posts=plan, gates=gate, trees=oak), "P3", "oak", AT, BY)
    job = edits.tick(job, ItemKey("posts", "P2", "driven_depth"), AT, BY, reading_in=24)
    told = {one.code: one.do for one in walk(job).findings}
    assert told["gate_post_off_line"] == (
        "Tree oak stays where it grows: leave P3 out and lay n out afresh, which sets a post on the line if the ground lets it. "
        "Or put the gate elsewhere."
    )
    assert told["gate_opening_off"].startswith("Settle P2 by an offer;")
    without = edits.drop_post(job, "P3", AT, BY)
    fresh = fresh_layout(without, walk(without))
    assert fresh.why_none == ()
    after = walk(accepted_again(without, fresh, AT, BY))
    assert not {"gate_post_off_line", "gate_opening_off", "gate_without_posts"} & {one.code for one in after.findings}
    assert after.layout.supports["P2"].station_ft == 20


def gated(job: Job, line: str, station_ft: float) -> Job:
    return entering.add(job, "gates", "gx", {"line": line, "station_ft": round(station_ft, 3), "leaf_width_ft": 4})


WHERE_POSTS_STAND = ("layout", "posts")
"""What a fresh layout answers for: the gap under a gate, its mower and its braces are the gate's own, wherever it is."""


def told_of_places(walked: Walk) -> set[str]:
    told = [one.code for one in walked.findings if one.level != "note" and one.stage in WHERE_POSTS_STAND and one.code not in ASKED]
    return {*told, *(one.code for one in walked.findings if one.code == "gate_opening_off")}


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=0)
def test_a_gate_put_in_where_posts_stand_is_set_by_a_fresh_layout_or_it_is_told_where_it_would_be(seed: int) -> None:
    """Half of the posts stand; the gate begins somewhere about one of them."""
    random = Random(seed)
    job = random.choice(demos())
    job = reduce(lambda made, one: with_depth(made, one.id), [one for one in driven(job) if random.random() < 0.5], job)
    beside = random.choice(driven(job))
    gates = [gate for gate in walk(job).gate.gates.values() if job.gates[gate.gate].line == beside.line]
    if any(abs(job.gates[gate.gate].station_ft - beside.station_ft) < 20 for gate in gates):
        return
    try:
        job = gated(job, beside.line, max(0.0, beside.station_ft + random.uniform(-5, 1)))
    except EditRefused:
        return
    before = walk(job)
    fresh = fresh_layout(job, before)
    if fresh.why_none:
        for says in where_gates_may_begin(job, before, AT):
            station_ft = parse_length_ft(re.findall(r"begins at (.*) it can", says)[0])
            job = job.model_copy(update={"gates": {**job.gates, "gx": job.gates["gx"].model_copy(update={"station_ft": station_ft})}})
            fresh = fresh_layout(job, walk(job))
            assert not fresh.why_none
    if not fresh.why_none and "gate_without_posts" in told_of_places(before):
        after = walk(accepted_again(job, fresh, AT, BY))
        assert told_of_places(after) <= told_of_places(before) - {"gate_without_posts"}


def with_depth(job: Job, post: str) -> Job:
    key = ItemKey("posts", post, "driven_depth")
    return edits.tick(job, key, AT, BY, reading_in=24, of=walk(job).checklists["posts"].by_key[key].item.of)


def test_a_driven_post_where_a_gate_wants_one_is_its_post_and_one_in_its_opening_comes_out() -> None:
    """A 4 ft leaf wants 4' 2": from 55' 10" it ends on P4, which is driven at 60; from 58 it has P4 2 ft inside, from 59' 3" 9" inside, and
    there nothing is driven, for the sleeve."""
    plain = straight(100, posts=posts("n", 0, 20, 40, 60, 80, 100))
    job = with_depth(plain, "P4")
    ends_there = gated(job, "n", 55 + 10 / 12)
    fresh = fresh_layout(ends_there, walk(ends_there))
    assert (fresh.why_none, fresh.says) == ((), "P4 stays where it stands; P4 is a post of gate gx now; P2 and P3 move; P7 comes.")
    assert sorted(round(one.station_ft, 3) for one in fresh.posts.values() if one.kind == "gate") == [55.833, 60.0]
    inside = gated(job, "n", 58)
    fresh = fresh_layout(inside, walk(inside))
    assert fresh.why_none == ()
    assert "P4 stands in a gate's opening and comes out" in fresh.says
    assert "P4" not in fresh.posts
    near = gated(job, "n", 59.25)
    before = walk(near)
    assert fresh_layout(near, before).why_none == ("n wants a gate post at 59' 3\", and there: stands in the old sleeve of P4.",)
    assert list(where_gates_may_begin(near, before, AT)) == ["Where gate gx begins at 60' 0\" it can be set: P4 is one of its posts then."]


def test_no_post_is_offered_a_place_beside_a_hard_stretch_of_which_nobody_measured_how_wide_it_is() -> None:
    """A slab from 40 on: the file says a foot to each side of the line, and a driveway is wider. Paving is lifted for a post."""
    for kind, abreast in (("slab", False), ("paving", True)):
        job = line_of(0, 20, 40, 60, 80, 100, log=[rock(40, 1.25)], surfaces={"s": {"line": "n", "from_ft": 40, "to_ft": 46, "kind": kind}})
        moves = [step for offer in of(job, "P3") for step in offer.steps if step["kind"] == "move" and step["post"] == "P3"]
        assert moves
        assert any(step["along_ft"] > 0 for step in moves) is abreast
