"""Findings: what names one, and which of several is the worst."""

import pytest

from engine.findings import LEVELS, STAGES, TITLES, Finding, FindingOf, Level, worst


def finding(level: Level, code: str = "bay_too_long", subjects: tuple[str, ...] = ("P7-P8",)) -> Finding:
    return Finding(code, level, "layout", subjects, "P7 to P8 is 26' 2\", over the 25' limit.", "Add a post.")


@pytest.mark.parametrize(
    ("levels", "wanted"),
    [
        ((), None),
        (("note",), "note"),
        (("note", "fix", "note"), "fix"),
        (("fix", "stop", "note"), "stop"),
        (("stop", "stop"), "stop"),
    ],
)
def test_the_worst_level_is_told(levels: tuple[Level, ...], wanted: Level | None) -> None:
    assert worst(tuple(finding(level) for level in levels)) == wanted


def test_a_finding_is_known_by_its_code_and_what_it_is_about() -> None:
    assert str(finding("fix").key) == "bay_too_long:P7-P8"
    assert str(finding("fix", "trees_used", ("P7", "P13")).key) == "trees_used:P7:P13"
    assert str(finding("note", "not_accepted", ()).key) == "not_accepted"
    assert finding("fix").key == finding("stop").key


def test_nine_stages_each_with_a_title_and_three_levels_from_the_worst_on() -> None:
    assert STAGES == ("survey", "layout", "posts", "bracing", "cables", "fabric", "staking", "gate", "punch")
    assert tuple(TITLES) == STAGES
    assert LEVELS == ("stop", "fix", "note")


def test_one_finding_about_many_tells_the_worst_counts_the_rest_and_says_its_own_of_each() -> None:
    many = FindingOf("bracing").of_many("bent", "note", {"P4": "P4 bends", "P2": "P2 bends less"}, "bent too", "Brace them.", "; guidance")
    assert (many.subjects, many.says) == (("P4", "P2"), "P4 bends (1 more is bent too); guidance.")
    assert [many.says_of(name) for name in ("P4", "P2", "P9")] == ["P4 bends; guidance.", "P2 bends less; guidance.", many.says]
