"""A shot as it is called out: kind first, names and tapes, what repeats left out; and back from the shot to the words."""

from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.units import METRES, in_units
from engine.job.edit.called_shot import CalledShot, called_words, read_called
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, PacesShot, Shot, TapeShot, TieShot

DECIMAL = "A comma between two digits is a decimal comma: put a blank behind one that parts two lengths."
POINTS = ("A", "B", "C", "T1", "T3")
BEFORE: Mapping[str, Mapping[str, str]] = {
    "tie": {"point": "T4", "from_a": "A", "from_b": "B", "side": "left"},
    "tape": {"from_point": "A"},
    "offset": {"point": "T4", "base_from": "A", "base_to": "B", "side": "right"},
    "leg": {"to_point": "T4", "from_point": "T3"},
    "paces": {"from_point": "A"},
    "level": {"line": "back", "station_ft": "20' 0\""},
}


def read(text: str, last: str = "") -> CalledShot:
    return read_called(text, POINTS, ("back", "side"), last, lambda method: BEFORE[method])


@pytest.mark.parametrize(
    ("text", "method", "said"),
    [
        ("tie C a 22' 4 3/8\" b 30' 2\" left", "tie", "C A 22' 4 3/8\" B 30' 2\" left"),
        ("tie c from a 22 4 3/8 and b 30 2 l", "tie", "C A 22 4 3/8 B 30 2 left"),
        ("ti new 22-4-3/8 30-2", "tie", "new A 22-4-3/8 B 30-2 left"),
        ("tie 22 30", "tie", "T4 A 22 B 30 left"),
        ("tie 22, 4", "tie", "T4 A 22 B 4 left"),
        ("tie C 22.36 30.1 r", "tie", "C A 22.36 B 30.1 right"),
        ("tape C B 30 2", "tape", "C B 30 2"),
        ("tape C to B is 268 3/8 in", "tape", "C B 268 3/8 in"),
        ("ta C 30 2 1/4", "tape", "C A 30 2 1/4"),
        ("offset C 20, 4 6", "offset", "C A 20 B 4 6 right"),
        ("leg N 45 30 E 20", "leg", "T4 T3 N 45 30 E 20"),
        ("leg L5 C N45E 20' 3", "leg", "L5 C N45E 20' 3"),
        ("paces C 40", "paces", "C A 40 "),
        ("p C b 40 N 45 E", "paces", "C B 40 N 45 E"),
        ("level 4' 6\"", "level", "back 20' 0\" 4' 6\""),
        ("level -1", "level", "back 20' 0\" -1"),
        ("level 30 4", "level", "back 30 4 "),
        ("level C", "level", "back C "),
        ("level side C -1 6", "level", "side C -1 6"),
        ("level 10, -0.5", "level", "back 10 -0.5"),
    ],
)
def test_reads_what_is_called_out(text: str, method: str, said: str) -> None:
    found = read(text)
    assert (found.method, " ".join(part.text for part in found.parts), found.wrong) == (method, said, "")


@pytest.mark.parametrize(
    ("text", "said", "wrong"),
    [
        ("tie C 12,5 9,24", "C A 12,5 B 9,24 left", ""),
        ("tie C a 12,5, b 9,24, r", "C A 12,5 B 9,24 right", ""),
        ("tie C 12,5, 9 l", "C A 12,5 B 9 left", ""),
        ("leg C 45,5 12,5", "C T3 45,5 12,5", ""),
        ("level 10,5, -0,25", "back 10,5 -0,25", ""),
        ("tie C 12,5,9", "C A  B  left", f"12,5,9 can't be read in the order of a tie. {DECIMAL}"),
        ("paces C 52,5", "C A 52.5 ", ""),
    ],
)
def test_in_metres_a_comma_between_two_digits_is_a_decimal_comma(text: str, said: str, wrong: str) -> None:
    with in_units(METRES):
        found = read(text)
    assert (" ".join(part.text for part in found.parts), found.wrong) == (said, wrong)


def test_what_was_left_out_is_told_from_what_was_typed() -> None:
    assert {part.field: part.typed for part in read("tie C 22 4, b 30").parts} == {
        "point": True, "from_a": False, "tape_a_ft": True, "from_b": True, "tape_b_ft": True, "side": False,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("tie", "tape_a_ft"),
        ("tie C 22 4", "tape_b_ft"),
        ("tape", "to_point"),
        ("leg", "azimuth_deg"),
        ("paces C 4", ""),
        ("level", "level_ft"),
    ],
)
def test_what_is_still_wanted_is_named(text: str, wanted: str) -> None:
    assert read(text).open == wanted


def test_without_a_kind_the_last_one_goes_on_and_without_a_last_one_it_is_asked_for() -> None:
    assert read("C 22 4, 30", last="tie").texts["point"] == "C"
    assert read("t C 22 4, 30", last="tape").method == "tape"
    assert read("C 22 4").wrong == "Say the kind first: tie, tape, offset, leg, paces, level."
    assert read("t C 22 4").wrong == "t may be tie or tape."
    assert read("") == CalledShot("")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("tie C q 22 4", "There is no point q."),
        ("level nowhere 20 4", "There is no line nowhere."),
        ("tape C B 30 2 left", "left can't be read in the order of a tape."),
        ("tie C 5' 14\" 3 9", "3 9 can't be read in the order of a tie."),
    ],
)
def test_what_can_t_be_read_is_said(text: str, says: str) -> None:
    assert read(text).wrong == says


LENGTHS = st.integers(1, 200 * 192).map(lambda sixteenths: sixteenths / 192)
SHOTS = st.one_of(
    st.builds(
        TieShot, method=st.just("tie"), point=st.just("N1"), from_a=st.just("A"), from_b=st.just("C"), tape_a_ft=LENGTHS, tape_b_ft=LENGTHS,
        side=st.sampled_from(["left", "right"]),
    ),
    st.builds(TapeShot, method=st.just("tape"), from_point=st.just("A"), to_point=st.just("C"), length_ft=LENGTHS),
    st.builds(
        OffsetShot, method=st.just("offset"), point=st.just("C"), base_from=st.just("A"), base_to=st.just("B"), along_ft=LENGTHS,
        offset_ft=LENGTHS, side=st.sampled_from(["left", "right"]),
    ),
    st.builds(
        LegShot, method=st.just("leg"), from_point=st.just("A"), to_point=st.just("N2"), azimuth_deg=st.integers(0, 359).map(float),
        length_ft=LENGTHS,
    ),
    st.builds(PacesShot, method=st.just("paces"), from_point=st.just("A"), to_point=st.just("N2"), paces=st.integers(1, 400)),
    st.builds(LevelShot, method=st.just("level"), line=st.just("back"), station_ft=LENGTHS, level_ft=LENGTHS),
)  # fmt: skip


@settings(max_examples=100)
@given(SHOTS)
def test_the_words_of_a_shot_read_back_to_that_shot(shot: Shot) -> None:
    found = read(called_words(shot))
    assert (found.method, found.wrong, found.open) == (shot.method, "", "")
    texts = {field: text for field, text in found.texts.items() if text}
    read_back = Job.model_validate({"shots": {"S": {"method": found.method, **texts}}}).shots["S"]
    assert read_back == shot
