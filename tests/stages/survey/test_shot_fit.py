"""Shots that don't fit: the wrong one named, by how much, and a tie on the wrong side told from a wrong tape."""

from typing import Any

import pytest

from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.yards import codes, leg, offset, said, tape, with_shots

T1 = yards.TRUE["T1"]


def _checked() -> dict[str, Any]:
    """The plain yard with T1 taped from C and D besides its tie."""
    return with_shots(C1=tape("C", "T1", yards.tape_ft(yards.HOUSE["C"], T1)), D1=tape("D", "T1", yards.tape_ft(yards.HOUSE["D"], T1)))


def test_good_shots_fit() -> None:
    result = survey(yards.build(_checked()))
    assert all(fit.fits for fit in result.fits)
    assert not {"misfit", "tie_side"} & codes(result)
    assert result.degrees_of_freedom == 2


@pytest.mark.closed_form
@pytest.mark.parametrize(("slip_ft", "words"), [(-1.0, "1' 0\" short"), (2.5, "2' 6\" long")])
def test_a_tape_read_wrong_is_named_with_its_error(slip_ft: float, words: str) -> None:
    base = _checked()
    base["shots"]["S1"]["tape_b_ft"] += slip_ft
    result = survey(yards.build(base))
    assert said(result, "misfit")[0].startswith(f"The tape from B to T1 reads {words}")
    assert any(not fit.fits and fit.shot == "S1" and fit.part == "tape b" for fit in result.fits)


def test_where_one_check_can_t_tell_which_is_wrong_all_are_named_each_with_its_size() -> None:
    base = with_shots(C1=tape("C", "T1", yards.tape_ft(yards.HOUSE["C"], T1) + 1.5))
    assert said(survey(yards.build(base)), "misfit") == (
        "The tape from A to T1 reads 5' 6\" short, or the tape from B to T1 reads 2' 1\" short, "
        "or the tape from C to T1 reads 1' 6\" long: the shots can't tell which.",
        "Measure S1 again first. One more tape to T1 would tell.",
    )


def test_of_tapes_that_nothing_tells_apart_the_one_a_foot_off_is_named_first_and_one_more_tape_tells() -> None:
    """A to T1 read as 61 for 60: C alone can't tell it from B or from itself, C and D together can."""
    base = with_shots(C1=tape("C", "T1", yards.tape_ft(yards.HOUSE["C"], T1)))
    base["shots"]["S1"]["tape_a_ft"] += 1
    says, do = said(survey(yards.build(base)), "misfit")
    assert says.startswith("The tape from A to T1 reads 1' 0\" long, or ")
    assert do == "Measure S1 again first, for a foot is soon misread. One more tape to T1 would tell."
    base = _checked()
    base["shots"]["S1"]["tape_a_ft"] += 1
    result = survey(yards.build(base))
    assert said(result, "misfit") == ("The tape from A to T1 reads 1' 0\" long.", "Measure S1 again.")
    assert {fit.says for fit in result.fits if not fit.fits} == {"The tape from A to T1 reads 1' 0\" long."}
    assert {fit.says for fit in result.fits if fit.shot == "C1"} == {'The tape from C to T1 fits to 1/8".'}


def test_two_wrong_tapes_to_two_points_are_both_named() -> None:
    base = _checked()
    base["shots"].update(
        C2=tape("C", "T2", 90.0 - 3), D2=tape("D", "T2", yards.tape_ft(yards.HOUSE["D"], yards.TRUE["T2"])),
        A2=tape("T1", "T2", 40.0),
    )  # fmt: skip
    base["shots"]["S1"]["tape_b_ft"] += 2
    wrong = {finding.subjects[0] for finding in survey(yards.build(base)).findings if finding.code == "misfit"}
    assert wrong == {"C2", "S1"}


def test_a_bearing_that_doesn_t_fit_says_which_way() -> None:
    result = survey(yards.build(with_shots(L1=leg("T1", "T2", 84, 40))))
    assert said(result, "misfit")[0].startswith("The bearing from T1 to T2 points about 6.0° left of ")


def test_a_left_offset_that_reads_long_is_said_to_be_long() -> None:
    result = survey(yards.build(with_shots(O1=offset("T1", 0, 62, "left"))))
    assert said(result, "misfit")[0].startswith("The offset of T1 from A to B reads 2' 0\" long")
    (fit,) = (fit for fit in result.fits if fit.part == "offset")
    assert fit.residual > 1.5
    assert fit.says.startswith("The offset of T1 from A to B reads 2' 0\" long")


_PACES = {"method": "paces", "from_point": "C", "to_point": "T1", "paces": 39.4}


@pytest.mark.parametrize("check", [tape("C", "T1", 98.4886), tape("T2", "T1", 40.0), leg("T2", "T1", 270, 40), _PACES])
def test_a_tie_on_the_wrong_side_is_told_from_a_wrong_tape(check: dict[str, Any]) -> None:
    base = with_shots(C1=check)
    base["shots"]["S1"]["side"] = "right"
    says, do = said(survey(yards.build(base)), "tie_side")
    assert says == "The tie S1 says T1 is right of A to B, but the other shots put it on the other side."
    assert do == "Look which side T1 is on, and change the tie."


@pytest.mark.parametrize(
    ("written", "short", "swapped"),
    [
        (71.21, '11" short', "may be 72.11 with two digits swapped."),
        (27.11, "45' 0\" short", "may be 72.11 with two digits swapped."),
        (71.11, "1' 0\" short", ""),
    ],
)
def test_a_reading_with_two_figures_swapped_is_named(written: float, short: str, swapped: str) -> None:
    base = _checked()
    base["shots"]["S1"]["tape_b_ft"] = written
    says, _ = said(survey(yards.build(base)), "misfit")
    assert says.startswith(f"The tape from B to T1 reads {short}")
    assert says.endswith(swapped)
    assert ("swapped" in says) == bool(swapped)


def test_swapped_figures_tell_which_of_three_tapes_is_wrong() -> None:
    """One check only: any of the three could be off by its own amount, but only 98.49 written as 89.49 is a slip of the pencil."""
    base = with_shots(C1=tape("C", "T1", 89.49))
    assert said(survey(yards.build(base)), "misfit")[0].endswith("The tape from C to T1, 89.49, may be 98.49 with two digits swapped.")


def test_feet_and_inches_swap_their_feet() -> None:
    """T1 to T2 is 40 ft; 41' 7 3/8" taped from A to N, read 14' 7 3/8"."""
    place = (40.0, 11.4515)
    check = {f"{base}1": tape(base, "N", yards.tape_ft(yards.HOUSE[base], place)) for base in "BCD"}
    base = with_shots(**check, A1=tape("A", "N", 14 + 7.375 / 12))
    says, _ = said(survey(yards.build(base)), "misfit")
    assert says.endswith("14' 7 3/8\" may be 41' 7 3/8\" with two digits swapped.")


def test_a_slope_that_would_rise_more_than_it_is_long_with_its_figures_swapped_is_no_such_slip() -> None:
    """72.11 from B read as 61.2 along a slope that rises 20 ft: with its figures swapped it would be 16.2 ft long."""
    base = _checked()
    base["shots"]["S1"] |= {"tape_b_ft": 61.2, "rise_b_ft": 20.0}
    says = said(survey(yards.build(base)), "misfit")[0]
    assert "from B to T1" in says
    assert "swapped" not in says


def test_points_that_nothing_checks_are_noted_together() -> None:
    says, _ = said(survey(yards.build(_checked())), "points_unchecked")
    assert says == "Nothing checks T2 and IN: one wrong tape would go unseen."
