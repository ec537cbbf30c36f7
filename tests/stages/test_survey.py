"""The survey: places, misfits, closure, ground, yards, notice and dogs, on yards whose true answers are known."""

import math
from dataclasses import asdict
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.ground import level_at_ft
from engine.job.job import Job
from engine.stages.survey import READS, Survey, survey
from tests.stages import yards

T1 = yards.TRUE["T1"]


def _codes(result: Survey) -> set[str]:
    return {finding.code for finding in result.findings}


def _said(result: Survey, code: str) -> tuple[str, str]:
    """What the one finding of a code says and asks for."""
    found = [finding for finding in result.findings if finding.code == code]
    assert len(found) == 1, result.findings
    return found[0].says, found[0].do


def _tape(a: str, b: str, length_ft: float) -> dict[str, Any]:
    return {"method": "tape", "from_point": a, "to_point": b, "length_ft": length_ft}


def _leg(a: str, b: str, azimuth_deg: float, length_ft: float) -> dict[str, Any]:
    return {"method": "leg", "from_point": a, "to_point": b, "azimuth_deg": azimuth_deg, "length_ft": length_ft}


def _offset(point: str, along_ft: float, offset_ft: float, side: str) -> dict[str, Any]:
    row = {"method": "offset", "point": point, "base_from": "A", "base_to": "B"}
    return {**row, "along_ft": along_ft, "offset_ft": offset_ft, "side": side}


def _with_shots(**more: Any) -> dict[str, Any]:
    """The plain yard's tables with more shots."""
    base = yards.tables()
    base["shots"].update(more)
    return base


def _checked() -> dict[str, Any]:
    """The plain yard with T1 taped from C and D besides its tie."""
    return _with_shots(C1=_tape("C", "T1", yards.tape_ft(yards.HOUSE["C"], T1)), D1=_tape("D", "T1", yards.tape_ft(yards.HOUSE["D"], T1)))


def _place(result: Survey, name: str) -> tuple[float, float]:
    return result.points[name].xy


# --- places


@pytest.mark.closed_form
def test_exact_ties_give_the_true_places() -> None:
    result = survey(yards.plain())
    for name, place in {**yards.HOUSE, **yards.TRUE}.items():
        assert _place(result, name) == pytest.approx(place, abs=1e-3)
    assert result.unplaced == {}
    assert result.points["A"].sigma_ft == 0
    assert result.points["T1"].how == "tied from A and B"


@pytest.mark.closed_form
def test_a_tie_s_error_grows_as_its_tapes_cross_flatter() -> None:
    """Two equal tapes at apex g: the long axis of the ellipse is sigma / (sqrt 2 sin(g/2)) or with the cosine, the larger."""
    result = survey(yards.plain())
    apex = 2 * math.atan2(20, 30)
    longest = 0.05 / math.sqrt(2) / min(math.sin(apex / 2), math.cos(apex / 2))
    assert result.points["IN"].sigma_ft == pytest.approx(longest, abs=1e-4)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("shot", "place"),
    [
        (_offset("N", 10, 25, "left"), (10, 25)),
        (_offset("N", -5, 3, "right"), (-5, -3)),
        (_leg("A", "N", 90, 30), (30, 0)),
        (_leg("N", "A", 180, 30), (0, 30)),
        (_leg("B", "N", 330, 20), (40 - 10, 20 * math.cos(math.radians(30)))),
    ],
)
def test_one_offset_or_leg_places_a_point(shot: dict[str, Any], place: tuple[float, float]) -> None:
    assert _place(survey(yards.build(_with_shots(N1=shot))), "N") == pytest.approx(place, abs=1e-3)


def test_shots_may_stand_in_any_order() -> None:
    legs = {"L3": _leg("N2", "N3", 270, 10), "L2": _leg("N1", "N2", 0, 10), "L1": _leg("B", "N1", 90, 10)}
    result = survey(yards.build(_with_shots(**legs)))
    assert _place(result, "N3") == pytest.approx((40, 10), abs=1e-3)


def test_three_tapes_tell_the_side_that_two_don_t() -> None:
    tapes = {f"T{base}": _tape(base, "N", yards.tape_ft(yards.HOUSE[base], (15.0, 22.0))) for base in "ABC"}
    result = survey(yards.build(_with_shots(**tapes)))
    assert _place(result, "N") == pytest.approx((15, 22), abs=1e-3)
    del tapes["TC"]
    floats = survey(yards.build(_with_shots(**tapes))).unplaced["N"]
    assert floats.startswith("N floats: tapes from A and B reach it, but don't tell on which side it is.")


