"""Jerry Mahun, Open Access Surveying Library (jerrymahun.com).

- "Traverse Computations", ch. G (area by coordinates, Example 1, Fig. G-7) and ch. I (loop, Fig. I-5)
- "Solution: Traverse Adjustment, Problem (2)"
- "COGO", solution of Problem (1)
"""

import pytest

from engine.calc.geometry.plane import Point, azimuth_deg, latitude_departure
from engine.job.model.job import Job
from engine.sheets.stage_sheets import sheet_of
from engine.stages.survey.stage import Survey
from engine.walk import walk
from tests.calc.measuring.courses import courses
from tests.published.on_a_job import leg_shots, legs_walked, lines_walked
from tests.stages.yards import known

pytestmark = pytest.mark.published


FIG_I5 = (("S 68°05'35\" W", 472.68), ("N 19°46'00\" W", 216.13), ("N 45°55'20\" E", 276.52), ("S 54°59'15\" E", 382.24))
PROBLEM_2 = (("226°54'23\"", 639.15), ("0°00'00\"", 523.69), ("235°02'29\"", 409.54), ("79°35'02\"", 815.93))


def steps(legs: tuple[tuple[str, float], ...]) -> list[tuple[float, float]]:
    """Latitude and departure of each leg: no stage shows them, they are steps on the way to the misclosure."""
    return [latitude_departure(leg.length_ft, leg.azimuth_deg) for leg in courses(*legs)]


def test_fig_i5_latitudes_and_departures() -> None:
    latitudes, departures = zip(*steps(FIG_I5), strict=True)
    assert latitudes == pytest.approx([-176.357, 203.395, 192.357, -219.312], abs=0.0006)
    assert departures == pytest.approx([-438.548, -73.093, 198.651, 313.065], abs=0.0006)


def test_fig_i5_closure() -> None:
    """Printed from rounded courses: one unit of the last digit."""
    (loop,) = legs_walked(*FIG_I5, at=(500.0, 2000.0)).survey.traverses
    assert loop.length_ft == pytest.approx(1347.57, abs=0.005)
    assert loop.lat_error_ft == pytest.approx(0.083, abs=0.0011)
    assert loop.dep_error_ft == pytest.approx(0.075, abs=0.0011)


def test_fig_g7_area() -> None:
    """Of the corners as Fig. I-5 prints them."""
    corners = {"A": (2000.000, 500.000), "B": (1561.426, 323.614), "C": (1488.321, 526.996), "D": (1686.956, 719.336)}
    yards = {"back": {"east_ft": 1690, "north_ft": 510}}
    yard = lines_walked(corners, {"n": "ABCDA"}, yards=yards).survey.yards["back"]
    assert yard.area_ft2 == pytest.approx(102_935.75, abs=0.2)


def test_problem_2_latitudes_and_departures() -> None:
    latitudes, departures = zip(*steps(PROBLEM_2), strict=True)
    assert latitudes == pytest.approx([-436.662, 523.690, -234.660, 147.517], abs=0.0011)
    assert departures == pytest.approx([-466.732, 0.000, -335.645, 802.484], abs=0.0011)


def test_problem_2_closure() -> None:
    """The source divides by the rounded misclosure: 1 % on the ratio."""
    (loop,) = legs_walked(*PROBLEM_2).survey.traverses
    assert loop.lat_error_ft == pytest.approx(-0.115, abs=0.0011)
    assert loop.dep_error_ft == pytest.approx(0.107, abs=0.0011)
    assert loop.misclosure_ft == pytest.approx(0.157, abs=0.0011)
    assert loop.precision == pytest.approx(15_200, rel=0.01)


ONE = (2000.000, 1000.000)
TWO = (1811.082, 480.951)
LR = (1450.051, 836.445)
FP = (2435.613, 463.846)


PLACES = {"ONE": ONE, "TWO": TWO, "LR": LR, "FP": FP}


def surveyed(**shots: object) -> Survey:
    """What the survey makes of shots from the two points that are known."""
    return walk(Job.model_validate({"points": known({"ONE": ONE, "TWO": TWO}), "shots": shots})).survey


def tie(point: str, tape_a_ft: float, tape_b_ft: float, side: str) -> dict[str, object]:
    """Two tapes, from ONE and from TWO."""
    return {
        "method": "tie", "point": point, "from_a": "ONE", "from_b": "TWO", "tape_a_ft": tape_a_ft, "tape_b_ft": tape_b_ft, "side": side,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("ends", "length_ft"), [(("ONE", "TWO"), 552.360), (("ONE", "LR"), 573.754), (("ONE", "FP"), 690.811), (("LR", "FP"), 1053.642)]
)
def test_cogo_inverse_distances(ends: tuple[str, str], length_ft: float) -> None:
    """As the length of a line between the two."""
    assert lines_walked(PLACES, {"n": ends}).survey.lines["n"].length_ft == pytest.approx(length_ft, abs=0.0011)


@pytest.mark.parametrize(("place", "tapes_ft", "side"), [(LR, (573.754, 506.675), "right"), (FP, (690.811, 624.765), "left")])
def test_cogo_points_by_two_tapes(place: Point, tapes_ft: tuple[float, float], side: str) -> None:
    """Printed coordinates; the tape from point 2 is worked back from them (506.675 and 624.765), not printed."""
    assert surveyed(S=tie("T", *tapes_ft, side)).points["T"].xy == pytest.approx(place, abs=0.0011)


def test_cogo_points_by_direction_and_distance() -> None:
    leg = {"method": "leg", "from_point": "ONE", "to_point": "T", "length_ft": 573.754, "azimuth_deg": azimuth_deg(ONE, LR)}
    assert surveyed(S=leg).points["T"].xy == pytest.approx(LR, abs=0.0011)


def test_printed_bearings_read_and_print_back() -> None:
    """In the rows of the field book."""
    job = Job.model_validate({"points": known({"K": (0.0, 0.0)}), "shots": leg_shots("K", *FIG_I5)})
    rows = [[cell.words for cell in row.cells] for row in sheet_of("survey", job, walk(job)).parts[1].rows]
    assert [text for text, _ in FIG_I5] == [next(cell for cell in row if "°" in cell) for row in rows]
