"""Whether today's supports are left where they stand: literal cases, and never where fewer or clearly more even ones could be had."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.spacing import FreeStretch, best_supports
from engine.stages.layout.as_good import as_good, as_good_as_any, as_measured
from engine.stages.layout.fixed_supports import FixedSupport

PLAIN = FreeStretch(0, 70, 25, 6, 0.25)
WITH_TREE = FreeStretch(0, 70, 25, 6, 0.25, free=(30.0,))


def posts(*stations: float) -> list[FixedSupport]:
    return [FixedSupport(station, "line") for station in stations]


def on_tree(station: float, offset_ft: float = 0.0) -> FixedSupport:
    return FixedSupport(station, "line", "tree", "T1", offset_ft)


def left_alone(stretch: FreeStretch, today: Sequence[FixedSupport], trees: Mapping[str, float]) -> bool:
    return as_good_as_any(stretch, as_measured(stretch, today, trees))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("stretch", "today", "left"),
    [
        (PLAIN, posts(23.25, 46.5), True),
        (PLAIN, posts(23.3, 46.7), True),
        (PLAIN, posts(23, 46.5), False),
        (PLAIN, posts(17.5, 35, 52.5), False),
        (PLAIN, posts(23.25, 48.5), False),
        (PLAIN, [FixedSupport(23.25, "line", offset_ft=0.5), *posts(46.5)], False),
        (FreeStretch(0, 70, 25, 6, 0.25, blocked=((23, 24),)), posts(23.25, 46.5), False),
        (FreeStretch(0, 70, 25, 6, 0.25, blocked=((24, 25),)), posts(23.25, 46.5), True),
        (FreeStretch(0, 70, 25, 24, 0.25), posts(23.25, 46.5), False),
        (WITH_TREE, [*posts(15), on_tree(30), *posts(50)], True),
        (WITH_TREE, posts(23.25, 46.5), False),
        (WITH_TREE, [*posts(12), on_tree(30), *posts(50)], False),
        (FreeStretch(0, 46, 25, 6, 0.25, bends=((23.0, 2.0),)), posts(23), False),
        (FreeStretch(0, 52, 25, 6, 0.25, bends=((25.5, 2.0),)), posts(17.25, 34.75), True),
    ],
)
def test_posts_stay_where_none_are_saved_and_their_bays_are_even_to_a_step(
    stretch: FreeStretch, today: list[FixedSupport], left: bool
) -> None:
    assert left_alone(stretch, today, {"T1": 30.0}) is left


@pytest.mark.closed_form
def test_a_support_on_a_tree_that_carries_nothing_any_longer_is_no_match() -> None:
    assert as_measured(WITH_TREE, [*posts(15), on_tree(30), *posts(50)], {}) is None


@pytest.mark.closed_form
def test_a_row_a_little_less_even_than_the_best_is_as_good_and_one_a_step_off_is_not() -> None:
    """Bays of 23.25, 23.25 and 23.5 against 23.2, 23.35 and 23.45; 22.75, 23.75, 23.5 differ by half a foot in their squares."""
    best = best_supports(PLAIN)
    assert as_good(best, as_measured(PLAIN, posts(23.2, 46.55), {}), 0.25)
    assert not as_good(best, as_measured(PLAIN, posts(22.75, 46.5), {}), 0.25)
    assert not as_good(best, as_measured(PLAIN, posts(17.5, 35, 52.5), {}), 0.25)


@st.composite
def rows(draw: st.DrawFn) -> tuple[FreeStretch, list[FixedSupport], dict[str, float]]:
    """A level stretch with a few keep-outs and trees, and today's posts: nearly even between the trees, some of them left out."""
    length = draw(st.integers(120, 900)) / 8
    limit = draw(st.sampled_from([12.0, 20.0, 25.0]))
    eighths = st.integers(8, int(8 * length) - 8).map(lambda n: n / 8)
    trees = sorted(draw(st.lists(eighths, max_size=2, unique=True)))
    blocked = tuple((low, low + width / 8) for low, width in draw(st.lists(st.tuples(eighths, st.integers(1, 40)), max_size=2)))
    bends = tuple((station, 2.0) for station in draw(st.lists(eighths, max_size=1)) if station not in trees)
    stretch = FreeStretch(0, length, limit, draw(st.sampled_from([0.0, 3.0, 6.0])), 0.25, blocked=blocked, free=tuple(trees), bends=bends)
    used = [tree for tree in trees if draw(st.integers(0, 3))]
    parts = [0.0, *used, length]
    today = [on_tree(tree) for tree in used]
    for low, high in pairwise(parts):
        count = max(int(-((low - high) // limit)) - 1 + draw(st.sampled_from([0, 0, 0, -1, 1])), 0)
        bay = (high - low) / (count + 1)
        today += [FixedSupport(low + bay * n + draw(st.integers(-2, 2)) / 16, "line") for n in range(1, count + 1)]
    names = {f"T{n}": station for n, station in enumerate(used, 1)}
    named = {station: name for name, station in names.items()}
    rows_today = [
        FixedSupport(one.station_ft, "line", one.support, named.get(one.station_ft) if one.support == "tree" else None) for one in today
    ]
    return stretch, sorted(rows_today, key=lambda one: one.station_ft), names


@given(rows())
@example((PLAIN, posts(23.25, 46.5), {}))
@settings(max_examples=150, deadline=None)
def test_law_nothing_looked_for_would_have_been_better(row: tuple[FreeStretch, list[FixedSupport], dict[str, float]]) -> None:
    """Never fewer posts to drive or a bay past a limit; on level ground n bays are even to a step where their squares are within n/4 steps
    squared of the least there can be, and thousandths are rounded."""
    stretch, today, trees = row
    measured = as_measured(stretch, today, trees)
    assume(as_good_as_any(stretch, measured))
    assert measured is not None
    best = best_supports(stretch)
    assert (best.over_ft, best.short_ft) == (0, 0)
    assert measured.driven <= best.driven
    if measured.driven < best.driven:
        return  # they stand off the grid
    worse = sum(bay**2 for bay in measured.bays_ft) - sum(bay**2 for bay in best.bays_ft)
    assert worse <= len(measured.bays_ft) * (stretch.grid_ft**2 / 4 + 0.03)
