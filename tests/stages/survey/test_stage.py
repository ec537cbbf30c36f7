"""The survey: places from every method of measuring, points that float, and what holds for any shots."""

import math
from dataclasses import asdict
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.job import Job
from engine.stages.survey.stage import READS, Survey, placed, survey
from tests.stages import yards
from tests.stages.yards import codes, leg, offset, said, tape, with_shots

T1 = yards.TRUE["T1"]


def _place(result: Survey, name: str) -> tuple[float, float]:
    return result.points[name].xy


@pytest.mark.parametrize("job", [yards.plain(), yards.sloping(), yards.empty(), yards.half_surveyed()])
def test_what_a_layout_asks_is_as_the_whole_survey_has_it(job: Job) -> None:
    bare, whole = placed(job), survey(job)
    assert (list(bare.points.items()), list(bare.lines.items())) == (list(whole.points.items()), list(whole.lines.items()))


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
        (offset("N", 10, 25, "left"), (10, 25)),
        (offset("N", -5, 3, "right"), (-5, -3)),
        (leg("A", "N", 90, 30), (30, 0)),
        (leg("N", "A", 180, 30), (0, 30)),
        (leg("B", "N", 330, 20), (40 - 10, 20 * math.cos(math.radians(30)))),
    ],
)
def test_one_offset_or_leg_places_a_point(shot: dict[str, Any], place: tuple[float, float]) -> None:
    assert _place(survey(yards.build(with_shots(N1=shot))), "N") == pytest.approx(place, abs=1e-3)


def test_shots_may_stand_in_any_order() -> None:
    legs = {"L3": leg("N2", "N3", 270, 10), "L2": leg("N1", "N2", 0, 10), "L1": leg("B", "N1", 90, 10)}
    result = survey(yards.build(with_shots(**legs)))
    assert _place(result, "N3") == pytest.approx((40, 10), abs=1e-3)


def test_three_tapes_tell_the_side_that_two_don_t() -> None:
    tapes = {f"T{base}": tape(base, "N", yards.tape_ft(yards.HOUSE[base], (15.0, 22.0))) for base in "ABC"}
    result = survey(yards.build(with_shots(**tapes)))
    assert _place(result, "N") == pytest.approx((15, 22), abs=1e-3)
    del tapes["TC"]
    floats = survey(yards.build(with_shots(**tapes))).unplaced["N"]
    assert floats.startswith("N floats: tapes from A and B reach it, but don't tell which side it is on.")


def test_paces_weigh_little_beside_a_tie() -> None:
    paces = {"method": "paces", "from_point": "A", "to_point": "T1", "paces": 25}
    result = survey(yards.build(with_shots(W1=paces)))
    assert _place(result, "T1") == pytest.approx(T1, abs=0.05)
    (check,) = result.paced
    assert (check.paced_ft, check.measured_ft) == (62.5, pytest.approx(60, abs=0.05))


def test_a_point_with_one_tape_floats_and_the_shot_that_fixes_it_is_named() -> None:
    result = survey(yards.half_surveyed())
    assert result.unplaced == {"T2": "T2 floats: only one tape reaches it. Tape it from a second known point."}
    assert said(result, "point_unplaced") == ("T2 floats: only one tape reaches it.", "Tape it from a second known point.")
    assert said(result, "line_unplaced")[0] == "Line fence can't be drawn: T2 has no place."
    assert "fence" not in result.lines


def test_a_point_hangs_on_another_that_floats() -> None:
    result = survey(yards.build(with_shots(X1=leg("U", "V", 10, 20))))
    assert result.unplaced["V"].startswith("V floats: it hangs on U, which has no place either.")


def test_a_point_that_no_shot_reaches() -> None:
    result = survey(yards.build(trees={"oak": {"point": "oaktree", "diameter_in": 9}}))
    assert result.unplaced == {"oaktree": "oaktree floats: no shot reaches it. Tape it from two known points."}


