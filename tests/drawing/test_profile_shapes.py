"""A line from the side: every support, bay and gate stands in it as high as it is."""

from math import isfinite
from typing import Any

import pytest

from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import MET, Area, Drawing, Mark, Stroke, Words, run_between
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo, others
from tests.drawing.drawn_jobs import JOBS, numbers, there
from tests.stages.yards import build, plain, sloping


def profile(job: Job, line: str) -> Drawing:
    return there(profile_shapes(walk(job), line, deep_sag=True))


def own_posts(picture: Drawing) -> dict[str, Stroke]:
    return {post.id: post for post in picture.of(Stroke, "pole", "bearer") if post.group != MET}


@pytest.mark.parametrize("name", JOBS)
def test_any_line_can_be_drawn(name: str) -> None:
    walked = walk(JOBS[name])
    for line in (*JOBS[name].lines, "no such line"):
        assert all(isfinite(number) for number in numbers(profile_shapes(walked, line) or ()))


def test_the_profile_of_the_demo_holds_every_support_bay_and_gate() -> None:
    walked, picture = walk(demo()), profile(demo(), "back")
    assert list(own_posts(picture)) == list(walked.layout.supports)
    assert {leaf.id for leaf in picture.of(Area, "leaf")} == {"side"}
    hung = [name for name, bay in walked.layout.bays.items() if bay.gate is None]
    assert [cable.id for cable in picture.of(Stroke, "cable")] == [name for name in hung for _ in range(2)]
    assert [hem.id for hem in picture.of(Stroke, "hem")] == list(walked.fabric.bays)
    (ground,) = picture.of(Stroke, "ground")
    assert ground.points[0] == (0.0, 0.0)
    assert ground.points[-1][0] == pytest.approx(261.35, abs=0.01)
    assert list(dict.fromkeys(name for name, _ in picture.picks)) == [*walked.layout.supports, "side", *hung]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tables", "high_ft"),
    [
        ({}, 6.0),
        ({"gates": {"G1": {"line": "fence", "station_ft": 75, "height_ft": 4}}}, 4.0),
        ({"gates": {"G1": {"line": "fence", "station_ft": 75, "height_ft": 7.5}}}, 7.5),
        ({"heights": {"low": {"line": "fence", "from_ft": 60, "to_ft": 100, "height_ft": 5}}}, 5.0),
    ],
)
def test_a_gate_is_drawn_as_high_as_it_is(tables: dict[str, Any], high_ft: float) -> None:
    """On level ground: 2 in clear below, its top as high as the gate or the fence where it hangs; 5 ft wide in 5 ft 2 in."""
    (leaf,) = profile(build(**tables), "fence").of(Area, "leaf")
    (left, bottom), (right, _), (_, top), _ = leaf.points
    assert (bottom, top) == pytest.approx((2 / 12, high_ft))
    assert (left, right) == pytest.approx((75 + 1 / 12, 80 + 1 / 12), abs=0.01)


@pytest.mark.closed_form
def test_supports_stand_on_the_ground_with_what_is_driven_below_it() -> None:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=18)
    picture = profile(job, "back")
    sleeves = {sleeve.id: sleeve for sleeve in picture.of(Stroke, "sleeve", "sleeve wanted")}
    depths = {name: sleeve.points[0][1] - sleeve.points[1][1] for name, sleeve in sleeves.items()}
    assert (depths["P4"], depths["P5"], "P7" in depths) == (pytest.approx(1.5), pytest.approx(2.5), False)
    assert [name for name, sleeve in sleeves.items() if sleeve.role == "sleeve"] == ["P4"]
    for name, post in own_posts(picture).items():
        (_, ground), (_, top) = post.points
        low, high = (eye.pos[1] for eye in picture.of(Mark, "eye") if eye.id == name)
        assert top > ground
        assert (low - ground, high - low) == pytest.approx((3.0, 3.0 - 0.25 / 12))


@pytest.mark.closed_form
def test_cables_run_from_eye_to_eye_and_sag_in_the_middle() -> None:
    walked = walk(plain())
    for deep, times in ((False, 1.0), (True, 50.0)):
        picture = there(profile_shapes(walked, "fence", deep_sag=deep))
        eyes = {(eye.id, eye.pos) for eye in picture.of(Mark, "eye")}
        assert picture.says == (("sag of that 50x more",) if deep else ())
        for cable in picture.of(Stroke, "cable"):
            bay = walked.layout.bays[cable.id]
            start, middle, end = cable.points[0], cable.points[4], cable.points[-1]
            assert {(bay.from_id, start), (bay.to_id, end)} <= eyes
            assert (start[1] + end[1]) / 2 - middle[1] == pytest.approx(times * walked.cables.bays[cable.id].sag_in / 12)


def test_the_wire_lies_on_the_ground_and_hangs_over_it_only_where_there_is_a_hole() -> None:
    deep = sloping(((0, 0), (20, 0), (30, -4), (40, 0), (160, 0)))
    for job, holes in ((plain(), False), (deep, True)):
        walked, line = walk(job), profile(job, "fence")
        assert any(bay.least_apron_in < 0 for bay in walked.fabric.bays.values()) is holes
        lowest = {round(station, 6): level for hem in line.of(Stroke, "hem") for station, level in hem.points}
        ground = {round(station, 6): level for stroke in line.of(Stroke, "ground") for station, level in stroke.points}
        assert all(lowest[station] >= ground[station] - 1e-9 for station in lowest.keys() & ground.keys())
        assert any(lowest[station] > ground[station] + 1e-9 for station in lowest.keys() & ground.keys()) is holes


def test_a_post_of_another_line_that_this_one_meets_is_there_and_told_apart() -> None:
    walked = walk(others()["ridge_ring"])
    split, ring = (there(profile_shapes(walked, line)) for line in ("split", "ring"))
    met = [post.id for post in split.of(Stroke, "pole", "bearer") if post.group == MET]
    assert met == [walked.layout.lines["split"].supports[0], walked.layout.lines["split"].supports[-1]]
    assert not set(met) & {name for name, _ in split.picks}
    names = [words.text for words in ring.of(Words, "post")]
    assert names[0] == names[-1] == walked.layout.lines["ring"].supports[0]


def test_what_is_written_about_a_bay_says_along_what() -> None:
    bays = walk(plain()).layout.bays
    lengths = profile(plain(), "fence").of(Words, "bay length")
    assert [(words.id, words.along[0][0], words.along[1][0]) for words in lengths] == [
        ("" if bay.gate else bay.id, bay.start_ft, bay.end_ft) for bay in bays.values()
    ]
    assert [words.text for words in lengths if not words.id] == ["5' 2\""]


@pytest.mark.closed_form
def test_a_part_of_a_line_ends_where_it_is_cut() -> None:
    assert run_between(((0.0, 0.0), (10.0, 5.0), (20.0, 0.0)), 5.0, 12.0) == ((5.0, 2.5), (10.0, 5.0), (12.0, 4.0))


def test_a_line_that_is_not_there_gives_no_drawing() -> None:
    assert profile_shapes(walk(demo()), "front") is None