def test_paces_weigh_little_beside_a_tie() -> None:
    paces = {"method": "paces", "from_point": "A", "to_point": "T1", "paces": 25}
    result = survey(yards.build(_with_shots(W1=paces)))
    assert _place(result, "T1") == pytest.approx(T1, abs=0.05)
    (check,) = result.paced
    assert (check.paced_ft, check.measured_ft) == (62.5, pytest.approx(60, abs=0.05))


# --- points that float


def test_a_point_with_one_tape_floats_and_the_shot_that_fixes_it_is_named() -> None:
    result = survey(yards.half_surveyed())
    assert result.unplaced == {"T2": "T2 floats: only one tape reaches it. Tape it from a second known point."}
    assert _said(result, "point_unplaced") == ("T2 floats: only one tape reaches it.", "Tape it from a second known point.")
    assert _said(result, "line_unplaced")[0] == "Line fence can't be drawn: T2 has no place."
    assert "fence" not in result.lines


def test_a_point_hangs_on_another_that_floats() -> None:
    result = survey(yards.build(_with_shots(X1=_leg("U", "V", 10, 20))))
    assert result.unplaced["V"].startswith("V floats: it hangs on U, not placed either.")


def test_a_point_that_no_shot_reaches() -> None:
    result = survey(yards.build(trees={"oak": {"point": "oaktree", "diameter_in": 9}}))
    assert result.unplaced == {"oaktree": "oaktree floats: no shot reaches it. Tape it from two known points."}


@pytest.mark.closed_form
def test_tapes_that_don_t_meet_say_by_how_much() -> None:
    """40 ft apart, tapes of 20 and 18 1/2 ft: 1 1/2 ft short."""
    base = yards.tables()
    base["shots"]["S1"].update(tape_a_ft=20, tape_b_ft=18.5)
    result = survey(yards.build(base))
    assert _said(result, "point_unplaced")[0] == "T1 floats: the tapes of S1 from A and B don't meet by 1' 6\"."


def test_tapes_that_don_t_meet_are_told_even_where_the_point_is_placed_otherwise() -> None:
    base = _with_shots(L1=_leg("A", "T1", 0, 60))
    base["shots"]["S1"].update(tape_a_ft=20, tape_b_ft=18.5)
    assert _said(survey(yards.build(base)), "tapes_apart")[0] == "The tapes of S1 to T1 don't meet by 1.5 ft."


def test_a_tie_on_its_own_base_line_can_t_hold_its_point() -> None:
    base = yards.tables()
    base["shots"]["S1"].update(tape_a_ft=25, tape_b_ft=15)
    assert survey(yards.build(base)).unplaced["T1"].startswith("T1 floats: its tapes cross too flat to hold it.")


def test_without_a_known_point_one_sentence_says_so() -> None:
    result = survey(yards.build(points={}))
    assert result.points == {}
    assert _said(result, "no_known_points")[1].startswith("Give one house corner a place")
    assert "point_unplaced" not in _codes(result)


def test_a_flat_tie_is_a_note() -> None:
    result = survey(yards.build(shots={**yards.ties({**yards.TRUE, "far": (20.0, 200.0)})}))
    assert _said(result, "tie_flat")[0] == "The tapes to far cross at 11°, so it is good to 0.4 ft only."


# --- shots that don't fit


def test_good_shots_fit() -> None:
    result = survey(yards.build(_checked()))
    assert all(fit.fits for fit in result.fits)
    assert not {"misfit", "tie_side"} & _codes(result)
    assert result.degrees_of_freedom == 2


@pytest.mark.closed_form
@pytest.mark.parametrize(("slip_ft", "words"), [(-1.0, "1.0 ft short of"), (2.5, "2.5 ft past")])
def test_a_tape_read_wrong_is_named_with_its_error(slip_ft: float, words: str) -> None:
    base = _checked()
    base["shots"]["S1"]["tape_b_ft"] += slip_ft
    result = survey(yards.build(base))
    assert _said(result, "misfit")[0] == f"The tape from B to T1 reads about {words} what the other shots say."
    assert any(not fit.fits and fit.shot == "S1" and fit.part == "tape b" for fit in result.fits)


