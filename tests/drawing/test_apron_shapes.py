"""The apron of a bay: its figures, infill pieces and stakes, and where its wire hangs."""

from math import isfinite

import pytest

from engine.drawing.apron_shapes import apron_shapes
from engine.drawing.shapes import Mark, Stroke, Words
from engine.walk import walk
from tests.demo import demo
from tests.drawing.drawn_jobs import JOBS, numbers, there
from tests.stages.yards import build, sloping


@pytest.mark.parametrize("name", JOBS)
def test_any_bay_can_be_drawn(name: str) -> None:
    job, walked = JOBS[name], walk(JOBS[name])
    for bay in (*walked.layout.bays, "no such bay"):
        assert all(isfinite(number) for number in numbers(apron_shapes(job, walked, bay) or ()))


def test_a_dip_leaves_a_hole_an_infill_piece_and_a_short_apron_beside_it() -> None:
    job = sloping(((0, 0), (20, 0), (30, -4), (40, 0), (160, 0)))
    walked = walk(job)
    bay = min(walked.fabric.bays, key=lambda name: walked.fabric.bays[name].least_apron_in)
    picture = there(apron_shapes(job, walked, bay))
    feet = picture.of(Words, "apron")
    assert {foot.kind for foot in feet} == {"hole", "short", ""}
    assert all(float(foot.text) < 0 for foot in feet if foot.kind == "hole")
    assert [foot.rank for foot in feet if foot.kind == "hole"] == [0] * sum(foot.kind == "hole" for foot in feet)
    assert [piece.id for piece in picture.of(Stroke, "infill")] == [piece.id for piece in walked.fabric.infills if piece.bay == bay]
    assert len(picture.of(Mark, "stake")) == len(walked.staking.bays[bay].stations_ft)
    assert picture.steps == tuple(walked.fabric.bays)


@pytest.mark.closed_form
def test_on_hard_ground_no_apron_is_told_and_the_edge_is_fastened() -> None:
    job = build(surfaces={"S1": {"line": "fence", "from_ft": 100, "to_ft": 160, "kind": "slab"}})
    walked = walk(job)
    bay = next(name for name, stakes in walked.staking.bays.items() if stakes.fastened_ft)
    picture = there(apron_shapes(job, walked, bay))
    assert "=" in [foot.text for foot in picture.of(Words, "apron")]
    assert len(picture.of(Mark, "fastened")) == len(walked.staking.bays[bay].fastened_ft)


def test_the_wire_hangs_from_the_cable_to_the_hem_and_both_posts_are_named() -> None:
    walked = walk(demo())
    picture = there(apron_shapes(demo(), walked, "P3-P4"))
    (cable,), (hem,) = picture.of(Stroke, "cable"), picture.of(Stroke, "hem")
    assert [wire.points for wire in picture.of(Stroke, "wire")] == list(zip(cable.points, hem.points, strict=True))
    assert [(words.text, words.pos) for words in picture.of(Words, "post")] == [("P3", cable.points[0]), ("P4", cable.points[-1])]
    assert picture.picks == (("P3", (cable.points[0],)), ("P4", (cable.points[-1],)), ("P3-P4", cable.points))


def test_a_bay_without_wire_gives_no_drawing() -> None:
    walked = walk(demo())
    gates = [name for name, bay in walked.layout.bays.items() if bay.gate]
    assert [apron_shapes(demo(), walked, name) for name in (*gates, "no such bay")] == [None, None]
