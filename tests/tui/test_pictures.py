"""Pictures of a walk: every support, bay and gate is in them where it stands, and no job is too bare to draw."""

from dataclasses import replace
from math import dist, isfinite
from typing import Any

import pytest

from engine.job.edit import edits
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo
from tests.drawing.drawn_jobs import JOBS, numbers, two_leaves
from tests.stages.yards import build, plain, tables
from tui.screens.shown import picture_of
from tui.stages import pictures
from tui.widgets.picture import GatePicture, PlanPicture
from tui.widgets.profile_view import frame_profile, paint_profile, profile_bounds


def plan(job: Job) -> PlanPicture:
    return pictures.plan(job, walk(job))


def elevation(job: Job, gate: str) -> GatePicture:
    found = pictures.elevation(job, walk(job), gate)
    assert found is not None
    return found


@pytest.mark.parametrize("name", JOBS)
def test_any_job_can_be_drawn(name: str) -> None:
    job, walked = JOBS[name], walk(JOBS[name])
    drawn: list[object] = [pictures.plan(job, walked)]
    drawn += [pictures.elevation(job, walked, gate) for gate in (*job.gates, "no such gate")]
    assert all(isfinite(number) for picture in drawn for number in numbers(picture))
    west, south, east, north = plan(job).bounds
    assert east - west >= 10.0 - 1e-9
    assert north - south >= 10.0 - 1e-9


def test_the_plan_of_the_demo_holds_everything_at_its_place() -> None:
    walked, picture = walk(demo()), plan(demo())
    assert {post.id: post.pos for post in picture.posts} == {name: support.xy for name, support in walked.layout.supports.items()}
    assert [run.id for run in picture.fence] == [name for name, bay in walked.layout.bays.items() if bay.gate is None]
    assert {run.id: run.group for run in picture.fence} == dict(walked.cables.loop_of)
    assert {tree.id: tree.diameter_ft for tree in picture.trees} == {"oak": 14 / 12, "hickory": 9 / 12, "dogwood": 4 / 12}
    assert {gate.id for gate in picture.gates} == {"side"}
    assert len(picture.braces) == walked.bracing.brace_count == 4
    assert [(label.text, label.role) for label in picture.yards] == [("back yard", "yard")]
    assert [len(wall) for wall in picture.walls] == [3]
    assert [len(path) for path in picture.boundaries] == [2, 2]


def test_letters_tell_kinds_apart() -> None:
    letters = {post.id: post.letter for post in plan(demo()).posts}
    assert {name: letters[name] for name in ("P1", "P2", "P4", "P7", "P9", "P16")} == {
        **{"P1": "S", "P2": "G", "P4": "o"},
        **{"P7": "Y", "P9": "C", "P16": "S"},
    }


def test_keep_outs_have_their_own_kind_and_trees_and_walls_are_not_drawn_twice() -> None:
    assert {area.id: area.kind for area in plan(demo()).keep_outs} == {"gas": "gas", "ledge": "rock", "deck": "deck"}


def test_a_buried_line_that_runs_in_a_ring_keeps_its_colour_run_by_run() -> None:
    base = tables()
    ring = {"kind": "septic", "points": ["A", "B", "C", "D", "A"], "width_in": 4}
    areas = plan(build(base, utilities={"ring": ring})).keep_outs
    assert len(areas) == 4
    assert {area.kind for area in areas} == {"sewer"}


def test_the_plan_shows_what_is_done_and_what_is_wrong() -> None:
    job = edits.tick(accepted(), "posts.P4.driven_depth", AT, BY, reading_in=22)
    job = edits.tick(job, "posts.P7.eyes", AT, BY)
    job = edits.tick(job, "posts.P5.driven_depth", AT, BY, reading_in=14)
    states = {post.id: post.state for post in plan(job).posts}
    assert (states["P4"], states["P7"], states["P5"], states["P6"]) == ("done", "done", "fix", "planned")


def test_a_line_without_supports_is_drawn_as_it_was_surveyed() -> None:
    walked = walk(plain())
    bare = replace(walked, layout=replace(walked.layout, supports={}, bays={}), bracing=replace(walked.bracing, pulls={}))
    (run,) = pictures.plan(plain(), bare).fence
    assert (run.id, run.points) == ("fence", walked.survey.lines["fence"].path)


@pytest.mark.closed_form
def test_a_move_is_shown_from_where_to_where() -> None:
    after = edits.move_post(accepted(), "P6", AT, BY, out_ft=2)
    ghosts = pictures.plan(after, walk(after), before=walk(accepted())).ghosts
    assert [ghost.id for ghost in ghosts] == ["P6"]
    assert dist(ghosts[0].old, ghosts[0].new) == pytest.approx(2.0)
    assert pictures.plan(after, walk(after), before=walk(after)).ghosts == ()


