"""Wind on open mesh."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.statics.wind import (
    kz,
    open_screen_coefficient,
    velocity_pressure_psf,
    wind_on_round_plf,
    wind_on_screen_psf,
)

PLAIN_PSF = {60: 9.22, 70: 12.54, 80: 16.38, 90: 20.74, 100: 25.60, 110: 30.98, 115: 33.86, 120: 36.86, 130: 43.26}


@pytest.mark.closed_form
@pytest.mark.parametrize(("speed", "pressure"), PLAIN_PSF.items())
def test_pressure_of_plain_wind(speed: float, pressure: float) -> None:
    """0.00256 V^2."""
    assert velocity_pressure_psf(speed, 1, kd=1) == pytest.approx(pressure, abs=0.006)


@pytest.mark.closed_form
@pytest.mark.parametrize(("coefficient", "pressure"), [(0.85, 14.98), (0.57, 10.05)])
def test_pressure_at_90_mph_in_the_open_and_among_houses(coefficient: float, pressure: float) -> None:
    """0.00256 x 8100 x Kz x 0.85."""
    assert velocity_pressure_psf(90, coefficient) == pytest.approx(pressure, abs=0.006)


@pytest.mark.closed_form
def test_pressure_of_a_40_mph_wind() -> None:
    assert velocity_pressure_psf(40, 1, kd=1) == pytest.approx(4.096, rel=1e-12)


@pytest.mark.closed_form
def test_a_hill_multiplies_the_pressure() -> None:
    assert velocity_pressure_psf(90, 0.85, kzt=1.5) == pytest.approx(1.5 * velocity_pressure_psf(90, 0.85))


@given(st.floats(0, 700), st.floats(0, 700))
@settings(max_examples=50)
def test_wind_grows_with_height_and_openness(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert kz(low, "C") <= kz(high, "C")
    assert kz(low, "B") < kz(low, "C") < kz(low, "D")


@pytest.mark.closed_form
@pytest.mark.parametrize("height_ft", [0, 4, 6, 15])
def test_a_fence_counts_as_fifteen_feet_high(height_ft: float) -> None:
    """2.01 (15/900)^(2/9.5)."""
    assert kz(height_ft, "C") == pytest.approx(2.01 * (15 / 900) ** (2 / 9.5), rel=1e-12)


@pytest.mark.closed_form
def test_wind_on_a_square_foot_of_mesh() -> None:
    """15 psf x 0.85 x 1.2 x 0.06 solid = 0.918 psf."""
    assert wind_on_screen_psf(15, 1.2, 0.06) == pytest.approx(0.918)


@given(st.floats(0.01, 0.69), st.floats(0.001, 0.01))
@settings(max_examples=50)
def test_round_wire_never_catches_more_than_flat(share: float, more: float) -> None:
    assert open_screen_coefficient(share, True) < open_screen_coefficient(share, False)
    assert open_screen_coefficient(share, True, 3) < open_screen_coefficient(share, True)
    less = wind_on_screen_psf(20, open_screen_coefficient(share, True), share)
    assert wind_on_screen_psf(20, open_screen_coefficient(min(share + more, 0.7), True), min(share + more, 0.7)) > less


@pytest.mark.parametrize("share", [0.0, 0.701, 1.0, float("nan")])
def test_a_screen_that_is_none_or_nearly_a_wall_is_refused(share: float) -> None:
    with pytest.raises(OutOfRange):
        open_screen_coefficient(share, True)


def test_heights_exposures_and_speeds_outside_the_code_are_refused() -> None:
    with pytest.raises(OutOfRange):
        kz(-1, "C")
    with pytest.raises(ValueError, match="exposure 'A'"):
        kz(6, "A")
    with pytest.raises(OutOfRange):
        velocity_pressure_psf(301, 0.85)


@pytest.mark.closed_form
def test_force_on_a_foot_of_post() -> None:
    """10.1 psf x 0.85 x 1.2 x 1.625/12 ft."""
    assert wind_on_round_plf(10.1, 1.625) == pytest.approx(1.395, abs=0.0005)
    with pytest.raises(OutOfRange, match="diameter_in"):
        wind_on_round_plf(10.1, 25)
