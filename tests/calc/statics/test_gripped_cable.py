"""A lean on a cable that its eyes grip: posts that give, the weight that was hung there, and laws."""

from math import asin, inf, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.statics.elastic_cable import push_out
from engine.calc.statics.gripped_cable import beam_gives_ft_per_lbf, eye_gives_ft_per_lbf, gripped_push_out
from engine.calc.statics.section import stiffness_lbf_ft2

EI = 19_560.0


@pytest.mark.closed_form
def test_a_post_gives_as_a_cantilever_and_as_much_there_as_here() -> None:
    """L^3/3EI under its own load; 1,000 lb at 3 ft of the 1 5/8 in tube move it 0.46 ft there."""
    assert beam_gives_ft_per_lbf(3.0, 3.0, EI) == pytest.approx(27 / (3 * EI))
    assert beam_gives_ft_per_lbf(3.0, 6.0, EI) == pytest.approx(3**2 * (3 * 6 - 3) / (6 * EI))
    assert beam_gives_ft_per_lbf(6.0, 3.0, EI) == beam_gives_ft_per_lbf(3.0, 6.0, EI)
    assert stiffness_lbf_ft2(1.625, 0.065) == pytest.approx(EI, rel=1e-3)


@pytest.mark.closed_form
def test_a_post_propped_at_its_top_gives_as_the_beam_tables_say() -> None:
    """Fixed below, held above, loaded midway: 7 P L^3/768 EI; cable beside the eye takes its share of the pound."""
    assert eye_gives_ft_per_lbf(3.0, 6.0, EI, inf, 0.0) == pytest.approx(7 * 6**3 / (768 * EI))
    assert eye_gives_ft_per_lbf(3.0, 6.0, EI, 0.0, 0.0) == pytest.approx(27 / (3 * EI))
    assert 1 / eye_gives_ft_per_lbf(3.0, 6.0, EI, inf, 2500.0) == pytest.approx(768 * EI / (7 * 6**3) + 2500)


@pytest.mark.closed_form
@given(load=st.floats(1, 200), span=st.floats(5, 25), tension=st.floats(20, 200), plf=st.floats(0, 0.6), give=st.floats(0, 2e-3))
def test_a_lean_is_carried_and_its_stretch_is_there(load: float, span: float, tension: float, plf: float, give: float) -> None:
    """P = 2 T sin; what the cable and its ends gave is what the bend and the weight asked for."""
    found = gripped_push_out(load, span, tension, plf, 50_000, give)
    angle = asin(load / (2 * found.tension_lbf))
    assert found.deflection_ft == pytest.approx(span / 2 * tan(angle), rel=1e-6)
    gave_ft = (found.tension_lbf - tension) * (span / 50_000 + give)
    asked_ft = span * (1 / sqrt(1 - (load / 2 / found.tension_lbf) ** 2) - 1) - plf**2 * span**3 / 24 * (
        tension**-2 - found.tension_lbf**-2
    )
    assert gave_ft == pytest.approx(asked_ft, rel=1e-5, abs=1e-9)


@given(load=st.floats(1, 200), span=st.floats(5, 25), tension=st.floats(20, 200), give=st.floats(1e-5, 2e-3))
def test_ends_that_give_pull_less_and_bulge_more_and_still_ones_pull_as_a_bare_bay_alone(
    load: float, span: float, tension: float, give: float
) -> None:
    still, soft, alone = (
        gripped_push_out(load, span, tension, 0.0, 50_000),
        gripped_push_out(load, span, tension, 0.0, 50_000, give),
        push_out(load, span, tension, 50_000),
    )
    assert (still.tension_lbf, still.deflection_ft) == pytest.approx((alone.tension_lbf, alone.deflection_ft), rel=1e-6)
    assert soft.tension_lbf < still.tension_lbf
    assert soft.deflection_ft > still.deflection_ft


def test_without_a_push_nothing_moves_and_past_45_degrees_nothing_is_told() -> None:
    assert gripped_push_out(0.0, 20, 60, 0.4, 50_000).tension_lbf == pytest.approx(60)
    with pytest.raises(OutOfRange, match="45"):
        gripped_push_out(500, 20, 50, 0.0, 100)