def test_where_one_check_can_t_tell_which_is_wrong_all_are_named() -> None:
    base = _with_shots(C1=_tape("C", "T1", yards.tape_ft(yards.HOUSE["C"], T1) + 1.5))
    assert _said(survey(yards.build(base)), "misfit")[1] in (
        "Measure C1 again; S1 may as well be the one that is wrong.",
        "Measure S1 again; C1 may as well be the one that is wrong.",
    )


def test_two_wrong_tapes_to_two_points_are_both_named() -> None:
    base = _checked()
    base["shots"].update(
        C2=_tape("C", "T2", 90.0 - 3), D2=_tape("D", "T2", yards.tape_ft(yards.HOUSE["D"], yards.TRUE["T2"])),
        A2=_tape("T1", "T2", 40.0),
    )  # fmt: skip
    base["shots"]["S1"]["tape_b_ft"] += 2
    wrong = {finding.subjects[0] for finding in survey(yards.build(base)).findings if finding.code == "misfit"}
    assert wrong == {"C2", "S1"}


def test_a_bearing_that_doesn_t_fit_says_which_way() -> None:
    result = survey(yards.build(_with_shots(L1=_leg("T1", "T2", 84, 40))))
    assert _said(result, "misfit")[0] == "The bearing from T1 to T2 points about 6.0° left of what the other shots say."


def test_a_left_offset_that_reads_long_is_said_to_be_long() -> None:
    result = survey(yards.build(_with_shots(O1=_offset("T1", 0, 62, "left"))))
    assert _said(result, "misfit")[0] == "The offset of T1 from A to B reads about 2.0 ft past what the other shots say."
    (fit,) = (fit for fit in result.fits if fit.part == "offset")
    assert fit.residual > 1.5
    assert fit.says.endswith("long.")


@pytest.mark.parametrize("check", [_tape("C", "T1", 98.4886), _tape("T2", "T1", 40.0), _leg("T2", "T1", 270, 40)])
def test_a_tie_on_the_wrong_side_is_told_from_a_wrong_tape(check: dict[str, Any]) -> None:
    base = _with_shots(C1=check)
    base["shots"]["S1"]["side"] = "right"
    says, do = _said(survey(yards.build(base)), "tie_side")
    assert says == "The tie S1 says T1 is right of A to B, but the other shots put it on the other side."
    assert do == "Look which side T1 is on, and change the tie."


def test_points_that_nothing_checks_are_noted_together() -> None:
    says, _ = _said(survey(yards.build(_checked())), "points_unchecked")
    assert says == "Nothing checks T2 and IN: one wrong tape would go unseen."


# --- traverse


@pytest.mark.closed_form
def test_legs_that_close_exactly() -> None:
    legs = {"L1": _leg("A", "N1", 0, 50), "L2": _leg("N1", "N2", 90, 40), "L3": _leg("N2", "B", 180, 50)}
    (walked,) = survey(yards.build(_with_shots(**legs))).traverses
    assert walked.points == ("A", "N1", "N2", "B")
    assert walked.length_ft == 140
    assert walked.misclosure_ft == pytest.approx(0, abs=1e-9)


@pytest.mark.closed_form
def test_legs_that_miss_say_by_how_much() -> None:
    """The last leg is 1 ft long: 1 ft in 181, south; 1 in 181."""
    legs = {"L1": _leg("A", "N1", 0, 50), "L2": _leg("N1", "N2", 90, 40), "L3": _leg("N2", "N3", 180, 51), "L4": _leg("N3", "A", 270, 40)}
    result = survey(yards.build(_with_shots(**legs)))
    (walked,) = result.traverses
    assert (walked.lat_error_ft, walked.dep_error_ft) == (pytest.approx(-1), pytest.approx(0, abs=1e-9))
    assert walked.precision == pytest.approx(181)
    assert _said(result, "traverse_open")[0] == (
        "The legs from A round to A miss by 1' 0\" in 181' 0\", 1 in 181; 1 in 500 is wanted."
    )  # fmt: skip


def test_a_chain_of_legs_that_ends_free_is_no_traverse() -> None:
    legs = {"L1": _leg("A", "N1", 0, 50), "L2": _leg("N1", "N2", 90, 40)}
    assert survey(yards.build(_with_shots(**legs))).traverses == ()


