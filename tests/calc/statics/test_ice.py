"""Ice on cable, wire and mesh."""

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.statics.ice import design_ice_in, ice_on_mesh_psf, radial_ice_plf


@pytest.mark.closed_form
def test_a_ring_of_ice() -> None:
    """Half an inch on 3/32 in: (1.09375^2 - 0.09375^2) pi/4 in^2 of 56 lb a cubic foot."""
    assert radial_ice_plf(0.09375, 0.5) == pytest.approx(pi / 4 * (1.09375**2 - 0.09375**2) / 144 * 56, rel=1e-12)
    assert radial_ice_plf(0.09375, 0) == 0


@pytest.mark.closed_form
def test_the_maps_thickness_stands_33_ft_up() -> None:
    assert design_ice_in(0.5, 33) == 0.5
    assert design_ice_in(0.5, 6) == pytest.approx(0.5 * (6 / 33) ** 0.1, rel=1e-12)


@pytest.mark.closed_form
def test_mesh_has_its_wires_iced_until_the_holes_are_shut() -> None:
    """1 3/4 in squares: 2 x 12/1.75 ft of strand a square foot. At 5 in of ice it is a slab of 10.06 in."""
    assert ice_on_mesh_psf(0.06, 1.75, 1.75, 0.25) == pytest.approx(24 / 1.75 * radial_ice_plf(0.06, 0.25), rel=1e-12)
    assert ice_on_mesh_psf(0.06, 1.75, 1.75, 5) == pytest.approx(56 * 10.06 / 12, rel=1e-12)


@given(st.floats(0.03, 0.2), st.floats(0.5, 4), st.floats(0.5, 4), st.floats(0, 3), st.floats(0.01, 1))
@settings(max_examples=100)
def test_more_ice_weighs_more(wire: float, pitch: float, other: float, ice: float, thicker: float) -> None:
    assert ice_on_mesh_psf(wire, pitch, other, ice) < ice_on_mesh_psf(wire, pitch, other, ice + thicker)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: design_ice_in(-0.1, 6), "nominal_in"),
        (lambda: design_ice_in(0.5, 901), "height_ft"),
        (lambda: radial_ice_plf(0, 0.5), "diameter_in"),
        (lambda: radial_ice_plf(0.1, -1), "ice_in"),
        (lambda: ice_on_mesh_psf(0.1, 0.1, 1, 0.2), "pitch1_in"),
    ],
)
def test_figures_out_of_range_are_named(call: object, name: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.name == name
