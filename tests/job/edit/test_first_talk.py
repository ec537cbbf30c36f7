"""What was said on the phone, question by question, into the job's table; and every answer that won't do, by its question."""

import tomllib
from pathlib import Path

import pytest

from engine.calc.units import METRES
from engine.job.edit.first_talk import AnswerRefused, with_first_talk
from engine.job.errors import BadContent
from engine.job.file.store import load, new, starter
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from tests.job.small import NOW

PHONE = {"length": "about 140 ft", "ends": "house", "corners": "1", "gates": "5 ft", "height": "5", "dogs": "two beagles"}


def test_the_phone_call() -> None:
    job = with_first_talk(starter("Maple"), PHONE)
    assert job.rough == Rough(
        length_ft=140, start_meets="house", end_meets="house", corners=1, gates_ft=(5,), height_ft=5, dogs="two beagles"
    )
    assert job.fence.height_ft == 5.0


@pytest.mark.parametrize(
    ("answers", "rough"),
    [
        ({"paces": "52, 31", "ends": "house and tree"}, Rough(paces=(52, 31), start_meets="house", end_meets="tree")),
        ({"length": "~ 300'", "ends": "ring", "gates": "4, 3' 6\""}, Rough(length_ft=300, ring=True, gates_ft=(4, 3.5))),
        ({"paces": "60", "step_over": "100", "step_counts": "41 40 42"}, Rough(paces=(60,), step_over_ft=100, step_counts=(41, 40, 42))),
        ({"length": "40 m", "spread": "5 %"}, Rough(length_ft=131.2336, spread_pct=5)),
        (
            {"length": "140 ft", "ends": "two ends at the house", "corners": "one corner", "gates": "a 5 ft gate", "height": "5 ft high"},
            Rough(length_ft=140, start_meets="house", end_meets="house", corners=1, gates_ft=(5,), height_ft=5),
        ),
        (
            {"length": "90", "ends": "one end at a tree, one free", "corners": "no corners", "gates": "two 4 ft gates and one of 5"},
            Rough(length_ft=90, start_meets="tree", end_meets="free", corners=0, gates_ft=(4, 4, 5)),
        ),
        (
            {"length": "100 to 120 ft", "ends": "one end at the house wall, the other at a tree", "corners": "none", "gates": "none"},
            Rough(length_ft=110, spread_pct=9.09, start_meets="house", end_meets="tree", corners=0),
        ),
        (
            {"length": "between 40 and 44 m", "ends": "free to house"},
            Rough(length_ft=137.7953, spread_pct=4.76, start_meets="free", end_meets="house"),
        ),
        ({"length": "100-100 ft", "ends": "all round", "corners": "eight corners"}, Rough(length_ft=100, ring=True, corners=8)),
        ({"length": "140", "gates": "a gate of 4 ft"}, Rough(length_ft=140, gates_ft=(4,))),
        ({"length": "150 feet or so", "gates": "no gate"}, Rough(length_ft=150)),
        ({"length": "some 140 ft long", "gates": "two gates of 4 ft"}, Rough(length_ft=140, gates_ft=(4, 4))),
        ({"paces": "52 and 31"}, Rough(paces=(52, 31))),
        ({"length": "1,240 ft", "gates": "2 gates of 4 ft, a 5 ft wide gate"}, Rough(length_ft=1240, gates_ft=(4, 4, 5))),
        ({"length": "100 ft to 120 feet", "ends": "free"}, Rough(length_ft=110, spread_pct=9.09, start_meets="free", end_meets="free")),
        ({"length": "30 m to 34"}, Rough(length_ft=104.9869, spread_pct=6.25)),
        ({"length": "maybe 1,300 or 1,100 ft"}, Rough(length_ft=1200, spread_pct=8.33)),
    ],
)
def test_other_ways_to_say_it(answers: dict[str, str], rough: Rough) -> None:
    assert with_first_talk(Job(), answers).rough == rough


@pytest.mark.parametrize(
    ("answers", "rough"),
    [
        ({"length": "42,5", "gates": "1,2"}, {"length_ft": "42.5 m", "gates_ft": ["1.2 m"]}),
        ({"length": "40,5 to 42", "gates": "1,2, 1,5 m and 2"}, {"length_ft": "41.25 m", "gates_ft": ["1.2 m", "1.5 m", "2 m"]}),
        ({"length": "100", "gates": "2 gates of 1,2; 1"}, {"length_ft": "100 m", "gates_ft": ["1.2 m", "1.2 m", "1 m"]}),
    ],
)
def test_in_metres_a_comma_between_two_digits_is_a_decimal_comma(answers: dict[str, str], rough: dict[str, object], tmp_path: Path) -> None:
    file = new(tmp_path / "m.toml", with_first_talk(starter("Maple", METRES), answers), NOW, state=tmp_path).path
    told = tomllib.loads(file.read_text())["rough"]
    assert {name: told[name] for name in rough} == rough


def test_a_length_from_where_to_where_stands_in_the_unit_it_was_said_in(tmp_path: Path) -> None:
    said = with_first_talk(starter("Maple", METRES), {"length": "40 to 45"})
    assert '[rough]\nlength_ft = "42.5 m"\nspread_pct = 5.88\n' in new(tmp_path / "m.toml", said, NOW, state=tmp_path).path.read_text()


def test_nothing_said_changes_nothing() -> None:
    job = starter("Maple")
    assert with_first_talk(job, dict.fromkeys(PHONE, " ")) is job


