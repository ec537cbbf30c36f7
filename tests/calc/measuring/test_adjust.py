"""Least squares of a whole survey: against a library, by hand, by its laws, and where it has to refuse."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from engine.calc.geometry.plane import Point
from engine.calc.measuring.adjust import Ellipse, FloatingPoint, adjust, ellipse_sigma_ft
from engine.calc.measuring.observations import AdjustError, Along, Direction, Distance, Observation, Offset
from tests.calc.measuring.networks import Made, random_network

BASE: dict[str, Point] = {"A": (0, 0), "B": (60, 0)}


def library_answer(made: Made) -> tuple[dict[str, Point], np.ndarray]:
    """Points and covariance by scipy, with residuals written as complex numbers (north real, east imaginary)."""
    names = list(made.approximate)

    def residuals(flat: np.ndarray) -> list[float]:
        at = {name: complex(north, east) for name, (east, north) in made.known.items()}
        at |= {name: complex(flat[2 * k + 1], flat[2 * k]) for k, name in enumerate(names)}
        return [residual(shot, at) for shot in made.shots]

    start = [coordinate for point in made.approximate.values() for coordinate in point]
    solved = least_squares(residuals, start, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-12, x_scale="jac")
    points = {name: (float(solved.x[2 * k]), float(solved.x[2 * k + 1])) for k, name in enumerate(names)}
    return points, np.linalg.inv(solved.jac.T @ solved.jac)


def residual(shot: Observation, at: dict[str, complex]) -> float:
    match shot:
        case Distance(_, a, b, reading, sigma):
            return (abs(at[b] - at[a]) - reading) / sigma
        case Direction(_, a, b, reading, sigma):
            turned = (at[b] - at[a]) * np.exp(-1j * math.radians(reading))
            return math.degrees(math.atan2(turned.imag, turned.real)) / sigma
        case Along(_, a, b, p, reading, sigma) | Offset(_, a, b, p, reading, sigma):
            base = at[b] - at[a]
            on_base = (at[p] - at[a]) * base.conjugate() / abs(base)
            return ((on_base.real if isinstance(shot, Along) else on_base.imag) - reading) / sigma


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(6))
def test_agrees_with_the_library_on_random_networks(seed: int) -> None:
    made = random_network(seed)
    points, covariance = library_answer(made)
    ours = adjust(made.known, made.approximate, made.shots)
    assert ours.converged
    for k, (name, point) in enumerate(points.items()):
        assert ours.points[name] == pytest.approx(point, abs=1e-6)
        minor, major = np.sqrt(np.linalg.eigvalsh(covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]))
        assert ours.ellipses[name].semi_major_ft == pytest.approx(major, rel=1e-4)
        assert ours.ellipses[name].semi_minor_ft == pytest.approx(minor, rel=1e-4)


@pytest.mark.closed_form
def test_two_tapes_alone_give_the_two_tape_point() -> None:
    shots = [Distance("a", "A", "P", 36, 0.05), Distance("b", "B", "P", 48, 0.05)]
    found = adjust(BASE, {"P": (25, 25)}, shots)
    assert found.points["P"] == pytest.approx((21.6, 28.8))
    assert found.degrees_of_freedom == 0
    assert [fit.standardised for fit in found.fits.values()] == [None, None]
    assert [fit.redundancy for fit in found.fits.values()] == [0, 0]
    ellipse = found.ellipses["P"]
    assert (ellipse.semi_major_ft, ellipse.semi_minor_ft) == pytest.approx((0.05, 0.05))


@pytest.mark.closed_form
def test_one_length_taped_twice_is_the_weighted_mean() -> None:
    """A bearing holds the direction; weights 1/0.1^2 and 1/0.2^2 make 10.0 and 10.5 into 10.1."""
    shots: list[Observation] = [
        Distance("one", "A", "P", 10.0, 0.1),
        Distance("two", "A", "P", 10.5, 0.2),
        Direction("way", "A", "P", 90, 1.0),
    ]
    found = adjust({"A": (0, 0)}, {"P": (9, 1)}, shots)
    assert found.points["P"] == pytest.approx((10.1, 0), abs=1e-9)
    assert found.fits["one"].residual == pytest.approx(-0.1)
    assert found.fits["two"].residual == pytest.approx(0.4)
    assert found.fits["one"].redundancy == pytest.approx(0.2)
    assert found.fits["two"].redundancy == pytest.approx(0.8)
    assert found.fits["two"].standardised == pytest.approx(0.4 / (0.2 * math.sqrt(0.8)))
    assert found.fits["one"].standardised == pytest.approx(-0.1 / (0.1 * math.sqrt(0.2)))
    along, across = 0.1 * 0.2 / math.hypot(0.1, 0.2), 10.1 * math.radians(1.0)
    ellipse = found.ellipses["P"]
    assert (ellipse.semi_major_ft, ellipse.semi_minor_ft) == pytest.approx((across, along))
    assert ellipse.azimuth_deg == pytest.approx(0, abs=1e-6)


@pytest.mark.closed_form
def test_offsets_place_a_point_square_off_its_base() -> None:
    shots: list[Observation] = [Along("s", "A", "B", "P", 20, 0.1), Offset("o", "A", "B", "P", -7, 0.3)]
    found = adjust(BASE, {"P": (1, 1)}, shots)
    assert found.points["P"] == pytest.approx((20, 7))
    ellipse = found.ellipses["P"]
    assert (ellipse.semi_major_ft, ellipse.semi_minor_ft) == pytest.approx((0.3, 0.1))
    assert ellipse.azimuth_deg == pytest.approx(0, abs=1e-6)


@pytest.mark.closed_form
def test_a_shot_between_known_points_is_checked_and_moves_nothing() -> None:
    found = adjust(BASE, {}, [Distance("check", "A", "B", 60.2, 0.1)])
    assert found.points == {}
    assert found.fits["check"].residual == pytest.approx(0.2)
    assert found.fits["check"].standardised == pytest.approx(2)


@pytest.mark.closed_form
def test_a_tape_read_wrong_by_a_foot_stands_out() -> None:
    """P (24, 32) taped from four corners of a house; D's tape is a foot long, and its residual shows its share of it."""
    house: dict[str, Point] = {"A": (0, 0), "B": (60, 0), "C": (60, 45), "D": (0, 50)}
    shots = [Distance(name, name, "P", math.dist(corner, (24, 32)), 0.05) for name, corner in house.items()]
    shots[3] = replace(shots[3], length_ft=shots[3].length_ft + 1)
    found = adjust(house, {"P": (20, 30)}, shots)
    name, worst = max(found.fits.items(), key=lambda fit: abs(fit[1].standardised or 0))
    assert name == "D"
    assert worst.residual == pytest.approx(worst.redundancy, rel=0.02)


