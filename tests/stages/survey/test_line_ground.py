"""Chains of legs and how they close; lines, their ground, and gates on them."""

import pytest

from engine.calc.geometry.ground import level_at_ft
from engine.job.model.job import Job
from engine.job.model.shots import LevelShot
from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.yards import codes, leg, offset, said, with_shots


@pytest.mark.closed_form
def test_legs_that_close_exactly() -> None:
    legs = {"L1": leg("A", "N1", 0, 50), "L2": leg("N1", "N2", 90, 40), "L3": leg("N2", "B", 180, 50)}
    (walked,) = survey(yards.build(with_shots(**legs))).traverses
    assert walked.points == ("A", "N1", "N2", "B")
    assert walked.length_ft == 140
    assert walked.misclosure_ft == pytest.approx(0, abs=1e-9)


@pytest.mark.closed_form
def test_legs_that_miss_say_by_how_much() -> None:
    """The last leg is 1 ft long: 1 ft in 181, south; 1 in 181."""
    legs = {"L1": leg("A", "N1", 0, 50), "L2": leg("N1", "N2", 90, 40), "L3": leg("N2", "N3", 180, 51), "L4": leg("N3", "A", 270, 40)}
    result = survey(yards.build(with_shots(**legs)))
    (walked,) = result.traverses
    assert (walked.lat_error_ft, walked.dep_error_ft) == (pytest.approx(-1), pytest.approx(0, abs=1e-9))
    assert walked.precision == pytest.approx(181)
    assert said(result, "traverse_open")[0] == (
        "The legs from A round to A miss by 1' 0\" in 181' 0\", 1 in 181; 1 in 500 is wanted."
    )  # fmt: skip


def test_a_chain_of_legs_that_ends_free_is_no_traverse() -> None:
    legs = {"L1": leg("A", "N1", 0, 50), "L2": leg("N1", "N2", 90, 40)}
    assert survey(yards.build(with_shots(**legs))).traverses == ()


def test_a_loop_that_starts_on_a_tied_point_closes_on_it() -> None:
    legs = {"L1": leg("T1", "N1", 0, 30), "L2": leg("N1", "N2", 90, 40), "L3": leg("N2", "T1", 233.1301, 50)}
    (walked,) = survey(yards.build(with_shots(**legs))).traverses
    assert walked.points == ("T1", "N1", "N2", "T1")
    assert walked.misclosure_ft < 1e-3


@pytest.mark.closed_form
def test_a_line_s_length_and_ground() -> None:
    line = survey(yards.sloping()).lines["fence"]
    assert line.length_ft == pytest.approx(160, abs=1e-3)
    assert line.vertices == ("A", "T1", "T2", "B")
    assert line.level_shots == 4
    assert level_at_ft(line.profile, 30) == pytest.approx(1.5)
    assert level_at_ft(line.profile, 130) == pytest.approx(0.5)


def test_ground_without_levels_is_flat_and_noted() -> None:
    result = survey(yards.plain())
    assert level_at_ft(result.lines["fence"].profile, 77) == 0
    assert "no_levels" in codes(result)


@pytest.mark.closed_form
def test_a_rod_reading_counts_down_from_the_instrument() -> None:
    rod = {"method": "level", "line": "fence", "station_ft": 0, "rod_ft": 4.2, "instrument_ft": 5.0}
    line = survey(yards.build(with_shots(R1=rod))).lines["fence"]
    assert line.profile.levels_ft == (pytest.approx(0.8),)


@pytest.mark.closed_form
def test_a_station_shot_twice_is_averaged() -> None:
    line = survey(yards.sloping([(0, 0), (50, 1.0), (50, 1.2), (160, 0)])).lines["fence"]
    assert line.profile.levels_ft == (0.0, pytest.approx(1.1), 0.0)


def test_a_level_beside_the_line_is_no_part_of_its_ground() -> None:
    beside = LevelShot(method="level", line="fence", station_ft=30, offset_ft=-4, level_ft=7)
    job = yards.plain()
    result = survey(job.model_copy(update={"shots": {**job.shots, "B1": beside}}))
    assert "no_levels" in codes(result)
    assert level_at_ft(result.lines["fence"].profile, 30) == 0


def _ring(ground: list[tuple[float, float]]) -> Job:
    base = with_shots(**yards.levels("ring", ground))
    base["lines"] = {"ring": {"points": ["A", "T1", "T2", "B", "A"], "start_meets": "itself", "end_meets": "itself"}}
    return yards.build(base, gates={})


@pytest.mark.closed_form
def test_the_ground_of_a_closed_line_joins_up() -> None:
    """200 ft round; shots at 50 and 150 are 100 ft apart across the start, which is half way: the mean of 2 and 4."""
    line = survey(_ring([(50, 2), (150, 4)])).lines["ring"]
    assert line.profile.stations_ft == (0.0, 50.0, 150.0, pytest.approx(200, abs=1e-3))
    assert line.profile.levels_ft == (pytest.approx(3), 2.0, 4.0, pytest.approx(3))


def test_a_closed_line_shot_at_its_start_ends_at_that_level() -> None:
    assert survey(_ring([(0, 1), (100, 5)])).lines["ring"].profile.levels_ft == (1.0, 5.0, 1.0)


def test_a_level_beyond_the_line_is_left_out_and_told() -> None:
    result = survey(yards.sloping([(0, 0), (300, 9)]))
    assert result.lines["fence"].level_shots == 1
    assert said(result, "level_off_line")[0] == "Level fence-L2 is at 300' 0\" on line fence, which is 160' 0\" long."


def test_ground_steeper_than_a_bank_is_noted() -> None:
    result = survey(yards.sloping([(0, 0), (50, 0), (52, 6), (160, 6)]))
    assert said(result, "ground_steep")[0] == "Line fence rises 6' 0\" from 50' 0\" to 52' 0\"."


def test_points_that_come_out_at_one_place_stop_their_line() -> None:
    base = with_shots(N1=leg("T1", "N1", 90, 40))
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "N1", "B"]
    result = survey(yards.build(base))
    assert said(result, "line_stands_still")[0] == "Line fence can't be drawn: T2 and N1 come out at the same place."


@pytest.mark.closed_form
def test_a_gate_off_its_line_is_told_where_it_fits() -> None:
    result = survey(yards.build(gates={"G1": {"line": "fence", "station_ft": 158, "leaf_width_ft": 5}}))
    assert said(result, "gate_off_line") == (
        "Gate G1 ends at 163' 2\", and line fence is 160' 0\" long.",
        "Set its station to 154' 10\" or less, and where its posts are planned already lay fence out afresh for them.",
    )


def test_a_gate_wider_than_its_line() -> None:
    base = yards.tables()
    base["shots"].update(yards.ties({"E": (0.0, 10.0)}) | {"E1": offset("E", 0, 10, "left")})
    lines = {"fence": {"points": ["A", "E"]}}
    gates = {"G1": {"line": "fence", "station_ft": 0, "leaf_width_ft": 6, "leaves": 2}}
    result = survey(yards.build(shots={"E1": offset("E", 0, 10, "left")}, lines=lines, gates=gates, yards={}, dogs={}))
    assert said(result, "gate_wider_than_line")[0] == "Gate G1 needs 12' 2\", and line fence is 10' 0\" long."
