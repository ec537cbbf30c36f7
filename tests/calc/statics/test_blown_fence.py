"""Wind on fabric that hangs between two cables and the ground."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from engine.calc.limits import OutOfRange
from engine.calc.statics.blown_fence import Push, Strip, blown_plf, blown_post

strips = st.lists(
    st.builds(lambda psf, low, tall: Strip(psf, low, low + tall), st.floats(0, 5), st.floats(0, 4), st.floats(0, 4)), max_size=3
)


@pytest.mark.closed_form
def test_an_even_wind_on_six_feet() -> None:
    """1 psf: half of the upper 3 ft to the top cable, half of both to the bottom one, half of the lower 3 ft to the ground."""
    assert blown_plf([Strip(1, 0, 6)], 3, 6) == pytest.approx((1.5, 3, 1.5))


@pytest.mark.closed_form
def test_a_lap_under_the_bottom_cable() -> None:
    """Mesh from 2 to 6 ft over wire from the ground to 3 ft; the lap's foot stands 2.5 ft up, so that 2.5/3 of it go to the cable."""
    assert blown_plf([Strip(2, 2, 6), Strip(1, 0, 3)], 3, 6) == pytest.approx((3, 3 + 2 * 2.5 / 3 + 1.5, 2 * 0.5 / 3 + 1.5))


@pytest.mark.independent
@given(strips, st.floats(0.5, 3), st.floats(0.5, 5))
@settings(max_examples=100)
def test_nothing_is_lost_and_the_cables_bend_a_post_as_the_wind_does(blown: list[Strip], low_ft: float, apart_ft: float) -> None:
    high_ft = low_ft + apart_ft
    shared = blown_plf(blown, low_ft, high_ft)
    total = sum(strip.psf * (strip.high_ft - strip.low_ft) for strip in blown)
    bending = sum(quad(lambda z, psf=strip.psf: psf * z, strip.low_ft, strip.high_ft)[0] for strip in blown)
    assert sum(shared) == pytest.approx(total, abs=1e-9)
    assert shared.top_plf * high_ft + shared.bottom_plf * low_ft == pytest.approx(bending, rel=1e-9, abs=1e-9)


@pytest.mark.closed_form
def test_wind_on_a_post_acts_at_half_its_height() -> None:
    push = blown_post(1.4, 6)
    assert push == pytest.approx((8.4, 25.2))
    assert push.height_ft == pytest.approx(3)
    assert Push(0, 0).height_ft == 0


@pytest.mark.parametrize(
    ("strip", "eyes"), [(Strip(-1, 0, 1), (3, 6)), (Strip(1, -1, 1), (3, 6)), (Strip(1, 2, 1), (3, 6)), (Strip(1, 0, 1), (6, 6))]
)
def test_figures_out_of_range_are_refused(strip: Strip, eyes: tuple[float, float]) -> None:
    with pytest.raises(OutOfRange):
        blown_plf([strip], *eyes)
