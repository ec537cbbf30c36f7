"""What nobody means to log is refused in a sentence, and no gate goes without a word."""

import re
from collections.abc import Callable
from functools import cache
from random import Random
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.found_in_ground import in_its_way, obstacle_found, rock_where_it_stopped, where_it_stands
from engine.change.settling import settled
from engine.change.suggestions import suggestions
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import Walk, walk
from tests.bench.big_job import big_job
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import logged, posts, ring, straight, yard
from tests.stages.layout.test_layout_robust import odd_job

TREES = {
    "oak": {"point": "K", "diameter_in": 10},
    "twig": {"point": "L", "diameter_in": 4},
    "rotten": {"point": "L", "diameter_in": 12, "sound": False},
    "far": {"point": "F", "diameter_in": 12},
    "held": {"point": "E", "diameter_in": 12},
}
PLACES = {"K": (1.0, 22.0), "L": (1.0, 60.0), "F": (3.5, 41.0)}


def line_of(**tables: Any) -> Job:
    """Posts P1 to P6 every 20 ft along 100 ft of flat ground, P6 on the tree "held"."""
    plan = posts("n", 0, 20, 40, 60, 80, 100)
    plan["P6"] |= {"support": "tree", "at": "held"}
    return straight(100.0, PLACES, posts=plan, trees=TREES, **tables)


def at_a_house() -> Job:
    """P1 hangs on the wall of a house at 0 ft, P2 to P4 are driven 20 ft apart."""
    plan = posts("n", 0, 20, 40, 60)
    plan["P1"] |= {"support": "structure", "at": "house"}
    corners = {"H1": (-20.0, -20.0), "H2": (20.0, -20.0), "H3": (20.0, 0.0), "H4": (-20.0, 0.0)}
    house = {"points": [*corners, "H1"], "holds_eyes": True}
    line = {"points": ["S", "E"], "start_meets": "structure", "start_at": "house"}
    places = {"S": (0.0, 0.0), "E": (0.0, 60.0), "K": (1.0, 2.0), **corners}
    return yard(places, {"n": line}, posts=plan, structures={"house": house}, trees={"oak": TREES["oak"]})


def gated() -> Job:
    gate = {"g": {"line": "n", "station_ft": 20, "leaf_width_ft": 5}}
    return straight(65, posts=posts("n", 0, 20, 25.1667, 45, 65, kinds={1: "gate", 2: "gate"}), gates=gate)


def round_a_ring() -> Job:
    return ring(posts=posts("r", *range(0, 160, 20), kinds=dict.fromkeys((0, 2, 4, 6), "corner") | {7: "line"}))


def steps(job: Job, *asked: dict[str, Any]) -> Job:
    return settled(job, walk(job), asked, AT, BY)


def moved(post: str, along_ft: float = 0.0, out_ft: float = 0.0) -> dict[str, Any]:
    return {"kind": "move", "post": post, "along_ft": along_ft, "out_ft": out_ft}


def swapped(post: str, tree: str) -> dict[str, Any]:
    return {"kind": "swap", "post": post, "tree": tree}


def added(line: str, station_ft: float, offset_ft: float = 0.0) -> dict[str, Any]:
    return {"kind": "add", "line": line, "station_ft": station_ft, "offset_ft": offset_ft}


@pytest.mark.parametrize(
    ("job", "step", "words"),
    [
        (round_a_ring, added("r", 999), "r is 160' 0\" long, and 999' 0\" lies past its end. Correct the station."),
        (line_of, added("n", 100.1), "n is 100' 0\" long, and 100' 1 1/4\" lies past its end. Correct the station."),
        (line_of, added("n", 30, -26), "26' 0\" left of n is further off it than a bay may be long (25' 0\")."),
        (gated, added("n", 22, 3), "22' 0\" on n is in the opening of gate g, 20' 0\" to 25' 2\". Give a station outside it."),
        (line_of, moved("P3", 300), "P3 would come as far as P4, 20' 0\" from it. Move it less"),
        (line_of, moved("P3", -19.8), "P3 would come as far as P2, 20' 0\" from it."),
        (line_of, moved("P3", 0, 300), "P3 would stand 300' 0\" off n, further than a bay may be long (25' 0\"). Log a new way"),
        (round_a_ring, moved("P1", -20), "P1 would come as far as P8, 20' 0\" from it."),
        (round_a_ring, moved("P8", 21), "P8 would come as far as P1, 20' 0\" from it."),
        (line_of, moved("P6", -1), "P6 is tree held, which stays where it grows. Add a post where one is wanted and leave P6 out."),
        (
            at_a_house,
            moved("P1", -15),
            "P1 is held by house, which stays where it is built. Draw n to where it is wanted, or log a new way there.",
        ),
        (at_a_house, moved("P1", 0, 3), "P1 is held by house, which stays where it is built."),
        (at_a_house, swapped("P1", "oak"), "P1 is held by house, which stays where it is built."),
        (at_a_house, {"kind": "drop", "post": "P1"}, "P1 is held by house, which stays where it is built."),
        (line_of, swapped("P2", "held"), "Tree held carries the cables of P6 already."),
        (line_of, swapped("P4", "twig"), "Tree twig is 4 in through, under 6 in: it carries no cables."),
        (line_of, swapped("P4", "rotten"), "Tree rotten isn't sound: it carries no cables."),
        (line_of, swapped("P3", "far"), "Tree far stands 3' 6\" off n; a fence bends to a tree within 3' 0\"."),
        (line_of, swapped("P4", "oak"), "P4 would come as far as P3, 20' 0\" from it."),
    ],
)
def test_what_nobody_means_is_refused_in_a_sentence(job: Callable[[], Job], step: dict[str, Any], words: str) -> None:
    with pytest.raises(EditRefused) as refused:
        steps(job(), step)
    assert words in str(refused.value)


