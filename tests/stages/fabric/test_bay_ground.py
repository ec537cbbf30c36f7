"""The ground under each bay, also where a bay runs past an end of its line."""

from dataclasses import replace

import pytest

from engine.calc.geometry.ground import Profile, level_at_ft
from engine.stages.fabric.bay_ground import bay_grounds
from engine.stages.layout.stage import Layout
from tests.stages.layouts import Spot, layout_of, row, survey_of

RING = [Spot("P1", 0, 0), Spot("P2", 20, 0), Spot("P3", 20, 20), Spot("P4", 0, 20), Spot("P1", 0, 0)]


def moved(layout: Layout, post: str, station_ft: float) -> Layout:
    return replace(layout, supports={**layout.supports, post: replace(layout.supports[post], station_ft=station_ft)})


def test_each_bay_but_a_gate_has_its_stations_and_its_lines_ground() -> None:
    layout = layout_of({"north": row(4, 20.0)}, gates={"P2-P3": "G1"})
    ground = Profile((0.0, 60.0), (0.0, 6.0))

    grounds = bay_grounds(survey_of(layout, {"north": ground}), layout)

    assert [(name, bay.start_ft, bay.end_ft, bay.round_ft) for name, bay in grounds.items()] == [
        ("P1-P2", 0.0, 20.0, None),
        ("P3-P4", 40.0, 60.0, None),
    ]
    assert grounds["P1-P2"].profile == ground


def test_a_post_moved_past_the_lines_start_takes_its_bay_along() -> None:
    layout = moved(layout_of({"north": row(3, 20.0)}), "P1", -2.0)

    bay = bay_grounds(survey_of(layout), layout)["P1-P2"]

    assert (bay.start_ft, bay.end_ft, bay.shown_ft(-2.0)) == (-2.0, 20.0, -2.0)


def test_a_closed_line_that_begins_inside_a_bay_goes_on_across_its_start() -> None:
    layout = moved(layout_of({"ring": RING}), "P1", 3.0)
    ground = Profile((0.0, 2.0, 4.0, 80.0), (0.0, -1.0, 0.0, 0.0))

    grounds = bay_grounds(survey_of(layout, {"ring": ground}), layout)

    first, last = grounds["P1-P2"], grounds["P4-P1"]
    assert (first.start_ft, first.end_ft) == (3.0, 20.0)
    assert (last.start_ft, last.end_ft, last.round_ft) == (60.0, 83.0, 80.0)
    assert level_at_ft(last.profile, 82.0) == -1.0
    assert last.shown_ft(82.0) == 2.0


def test_a_closed_lines_ground_goes_on_before_its_start_too() -> None:
    layout = moved(layout_of({"ring": RING}), "P1", -2.0)
    ground = Profile((0.0, 78.0, 80.0), (0.0, -3.0, 0.0))

    first = bay_grounds(survey_of(layout, {"ring": ground}), layout)["P1-P2"]

    assert first.start_ft == -2.0
    assert level_at_ft(first.profile, -2.0) == -3.0
    assert first.shown_ft(-2.0) == 78.0


def test_a_bay_square_to_its_line_is_taken_along_it() -> None:
    layout = layout_of({"north": row(3, 20.0)})
    bay = replace(layout.bays["P1-P2"], end_ft=0.0, plan_ft=3.0)
    layout = moved(replace(layout, bays={"P1-P2": bay}), "P2", 0.0)

    ground = bay_grounds(survey_of(layout_of({"north": row(3, 20.0)})), layout)["P1-P2"]

    assert (ground.start_ft, ground.end_ft) == (0.0, pytest.approx(3.0))


def test_bays_of_a_line_without_a_survey_are_left_out() -> None:
    layout = layout_of({"north": row(3, 20.0)})

    assert bay_grounds(replace(survey_of(layout), lines={}), layout) == {}
