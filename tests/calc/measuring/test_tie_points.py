"""The best pair of tapes: right angles by hand, and a search over all pairs as the second route."""

from itertools import combinations
from math import dist, inf, isclose, radians, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import apex_angle_deg
from engine.calc.limits import OutOfRange
from engine.calc.measuring.tie_points import best_ties

CORNERS = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0)]


def two_tape_sigma_ft(sigma_ft: float, apex_deg: float) -> float:
    """Error of a place by two equal tapes from exact points: both variances, over the sine of the angle between them."""
    return sigma_ft * sqrt(2) / sin(radians(apex_deg))


@pytest.mark.closed_form
def test_the_square_pair_wins_and_the_third_point_checks() -> None:
    """From (0, 30): 30 south to the first, 40 east to the third, square; the second is 50 off (3-4-5)."""
    (tie,) = best_ties([(0.0, 30.0)], CORNERS, [0.0, 0.0, 0.0], 0.05)
    assert tie is not None
    assert (tie.a, tie.b, tie.check) == (0, 2, 1)
    assert (tie.tape_a_ft, tie.tape_b_ft, tie.check_ft) == (30.0, 40.0, 50.0)
    assert tie.angle_deg == pytest.approx(90.0)


@pytest.mark.closed_form
def test_of_equally_good_pairs_the_shorter_tapes_win() -> None:
    """Square pairs at 10 and 10, and at 100 and 100."""
    (tie,) = best_ties([(0.0, 0.0)], [(100.0, 0.0), (0.0, 100.0), (10.0, 0.0), (0.0, 10.0)], [0.0] * 4, 0.05)
    assert tie is not None
    assert (tie.a, tie.b) == (2, 3)


@pytest.mark.closed_form
def test_a_doubtful_reference_gives_way_to_exact_ones_at_a_fair_angle() -> None:
    """Exact pair at 60 degrees: 1 / sin 60 = 1.15; square pair with one reference off by two tapes: sqrt((1 + 5) / 2) = 1.73."""
    references = [(20.0, 0.0), (10.0, 10 * sqrt(3)), (0.0, 20.0)]
    (tie,) = best_ties([(0.0, 0.0)], references, [0.0, 0.0, 0.1], 0.05)
    assert tie is not None
    assert (tie.a, tie.b) == (0, 1)
    assert tie.angle_deg == pytest.approx(60)


def test_no_pair_in_reach_or_at_a_fair_angle() -> None:
    far, flat, close = [(200.0, 0.0), (0.0, 200.0)], [(50.0, 0.0), (50.0, 10.0)], [(0.5, 0.0), (0.0, 50.0)]
    assert best_ties([(0.0, 0.0)], far, [0.0, 0.0], 0.05) == (None,)
    assert best_ties([(0.0, 0.0)], flat, [0.0, 0.0], 0.05) == (None,)
    assert best_ties([(0.0, 0.0)], close, [0.0, 0.0], 0.05) == (None,)
    assert best_ties([(0.0, 0.0)], [(50.0, 0.0)], [0.0], 0.05) == (None,)
    assert best_ties([], CORNERS, [0.0] * 3, 0.05) == ()


def test_a_tape_without_error_is_refused() -> None:
    with pytest.raises(OutOfRange, match="tape_sigma_ft"):
        best_ties([(0.0, 0.0)], CORNERS, [0.0] * 3, 0.0)


spot = st.tuples(st.integers(-80, 80), st.integers(-80, 80))


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(spot, st.lists(spot, min_size=2, max_size=7, unique=True))
def test_no_other_pair_is_a_step_better(place: tuple[int, int], references: list[tuple[int, int]]) -> None:
    """Every pair tried by its error alone; the best may only be better by the step that counts as equal."""
    (tie,) = best_ties([place], references, [0.0] * len(references), 0.05)
    best = inf
    for a, b in combinations(references, 2):
        tapes = dist(place, a), dist(place, b)
        if min(tapes) < 1 or max(tapes) > 150:
            continue
        angle = apex_angle_deg(*tapes, dist(a, b))
        if isclose(angle, 30, abs_tol=1e-6) or isclose(angle, 150, abs_tol=1e-6):
            return
        if 30 < angle < 150:
            best = min(best, two_tape_sigma_ft(0.05, angle))
    if tie is None:
        assert best == inf
    else:
        assert two_tape_sigma_ft(0.05, tie.angle_deg) <= best + 0.1 * 0.05 * sqrt(2) + 1e-9
