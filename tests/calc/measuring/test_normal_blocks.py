"""The parts of a network: the same normal matrix as the dense product, and a network of two parts adjusts as each alone."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.measuring.adjust import adjust
from engine.calc.measuring.normal_blocks import blocks_of
from tests.calc.measuring.networks import random_network

POINTS = 7
ENDS = ("a", "b", "base_a", "base_b", "point")
shots = st.lists(st.lists(st.integers(0, POINTS - 1), min_size=1, max_size=3, unique=True), max_size=12)


@pytest.mark.independent
@given(shots, st.integers(0, 1000))
@settings(max_examples=60, deadline=None)
def test_blocks_hold_the_terms_of_the_dense_product(touched: list[list[int]], seed: int) -> None:
    rows = [row for row, points in enumerate(touched) for _ in points]
    points = [point for points in touched for point in points]
    slopes = np.random.default_rng(seed).normal(size=(len(points), 2))
    dense = np.zeros((len(touched), 2 * POINTS))
    for row, point, pair in zip(rows, points, slopes, strict=True):
        dense[row, 2 * point : 2 * point + 2] = pair
    blocks = blocks_of(rows, points, POINTS)
    whole = np.zeros((2 * POINTS, 2 * POINTS))
    for coordinates, matrices in zip(blocks.coordinates, blocks.matrices(slopes), strict=True):
        for part, matrix in zip(coordinates, matrices, strict=True):
            whole[np.ix_(part, part)] = matrix
    assert whole == pytest.approx(dense.T @ dense, abs=1e-12)


def test_points_that_no_shot_joins_are_parts_of_their_own() -> None:
    blocks = blocks_of([0, 0, 1, 2], [0, 3, 3, 2], 5)
    assert [each.tolist() for each in blocks.coordinates] == [[[0, 1, 6, 7]], [[2, 3], [4, 5], [8, 9]]]


@pytest.mark.independent
def test_two_networks_adjust_as_each_alone() -> None:
    one, other = random_network(3, 6), random_network(4, 9)
    renamed = {name: f"Q{name}" for name in other.approximate}
    moved = [
        replace(shot, id=f"q{shot.id}", **{end: renamed.get(getattr(shot, end), getattr(shot, end)) for end in ENDS if hasattr(shot, end)})
        for shot in other.shots
    ]
    both = adjust(one.known, one.approximate | {renamed[name]: at for name, at in other.approximate.items()}, [*one.shots, *moved])
    alone, beside = adjust(one.known, one.approximate, one.shots), adjust(other.known, other.approximate, other.shots)
    for name, at in alone.points.items():
        assert both.points[name] == pytest.approx(at, abs=1e-9)
        assert both.ellipses[name].semi_major_ft == pytest.approx(alone.ellipses[name].semi_major_ft, abs=1e-9)
    for name, at in beside.points.items():
        assert both.points[renamed[name]] == pytest.approx(at, abs=1e-9)
    for name, fit in beside.fits.items():
        assert both.fits[f"q{name}"].redundancy == pytest.approx(fit.redundancy, abs=1e-9)
        assert both.fits[f"q{name}"].residual == pytest.approx(fit.residual, abs=1e-9)
