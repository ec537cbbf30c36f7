"""Plurals, rows of names and "3 more", as they are spoken."""

import pytest

from engine.calc.phrases import counted, first_few, listed, measured, others, plural


@pytest.mark.parametrize(
    ("count", "words", "says"),
    [
        (0, ("post",), "0 posts"),
        (1, ("post",), "1 post"),
        (2, ("post",), "2 posts"),
        (1, ("box", "boxes"), "1 box"),
        (3, ("box", "boxes"), "3 boxes"),
    ],
)
def test_a_count_with_its_noun(count: int, words: tuple[str, ...], says: str) -> None:
    assert counted(count, *words) == says


def test_an_amount_with_its_unit() -> None:
    assert [measured(amount, "latches") for amount in (0.0, 1.0, 2.0)] == ["0 latches", "1 latch", "2 latches"]
    assert [measured(1.0, unit) for unit in ("hinges", "ties", "ft")] == ["1 hinge", "1 tie", "1 ft"]
    assert measured(1254.4, "ft") == "1,254 ft"


def test_a_verb_goes_with_its_count() -> None:
    assert [plural(count, "goes", "go") for count in (0, 1, 2)] == ["go", "goes", "go"]


def test_names_in_a_row() -> None:
    assert [listed(["P4", "P5", "P6"][:count]) for count in (1, 2, 3)] == ["P4", "P4 and P5", "P4, P5 and P6"]


def test_of_many_names_the_first_few_are_said() -> None:
    names = ["P1", "P2", "P3", "P4", "P5"]
    assert first_few(names[:2]) == "P1 and P2"
    assert first_few(names[:4]) == "P1, P2, P3 and P4"
    assert first_few(names) == "P1, P2, P3 and 2 more"
    assert first_few(names, 1) == "P1 and 4 more"


def test_others_stand_in_a_bracket() -> None:
    assert [others(count, "short too") for count in (0, 1, 4)] == ["", " (1 more is short too)", " (4 more are short too)"]