def test_a_post_left_out_and_one_added_for_it_are_shown_as_one_that_goes() -> None:
    gone = edits.drop_post(accepted(), "P6", AT, BY)
    swapped = edits.add_post(gone, "back", 88, AT, BY)
    before = walk(accepted())
    spots = before.layout.supports
    (left_out,) = pictures.plan(gone, walk(gone), before=before).ghosts
    assert (left_out.id, left_out.old, left_out.new) == ("P6", spots["P6"].xy, spots["P6"].xy)
    (ghost,) = pictures.plan(swapped, walk(swapped), before=before).ghosts
    assert (ghost.id, ghost.old, ghost.new) == ("P17", spots["P6"].xy, walk(swapped).layout.supports["P17"].xy)


@pytest.mark.closed_form
def test_a_gate_is_drawn_shut_and_square_open_on_its_better_side() -> None:
    """The plain yard's north run goes east; left of it is north. The opening starts 15 ft along it, its posts stand 5' 2" apart."""
    (mark,) = plan(plain()).gates
    assert mark.hinge[1] == pytest.approx(60.0, abs=0.01)
    assert dist(mark.hinge, mark.closed_tip) == pytest.approx(5.0)
    assert mark.open_tip == pytest.approx((mark.hinge[0], mark.hinge[1] + 5.0), abs=0.01)


@pytest.mark.closed_form
def test_both_leaves_of_a_wide_gate_open_to_the_same_side() -> None:
    first, second = plan(two_leaves(opens="right")).gates
    assert (first.id, second.id) == ("G1", "G1")
    assert first.hinge[0] < first.closed_tip[0] < second.closed_tip[0] < second.hinge[0]
    for mark in (first, second):
        assert mark.open_tip == pytest.approx((mark.hinge[0], mark.hinge[1] - 5.0), abs=0.01)


@pytest.mark.closed_form
@pytest.mark.parametrize(("hinge", "side", "hinge_ft", "latch_ft"), [("start", "left", 1 / 12, 61 / 12), ("end", "right", 61 / 12, 1 / 12)])
def test_a_gate_of_one_leaf_stands_in_the_middle_of_its_opening(hinge: str, side: str, hinge_ft: float, latch_ft: float) -> None:
    """5 ft of leaf in 5' 2": an inch each side; hinges a foot from top and bottom; the wire from the top hinge corner down to the latch."""
    picture = elevation(build(gates={"G1": {"line": "fence", "station_ft": 75, "hinge": hinge}}), "G1")
    (leaf,), (wire,) = picture.leaves, picture.wires
    assert picture.id == "G1"
    assert leaf.left_ft == pytest.approx(1 / 12, abs=1e-4)
    assert (leaf.width_ft, leaf.hinge_side) == (5.0, side)
    assert leaf.bottom_ft == pytest.approx(2 / 12)
    assert [at[0] for at in picture.hinges] == pytest.approx([hinge_ft] * 2, abs=1e-4)
    assert [at[1] - leaf.bottom_ft for at in picture.hinges] == pytest.approx([1.0, leaf.height_ft - 1.0])
    assert [at[0] for at in picture.latches] == pytest.approx([latch_ft], abs=1e-4)
    top, bottom = wire
    assert (top[0], bottom[0]) == pytest.approx((hinge_ft, latch_ft), abs=1e-4)
    assert top[1] - bottom[1] == pytest.approx(leaf.height_ft)
    assert "opening 5' 2\"" in [label.text for label in picture.labels]


@pytest.mark.closed_form
@pytest.mark.parametrize("hinge", ["start", "end"])
def test_two_leaves_hang_on_the_outer_posts_and_latch_in_the_middle(hinge: str) -> None:
    picture = elevation(two_leaves(hinge=hinge), "G1")
    first, second = picture.leaves
    assert (first.hinge_side, second.hinge_side) == ("left", "right")
    assert second.left_ft >= first.left_ft + first.width_ft
    assert [at[0] for at in picture.latches] == pytest.approx([first.left_ft + first.width_ft])
    assert [at[0] for at in picture.hinges] == pytest.approx([first.left_ft] * 2 + [second.left_ft + second.width_ft] * 2)
    assert [bottom[0] for _, bottom in picture.wires] == pytest.approx([first.left_ft + first.width_ft, second.left_ft])


def test_what_is_not_there_gives_no_picture() -> None:
    walked = walk(demo())
    assert pictures.elevation(demo(), walked, "front") is None


def test_something_found_is_called_what_it_is_and_not_by_the_id_of_its_entry() -> None:
    job = edits.obstacle(accepted(), "rock", "back", 90, AT, BY)
    area = next(one for one in plan(job).keep_outs if one.id == job.log[-1].id)
    assert area.words == "rock"


@pytest.mark.closed_form
@pytest.mark.parametrize("high_ft", [4.0, 6.0, 8.0])
def test_a_gate_from_the_side_is_painted_as_high_as_it_is(high_ft: float) -> None:
    job = build(gates={"G1": {"line": "fence", "station_ft": 75, "height_ft": high_ft}})
    picture: Any = picture_of("profile", job, walk(job), "fence")
    view = frame_profile(profile_bounds(picture), 160, 60)
    rows = paint_profile(picture, view)
    top = min(row for row, runs in enumerate(rows) if any(role == "gate" and text.strip("⠀ ") for text, role in runs))
    assert view.to_cell((77.5, high_ft))[1] == pytest.approx(top + 0.5, abs=0.75)