def test_a_loop_that_starts_on_a_tied_point_closes_on_it() -> None:
    legs = {"L1": _leg("T1", "N1", 0, 30), "L2": _leg("N1", "N2", 90, 40), "L3": _leg("N2", "T1", 233.1301, 50)}
    (walked,) = survey(yards.build(_with_shots(**legs))).traverses
    assert walked.points == ("T1", "N1", "N2", "T1")
    assert walked.misclosure_ft < 1e-3


# --- lines and ground


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
    assert "no_levels" in _codes(result)


@pytest.mark.closed_form
def test_a_rod_reading_counts_down_from_the_instrument() -> None:
    rod = {"method": "level", "line": "fence", "station_ft": 0, "rod_ft": 4.2, "instrument_ft": 5.0}
    line = survey(yards.build(_with_shots(R1=rod))).lines["fence"]
    assert line.profile.levels_ft == (pytest.approx(0.8),)


@pytest.mark.closed_form
def test_a_station_shot_twice_is_averaged() -> None:
    line = survey(yards.sloping([(0, 0), (50, 1.0), (50, 1.2), (160, 0)])).lines["fence"]
    assert line.profile.levels_ft == (0.0, pytest.approx(1.1), 0.0)


def _ring(ground: list[tuple[float, float]]) -> Job:
    base = _with_shots(**yards.levels("ring", ground))
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
    assert _said(result, "level_off_line")[0] == "Level fence-L2 is at 300' 0\" on line fence, which is 160' 0\" long."


def test_ground_steeper_than_a_bank_is_noted() -> None:
    result = survey(yards.sloping([(0, 0), (50, 0), (52, 6), (160, 6)]))
    assert _said(result, "ground_steep")[0] == "Line fence rises 6' 0\" from 50' 0\" to 52' 0\"."


def test_points_that_come_out_at_one_place_stop_their_line() -> None:
    base = _with_shots(N1=_leg("T1", "N1", 90, 40))
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "N1", "B"]
    result = survey(yards.build(base))
    assert _said(result, "line_stands_still")[0] == "Line fence can't be drawn: T2 and N1 come out at the same place."


@pytest.mark.closed_form
def test_a_gate_off_its_line_is_told_where_it_fits() -> None:
    result = survey(yards.build(gates={"G1": {"line": "fence", "station_ft": 158, "leaf_width_ft": 5}}))
    assert _said(result, "gate_off_line") == (
        "Gate G1 ends at 163' 2\", and line fence is 160' 0\" long.",
        "Set its station to 154' 10\" or less.",
    )


def test_a_gate_wider_than_its_line() -> None:
    base = yards.tables()
    base["shots"].update(yards.ties({"E": (0.0, 10.0)}) | {"E1": _offset("E", 0, 10, "left")})
    lines = {"fence": {"points": ["A", "E"]}}
    gates = {"G1": {"line": "fence", "station_ft": 0, "leaf_width_ft": 6, "leaves": 2}}
    result = survey(yards.build(shots={"E1": _offset("E", 0, 10, "left")}, lines=lines, gates=gates, yards={}, dogs={}))
    assert _said(result, "gate_wider_than_line")[0] == "Gate G1 needs 12' 2\", and line fence is 10' 0\" long."


# --- yards


@pytest.mark.closed_form
def test_a_yard_closed_by_line_gate_and_wall() -> None:
    area = survey(yards.plain()).yards["back"]
    assert area.closed
    assert area.area_ft2 == pytest.approx(2400, abs=0.01)
    assert area.perimeter_ft == pytest.approx(200, abs=0.001)
    assert area.gap_ft is None


@pytest.mark.closed_form
def test_a_yard_without_the_house_has_its_gap() -> None:
    base = yards.tables()
    base["lines"]["fence"].update(end_meets="free")
    del base["lines"]["fence"]["end_at"]
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "E"]
    base["shots"]["E1"] = _offset("E", 40, 4, "left")
    result = survey(yards.build(base))
    area = result.yards["back"]
    assert not area.closed
    assert area.gap_ft == pytest.approx(4, abs=0.01)
    assert area.gap_ends == (pytest.approx((40, 4), abs=0.01), pytest.approx((40, 0), abs=0.01))
    assert _said(result, "yard_open")[0] == "Yard back doesn't close: 4' 0\" is open between E and house."