@pytest.mark.parametrize(
    ("answers", "question", "says"),
    [
        ({"length": "14x"}, "length", '14x is not a length: write it like 23\' 4 1/2", 22 1/2 in or 7 m.'),
        ({"dogs": "two"}, "length", "give length as it was said, or paces along the fence: one of the two."),
        ({"length": "100", "paces": "40"}, "length", "give length as it was said, or paces along the fence: one of the two."),
        ({"paces": "many"}, "paces", '"many" is given where a number is wanted.'),
        ({"length": "100", "ends": "barn"}, "ends",
         "say house, tree or free, one word for both ends or two, or ring where it closes; not barn."),
        ({"length": "100", "corners": "21"}, "corners", "21 is out of range: it must be at most 20."),
        ({"length": "100", "ends": "ring", "corners": "2"}, "corners",
         "a ring has 3 to 8 corners; a wider turn needs no corner post."),
        ({"paces": "30 30 30", "corners": "1"}, "corners", "3 paced stretches meet in 2 corners."),
        ({"paces": "52 31", "corners": "3"}, "corners", "2 paced stretches meet in 1 corner."),
        ({"length": "100", "spread": "60"}, "spread", "60 is out of range: it must be at most 50."),
        ({"length": "20", "gates": "12,11"}, "gates",
         "A fence of 20' 0\", as it was said, is too short for its gates, which need 26' 4\": correct one of them."),
        ({"length": "6000"}, "length", "A fence of 6000' 0\", as it was said, can't be estimated: give 10' 0\" to 5000' 0\"."),
        ({"paces": "3"}, "paces", "A fence of 7' 6\", as it was said, can't be estimated: give 10' 0\" to 5000' 0\"."),
        ({"length": "100 to 120", "spread": "5"}, "spread",
         "the length says from where to where already: leave one of the two out."),
        ({"length": "10 to 100 ft"}, "spread", "81.82 is out of range: it must be at most 50."),
        ({"length": "100 to barn"}, "length", '100 to barn is not a length: write it like 23\' 4 1/2", 22 1/2 in or 7 m.'),
        ({"length": "10", "corners": "20"}, "corners",
         "A fence of 10' 0\", as it was said, is too short for its corners, which need 21' 0\": correct one of them."),
        ({"paces": "100, 0.1"}, "paces",
         "A fence of 250' 3\", as it was said, is too short for its stretches, which need 1001' 0\": correct one of them."),
        ({"length": "100", "ends": "x" * 99}, "ends",
         f"say house, tree or free, one word for both ends or two, or ring where it closes; not {'x' * 57}...."),
        ({"length": "100", "gates": "2 gates"}, "gates", "say how wide they are, such as 5, or 2 gates of 4 ft; not 2 gates."),
        ({"length": "100", "gates": "4, a gate"}, "gates", "say how wide they are, such as 5, or 2 gates of 4 ft; not a gate."),
        ({"length": "100", "height": "9"}, "height", '"9" is out of range: it must be at most 8.'),
        ({"paces": "40", "step_over": "100"}, "step_over",
         "a step is calibrated by step over, the taped length, together with step counts over it."),
    ],
)  # fmt: skip
def test_an_answer_that_will_not_do(answers: dict[str, str], question: str, says: str) -> None:
    with pytest.raises(AnswerRefused) as refused:
        with_first_talk(starter("Maple"), answers)
    assert (refused.value.question, refused.value.says) == (question, says)


def test_the_file_holds_what_was_said_and_no_more(tmp_path: Path) -> None:
    file = new(tmp_path / "maple.toml", with_first_talk(starter("Maple"), PHONE), NOW, state=tmp_path / "state").path
    table = file.read_text(encoding="utf-8").split("[rough]\n")[1].split("\n\n")[0]
    assert table == (
        'length_ft = 140.0\nstart_meets = "house"\nend_meets = "house"\ncorners = 1\ngates_ft = [\n    5.0,\n]\nheight_ft = 5.0\n'
        'dogs = "two beagles"'
    )
    assert load(file).job == with_first_talk(starter("Maple"), PHONE)


@pytest.mark.parametrize(
    ("written", "wanted", "says"),
    [
        ("length_ft = 140.0", "length_ft = 13.0", "[rough] gates_ft: A fence of 13' 0\", as it was said, is too short for its gates"),
        ("corners = 1", "corners = 21", "[rough] corners: 21 is out of range: it must be at most 20."),
        ("corners = 1", "ring = true", "[rough]: a ring has no ends, so start_meets and end_meets are left out."),
        ("corners = 1", "corner = 1", '[rough] corner: there is no corner here. Did you mean "corners"?'),
        ("length_ft = 140.0\n", "", "[rough]: give length_ft as it was said, or paces along the fence: one of the two."),
        ("height_ft = 5.0\ndogs", "height_ft = 2.0\ndogs", "[rough] height_ft: 2.0 is out of range: it must be at least 3."),
    ],
)
def test_a_file_that_will_not_do_is_told_by_line_and_field(tmp_path: Path, written: str, wanted: str, says: str) -> None:
    file = new(tmp_path / "maple.toml", with_first_talk(starter("Maple"), PHONE), NOW, state=tmp_path / "state").path
    file.write_text(file.read_text(encoding="utf-8").replace(written, wanted, 1), encoding="utf-8")
    with pytest.raises(BadContent) as refused:
        load(file)
    assert "line " in str(refused.value)
    assert says in str(refused.value)
