"""Textbook traverse reposted at justaaa.com, question 19749.

Only latitudes, departures and misclosure: its printed preliminary coordinates don't follow from its own departures.
"""

import pytest

from engine.calc.geometry.plane import latitude_departure
from tests.calc.measuring.courses import courses
from tests.published.on_a_job import legs_walked

pytestmark = pytest.mark.published

LEGS = (("N 22°36'40\" W", 314.02), ("S 60°39'24\" W", 264.49), ("S 38°46'10\" E", 213.50), ("N 88°22'58\" E", 217.69))
# No stage shows a leg's latitude and departure: they are steps on the way to the misclosure.
LATITUDES, DEPARTURES = zip(*(latitude_departure(leg.length_ft, leg.azimuth_deg) for leg in courses(*LEGS)), strict=True)


def test_latitudes() -> None:
    assert pytest.approx([289.883, -129.611, -166.460, 6.144], abs=0.0006) == LATITUDES


def test_departures() -> None:
    assert pytest.approx([-120.733, -230.556, 133.691, 217.603], abs=0.0006) == DEPARTURES


def test_misclosure() -> None:
    """The source divides by the rounded misclosure: 1 % on the ratio."""
    (legs,) = legs_walked(*LEGS).survey.traverses
    assert legs.misclosure_ft == pytest.approx(0.045, abs=0.0006)
    assert legs.precision == pytest.approx(22_500, rel=0.01)