def test_a_line_that_stops_inches_from_the_wall_meets_it() -> None:
    base = yards.tables()
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "E"]
    base["shots"]["E1"] = _offset("E", 40, 0.4, "left")
    assert survey(yards.build(base)).yards["back"].closed


@pytest.mark.closed_form
def test_a_line_from_wall_to_fence_makes_two_yards() -> None:
    """A fence down the middle, from (20, 60) on the north run to (20, 0) on the wall."""
    base = yards.tables()
    base["shots"].update(N1=_offset("N1", 20, 59.8, "left"), N2=_offset("N2", 20, 0, "left"), W=_offset("W", 10, 30, "left"))
    base["shots"]["S3"] = _offset("IN", 30, 30, "left")
    base["lines"]["middle"] = {
        "points": ["N1", "N2"], "start_meets": "line", "start_at": "fence", "end_meets": "structure", "end_at": "house",
    }  # fmt: skip
    base["yards"] = {"west": {"inside": "W"}, "east": {"inside": "IN"}}
    base["dogs"]["rex"]["yard"] = "west"
    result = survey(yards.build(base)).yards
    assert result["west"].area_ft2 == pytest.approx(1200, abs=0.1)
    assert result["east"].area_ft2 == pytest.approx(1200, abs=0.1)


@pytest.mark.closed_form
def test_a_shed_inside_the_yard_takes_its_ground() -> None:
    shed = {"E": (10.0, 40.0), "F": (18.0, 40.0), "G": (18.0, 50.0), "H": (10.0, 50.0)}
    structures = {**yards.tables()["structures"], "shed": {"kind": "shed", "points": ["E", "F", "G", "H", "E"]}}
    job = yards.build(points=yards.known({**yards.HOUSE, **shed}), structures=structures)
    assert survey(job).yards["back"].area_ft2 == pytest.approx(2400 - 80, abs=0.01)


def test_two_lines_that_end_at_one_tree_close_round_its_trunk() -> None:
    base = yards.tables()
    base["shots"].update(
        O=_offset("O", 20, 60, "left"), E=_offset("E", 19.2, 60, "left"), F=_offset("F", 20.8, 60, "left"),
    )  # fmt: skip
    base["trees"] = {"oak": {"point": "O", "diameter_in": 18}}
    west = {"points": ["A", "T1", "E"], "start_meets": "structure", "start_at": "house", "end_meets": "tree", "end_at": "oak"}
    east = {"points": ["B", "T2", "F"], "start_meets": "structure", "start_at": "house", "end_meets": "tree", "end_at": "oak"}
    base["lines"] = {"west": west, "east": east}
    assert survey(yards.build(base, gates={})).yards["back"].closed
    free = {**east, "end_meets": "free"}
    del free["end_at"]
    base["lines"] = {"west": west, "east": free}
    assert survey(yards.build(base, gates={})).yards["back"].gap_ft == pytest.approx(1.6, abs=0.01)


def test_a_missing_point_leaves_the_gap_along_its_line() -> None:
    base = yards.tables()
    del base["shots"]["S2"]
    base["shots"]["S3"] = _offset("IN", 8, 10, "left")
    area = survey(yards.build(base)).yards["back"]
    assert area.gap_ends == (pytest.approx((0, 60), abs=0.01), pytest.approx((40, 0), abs=0.01))


def test_a_yard_with_nothing_round_it() -> None:
    result = survey(yards.build(lines={}, gates={}))
    assert result.yards["back"].gap_ft is None
    assert _said(result, "yard_open")[0] == "Yard back doesn't close: no lines or walls go round IN."


def test_a_yard_whose_point_floats() -> None:
    base = yards.tables()
    del base["shots"]["S3"]
    assert _said(survey(yards.build(base)), "yard_unplaced")[0] == "Yard back has no place: its point IN isn't placed."


# --- dogs


@pytest.mark.published
def test_floor_space_of_a_36_in_dog() -> None:
    """9 CFR 3.6(c)(1)(i), the 36 in dog of a published example: 1,764 sq in, 12.25 sq ft."""
    dogs = {"rex": {"count": 2, "weight_lb": 60, "shoulder_in": 22, "body_in": 36}}
    assert survey(yards.build(dogs=dogs)).yards["back"].floor_needed_ft2 == pytest.approx(24.50, abs=0.005)


