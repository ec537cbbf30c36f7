"""The site from above: every support, bay and gate is in it where it stands, and no job is too bare to draw."""

from dataclasses import replace
from math import dist, isfinite

import pytest

from engine.calc.geometry.plane import Point
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Arc, Area, Circle, Drawing, Mark, Stroke, Words
from engine.drawing.site_shapes import site_shapes
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo
from tests.drawing.drawn_jobs import JOBS, numbers, two_leaves
from tests.stages.yards import build, plain, tables


def plan(job: Job) -> Drawing:
    return plan_shapes(job, walk(job))


def going(after: Job, before: Job) -> list[tuple[str, Point, Point]]:
    """Each post that changes, with its old and its new spot."""
    drawn = plan_shapes(after, walk(after), walk(before))
    names = [mark.id for mark in drawn.of(Mark, "goes to")]
    return [(name, *stroke.points) for name, stroke in zip(names, drawn.of(Stroke, "going"), strict=True)]  # type: ignore[misc]  # two points


@pytest.mark.parametrize("name", JOBS)
def test_any_site_can_be_drawn(name: str) -> None:
    assert all(isfinite(number) for number in numbers(plan(JOBS[name])))


def test_the_plan_of_the_demo_holds_everything_at_its_place() -> None:
    walked, picture = walk(demo()), plan(demo())
    assert {post.id: post.pos for post in picture.of(Mark, "post")} == {
        name: support.xy for name, support in walked.layout.supports.items()
    }
    assert [run.id for run in picture.of(Stroke, "fence")] == [name for name, bay in walked.layout.bays.items() if bay.gate is None]
    assert {run.id: run.group for run in picture.of(Stroke, "fence")} == dict(walked.cables.loop_of)
    assert [2 * trunk.radius_ft for trunk in picture.of(Circle, "tree")] == pytest.approx([14 / 12, 9 / 12, 4 / 12])
    assert [tree.id for tree in picture.of(Mark, "tree")] == ["oak", "hickory", "dogwood"]
    assert [leaf.id for leaf in picture.of(Stroke, "shut")] == ["side"]
    assert len(picture.of(Stroke, "brace")) == walked.bracing.brace_count == 4
    assert [words.text for words in picture.of(Words, "yard")] == ["back yard"]
    assert [len(wall.points) for wall in picture.of(Stroke, "wall")] == [3]
    assert [len(path.points) for path in picture.of(Stroke, "boundary")] == [2, 2]


def test_every_post_is_of_its_kind() -> None:
    kinds = {post.id: post.kind for post in plan(demo()).of(Mark, "post")}
    assert {name: kinds[name] for name in ("P1", "P2", "P4", "P7", "P9", "P16")} == {
        **{"P1": "structure", "P2": "gate", "P4": "line"},
        **{"P7": "tree", "P9": "corner", "P16": "structure"},
    }


def test_keep_outs_have_their_own_kind_and_trees_and_walls_are_not_drawn_twice() -> None:
    assert {area.id: area.kind for area in plan(demo()).of(Area, "keepout")} == {"gas": "gas", "ledge": "rock"}
    assert [area.id for area in plan(demo()).of(Area, "deck")] == ["deck"]


def test_a_buried_line_that_runs_in_a_ring_is_of_its_kind_run_by_run() -> None:
    base = tables()
    ring = {"kind": "septic", "points": ["A", "B", "C", "D", "A"], "width_in": 4}
    areas = plan(build(base, utilities={"ring": ring})).of(Area, "keepout")
    assert len(areas) == 4
    assert {area.kind for area in areas} == {"septic"}


def test_the_plan_shows_what_is_done_and_what_is_wrong() -> None:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22)
    job = edits.tick(job, item_key("posts.P7.eyes"), AT, BY)
    job = edits.tick(job, item_key("posts.P5.driven_depth"), AT, BY, reading_in=14)
    states = {post.id: post.state for post in plan(job).of(Mark, "post")}
    assert (states["P4"], states["P7"], states["P5"], states["P6"]) == ("done", "done", "fix", "planned")


