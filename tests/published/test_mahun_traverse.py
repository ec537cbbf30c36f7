"""Jerry Mahun, Open Access Surveying Library (jerrymahun.com).

- "Traverse Computations", ch. G (area by coordinates, Example 1, Fig. G-7) and ch. I (loop, Fig. I-5)
- "Solution: Traverse Adjustment, Problem (2)"
- "COGO", solution of Problem (1)
"""

import pytest

from engine.calc.geometry.plane import area_ft2, azimuth_deg, distance_ft, latitude_departure, travel, two_tape_point
from engine.calc.lengths import format_bearing, parse_azimuth_deg
from engine.calc.measuring.traverse import Course, traverse
from tests.calc.measuring.courses import courses

pytestmark = pytest.mark.published


FIG_I5 = courses(("S 68°05'35\" W", 472.68), ("N 19°46'00\" W", 216.13), ("N 45°55'20\" E", 276.52), ("S 54°59'15\" E", 382.24))
PROBLEM_2 = courses(("226°54'23\"", 639.15), ("0°00'00\"", 523.69), ("235°02'29\"", 409.54), ("79°35'02\"", 815.93))


def steps(legs: list[Course]) -> list[tuple[float, float]]:
    """Latitude and departure of each leg."""
    return [latitude_departure(leg.length_ft, leg.azimuth_deg) for leg in legs]


def test_fig_i5_latitudes_and_departures() -> None:
    latitudes, departures = zip(*steps(FIG_I5), strict=True)
    assert latitudes == pytest.approx([-176.357, 203.395, 192.357, -219.312], abs=0.0006)
    assert departures == pytest.approx([-438.548, -73.093, 198.651, 313.065], abs=0.0006)


def test_fig_i5_closure() -> None:
    """Printed from rounded courses: one unit of the last digit."""
    loop = traverse((2000.0, 500.0), FIG_I5)
    assert loop.total_ft == pytest.approx(1347.57, abs=0.005)
    assert loop.closure_latitude_ft == pytest.approx(0.083, abs=0.0011)
    assert loop.closure_departure_ft == pytest.approx(0.075, abs=0.0011)


def test_fig_g7_area() -> None:
    """Of the corners as Fig. I-5 prints them."""
    corners = [(2000.000, 500.000), (1561.426, 323.614), (1488.321, 526.996), (1686.956, 719.336)]
    assert area_ft2(corners) == pytest.approx(102_935.75, abs=0.2)


def test_problem_2_latitudes_and_departures() -> None:
    latitudes, departures = zip(*steps(PROBLEM_2), strict=True)
    assert latitudes == pytest.approx([-436.662, 523.690, -234.660, 147.517], abs=0.0011)
    assert departures == pytest.approx([-466.732, 0.000, -335.645, 802.484], abs=0.0011)


def test_problem_2_closure() -> None:
    """The source divides by the rounded misclosure: 1 % on the ratio."""
    loop = traverse((0.0, 0.0), PROBLEM_2)
    assert loop.closure_latitude_ft == pytest.approx(-0.115, abs=0.0011)
    assert loop.closure_departure_ft == pytest.approx(0.107, abs=0.0011)
    assert loop.misclosure_ft == pytest.approx(0.157, abs=0.0011)
    assert loop.precision == pytest.approx(15_200, rel=0.01)


ONE = (2000.000, 1000.000)
TWO = (1811.082, 480.951)
LR = (1450.051, 836.445)
FP = (2435.613, 463.846)


def test_cogo_inverse_distances() -> None:
    assert distance_ft(ONE, TWO) == pytest.approx(552.360, abs=0.0011)
    assert distance_ft(ONE, LR) == pytest.approx(573.754, abs=0.0011)
    assert distance_ft(ONE, FP) == pytest.approx(690.811, abs=0.0011)
    assert distance_ft(LR, FP) == pytest.approx(1053.642, abs=0.0011)


def test_cogo_points_by_two_tapes() -> None:
    """Printed coordinates; the tape from point 2 is worked back from them (506.675 and 624.765), not printed."""
    assert two_tape_point(ONE, TWO, 573.754, 506.675, "right") == pytest.approx(LR, abs=0.0011)
    assert two_tape_point(ONE, TWO, 690.811, 624.765, "left") == pytest.approx(FP, abs=0.0011)


def test_cogo_points_by_direction_and_distance() -> None:
    assert travel(ONE, azimuth_deg(ONE, LR), 573.754) == pytest.approx(LR, abs=0.0011)


@pytest.mark.parametrize("text", ["S 68°05'35\" W", "N 19°46'00\" W", "N 45°55'20\" E", "S 54°59'15\" E"])
def test_printed_bearings_read_and_print_back(text: str) -> None:
    assert format_bearing(parse_azimuth_deg(text)) == text