def test_a_rough_start_still_comes_to_rest() -> None:
    made = random_network(4)
    rough = {name: (east + 25, north - 20) for name, (east, north) in made.approximate.items()}
    found = adjust(made.known, rough, made.shots)
    near = adjust(made.known, made.approximate, made.shots)
    assert found.converged
    assert found.points["P7"] == pytest.approx(near.points["P7"], abs=1e-6)


@settings(max_examples=20)
@given(st.integers(0, 1000))
def test_redundancy_numbers_add_up_to_the_degrees_of_freedom(seed: int) -> None:
    made = random_network(seed, points=4)
    found = adjust(made.known, made.approximate, made.shots)
    assert sum(fit.redundancy for fit in found.fits.values()) == pytest.approx(found.degrees_of_freedom, abs=1e-6)


@settings(max_examples=20)
@given(st.integers(0, 1000), st.floats(0, 359), st.floats(-5000, 5000), st.floats(-5000, 5000))
def test_shifting_and_turning_everything_shifts_and_turns_the_answer(seed: int, turn: float, east: float, north: float) -> None:
    made = random_network(seed, points=4)
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def moved(points: dict[str, Point]) -> dict[str, Point]:
        return {name: (east + e * cosine + n * sine, north - e * sine + n * cosine) for name, (e, n) in points.items()}

    turned = [replace(shot, azimuth_deg=(shot.azimuth_deg + turn) % 360) if isinstance(shot, Direction) else shot for shot in made.shots]
    here = adjust(made.known, made.approximate, made.shots)
    there = adjust(moved(made.known), moved(made.approximate), turned)
    expected = moved(here.points)
    for name, point in there.points.items():
        assert point == pytest.approx(expected[name], abs=1e-6)
        assert there.ellipses[name].semi_major_ft == pytest.approx(here.ellipses[name].semi_major_ft, abs=1e-6)
        swing = (there.ellipses[name].azimuth_deg - here.ellipses[name].azimuth_deg - turn) % 180
        roundness = here.ellipses[name].semi_major_ft - here.ellipses[name].semi_minor_ft
        assert min(swing, 180 - swing) * roundness < 1e-4


