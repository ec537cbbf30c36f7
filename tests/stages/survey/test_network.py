"""What the survey reads from each shot: slopes brought to level, paces as weak readings, and the whole against scipy."""

import math
import random
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from pydantic import ValidationError
from scipy.optimize import least_squares

from engine.calc.geometry.plane import Point
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, OffsetShot, PacesShot, TapeShot, TieShot
from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.yards import leg, tape, with_shots

T1 = yards.TRUE["T1"]


@pytest.mark.closed_form
def test_slope_tapes_of_a_tie_come_to_level() -> None:
    """29 ft with a rise of 21 is 20 level, 25 ft with a fall of 15 too; from bases 24 ft apart they meet at (12, 16)."""
    bases = {"A": (0.0, 0.0), "B": (24.0, 0.0)}
    slope = {"tape_a_ft": math.hypot(20, 21), "rise_a_ft": 21, "tape_b_ft": math.hypot(20, 15), "rise_b_ft": -15}
    shot = {"method": "tie", "point": "T", "from_a": "A", "from_b": "B", "side": "left", **slope}
    result = survey(yards.build(points=yards.known(bases), shots={"S1": shot}))
    assert (slope["tape_a_ft"], slope["tape_b_ft"]) == (29, 25)
    assert result.points["T"].xy == pytest.approx((12, 16), abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize("rise_ft", [5, -5])
def test_a_leg_and_a_check_tape_on_the_slope_come_to_level(rise_ft: float) -> None:
    shots = {"L1": leg("A", "N", 90, 13) | {"rise_ft": rise_ft}, "C1": tape("N", "A", 13) | {"rise_ft": -rise_ft}}
    result = survey(yards.build(with_shots(**shots)))
    assert result.points["N"].xy == pytest.approx((12, 0), abs=1e-6)
    assert all(fit.residual == pytest.approx(0, abs=1e-6) for fit in result.fits if fit.shot in shots)


@pytest.mark.closed_form
def test_legs_on_the_slope_close_level() -> None:
    """Round a 12 by 9 ft block, taped on the slope: 13 ft rising 5 and 15 ft falling 12."""
    runs = [("A", "N1", 90, 13, 5), ("N1", "N2", 0, 15, -12), ("N2", "N3", 270, 13, 5), ("N3", "A", 180, 15, 12)]
    shots = {f"L{n}": leg(a, b, turn, length) | {"rise_ft": rise} for n, (a, b, turn, length, rise) in enumerate(runs)}
    (walked,) = survey(yards.build(with_shots(**shots))).traverses
    assert (walked.length_ft, walked.misclosure_ft) == (pytest.approx(42), pytest.approx(0, abs=1e-9))


@pytest.mark.closed_form
def test_a_slope_tape_is_trusted_less_the_steeper_it_is() -> None:
    """3-4-5: five feet on the slope for four level, so an error on the slope counts 5/4."""
    flat, steep = (
        survey(yards.build(with_shots(L1=leg("A", "N", 90, length) | {"rise_ft": rise}))) for length, rise in ((40, 0), (50, 30))
    )
    assert flat.points["N"].ellipse.semi_minor_ft == pytest.approx(0.05, abs=1e-9)
    assert steep.points["N"].ellipse.semi_minor_ft == pytest.approx(0.0625, abs=1e-9)


@pytest.mark.parametrize("shot", [tape("A", "T1", 5) | {"rise_ft": 5}, leg("A", "N", 0, 5) | {"rise_ft": -6}])
def test_a_rise_as_long_as_its_tape_is_refused(shot: dict[str, Any]) -> None:
    with pytest.raises(ValidationError, match="the rise is as long as the tape"):
        yards.build(with_shots(X=shot))


@pytest.mark.closed_form
def test_paces_with_a_bearing_place_a_point_as_well_as_paces_can() -> None:
    """40 paces of 2 1/2 ft due east: 100 ft, good to 3 % along and to 1 degree across."""
    shot = {"method": "paces", "from_point": "A", "to_point": "N", "paces": 40, "azimuth_deg": 90}
    point = survey(yards.build(with_shots(W1=shot))).points["N"]
    assert (point.xy, point.how) == (pytest.approx((100, 0), abs=1e-6), "paced from A")
    assert (point.ellipse.semi_major_ft, point.ellipse.semi_minor_ft) == (pytest.approx(3), pytest.approx(100 * math.radians(1)))
    assert point.ellipse.azimuth_deg == pytest.approx(90)


@pytest.mark.closed_form
def test_paces_pull_with_the_weight_of_their_own_error() -> None:
    """N lies 98 ft from A by a leg good to 0.05 ft; 40 paces say 100, good to 3: the leg wins all but 1 part in 3601."""
    paced = {"method": "paces", "from_point": "A", "to_point": "N", "paces": 40}
    east_ft, _ = survey(yards.build(with_shots(L1=leg("A", "N", 90, 98), W1=paced))).points["N"].xy
    assert east_ft == pytest.approx(98 + 2 / (1 + (3 / 0.05) ** 2), abs=1e-9)


@pytest.mark.closed_form
def test_redundancy_says_how_far_a_shot_is_checked() -> None:
    """Two tapes of one error along one line share the check evenly; a tie alone has none."""
    fits = survey(yards.build(with_shots(L1=leg("A", "N", 90, 50), C1=tape("A", "N", 50)))).fits
    shares = {f"{fit.shot} {fit.part}": fit.redundancy for fit in fits}
    assert (shares["L1 length"], shares["C1 tape"]) == (pytest.approx(0.5), pytest.approx(0.5))
    assert (shares["L1 bearing"], shares["S1 tape a"]) == (0, 0)
    assert sum(shares.values()) == pytest.approx(1)


def random_job(seed: int) -> Job:
    """Points in a chain, each fixed by one method and checked by another, with honest errors and slopes; sigmas as in the rules."""
    rng = random.Random(seed)
    true = {f"N{k}": (rng.uniform(-80, 120), rng.uniform(-120, -45)) for k in range(7)}
    places = {**yards.HOUSE, **true}
    shots: dict[str, Any] = {}
    for k, name in enumerate(true):
        shots[f"fix{k}"] = _fixing(rng, name, places)
        for n, base in enumerate(rng.sample([*yards.HOUSE, *list(true)[:k]], 2)):
            shots[f"check{k}-{n}"] = _checking(rng, base, name, places)
    return Job.model_validate({"points": yards.known(yards.HOUSE), "shots": shots})


def _fixing(rng: random.Random, name: str, places: Mapping[str, Point]) -> dict[str, Any]:
    east, north = places[name]
    if rng.random() < 0.3:
        return {
            "method": "offset", "point": name, "base_from": "A", "base_to": "B", "side": "right",
            "along_ft": east + rng.gauss(0, 0.1), "offset_ft": -north + rng.gauss(0, 0.1),
        }  # fmt: skip
    if rng.random() < 0.5:
        return leg("C", name, *_bearing_and_tape(rng, "C", name, places))
    tied = yards.tie(name, places[name], "D", "C")
    rises = {"rise_a_ft": rng.uniform(-6, 6), "rise_b_ft": rng.uniform(-6, 6)}
    return tied | {
        **rises,
        "tape_a_ft": math.hypot(tied["tape_a_ft"] + rng.gauss(0, 0.05), rises["rise_a_ft"]),
        "tape_b_ft": math.hypot(tied["tape_b_ft"] + rng.gauss(0, 0.05), rises["rise_b_ft"]),
    }


def _checking(rng: random.Random, a: str, b: str, places: Mapping[str, Point]) -> dict[str, Any]:
    azimuth, length_ft = _bearing_and_tape(rng, a, b, places)
    rise_ft = rng.uniform(-4, 4)
    kind = rng.randrange(3)
    if kind == 0:
        return {"method": "paces", "from_point": a, "to_point": b, "paces": length_ft / 2.5 * rng.gauss(1, 0.03), "azimuth_deg": azimuth}
    if kind == 1:
        return leg(a, b, azimuth, math.hypot(length_ft, rise_ft)) | {"rise_ft": rise_ft}
    return tape(a, b, math.hypot(length_ft, rise_ft)) | {"rise_ft": rise_ft}


def _bearing_and_tape(rng: random.Random, a: str, b: str, places: Mapping[str, Point]) -> tuple[float, float]:
    (ae, an), (be, bn) = places[a], places[b]
    azimuth = math.degrees(math.atan2(be - ae, bn - an)) + rng.gauss(0, 0.7)
    return azimuth % 360, math.hypot(be - ae, bn - an) + rng.gauss(0, 0.05)


def residuals(job: Job) -> Callable[[NDArray[np.float64], tuple[str, ...]], list[float]]:
    """Measured less computed over its standard error for every reading of a job, written anew with complex numbers (north real)."""
    known = {name: complex(point.north_ft, point.east_ft) for name, point in job.points.items()}

    def all_of(unknowns: NDArray[np.float64], names: tuple[str, ...]) -> list[float]:
        pairs = unknowns.reshape(-1, 2).tolist()
        at = known | {name: complex(north, east) for name, (east, north) in zip(names, pairs, strict=True)}
        return [value for shot in job.shots.values() for value in _misfits(shot, at)]

    return all_of


def _misfits(shot: object, at: Mapping[str, complex]) -> Iterator[float]:
    match shot:
        case TieShot(point=p, from_a=a, from_b=b):
            yield _distance(shot.tape_a_ft, shot.rise_a_ft, at[p] - at[a])
            yield _distance(shot.tape_b_ft, shot.rise_b_ft, at[p] - at[b])
        case TapeShot(from_point=a, to_point=b):
            yield _distance(shot.length_ft, shot.rise_ft, at[b] - at[a])
        case LegShot(from_point=a, to_point=b):
            yield _distance(shot.length_ft, shot.rise_ft, at[b] - at[a])
            yield _turn(shot.azimuth_deg, at[b] - at[a])
        case PacesShot(from_point=a, to_point=b, azimuth_deg=azimuth):
            yield (shot.paces * 2.5 - abs(at[b] - at[a])) / (0.03 * shot.paces * 2.5)
            assert azimuth is not None
            yield _turn(azimuth, at[b] - at[a])
        case OffsetShot(point=p, base_from=a, base_to=b):
            along = (at[p] - at[a]) / ((at[b] - at[a]) / abs(at[b] - at[a]))
            yield (shot.along_ft - along.real) / 0.15
            yield (shot.offset_ft - along.imag) / 0.15


def _distance(slope_ft: float, rise_ft: float | None, way: complex) -> float:
    level_ft = math.sqrt(slope_ft**2 - (rise_ft or 0.0) ** 2)
    return (level_ft - abs(way)) / (0.05 * slope_ft / level_ft)


def _turn(azimuth_deg: float, way: complex) -> float:
    turned = np.exp(1j * math.radians(azimuth_deg)) / way
    return math.degrees(math.atan2(turned.imag, turned.real)) / 1.0


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(12))
def test_agrees_with_scipy_on_random_networks(seed: int) -> None:
    job = random_job(seed)
    result = survey(job)
    names = tuple(name for name in result.points if name not in job.points)
    assert len(names) == 7
    start = np.array([result.points[name].xy for name in names]).ravel() + 0.5
    found = least_squares(residuals(job), start, args=(names,), xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm")
    ours = np.array([result.points[name].xy for name in names]).ravel()
    assert ours == pytest.approx(found.x, abs=1e-6)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    for k, name in enumerate(names):
        minor, major = np.sqrt(np.linalg.eigvalsh(covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]))
        ellipse = result.points[name].ellipse
        assert (ellipse.semi_major_ft, ellipse.semi_minor_ft) == (pytest.approx(major, rel=1e-4), pytest.approx(minor, rel=1e-4))