def test_what_a_deck_or_a_house_holds_stays_in_the_demo_too() -> None:
    job = accepted()
    held = [one.id for one in walk(job).layout.supports.values() if one.support == "structure"]
    assert held
    for post in held:
        for step in (moved(post, -15), moved(post, 1), moved(post, 0, 3), {"kind": "drop", "post": post}):
            with pytest.raises(EditRefused, match=f"{post} is held by "):
                steps(job, step)


@pytest.mark.parametrize(
    ("job", "step"),
    [
        (line_of, moved("P3", 19.5)),
        (line_of, moved("P3", 0, 25)),
        (line_of, moved("P1", -3)),
        (round_a_ring, moved("P1", -19)),
        (line_of, added("n", 100)),
        (gated, added("n", 26)),
        (line_of, swapped("P2", "oak")),
    ],
)
def test_what_a_crew_may_mean_is_taken(job: Callable[[], Job], step: dict[str, Any]) -> None:
    assert len(steps(job(), step).log) == 1


def test_posts_that_move_together_are_judged_where_they_come_to_stand() -> None:
    """P3 goes to where P4 stands, and P4 further on: at the end neither has passed the other."""
    assert len(steps(line_of(), moved("P3", 20), moved("P4", 10)).log) == 2
    with pytest.raises(EditRefused, match=r"P3 .* P4, 20' 0"):
        steps(line_of(), moved("P3", 20), moved("P4", -1))
    again = steps(steps(line_of(), moved("P3", 15)), moved("P3", -5))
    with pytest.raises(EditRefused, match=r"P3 .* P4, 10' 0"):
        steps(again, moved("P3", 12))


@pytest.mark.parametrize(
    ("size", "says"),
    [
        ({"radius_ft": 25.0}, ""),
        ({"radius_ft": 300.0}, "300' 0\" clear all round is more than a bay may be long (25' 0\")"),
        ({"long_ft": 106.0}, ""),
        ({"long_ft": 500.0}, "500' 0\" is longer than n, which is 100' 0\" long."),
        ({"wide_ft": 50.0}, ""),
        ({"wide_ft": 90.0}, "90' 0\" reaches further to both sides than a bay may be long (25' 0\")."),
    ],
)
def test_a_size_that_nothing_in_a_yard_has_is_refused(size: dict[str, float], says: str) -> None:
    job = line_of()
    if says:
        with pytest.raises(EditRefused, match=re.escape(says)) as refusal:
            obstacle_found(job, walk(job), "rock", "n", 50, AT, BY, **size)
        assert refusal.value.field == next(iter(size))
    else:
        assert obstacle_found(job, walk(job), "rock", "n", 50, AT, BY, **size).log


@pytest.mark.parametrize(("station_ft", "taken"), [(103, True), (103.1, False), (999, False), (-3, True), (-3.1, False)])
def test_something_found_past_the_lines_end_is_refused(station_ft: float, taken: bool) -> None:
    job = line_of()
    if taken:
        assert obstacle_found(job, walk(job), "rock", "n", station_ft, AT, BY).log
    else:
        with pytest.raises(EditRefused, match=r"n is 100' 0\" long, and .* lies (past its end|before its start)\."):
            obstacle_found(job, walk(job), "rock", "n", station_ft, AT, BY)