def test_a_kennel_yard_too_small_for_its_dogs() -> None:
    dogs = {"pack": {"count": 200, "weight_lb": 60, "shoulder_in": 22, "body_in": 36, "yard": "back"}}
    assert "kennel_floor" not in _codes(survey(yards.build(dogs=dogs)))
    says, _ = _said(survey(yards.build(dogs=dogs, job={"licensed_kennel": True})), "kennel_floor")
    assert says == "Yard back has 2,400 sq ft and its dogs need 2,450, the least floor of a licensed kennel (9 CFR 3.6)."


def test_a_fence_lower_than_suits_the_dog_is_judgement() -> None:
    result = survey(yards.build(fence={"height_ft": 4}))
    assert result.suited_height_ft == 6
    assert _said(result, "fence_low")[0] == "As judgement, rex suits a 6' 0\" fence; this one is 4' 0\"."


def test_a_climber_may_get_over_any_fence() -> None:
    dogs = {"rex": {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "climbs": True}}
    assert _said(survey(yards.build(dogs=dogs)), "may_not_hold")[0] == "As judgement, rex may get over a 6' 0\" fence all the same."


def test_a_dog_of_no_dog_s_size() -> None:
    dogs = {"rex": {"weight_lb": 50, "shoulder_in": 2, "body_in": 30}}
    result = survey(yards.build(dogs=dogs))
    assert result.suited_height_ft is None
    assert _said(result, "dog_size")[0] == 'rex is 2" at the shoulder and 30" long: no dog is that size.'


# --- the notice


def _notice(planned_for: str | None = None, **notice: Any) -> Survey:
    row = {**yards.tables()["utility_notice"], **notice}
    return survey(
        yards.build(utility_notice={key: value for key, value in row.items() if value is not None}, job={"planned_for": planned_for})
    )


def test_a_notice_in_order_stops_nothing() -> None:
    assert [finding for finding in _notice("2026-03-10").findings if finding.level != "note"] == []


@pytest.mark.parametrize(
    ("planned_for", "notice", "code"),
    [
        (None, {"called": None}, "notice_not_called"),
        (None, {"marks_seen": False}, "marks_not_seen"),
        ("2026-03-04", {}, "notice_too_early"),
        ("2026-03-31", {}, "notice_expired"),
    ],
)
def test_nobody_drives_without_marks(planned_for: str | None, notice: dict[str, Any], code: str) -> None:
    stops = [finding.code for finding in _notice(planned_for, **notice).findings if finding.level == "stop"]
    assert stops == [code]


def test_marks_not_seen_say_what_holds() -> None:
    assert _said(_notice(marks_seen=False), "marks_not_seen")[1] == "Nothing is driven before the marks are seen."


@pytest.mark.parametrize("notice", [{"earliest_start": "2026-03-01"}, {"expires": "2026-03-03"}])
def test_dates_of_a_notice_follow_each_other(notice: dict[str, Any]) -> None:
    assert "notice_dates" in _codes(_notice(**notice))


def test_no_buried_line_is_a_note() -> None:
    assert "no_utilities" in _codes(survey(yards.plain()))
    gas = {"gas": {"kind": "gas", "points": ["A", "T1"]}}
    assert "no_utilities" not in _codes(survey(yards.build(utilities=gas)))


# --- the checklist


def test_the_checklist_asks_for_each_group_line_and_boundary() -> None:
    base = _with_shots(L1=_leg("T1", "N1", 0, 10))
    base["boundaries"] = {"west": {"points": ["A", "T1"], "client_side": "right"}}
    keys = [item.key for item in survey(yards.build(base)).items]
    assert keys == [
        "survey.job.dogs_asked",
        "survey.job.mower_asked",
        "survey.job.irrigation_asked",
        "survey.job.marks_called",
        "survey.job.marks_seen",
        "survey.west.boundary_found",
        "survey.job.client_walked",
        "survey.A-B.measured_twice",
        "survey.legs.measured_twice",
        "survey.fence.levels_shot",
        "survey.job.photos_taken",
    ]


# --- laws


