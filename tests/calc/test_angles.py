"""Bearings and azimuths: read, refused, printed, and read back."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import AngleError, format_bearing, parse_azimuth_deg


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "azimuth_deg"),
    [
        ("S 68°05'35\" W", 180 + 68 + 5 / 60 + 35 / 3600),
        ("S 68° 05′ 35″ W", 180 + 68 + 5 / 60 + 35 / 3600),
        ("N 45 30 E", 45.5),
        ("N45E", 45.0),
        ("n 19°46' w", 360 - 19 - 46 / 60),
        ("S54.5E", 125.5),
        ("S 0 E", 180.0),
        ("N 90 W", 270.0),
        ("N 0 W", 0.0),
        ("226°54'23\"", 226 + 54 / 60 + 23 / 3600),
        ("226 54 23", 226 + 54 / 60 + 23 / 3600),
        ("226 54.5", 226 + 54.5 / 60),
        ("226.9", 226.9),
        ("226.9°", 226.9),
        ("90 deg", 90.0),
        (" 0 ", 0.0),
        ("360", 0.0),
        ("359 59 59.9", 359 + 59 / 60 + 59.9 / 3600),
    ],
)
def test_reads_bearings_and_azimuths(text: str, azimuth_deg: float) -> None:
    assert parse_azimuth_deg(text) == pytest.approx(azimuth_deg, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "is not a direction"),
        ("north", "is not a direction"),
        ("-1", "is not a direction"),
        ("nan", "is not a direction"),
        ("12.3.4", "is not a direction"),
        ("N 45", "is not a direction"),
        ("E 45 N", "is not a direction"),
        ("1 2 3 4", "is not a direction"),
        ("9" * 61, "is not a direction"),
        ("N 90 00 01 E", "a bearing stays within 90°"),
        ("S 95 W", "a bearing stays within 90°"),
        ("360.1", "an azimuth stays within 360°"),
        ("226 60", "60 or more minutes or seconds"),
        ("226 10 60", "60 or more minutes or seconds"),
        ("226.5 10", "a decimal before the last part"),
        ("226 10.5 3", "a decimal before the last part"),
    ],
)
def test_refuses_what_is_no_direction(text: str, reason: str) -> None:
    with pytest.raises(AngleError, match=reason):
        parse_azimuth_deg(text)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("azimuth_deg", "text"),
    [
        (0, "N 0°00'00\" E"),
        (45.5, "N 45°30'00\" E"),
        (90, "N 90°00'00\" E"),
        (125.5, "S 54°30'00\" E"),
        (180, "S 0°00'00\" E"),
        (248.0930556, "S 68°05'35\" W"),
        (270, "N 90°00'00\" W"),
        (340.2333333, "N 19°46'00\" W"),
        (359.99999, "N 0°00'00\" E"),
        (360, "N 0°00'00\" E"),
        (89.99999, "N 90°00'00\" E"),
    ],
)
def test_prints_quadrant_bearings(azimuth_deg: float, text: str) -> None:
    assert format_bearing(azimuth_deg) == text


@pytest.mark.parametrize("angle_deg", [-0.001, 360.001, math.nan, math.inf])
def test_prints_no_bearing_off_the_circle(angle_deg: float) -> None:
    with pytest.raises(AngleError):
        format_bearing(angle_deg)


@settings(max_examples=100)
@given(st.floats(0, 360))
def test_a_printed_bearing_reads_back_within_half_a_second(azimuth_deg: float) -> None:
    turn = abs(parse_azimuth_deg(format_bearing(azimuth_deg)) - azimuth_deg)
    assert min(turn, 360 - turn) <= 0.5 / 3600 + 1e-9
