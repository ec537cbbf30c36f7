"""Forces, weights, winds and temperatures in both units, and that what is typed in metric units is shown as it was typed."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.force_words import (
    OF_UNIT,
    amount_shown,
    amount_typed,
    degrees_words,
    lean_words,
    pull_figure,
    pull_words,
    unit_shown,
    weight_words,
    wind_figure,
    wind_words,
)
from engine.calc.units import METRES, in_units

UNITS = st.sampled_from(list(OF_UNIT))


def test_words_of_both_units() -> None:
    def told() -> tuple[str, ...]:
        return (
            pull_words(130.4), pull_figure(130.4), lean_words(62.5), weight_words(2.0), weight_words(163.7, 0), weight_words(300.0),
            wind_words(92.5), wind_words(81.6, 0), wind_figure(90), degrees_words(110.0), degrees_words(0.0),
        )  # fmt: skip

    assert told() == ("130 lb", "130", "62.5 lb", "2 lb", "164 lb", "300 lb", "92.5 mph", "82 mph", "90", "110°", "0°")
    with in_units(METRES):
        assert told() == ("580 N", "580", "278 N", "0.907 kg", "74.3 kg", "136 kg", "149 km/h", "131 km/h", "145", "43°C", "-18°C")


@pytest.mark.closed_form
def test_a_pound_force_is_a_pound_of_mass_in_standard_gravity() -> None:
    assert OF_UNIT["lbf"].factor == pytest.approx(OF_UNIT["lb"].factor * 9.80665, rel=1e-12)
    assert OF_UNIT["psi"].factor * 1e6 * (0.0254**2) == pytest.approx(OF_UNIT["lbf"].factor, rel=1e-12)
    assert (amount_shown_in_metres(32, "F"), amount_shown_in_metres(212, "F")) == (0.0, 100.0)
    assert amount_shown_in_metres(100, "mph") == 160.934


def amount_shown_in_metres(amount: float, unit: str) -> float:
    with in_units(METRES):
        return amount_shown(amount, unit)


@settings(max_examples=200)
@given(unit=UNITS, thousandths=st.integers(-2_000_000, 90_000_000), mark=st.sampled_from([".", ","]), named=st.booleans())
def test_what_is_typed_is_shown_as_it_was_typed(unit: str, thousandths: int, mark: str, named: bool) -> None:
    number = thousandths / 1000
    with in_units(METRES):
        kept = amount_typed(f"{number:.3f}".replace(".", mark) + (f" {unit_shown(unit)}" if named else ""), unit)
        assert isinstance(kept, float)
        assert amount_shown(kept, unit) == number
        assert amount_typed(f"{amount_shown(kept, unit):.3f}", unit) == kept


def test_a_unit_may_be_named_whatever_is_in_force_and_nothing_else_is_touched() -> None:
    assert [amount_typed(text, "mph") for text in ("90", "90 mph", "144.841 km/h", "fast", "")] == ["90", 90.0, 90.000025, "fast", ""]
    assert (amount_typed("20", "pct"), amount_typed("90", "F"), amount_typed("20°C", "F")) == ("20", "90", 68.0)
    with in_units(METRES):
        assert [amount_typed(text, "mph") for text in ("90 mph", "1e2", f"{inf}", "2 3", "9 lb")] == [90.0, 62.137119, "inf", "2 3", "9 lb"]
        assert amount_typed("20", "pct") == "20"


def test_what_a_unit_is_called() -> None:
    assert (unit_shown("lbf"), unit_shown("plf", "lb/ft"), unit_shown("pct")) == ("lbf", "lb/ft", "pct")
    with in_units(METRES):
        assert (unit_shown("lbf"), unit_shown("plf", "lb/ft"), unit_shown("pct")) == ("N", "kg/m", "pct")
