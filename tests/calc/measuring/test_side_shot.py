"""A point that one offset fixes: by hand, against the whole network adjusted with it, and against a library."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import Point
from engine.calc.measuring.adjust import adjust
from engine.calc.measuring.observations import Along, Offset
from engine.calc.measuring.side_shot import side_shot
from tests.calc.measuring.networks import Made, random_network
from tests.calc.measuring.test_adjust import library_answer


@pytest.mark.closed_form
def test_a_point_off_a_known_wall_is_as_good_as_its_two_tapes() -> None:
    """30 ft along a wall that runs east and 4 ft right of it, which is south: no error of the wall comes in."""
    place, ellipse = side_shot((10.0, 5.0), (90.0, 5.0), (30.0, 4.0), (0.1, 0.05), np.zeros((4, 4)))
    assert place == pytest.approx((40.0, 1.0))
    assert (ellipse.semi_major_ft, ellipse.semi_minor_ft, ellipse.azimuth_deg) == pytest.approx((0.1, 0.05, 90.0))


@pytest.mark.closed_form
def test_far_past_the_end_of_a_short_base_the_error_of_its_end_swings_out() -> None:
    """The end of a 10 ft base is unsure by 0.1 ft sideways: at 50 ft along it the point is unsure by five times that."""
    end_sideways = np.diag([0.0, 0.0, 0.0, 0.01])
    _, ellipse = side_shot((0.0, 0.0), (10.0, 0.0), (50.0, 0.0), (1e-9, 1e-9), end_sideways)
    assert (ellipse.semi_major_ft, ellipse.azimuth_deg) == pytest.approx((0.5, 0.0))


def with_offset(made: Made, base: tuple[str, str], measured_ft: tuple[float, float]) -> tuple[Made, Point]:
    """A network and a point Q more, measured from a base of it; and a first place of Q."""
    shots = [Along("along", *base, "Q", measured_ft[0], 0.1), Offset("off", *base, "Q", measured_ft[1], 0.06)]
    places = made.known | made.approximate
    start, _ = side_shot(places[base[0]], places[base[1]], measured_ft, (0.1, 0.06), np.zeros((4, 4)))
    return Made(made.known, made.true, {**made.approximate, "Q": start}, [*made.shots, *shots]), start


bases = st.sampled_from([("P0", "P1"), ("P4", "H2"), ("H1", "P5"), ("P6", "P2"), ("H1", "H3")])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 400), bases, st.floats(-20, 60), st.floats(-30, 30))
def test_it_stands_and_errs_as_if_adjusted_with_the_network_which_it_leaves_alone(
    seed: int, base: tuple[str, str], along_ft: float, offset_ft: float
) -> None:
    made = random_network(seed)
    alone = adjust(made.known, made.approximate, made.shots)
    more, _ = with_offset(made, base, (along_ft, offset_ft))
    whole = adjust(more.known, more.approximate, more.shots)
    places = made.known | alone.points
    place, ellipse = side_shot(places[base[0]], places[base[1]], (along_ft, offset_ft), (0.1, 0.06), alone.covariance(*base))
    assert place == pytest.approx(whole.points["Q"], abs=1e-6)
    assert ellipse.semi_major_ft == pytest.approx(whole.ellipses["Q"].semi_major_ft, rel=1e-6)
    assert ellipse.semi_minor_ft == pytest.approx(whole.ellipses["Q"].semi_minor_ft, rel=1e-5, abs=1e-9)
    for name, at in alone.points.items():
        assert whole.points[name] == pytest.approx(at, abs=1e-6)
    assert (whole.fits["along"].standardised, whole.fits["off"].standardised) == (None, None)


@pytest.mark.independent
@pytest.mark.parametrize(("seed", "base"), [(0, ("P0", "P1")), (3, ("P4", "H2")), (5, ("P6", "P2"))])
def test_agrees_with_the_library_that_adjusts_all_at_once(seed: int, base: tuple[str, str]) -> None:
    """scipy.optimize.least_squares over the whole network, its covariance by the Jacobian."""
    made = random_network(seed)
    alone = adjust(made.known, made.approximate, made.shots)
    more, _ = with_offset(made, base, (17.0, -6.0))
    points, covariance = library_answer(more)
    places = made.known | alone.points
    place, ellipse = side_shot(places[base[0]], places[base[1]], (17.0, -6.0), (0.1, 0.06), alone.covariance(*base))
    assert place == pytest.approx(points["Q"], abs=1e-6)
    minor, major = np.sqrt(np.linalg.eigvalsh(covariance[-2:, -2:]))
    assert (ellipse.semi_major_ft, ellipse.semi_minor_ft) == pytest.approx((major, minor), rel=1e-4)
