"""Two diagonals of a leaf beside each other."""

from typing import Any

import pytest

from tests.stages.gate.test_stage import codes, gates, yard


def read(**diagonals_ft: float) -> dict[str, Any]:
    return {f"gate.G1.{what}": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_ft": at} for what, at in diagonals_ft.items()}


@pytest.mark.parametrize(
    ("first_ft", "other_ft", "found"),
    [(7.67, 7.67, []), (7.67, 7.67 + 0.25 / 12, []), (7.67, 7.67 + 0.5 / 12, ["gate_out_of_square"]), (7.67, 7.63, ["gate_out_of_square"])],
)
def test_diagonals_further_apart_than_the_rule_are_told(first_ft: float, other_ft: float, found: list[str]) -> None:
    """Equal diagonals mean a square frame: common practice, no source. The rule is 1/4 in."""
    assert codes(gates(yard(), checks=read(diagonal_a=first_ft, diagonal_b=other_ft))) == found
    assert codes(gates(yard(), checks=read(diagonal_a=first_ft))) == []


def test_the_leaf_that_is_out_of_square_is_named() -> None:
    ticks = read(diagonal_a1=7.5, diagonal_b1=7.5, diagonal_a2=7.5, diagonal_b2=7.5 + 1 / 12)
    result = gates(yard(10 + 2 / 12), asked={"leaves": 2}, checks=ticks)

    (finding,) = [finding for finding in result.findings if finding.code == "gate_out_of_square"]
    assert finding.says == ('Gate G1, leaf 2, is out of square: its diagonals read 7\' 6" and 7\' 7", and the rule is within 1/4".')