@pytest.mark.parametrize(
    ("offset_ft", "size", "taken"),
    [
        (26, {}, True),
        (-26.1, {}, False),
        (40, {}, False),
        (40, {"radius_ft": 15.0}, True),
        (40, {"wide_ft": 28.0, "long_ft": 3.0}, True),
        (40, {"wide_ft": 3.0, "long_ft": 28.0}, False),
        (999, {}, False),
    ],
)
def test_something_found_further_off_the_line_than_a_bay_is_long_is_refused(offset_ft: float, size: dict[str, float], taken: bool) -> None:
    """Bays are 25 ft at most, and 1 ft all round is kept clear; what reaches nearer with its own size is in the way."""
    job = line_of()
    if taken:
        assert obstacle_found(job, walk(job), "rock", "n", 50, AT, BY, offset_ft=offset_ft, **size).log
    else:
        with pytest.raises(EditRefused, match=r"of n is further off it than a bay may be long \(25' 0\"\)\. No post comes") as refused:
            obstacle_found(job, walk(job), "rock", "n", 50, AT, BY, offset_ft=offset_ft, **size)
        assert refused.value.field == "offset_ft"


def told(walked: Walk, code: str) -> list[str]:
    return [one.says for one in walked.findings if one.code == code and one.level != "note"]


def test_what_a_file_says_of_that_kind_is_found() -> None:
    rock = logged("obstacle", what="rock", line="n", station_ft=200)
    assert told(walk(line_of(log=[rock])), "found_past_end") == ["Rock is logged at 200' 0\" on n, which is 100' 0\" long."]
    far = logged("obstacle", what="rock", line="n", station_ft=50, offset_ft=-40)
    assert told(walk(line_of(log=[far])), "found_far_off") == ["Rock is logged 40' 0\" off n, and no bay is longer than 25' 0\"."]
    twice = [logged("swap", 1, post="P2", tree="oak"), logged("swap", 2, post="P3", tree="oak")]
    assert told(walk(line_of(log=twice)), "tree_used_twice") == ["Tree oak is named for P2 and P3, and it can be but one support."]
    past = round_a_ring().model_copy(update={"log": edits.add_post(round_a_ring(), "r", 170, AT, BY).log})
    assert told(walk(past), "post_past_end") == ["P9 is planned at 170' 0\", past the end of r at 160' 0\"."]


def test_a_post_in_a_gates_opening_is_told_and_the_gate_with_it() -> None:
    walked = walk(edits.add_post(gated(), "n", 22, AT, BY))
    (found,) = [one for one in walked.findings if one.code == "post_in_opening"]
    assert (found.level, found.subjects) == ("fix", ("g", "P6"))
    assert found.says == "P6 stands in the opening of gate g, between P2 and P3, so it can't be hung."
    assert "g" not in walked.gate.gates


def test_a_gate_that_ends_at_a_rings_first_point_is_hung() -> None:
    gate = {"g": {"line": "r", "station_ft": 160 - 5 - 2 / 12, "leaf_width_ft": 5}}
    plan = posts("r", 0, 20, 40, 60, 80, 100, 120, 140, 160 - 5 - 2 / 12, kinds={0: "gate", 8: "gate"} | dict.fromkeys((2, 4, 6), "corner"))
    assert list(walk(ring(posts=plan, gates=gate)).gate.gates) == ["g"]


@cache
def jobs() -> tuple[Job, ...]:
    return (accepted(), *(job.model_copy(update={"record": None}) for job in others().values() if job.posts), big_job(1), gated())


def random_edit(job: Job, random: Random) -> Job:
    line, post = random.choice(list(job.lines)), random.choice(list(job.posts))
    match random.choice(["move", "move", "add", "drop", "swap", "obstacle"]):
        case "move":
            return edits.move_post(job, post, AT, BY, along_ft=random.uniform(-30, 30), out_ft=random.uniform(-4, 4))
        case "add":
            return edits.add_post(job, line, random.uniform(0, 200), AT, BY, post_kind=random.choice(["line", "gate"]))
        case "drop":
            return edits.drop_post(job, post, AT, BY)
        case "swap" if job.trees:
            return edits.swap_to_tree(job, post, random.choice(list(job.trees)), AT, BY)
        case _:
            return edits.obstacle(job, "rock", line, random.uniform(0, 200), AT, BY)


NO_LINE = ("line_unplaced", "line_stands_still", "line_without_posts")


def lost_gates(job: Job) -> list[str]:
    """Gates that are neither worked out nor named, by themselves or by a line that isn't laid out, in a stop or a fix."""
    walked = walk(job)
    told = [one for one in walked.findings if one.level != "note"]
    named = {subject for one in told for subject in one.subjects}
    bare = {subject for one in told if one.code in NO_LINE for subject in one.subjects}
    lost = {name: gate for name, gate in job.gates.items() if name not in walked.gate.gates and name not in named}
    return [name for name, gate in lost.items() if gate.line not in bare]


