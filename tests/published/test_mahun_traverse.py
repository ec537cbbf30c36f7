"""Jerry Mahun, Open Access Surveying Library (jerrymahun.com).

- "Traverse Computations", ch. G (area by coordinates, Example 1, Fig. G-7) and ch. I (adjustment, loop, Fig. I-5)
- "Solution: Traverse Adjustment, Problem (2)"
- "COGO", solution of Problem (1)
"""

import pytest

from engine.calc.geometry.plane import area_ft2, azimuth_deg, distance_ft, travel, two_tape_point
from engine.calc.lengths import format_bearing, parse_azimuth_deg
from engine.calc.measuring.traverse import Traverse, compass_rule
from tests.calc.measuring.courses import courses

pytestmark = pytest.mark.published


@pytest.fixture(scope="module")
def loop() -> Traverse:
    """Ch. I, Fig. I-5."""
    legs = courses(("S 68°05'35\" W", 472.68), ("N 19°46'00\" W", 216.13), ("N 45°55'20\" E", 276.52), ("S 54°59'15\" E", 382.24))
    return compass_rule((2000.0, 500.0), legs)


@pytest.fixture(scope="module")
def problem_2() -> Traverse:
    legs = courses(("226°54'23\"", 639.15), ("0°00'00\"", 523.69), ("235°02'29\"", 409.54), ("79°35'02\"", 815.93))
    return compass_rule((0.0, 0.0), legs)


def test_fig_i5_raw_latitudes_and_departures(loop: Traverse) -> None:
    assert loop.raw_latitudes_ft == pytest.approx([-176.357, 203.395, 192.357, -219.312], abs=0.0006)
    assert loop.raw_departures_ft == pytest.approx([-438.548, -73.093, 198.651, 313.065], abs=0.0006)


def test_fig_i5_closure(loop: Traverse) -> None:
    """Printed from rounded courses: one unit of the last digit."""
    assert loop.total_ft == pytest.approx(1347.57, abs=0.005)
    assert loop.closure_latitude_ft == pytest.approx(0.083, abs=0.0011)
    assert loop.closure_departure_ft == pytest.approx(0.075, abs=0.0011)


def test_fig_i5_adjusted_points(loop: Traverse) -> None:
    printed = [(2000.000, 500.000), (1561.426, 323.614), (1488.321, 526.996), (1686.956, 719.336), (2000.000, 500.000)]
    for point, (east, north) in zip(loop.points, printed, strict=True):
        assert point == pytest.approx((east, north), abs=0.0011)


def test_fig_g7_area(loop: Traverse) -> None:
    assert area_ft2(loop.points[:-1]) == pytest.approx(102_935.75, abs=0.2)


def test_problem_2_latitudes_and_departures(problem_2: Traverse) -> None:
    assert problem_2.raw_latitudes_ft == pytest.approx([-436.662, 523.690, -234.660, 147.517], abs=0.0011)
    assert problem_2.raw_departures_ft == pytest.approx([-466.732, 0.000, -335.645, 802.484], abs=0.0011)
    assert problem_2.latitudes_ft == pytest.approx([-436.631, 523.715, -234.640, 147.556], abs=0.0011)
    assert problem_2.departures_ft == pytest.approx([-466.761, -0.023, -335.663, 802.447], abs=0.0011)


def test_problem_2_closure(problem_2: Traverse) -> None:
    """The source divides by the rounded misclosure: 1 % on the ratio."""
    assert problem_2.closure_latitude_ft == pytest.approx(-0.115, abs=0.0011)
    assert problem_2.closure_departure_ft == pytest.approx(0.107, abs=0.0011)
    assert problem_2.misclosure_ft == pytest.approx(0.157, abs=0.0011)
    assert problem_2.precision == pytest.approx(15_200, rel=0.01)


def test_problem_2_adjusted_courses(problem_2: Traverse) -> None:
    printed = [("226 54 36.6", 639.150), ("359 59 50.8", 523.715), ("235 02 42.5", 409.544), ("79 34 50.5", 815.901)]
    for course, (text, length_ft) in zip(problem_2.courses, printed, strict=True):
        assert course.length_ft == pytest.approx(length_ft, abs=0.0011)
        assert course.azimuth_deg == pytest.approx(parse_azimuth_deg(text), abs=0.0002)


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