@pytest.mark.closed_form
def test_sigma_along_a_direction() -> None:
    ellipse = Ellipse(0.5, 0.2, 30)
    assert ellipse_sigma_ft(ellipse, 30) == pytest.approx(0.5)
    assert ellipse_sigma_ft(ellipse, 210) == pytest.approx(0.5)
    assert ellipse_sigma_ft(ellipse, 120) == pytest.approx(0.2)
    assert ellipse_sigma_ft(ellipse, 75) == pytest.approx(math.sqrt((0.25 + 0.04) / 2))
    with pytest.raises(AdjustError, match="finite"):
        ellipse_sigma_ft(ellipse, math.nan)


@pytest.mark.parametrize(
    ("known", "shots", "floating"),
    [
        ({"A": (0, 0), "B": (60, 0)}, [Distance("1", "A", "P", 36, 0.05), Distance("2", "B", "P", 48, 0.05)], ("Q",)),
        (
            {"A": (0, 0), "B": (60, 0)},
            [Distance("1", "A", "P", 36, 0.05), Distance("2", "B", "P", 48, 0.05), Distance("3", "P", "Q", 20, 0.05)],
            ("Q",),
        ),
        (
            {"A": (0, 0)},
            [Distance("1", "A", "P", 36, 0.05), Distance("2", "A", "Q", 36, 0.05), Distance("3", "P", "Q", 20, 0.05)],
            ("P", "Q"),
        ),
        ({}, [Distance("1", "P", "Q", 20, 0.05)], ("P", "Q")),
    ],
)
def test_names_the_points_that_nothing_holds(known: dict[str, Point], shots: list[Observation], floating: tuple[str, ...]) -> None:
    with pytest.raises(FloatingPoint) as refusal:
        adjust(known, {"P": (20, 30), "Q": (35, 45)}, shots)
    assert refusal.value.points == floating
    assert str(refusal.value).startswith(f"The shots don't fix {', '.join(floating)}: ")


def test_a_weak_fix_is_no_floating_point() -> None:
    """A steel tape and a bearing good to 5 degrees: long ellipse, but a place."""
    shots: list[Observation] = [Distance("1", "A", "P", 100, 0.001), Direction("2", "A", "P", 45, 5)]
    ellipse = adjust({"A": (0, 0)}, {"P": (70, 72)}, shots).ellipses["P"]
    assert ellipse.semi_major_ft == pytest.approx(100 * math.radians(5), rel=1e-6)
    assert ellipse.azimuth_deg == pytest.approx(135, abs=1e-3)


def test_refuses_names_that_make_no_sense() -> None:
    tape = Distance("1", "A", "P", 36, 0.05)
    with pytest.raises(AdjustError, match="A can't be both known and approximate"):
        adjust(BASE, {"A": (1, 1)}, [tape])
    with pytest.raises(AdjustError, match="1 names more than one shot"):
        adjust(BASE, {"P": (20, 30)}, [tape, tape])
    with pytest.raises(AdjustError, match="Shot 1 names P"):
        adjust(BASE, {}, [tape])
    with pytest.raises(AdjustError, match="P stands at"):
        adjust(BASE, {"P": (math.nan, 0)}, [tape])
    with pytest.raises(AdjustError, match="no points"):
        adjust({}, {}, [])
