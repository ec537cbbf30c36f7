"""Round tube, mesh weight, solidity and wire gauge."""

from collections.abc import Callable
from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from engine.calc.limits import OutOfRange
from engine.calc.statics.section import solidity, strut_lbf, tube, wire_weight_psf, yield_moment_lbf_ft

GAUGE_14, GAUGE_16, GAUGE_12H, GAUGE_19 = 0.0800, 0.0625, 0.0990, 0.0410


@pytest.mark.independent
@pytest.mark.parametrize(("od", "wall"), [(1.375, 0.065), (1.9, 0.145), (2.375, 0.154)])
def test_tube_against_integration_over_rings(od: float, wall: float) -> None:
    """Thin rings: area 2 pi r dr, 490 lb to the cubic foot; second moment pi r^3 dr, over the outer radius."""
    inner, outer = od / 2 - wall, od / 2
    got = tube(od, wall)
    assert got.weight_plf == pytest.approx(490 / 144 * quad(lambda r: 2 * pi * r, inner, outer)[0], rel=1e-10)
    assert got.section_in3 == pytest.approx(quad(lambda r: pi * r**3, inner, outer)[0] / outer, rel=1e-10)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("od", "wall", "weight", "section"),
    [(1.375, 0.065, 0.910, 0.0837), (1.625, 0.065, 1.084, 0.1195), (1.660, 0.111, 1.838, 0.1962), (2.375, 0.130, 3.120, 0.4881)],
)
def test_light_fence_tube(od: float, wall: float, weight: float, section: float) -> None:
    """10.690 (D - t) t lb/ft and pi (D^4 - d^4)/32D."""
    got = tube(od, wall)
    assert got.weight_plf == pytest.approx(weight, abs=6e-4)
    assert got.weight_plf == pytest.approx(pi * 490 / 144 * (od - wall) * wall, rel=1e-12)
    assert got.section_in3 == pytest.approx(section, abs=6e-5)


@given(st.floats(0.5, 6), st.floats(0.01, 0.2), st.floats(1.01, 2))
@settings(max_examples=50)
def test_a_tube_twice_as_large_is_four_times_the_metal_and_eight_times_the_strength(od: float, wall: float, by: float) -> None:
    small, large = tube(od, wall), tube(od * by, wall * by)
    assert large.weight_plf == pytest.approx(small.weight_plf * by**2, rel=1e-9)
    assert large.section_in3 == pytest.approx(small.section_in3 * by**3, rel=1e-9)


@pytest.mark.closed_form
def test_a_wall_of_half_the_diameter_is_a_solid_bar() -> None:
    assert tube(2, 1).section_in3 == pytest.approx(pi / 4, rel=1e-12)


def test_a_wall_over_half_the_diameter_is_refused() -> None:
    with pytest.raises(OutOfRange, match="thicker than the tube"):
        tube(2, 1.001)


@pytest.mark.closed_form
def test_yield() -> None:
    """0.3 in^3 x 36,000 psi / 12 = 900 lb ft."""
    assert yield_moment_lbf_ft(0.3, 36_000) == pytest.approx(900)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("wire", "pitch1", "pitch2", "weight"),
    [
        (GAUGE_14, 2, 4, 15.4),
        (GAUGE_12H, 2, 4, 23.6),
        (GAUGE_14, 1, 2, 30.8),
        (GAUGE_12H, 1, 2, 47.2),
        (GAUGE_14, 1, 1, 41.1),
        (GAUGE_16, 1, 2, 18.8),
        (GAUGE_16, 1, 1, 25.1),
        (GAUGE_16, 0.5, 1, 37.6),
        (GAUGE_19, 0.5, 0.5, 21.6),
    ],
)
def test_weight_of_bare_mesh(wire: float, pitch1: float, pitch2: float, weight: float) -> None:
    """100 x 144 x 0.2836 x pi/4 (d^2/p1 + d^2/p2) lb per 100 ft^2."""
    assert wire_weight_psf(wire, wire, pitch1, pitch2) * 100 == pytest.approx(weight, abs=0.06)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("wire", "pitch1", "pitch2", "share"),
    [
        (GAUGE_14, 2, 4, 0.0592),
        (GAUGE_12H, 2, 4, 0.0730),
        (GAUGE_16, 1, 2, 0.0918),
        (GAUGE_14, 1, 2, 0.1168),
        (GAUGE_16, 1, 1, 0.1211),
        (GAUGE_14, 1, 1, 0.1536),
    ],
)
def test_solid_share_of_mesh(wire: float, pitch1: float, pitch2: float, share: float) -> None:
    """1 - (1 - d/a)(1 - d/b)."""
    assert solidity(wire, wire, pitch1, pitch2) == pytest.approx(share, abs=6e-5)


@given(st.floats(0.02, 0.2), st.floats(0.02, 0.2), st.floats(0.5, 6), st.floats(0.5, 6))
@settings(max_examples=50)
def test_turning_the_mesh_a_quarter_changes_nothing(d1: float, d2: float, p1: float, p2: float) -> None:
    assert solidity(d1, d2, p1, p2) == pytest.approx(solidity(d2, d1, p2, p1), rel=1e-12)
    assert wire_weight_psf(d1, d2, p1, p2) == pytest.approx(wire_weight_psf(d2, d1, p2, p1), rel=1e-12)
    assert 0 < solidity(d1, d2, p1, p2) < 1


@pytest.mark.parametrize("function", [solidity, wire_weight_psf])
def test_mesh_without_openings_is_refused(function: Callable[..., float]) -> None:
    with pytest.raises(OutOfRange, match="no opening"):
        function(0.1, 0.1, 2, 0.1)


@pytest.mark.closed_form
def test_a_slender_brace_bows_by_euler() -> None:
    """pi^2 E I/L^2, I = pi/64 (1.375^4 - 1.245^4)."""
    inertia = pi / 64 * (1.375**4 - 1.245**4)
    assert strut_lbf(1.375, 0.065, 7, 30_000) == pytest.approx(pi**2 * 29e6 * inertia / 84**2, rel=1e-9)


@pytest.mark.closed_form
def test_a_stub_holds_all_of_its_yield_and_both_rules_meet_at_half_of_it() -> None:
    area, inertia = pi / 4 * (1.375**2 - 1.245**2), pi / 64 * (1.375**4 - 1.245**4)
    meets_ft = pi * (29e6 * inertia / (0.5 * 30_000 * area)) ** 0.5 / 12
    assert strut_lbf(1.375, 0.065, 0.01, 30_000) == pytest.approx(30_000 * area, rel=1e-5)
    for length_ft in (meets_ft * (1 - 1e-9), meets_ft * (1 + 1e-9)):
        assert strut_lbf(1.375, 0.065, length_ft, 30_000) == pytest.approx(15_000 * area, rel=1e-6)