@given(turn_deg=st.floats(-180, 180), east=st.floats(-5000, 5000), north=st.floats(-5000, 5000))
@settings(max_examples=25, deadline=None)
def test_a_turned_and_shifted_site_has_the_same_yard(turn_deg: float, east: float, north: float) -> None:
    cosine, sine = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    moved = {name: (east + cosine * e - sine * n, north + sine * e + cosine * n) for name, (e, n) in yards.HOUSE.items()}
    result = survey(yards.build(points=yards.known(moved)))
    assert result.yards["back"].area_ft2 == pytest.approx(2400, abs=0.1)
    assert result.lines["fence"].length_ft == pytest.approx(160, abs=0.01)


_NAMES = st.sampled_from(["A", "B", "C", "D", "T1", "T2", "IN", "X", "Y"])
_LENGTHS = st.floats(0.1, 200)
_SHOTS = st.one_of(
    st.fixed_dictionaries({"method": st.just("tape"), "from_point": _NAMES, "to_point": _NAMES, "length_ft": _LENGTHS}),
    st.fixed_dictionaries(
        {"method": st.just("leg"), "from_point": _NAMES, "to_point": _NAMES, "azimuth_deg": st.floats(0, 359), "length_ft": _LENGTHS}
    ),
    st.fixed_dictionaries(
        {
            "method": st.just("tie"), "point": _NAMES, "from_a": _NAMES, "from_b": _NAMES, "tape_a_ft": _LENGTHS,
            "tape_b_ft": _LENGTHS, "side": st.sampled_from(["left", "right"]),
        }
    ),
    st.fixed_dictionaries(
        {
            "method": st.just("offset"), "point": _NAMES, "base_from": _NAMES, "base_to": _NAMES, "along_ft": st.floats(-50, 50),
            "offset_ft": st.floats(0, 80), "side": st.sampled_from(["left", "right"]),
        }
    ),
    st.fixed_dictionaries({"method": st.just("paces"), "from_point": _NAMES, "to_point": _NAMES, "paces": st.floats(1, 60)}),
    st.fixed_dictionaries({"method": st.just("level"), "line": st.just("fence"),
         "station_ft": st.floats(0, 300), "level_ft": st.floats(-9, 9)}),
)  # fmt: skip


def _names_differ(shot: dict[str, Any]) -> bool:
    """What engine.job.links asks of a shot before a survey sees it."""
    names = [value for key, value in shot.items() if key in ("point", "from_a", "from_b", "base_from", "base_to", "from_point", "to_point")]
    return len(set(names)) == len(names)


@given(shots=st.lists(_SHOTS.filter(_names_differ), max_size=14))
@settings(max_examples=100, deadline=None)
def test_any_shots_give_an_answer_or_say_what_is_missing(shots: list[dict[str, Any]]) -> None:
    result = survey(yards.build(shots={f"S{n}": shot for n, shot in enumerate(shots)}))
    numbers = [value for point in result.points.values() for value in (*point.xy, point.sigma_ft)]
    assert all(map(math.isfinite, numbers))
    named = {"A", "B", "C", "D", "T1", "T2", "IN"}
    assert named <= result.points.keys() | result.unplaced.keys()
    assert not result.points.keys() & result.unplaced.keys()


@pytest.mark.parametrize("job", [yards.empty(), yards.half_surveyed(), yards.long_job(), yards.sloping()])
def test_the_same_job_gives_the_same_survey(job: Job) -> None:
    assert asdict(survey(job)) == asdict(survey(Job.model_validate(job.model_dump())))


@pytest.mark.closed_form
def test_a_long_ring_closes_on_itself() -> None:
    """A regular 40-sided ring of 50 ft runs, less the 40 by 30 ft house that stands in it."""
    result = survey(yards.long_job())
    assert result.lines["ring"].length_ft == pytest.approx(2000, abs=0.01)
    area = 40 * 50**2 / (4 * math.tan(math.pi / 40)) - 40 * 30
    assert result.yards["back"].area_ft2 == pytest.approx(area, abs=1)


def test_only_the_parts_it_says_are_read() -> None:
    class Watched:
        """A job that notes which of its parts are asked for."""

        def __init__(self, job: Job) -> None:
            self.whole, self.asked = job, set[str]()

        def __getattr__(self, name: str) -> Any:
            self.asked.add(name)
            return getattr(self.whole, name)

    watched = Watched(yards.sloping())
    survey(watched)  # type: ignore[arg-type]  # stands in for a Job
    assert watched.asked <= set(READS)