def test_a_line_without_supports_is_drawn_as_it_was_surveyed() -> None:
    walked = walk(plain())
    bare = replace(
        walked,
        layout=replace(walked.layout, supports={}, bays={}),
        bracing=replace(walked.bracing, pulls={}),
        gate=replace(walked.gate, gates={}),
    )
    (run,) = plan_shapes(plain(), bare).of(Stroke, "bare")
    assert (run.id, run.points) == ("fence", walked.survey.lines["fence"].path)


@pytest.mark.closed_form
def test_a_move_is_shown_from_where_to_where() -> None:
    after = edits.move_post(accepted(), "P6", AT, BY, out_ft=2)
    ((name, old, new),) = going(after, accepted())
    assert (name, dist(old, new)) == ("P6", pytest.approx(2.0))
    assert [words.text for words in plan_shapes(after, walk(after), walk(accepted())).of(Words, "post")].count("P6") == 0
    assert going(after, after) == []


def test_a_post_left_out_and_one_added_for_it_are_shown_as_one_that_goes() -> None:
    gone = edits.drop_post(accepted(), "P6", AT, BY)
    swapped = edits.add_post(gone, "back", 88, AT, BY)
    spot = walk(accepted()).layout.supports["P6"].xy
    assert going(gone, accepted()) == [("P6", spot, spot)]
    assert going(swapped, accepted()) == [("P17", spot, walk(swapped).layout.supports["P17"].xy)]


@pytest.mark.closed_form
def test_a_gate_is_drawn_shut_and_square_open_on_its_better_side() -> None:
    """The plain yard's north run goes east; left of it is north. The opening starts 15 ft along it, its posts stand 5' 2" apart."""
    (swing,) = plan(plain()).of(Arc, "swing")
    assert swing.centre[1] == pytest.approx(60.0, abs=0.01)
    assert dist(swing.centre, swing.start) == pytest.approx(5.0)
    assert swing.end == pytest.approx((swing.centre[0], swing.centre[1] + 5.0), abs=0.01)


@pytest.mark.closed_form
def test_both_leaves_of_a_wide_gate_open_to_the_same_side() -> None:
    picture = plan(two_leaves(opens="right"))
    first, second = picture.of(Arc, "swing")
    assert [leaf.id for leaf in picture.of(Stroke, "shut")] == ["G1", "G1"]
    assert first.centre[0] < first.start[0] < second.start[0] < second.centre[0]
    for swing in (first, second):
        assert swing.end == pytest.approx((swing.centre[0], swing.centre[1] - 5.0), abs=0.01)


def test_something_found_is_called_what_it_is_and_not_by_the_id_of_its_entry() -> None:
    job = edits.obstacle(accepted(), "rock", "back", 90, AT, BY)
    (words,) = (words for words in plan(job).of(Words, "keepout") if words.id == job.log[-1].id)
    assert words.text == "rock"


def test_what_needs_work_is_named_before_all_else_and_posts_of_the_line_after_corners() -> None:
    job = edits.tick(accepted(), item_key("posts.P5.driven_depth"), AT, BY, reading_in=14)
    ranks = {words.text: words.rank for words in plan(job).of(Words) if words.text in ("P5", "side", "P9", "P4", "oak")}
    assert sorted(ranks, key=lambda name: ranks[name]) == ["P5", "P9", "side", "P4", "oak"]


def test_posts_are_stepped_through_first_then_gates_trees_bays_and_keep_outs() -> None:
    walked = walk(demo())
    bays = [name for name, bay in walked.layout.bays.items() if bay.gate is None]
    steps = [*walked.layout.supports, "side", "oak", "hickory", "dogwood", *bays, "gas", "ledge", "deck"]
    assert [name for name, _ in plan(demo()).picks] == steps


def test_the_shapes_of_a_walk_are_made_once_and_those_of_the_site_stay_through_a_tick() -> None:
    job = accepted()
    walked = walk(job)
    assert plan_shapes(job, walked) is plan_shapes(job, walked)
    ticked = edits.tick(job, item_key("posts.P4.driven_depth"), AT, BY, reading_in=22)
    assert plan_shapes(ticked, walk(ticked)) is not plan_shapes(job, walked)
    assert site_shapes(ticked, walk(ticked)) is site_shapes(job, walked)
    moved = edits.move_post(job, "P6", AT, BY, out_ft=2)
    assert site_shapes(moved, walk(moved)) is not site_shapes(job, walked)