@pytest.mark.closed_form
def test_tapes_that_don_t_meet_say_by_how_much() -> None:
    """40 ft apart, tapes of 20 and 18 1/2 ft: 1 1/2 ft short."""
    base = yards.tables()
    base["shots"]["S1"].update(tape_a_ft=20, tape_b_ft=18.5)
    result = survey(yards.build(base))
    assert said(result, "point_unplaced")[0] == "T1 floats: the tapes of S1 from A and B miss each other by 1' 6\"."


def test_tapes_that_don_t_meet_are_told_even_where_the_point_is_placed_otherwise() -> None:
    base = with_shots(L1=leg("A", "T1", 0, 60))
    base["shots"]["S1"].update(tape_a_ft=20, tape_b_ft=18.5)
    assert said(survey(yards.build(base)), "tapes_apart")[0] == "The tapes of S1 to T1 miss each other by 1' 6\"."


def test_a_tie_on_its_own_base_line_can_t_hold_its_point() -> None:
    base = yards.tables()
    base["shots"]["S1"].update(tape_a_ft=25, tape_b_ft=15)
    assert survey(yards.build(base)).unplaced["T1"].startswith("T1 floats: its tapes cross too flat to hold it.")


def test_without_a_known_point_one_sentence_says_so() -> None:
    result = survey(yards.build(points={}))
    assert result.points == {}
    assert said(result, "no_known_points")[1].startswith("Give one house corner a place")
    assert "point_unplaced" not in codes(result)


def test_a_flat_tie_is_a_note() -> None:
    result = survey(yards.build(shots={**yards.ties({**yards.TRUE, "far": (20.0, 200.0)})}))
    assert said(result, "tie_flat")[0] == 'The tapes to far cross at 11°, so it is only good to 4 1/4".'


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
    """What engine.job.model.cross_checks asks of a shot before a survey sees it."""
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


def test_a_long_list_of_unchecked_points_is_cut_short() -> None:
    base = with_shots(**{f"O{n}": offset(f"N{n}", n, 20, "left") for n in range(1, 5)})
    says, _ = said(survey(yards.build(base)), "points_unchecked")
    assert says == "Nothing checks T1, T2, IN and 4 more: one wrong tape would go unseen."


def test_what_one_offset_fixes_leaves_every_other_point_the_very_same() -> None:
    """A new point off two that were tied moves neither them nor anything else, to the last bit, and nothing checks it."""
    before = survey(yards.plain())
    shot = {**offset("Q", 7.5, 2.0, "right"), "base_from": "T1", "base_to": "IN"}
    after = survey(yards.build(with_shots(q=shot)))
    assert {name: point for name, point in after.points.items() if name != "Q"} == before.points
    assert [fit for fit in after.fits if fit.shot != "q"] == list(before.fits)
    assert [(fit.part, fit.residual, fit.redundancy, fit.standardised) for fit in after.fits if fit.shot == "q"] == [
        ("along", 0.0, 0.0, None),
        ("offset", 0.0, 0.0, None),
    ]
    assert after.degrees_of_freedom == before.degrees_of_freedom
    assert "Q" in next(finding for finding in after.findings if finding.code == "points_unchecked").subjects


def test_what_hangs_by_one_offset_on_a_point_without_a_place_floats_with_it() -> None:
    shots = with_shots(r=tape("A", "R", 20.0), q={**offset("Q", 7.5, 2.0, "right"), "base_from": "R", "base_to": "A"})
    assert {"R", "Q"} <= set(survey(yards.build(shots)).unplaced)


def test_a_point_off_a_point_that_hangs_by_one_offset_is_worked_out_with_it() -> None:
    """The second hangs on the first, so the first is no longer named by its own offset alone."""
    first = offset("Q", 10.0, 5.0, "right")
    second = {**offset("R", 3.0, 4.0, "left"), "base_from": "Q"}
    alone, both = (survey(yards.build(with_shots(**shots))) for shots in ({"q": first}, {"q": first, "r": second}))
    assert both.points["Q"].xy == pytest.approx(alone.points["Q"].xy, abs=1e-8)
    assert both.points["Q"].sigma_ft == pytest.approx(alone.points["Q"].sigma_ft, abs=1e-8)
    assert both.points["R"].sigma_ft > alone.points["Q"].sigma_ft
