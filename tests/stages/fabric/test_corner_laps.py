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
