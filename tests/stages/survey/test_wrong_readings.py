"""The wrong reading and its size: found by leaving each out, and beside what another solver says of the same shots."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from engine.calc.geometry.plane import Point
from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.yards import HOUSE, codes, tape, tape_ft, tie

PLACES: dict[str, Point] = {"T1": (-8.0, 62.0), "T2": (52.0, 70.0), "T3": (20.0, 95.0)}
CHECKS = (("C", "T1"), ("D", "T1"), ("C", "T2"), ("D", "T2"), ("T1", "T2"), ("T2", "T3"), ("T1", "T3"))
TAPES = [*((name, f"tape_{end}_ft") for name in ("S1", "S2", "S3") for end in "ab"), *((f"K{n}", "length_ft") for n in range(len(CHECKS)))]
SIGMA_FT = 0.05


def shots() -> dict[str, dict[str, Any]]:
    """Three points tied from A and B, all taped to each other, two also from C and D: thirteen exact tapes for six figures."""
    all_places = {**HOUSE, **PLACES}
    checks = {f"K{n}": tape(a, b, tape_ft(all_places[a], all_places[b])) for n, (a, b) in enumerate(CHECKS)}
    return {**{f"S{n}": tie(name, place) for n, (name, place) in enumerate(PLACES.items(), 1)}, **checks}


def told(spoiled: Mapping[str, Any]) -> Any:
    return survey(yards.build({"points": yards.known(HOUSE), "shots": spoiled}))


@pytest.mark.closed_form
@settings(max_examples=60, deadline=None)
@given(st.sampled_from(TAPES), st.sampled_from([-10.0, -2.0, -1.0, -0.5, 0.5, 1.0, 3.0]))
def test_of_thirteen_exact_tapes_the_one_that_was_misread_is_named_with_how_much(which: tuple[str, str], slip_ft: float) -> None:
    """Without the wrong one the others are exact, so what is left is its slip, to the places a file keeps."""
    spoiled = shots()
    spoiled[which[0]][which[1]] += slip_ft
    result = told(spoiled)
    (wrong,) = (finding for finding in result.findings if finding.code == "misfit")
    assert wrong.subjects[0] == which[0]
    (fit,) = (fit for fit in result.fits if not fit.fits)
    assert fit.shot == which[0]
    assert fit.residual == pytest.approx(slip_ft, abs=5e-4)


def _lines(readings: Mapping[str, Any]) -> list[tuple[str, str, float]]:
    lines = []
    for shot in readings.values():
        if shot["method"] == "tie":
            lines += [(shot["from_a"], shot["point"], shot["tape_a_ft"]), (shot["from_b"], shot["point"], shot["tape_b_ft"])]
        else:
            lines.append((shot["from_point"], shot["to_point"], shot["length_ft"]))
    return lines


def _settled(lines: list[tuple[str, str, float]]) -> tuple[float, dict[str, tuple[float, float]]]:
    """What scipy's least squares leaves of the squares, and where it puts the points."""
    names = list(PLACES)

    def places(figures: Any) -> dict[str, tuple[float, float]]:
        return {**HOUSE, **{name: tuple(pair) for name, pair in zip(names, np.reshape(figures, (-1, 2)), strict=True)}}

    def misfits(figures: Any) -> list[float]:
        at = places(figures)
        return [(length_ft - math.dist(at[a], at[b])) / SIGMA_FT for a, b, length_ft in lines]

    found = least_squares(misfits, np.ravel(list(PLACES.values())), xtol=1e-12, ftol=1e-12, gtol=1e-12)
    return 2 * found.cost, places(found.x)


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(6))
def test_taped_to_the_eighth_the_same_tape_is_named_as_by_leaving_each_out_with_another_solver(seed: int) -> None:
    random = np.random.default_rng(seed)
    spoiled = shots()
    for shot, field in TAPES:
        spoiled[shot][field] = round((spoiled[shot][field] + random.normal(0, 0.03)) * 96) / 96
    name, field = TAPES[random.integers(len(TAPES))]
    spoiled[name][field] += random.choice([-1.0, 1.0])
    lines = _lines(spoiled)
    left = [_settled([other for other in lines if other is not line]) for line in lines]
    at = min(range(len(lines)), key=lambda n: left[n][0])
    a, b, length_ft = lines[at]
    result = told(spoiled)
    (fit,) = (fit for fit in result.fits if not fit.fits)
    assert fit.shot == name
    assert fit.says.startswith(f"The tape from {a} to {b} reads ")
    assert fit.residual == pytest.approx(length_ft - math.dist(left[at][1][a], left[at][1][b]), abs=5e-4)


def test_good_tapes_are_blamed_for_nothing() -> None:
    result = told(shots())
    assert "misfit" not in codes(result)
    assert {fit.says.partition(" fits to ")[2] for fit in result.fits} == {'1/8".'}
