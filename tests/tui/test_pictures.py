"""Pictures of a walk: every support, bay and gate is in them where it stands, and no job is too bare to draw."""

from dataclasses import replace
from math import dist, isfinite
from typing import Any

import pytest

from engine.job.edit import edits
from engine.job.file.starter import starter
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo, others
from tests.stages.flat_yards import ring
from tests.stages.yards import build, half_surveyed, plain, sloping, tables
from tui.stages import pictures
from tui.widgets.picture import GatePicture, PlanPicture, ProfilePicture

TWO_LEAVES = {"line": "fence", "station_ft": 75, "leaf_width_ft": 5, "leaves": 2}


def two_leaves(**fields: Any) -> Job:
    return build(gates={"G1": {**TWO_LEAVES, **fields}})


JOBS = {
    **{"empty": Job(), "starter": starter("new"), "demo": demo(), "plain": plain(), "sloping": sloping()},
    **{"half surveyed": half_surveyed(), "two leaves": two_leaves(), "ring": ring()},
    **others(),
    **{f"demo without {table}": demo().model_copy(update={table: {}}) for table in ("points", "shots", "lines", "gates", "trees", "yards")},
}


def plan(job: Job) -> PlanPicture:
    return pictures.plan(job, walk(job))


def profile(job: Job, line: str) -> ProfilePicture:
    found = pictures.profile(job, walk(job), line)
    assert found is not None
    return found


def elevation(job: Job, gate: str) -> GatePicture:
    found = pictures.elevation(job, walk(job), gate)
    assert found is not None
    return found


def numbers(value: object) -> list[float]:
    if isinstance(value, tuple):
        return [number for inner in value for number in numbers(inner)]
    if hasattr(value, "__dataclass_fields__"):
        return [number for name in value.__dataclass_fields__ for number in numbers(getattr(value, name))]
    return [float(value)] if isinstance(value, int | float) else []


@pytest.mark.parametrize("name", JOBS)
def test_any_job_can_be_drawn(name: str) -> None:
    job, walked = JOBS[name], walk(JOBS[name])
    drawn: list[object] = [pictures.plan(job, walked)]
    drawn += [pictures.profile(job, walked, line) for line in (*job.lines, "no such line")]
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


def test_the_profile_of_the_demo_holds_every_support_bay_and_gate() -> None:
    walked, picture = walk(demo()), profile(demo(), "back")
    assert [support.id for support in picture.supports] == list(walked.layout.supports)
    assert [(gate.id, gate.start_ft, gate.end_ft) for gate in picture.gates] == [("side", 16.0, 21.1667)]
    hung = [name for name, bay in walked.layout.bays.items() if bay.gate is None]
    assert [cable.id for cable in picture.cables] == [name for name in hung for _ in range(2)]
    assert len(picture.wire) == len(walked.fabric.bays)
    assert picture.ground[0] == (0.0, 0.0)
    assert picture.ground[-1][0] == pytest.approx(261.35, abs=0.01)


@pytest.mark.closed_form
def test_supports_stand_on_the_ground_with_what_is_driven_below_it() -> None:
    job = edits.tick(accepted(), "posts.P4.driven_depth", AT, BY, reading_in=18)
    supports = {support.id: support for support in profile(job, "back").supports}
    assert (supports["P4"].depth_ft, supports["P5"].depth_ft, supports["P7"].depth_ft) == (1.5, 2.5, None)
    for support in supports.values():
        assert support.top_ft > support.ground_ft
        low_ft, high_ft = support.eyes_ft
        assert (low_ft - support.ground_ft, high_ft - low_ft) == pytest.approx((3.0, 3.0 - 0.25 / 12))


@pytest.mark.closed_form
def test_cables_run_from_eye_to_eye_and_sag_in_the_middle() -> None:
    walked, picture = walk(plain()), profile(plain(), "fence")
    supports = {support.id: support for support in picture.supports}
    for cable in picture.cables:
        bay = walked.layout.bays[cable.id]
        start, middle, end = cable.points[0], cable.points[4], cable.points[-1]
        assert (start[0], end[0]) == pytest.approx((bay.start_ft, bay.end_ft))
        assert start[1] in supports[bay.from_id].eyes_ft
        assert end[1] in supports[bay.to_id].eyes_ft
        drawn_ft = (start[1] + end[1]) / 2 - middle[1]
        assert drawn_ft == pytest.approx(picture.sag_times * walked.cables.bays[cable.id].sag_in / 12)


def test_the_wire_lies_on_the_ground_and_hangs_over_it_only_where_there_is_a_hole() -> None:
    deep = sloping(((0, 0), (20, 0), (30, -4), (40, 0), (160, 0)))
    for job, holes in ((plain(), False), (deep, True)):
        walked, line = walk(job), profile(job, "fence")
        assert any(bay.least_apron_in < 0 for bay in walked.fabric.bays.values()) is holes
        lowest = {round(station, 6): level for piece in line.wire for station, level in piece}
        ground = {round(station, 6): level for station, level in line.ground}
        assert all(lowest[station] >= ground[station] - 1e-9 for station in lowest.keys() & ground.keys())
        assert any(lowest[station] > ground[station] + 1e-9 for station in lowest.keys() & ground.keys()) is holes


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
    assert pictures.profile(demo(), walked, "front") is None
    assert pictures.elevation(demo(), walked, "front") is None


def test_something_found_is_called_what_it_is_and_not_by_the_id_of_its_entry() -> None:
    job = edits.obstacle(accepted(), "rock", "back", 90, AT, BY)
    area = next(one for one in plan(job).keep_outs if one.id == job.log[-1].id)
    assert area.words == "rock"
