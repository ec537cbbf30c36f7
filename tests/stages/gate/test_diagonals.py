"""Two diagonals of a leaf beside each other, and the one its wires lie on."""

from math import cos, hypot, radians, sin
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.stages.gate.gate_leaves import WIRE_FROM, WIRE_TO
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


@given(st.floats(2, 10), st.floats(2, 10), st.floats(0.05, 3))
@settings(max_examples=50)
@pytest.mark.independent
def test_the_wire_lies_on_the_diagonal_that_a_drop_lengthens(width: float, height: float, drop_deg: float) -> None:
    """Hinge stile plumb, rails turned down about their hinge corners: the tension wire's two corners draw apart."""
    out, down = width * cos(radians(drop_deg)), width * sin(radians(drop_deg))
    place = {
        "top hinge corner": (0, height),
        "bottom hinge corner": (0, 0),
        "top latch corner": (out, height - down),
        "bottom latch corner": (out, -down),
    }
    (x1, y1), (x2, y2) = place[WIRE_FROM], place[WIRE_TO]
    assert hypot(x2 - x1, y2 - y1) > hypot(width, height)
