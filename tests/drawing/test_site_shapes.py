"""What the site is drawn with: solid buildings, tinted yards, buried lines with a letter, and what each sign means."""

import pytest
import shapely

from engine.drawing.in_view import place_in_view
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.plan_signs import BURIED_LETTERS, meanings
from engine.drawing.shapes import Area, Drawing, Mark, Stroke, Words
from engine.drawing.site_shapes import BEHIND_WALL_FT, called
from engine.job.model.job import Job
from engine.walk import walk
from tests.bench.big_job import HOUSE, proposed
from tests.demo import demo, others
from tests.drawing.drawn_jobs import JOBS
from tests.stages.yards import build, tables


def plan(job: Job) -> Drawing:
    return plan_shapes(job, walk(job))


@pytest.mark.closed_form
def test_a_house_measured_all_round_is_solid_within_its_corners() -> None:
    (house,) = plan(proposed(1)).of(Area, "house")
    assert shapely.Polygon(house.points).area == pytest.approx(52 * 34, rel=0.01)
    assert len(house.points) == len(HOUSE)


@pytest.mark.closed_form
@pytest.mark.parametrize(("name", "long_ft"), [("demo", 90 + 60), ("alder_row", 46), ("ridge_ring", 62.1)])
def test_a_building_of_which_one_face_was_measured_is_a_strip_behind_it_and_never_in_a_yard(name: str, long_ft: float) -> None:
    job = {"demo": demo(), **others()}[name]
    walked = walk(job)
    (house,) = plan_shapes(job, walked).of(Area, "house")
    strip = shapely.Polygon(house.points)
    corner_ft2 = BEHIND_WALL_FT**2 if name == "demo" else 0.0
    assert strip.area == pytest.approx(long_ft * BEHIND_WALL_FT + corner_ft2, rel=0.01)
    yards = shapely.union_all([shapely.Polygon(yard.ring) for yard in walked.survey.yards.values() if yard.closed])
    assert strip.intersection(yards).area < 1.0
    assert strip.contains(shapely.Point(plan_shapes(job, walked).of(Words, "house")[0].pos))


def test_a_free_wall_is_a_line_and_no_solid() -> None:
    job = demo()
    house = job.structures["house"].model_copy(update={"kind": "wall"})
    drawing = plan(job.model_copy(update={"structures": {"house": house}}))
    assert (drawing.of(Area, "house"), drawing.of(Words, "house"), len(drawing.of(Words, "wall"))) == ([], [], 1)


def test_yards_that_close_are_areas() -> None:
    walked = walk(others()["ridge_ring"])
    areas = plan(others()["ridge_ring"]).of(Area, "yard")
    assert {area.kind: area.points for area in areas} == {name: yard.ring for name, yard in walked.survey.yards.items()}
    assert len(areas) == 2


def test_a_buried_line_is_drawn_through_its_points_and_an_overhead_one_is_not() -> None:
    base = tables()
    lines = {kind: {"kind": kind, "points": ["A", "B", "C"], "width_in": 4} for kind in ("gas", "overhead")}
    drawing = plan(build(base, utilities=lines))
    (gas,) = drawing.of(Stroke, "buried")
    assert (gas.id, gas.kind, len(gas.points)) == ("gas", "gas", 3)
    assert [words.text for words in drawing.of(Words, "buried")] == ["gas"]


def test_gas_is_not_water_nor_any_other() -> None:
    assert len(set(BURIED_LETTERS.values())) == len(BURIED_LETTERS) == 9
    assert not set(BURIED_LETTERS.values()) & {"C", "E", "G", "T", "S", "Y"}


def test_a_rock_has_a_sign_of_its_own_beside_that_of_other_keep_outs() -> None:
    rock = Area("keepout", ((0, 0), (1, 0), (1, 1)), "ledge", "rock")
    pit = Area("keepout", ((4, 0), (5, 0), (5, 1)), "well", "pit")
    assert [one.says for one in meanings(Drawing((rock,)))] == ["rock"]
    assert [one.says for one in meanings(Drawing((rock, pit)))] == ["rock", "nothing driven here"]


def test_a_thing_called_after_its_kind_is_not_named_twice() -> None:
    assert [called("ledge", "rock"), called("rock", "rock"), called("old rock", "rock"), called("u1", "other")] == [
        *("rock ledge", "rock", "old rock", "u1")
    ]


@pytest.mark.parametrize("name", JOBS)
def test_every_sign_of_a_plan_has_words_and_none_that_it_lacks(name: str) -> None:
    drawing = plan(JOBS[name])
    says = [one.says for one in meanings(drawing)]
    assert len(says) == len(set(says))
    assert ("property line" in says) is bool(drawing.of(Stroke, "boundary"))
    assert ("sleeve left in the ground" in says) is bool(drawing.of(Mark, "old sleeve"))
    assert ("fence planned" in says) is any(run.kind == "planned" for run in drawing.of(Stroke, "fence"))
    assert {f"{run.kind} line" for run in drawing.of(Stroke, "buried")} <= set(says)


@pytest.mark.closed_form
def test_what_reaches_out_of_view_is_named_on_the_part_that_is_seen() -> None:
    square = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    assert place_in_view((50.0, 50.0), square, (40.0, 40.0, 60.0, 60.0), closed=True) == (50.0, 50.0)
    seen = place_in_view((50.0, 50.0), square, (90.0, 90.0, 110.0, 110.0), closed=True)
    assert seen is not None
    assert 90 < min(seen) <= max(seen) < 100
    assert place_in_view((50.0, 50.0), square, (200.0, 0.0, 210.0, 10.0), closed=True) is None
    assert place_in_view((0.0, 0.0), ((0.0, 0.0), (100.0, 0.0)), (60.0, -5.0, 80.0, 5.0), closed=False) == (70.0, 0.0)
    assert place_in_view((0.0, 0.0), (), (60.0, -5.0, 80.0, 5.0), closed=False) is None