@settings(max_examples=50, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_a_gate_never_goes_without_a_word(seed: int) -> None:
    random = Random(seed)
    job = random.choice(jobs())
    for _ in range(random.randint(1, 6)):
        try:
            job = random_edit(job, random)
        except EditRefused:
            continue
    assert lost_gates(job) == []


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=3266)
def test_not_even_in_the_oddest_job(seed: int) -> None:
    job = odd_job(seed)
    on_a_line = {name: gate for name, gate in job.gates.items() if gate.line in job.lines}
    assert lost_gates(job.model_copy(update={"gates": on_a_line})) == []


def test_a_rock_at_a_post_starts_where_the_post_stands_today() -> None:
    job = line_of(log=[logged("move", post="P3", along_ft=1.0, out_ft=-1.5)])
    assert where_it_stands(job, walk(job), "P3") == ("n", 41.0, -1.5)
    rocky = obstacle_found(job, walk(job), "rock", *where_it_stands(job, walk(job), "P3")[:2], AT, BY, offset_ft=-1.5)
    assert in_its_way(rocky, walk(rocky), "P3") == "P3"
    for offer in suggestions(rocky, walk(rocky), "P3", AT):
        here = walk(settled(rocky, walk(rocky), offer.steps, AT, BY)).layout.supports.values()
        away = [((one.east_ft + 1.5) ** 2 + (one.north_ft - 41.0) ** 2) ** 0.5 for one in here]
        assert min(away) >= 1 - 0.01


@pytest.mark.closed_form
def test_a_post_moved_back_over_a_rings_first_point_has_its_rock_where_it_stands() -> None:
    """1 ft back from Q1 (0, 0) on the side that runs west is (1, 0), 159 ft from the first point; on an open line it lies before it."""
    job = edits.tick(steps(round_a_ring(), moved("P1", -1)), item_key("posts.P1.driven_depth"), AT, BY, reading_in=8)
    rocky = rock_where_it_stopped(job, walk(job), "P1", AT, BY)
    assert rocky.log[-1].station_ft == 159  # type: ignore[union-attr]  # the rock
    assert in_its_way(rocky, walk(rocky), None) == "P1"
    job = edits.tick(steps(line_of(), moved("P1", -1)), item_key("posts.P1.driven_depth"), AT, BY, reading_in=8)
    rocky = rock_where_it_stopped(job, walk(job), "P1", AT, BY)
    assert rocky.log[-1].station_ft == -1  # type: ignore[union-attr]  # the rock
    assert in_its_way(rocky, walk(rocky), None) == "P1"


def test_a_rock_where_nobody_stands_leads_nowhere() -> None:
    job = line_of()
    rocky = obstacle_found(job, walk(job), "rock", "n", 30, AT, BY)
    assert in_its_way(rocky, walk(rocky), "P3") is None
    assert in_its_way(job, walk(job), "P3") is None


@pytest.mark.parametrize(("station_ft", "offset_ft"), [(40.1, 0.0), (39.9, 0.0), (40.45, 0.0), (40.3, 0.3), (99.8, -0.2)])
def test_a_post_within_half_a_foot_of_a_driven_one_is_refused(station_ft: float, offset_ft: float) -> None:
    """P6 at 100 ft is a tree, beside which a post may be driven that takes over from it."""
    add = {"kind": "add", "line": "n", "station_ft": station_ft, "offset_ft": offset_ft}
    if station_ft > 99:
        assert steps(line_of(), add).log[-1].kind == "add"
        return
    with pytest.raises(EditRefused, match=r"^P3 stands .* from there: .* Give another station, or leave P3 out first\.$") as refused:
        steps(line_of(), add)
    assert refused.value.field == "station_ft"
    assert steps(line_of(), {"kind": "drop", "post": "P3"}, add).log[-1].kind == "add"


@pytest.mark.parametrize(("station_ft", "offset_ft"), [(40.5, 0.0), (39.5, 0.0), (40.4, 0.4)])
def test_a_post_half_a_foot_from_a_driven_one_is_added_and_one_beside_a_wall_is_not(station_ft: float, offset_ft: float) -> None:
    add = {"kind": "add", "line": "n", "station_ft": station_ft, "offset_ft": offset_ft}
    assert steps(line_of(), add).log[-1].kind == "add"
    with pytest.raises(EditRefused, match=r"^P1 stands .* from there: .* Give another station\.$"):
        steps(at_a_house(), {"kind": "add", "line": "n", "station_ft": 0.3})
