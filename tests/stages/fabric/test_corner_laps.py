"""The apron at corners, against the two aprons drawn with shapely."""

from math import cos, radians, sin

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import Point
from engine.stages.fabric.corner_laps import CornerLap
from engine.walk import walk
from tests.stages.flat_yards import ring, yard
from tests.stages.yards import build, tables


def bent(turn_deg: float) -> tuple[CornerLap, ...]:
    """20 ft north, then 20 ft turned right."""
    end: Point = (20 * sin(radians(turn_deg)), 20 + 20 * cos(radians(turn_deg)))
    return walk(yard({"S": (0.0, 0.0), "T": (0.0, 20.0), "E": end}, {"n": ["S", "T", "E"]})).fabric.corners


@settings(max_examples=40, deadline=None)
@given(turn=st.floats(46, 149))
@pytest.mark.independent
def test_lap_and_wedge_are_those_of_two_strips_of_apron(turn: float) -> None:
    """Inside, the outer edge of one strip runs under the other from a tan(t/2) before its end; outside they part at their outer edges."""
    (corner,) = bent(turn)
    wide = corner.apron_in / 12
    way = (sin(radians(turn)), cos(radians(turn)))
    right = (way[1], -way[0])
    second = shapely.Polygon(
        [
            (0, 20),
            (20 * way[0], 20 + 20 * way[1]),
            (20 * way[0] + wide * right[0], 20 + 20 * way[1] + wide * right[1]),
            (wide * right[0], 20 + wide * right[1]),
        ]
    )

    edge = shapely.LineString([(wide * (1 - 1e-9), 0), (wide * (1 - 1e-9), 20)])
    lap = 20 - edge.intersection(second.buffer(1e-9)).bounds[1]
    gap = shapely.Point(-wide, 20).distance(shapely.Point(-wide * right[0], 20 - wide * right[1]))

    assert lap == pytest.approx(corner.lap_in / 12, rel=1e-4)
    assert gap == pytest.approx(corner.open_in / 12, rel=1e-4)
    assert corner.side == "both"


@pytest.mark.closed_form
def test_a_square_corner() -> None:
    """12 in of apron: 12 in of lap, or 16.97 in open: a piece 8.49 + 4 by 16.97 + 8."""
    (corner,) = bent(90)

    assert (corner.lap_in, corner.open_in) == (pytest.approx(12.0), pytest.approx(16.9706, abs=1e-3))
    assert corner.piece_in == (13.0, 25.0)


@pytest.mark.parametrize(("turn_deg", "count"), [(44.9, 0), (45.1, 1), (149.9, 1), (150.1, 0)])
def test_a_corner_is_a_turn_of_45_to_150_degrees(turn_deg: float, count: int) -> None:
    assert len(bent(turn_deg)) == count


@pytest.mark.closed_form
@pytest.mark.parametrize(("from_ft", "to_ft", "apron_in"), [(0.0, 20.0, 12.0), (20.0, 40.0, 12.0), (0.0, 40.0, 24.0)])
def test_the_narrower_of_two_aprons_laps(from_ft: float, to_ft: float, apron_in: float) -> None:
    """48 in of wire: 12 in under an eye at 3 ft, 24 under the 2 ft eye of a 4 ft stretch."""
    places = {"S": (0.0, 0.0), "T": (0.0, 20.0), "E": (20.0, 20.0)}
    low = {"low": {"line": "n", "from_ft": from_ft, "to_ft": to_ft, "height_ft": 4}}
    (corner,) = walk(yard(places, {"n": ["S", "T", "E"]}, heights=low)).fabric.corners
    assert (corner.apron_in, corner.turn_deg) == (pytest.approx(apron_in), pytest.approx(90.0))


def test_no_apron_laps_where_none_is_left() -> None:
    """Wire 36 in wide from an eye at 3 ft."""
    places = {"S": (0.0, 0.0), "T": (0.0, 20.0), "E": (20.0, 20.0)}
    assert walk(yard(places, {"n": ["S", "T", "E"]}, fence={"wire": "wire-36"})).fabric.corners == ()


def test_a_gate_at_a_corner_has_no_apron_to_lap() -> None:
    places = {"S": (0.0, 0.0), "T": (0.0, 20.0), "E": (20.0, 20.0)}
    gate = {"g": {"line": "n", "station_ft": 20.0, "leaf_width_ft": 4}}
    found = walk(yard(places, {"n": ["S", "T", "E"]}, gates=gate))
    assert [bay.gate for bay in found.layout.bays.values() if found.layout.supports[bay.from_id].xy == pytest.approx((0.0, 20.0))] == ["g"]
    assert found.fabric.corners == ()


def test_the_yard_tells_the_side() -> None:
    assert {corner.side for corner in walk(build(tables())).fabric.corners} == {"inside"}
    places = {
        "S": (0.0, 0.0),
        "T": (0.0, 20.0),
        "E": (20.0, 20.0),
        "Q": (20.0, 40.0),
        "R": (-20.0, 40.0),
        "W": (-20.0, 0.0),
        "I": (-9.0, 30.0),
    }
    line = {"points": ["S", "T", "E", "Q", "R", "W", "S"], "start_meets": "itself", "end_meets": "itself"}
    corners = {corner.support: corner.side for corner in walk(yard(places, {"n": line}, yards={"l": {"inside": "I"}})).fabric.corners}
    assert sorted(corners.values()) == ["inside"] * 5 + ["outside"]


def test_shallow_turns_have_none_and_a_closed_line_has_one_at_its_start_too() -> None:
    assert bent(30) == ()
    assert len(walk(ring()).fabric.corners) == 4
