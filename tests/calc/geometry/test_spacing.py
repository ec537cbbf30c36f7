"""Supports on one stretch: literal cases, brute force over every subset, and the laws."""

from dataclasses import replace
from itertools import combinations, pairwise
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.spacing import FreeStretch, Spacing, best_supports, fewest_driven, these_supports
from engine.calc.limits import OutOfRange


@pytest.mark.closed_form
def test_fewest_posts_shared_out_evenly() -> None:
    found = best_supports(FreeStretch(0, 70, max_bay_ft=25, min_bay_ft=6, grid_ft=0.25))
    assert found.stations_ft == (0, 23.25, 46.5, 70)
    assert found.kinds == ("end", "post", "post", "end")
    assert found.bays_ft == (23.25, 23.25, 23.5)
    assert (found.driven, found.over_ft, found.short_ft) == (2, 0, 0)


@pytest.mark.closed_form
def test_a_bay_equal_to_the_limit_is_legal() -> None:
    """100 ft is four bays of 25 ft, on a one inch grid too, where 25 ft is not an exact float."""
    assert best_supports(FreeStretch(0, 100, 25, 6, 1 / 12)).driven == 3
    assert best_supports(FreeStretch(1 / 12, 100 + 1 / 12, 25, 6, 1 / 12)).driven == 3


@pytest.mark.closed_form
def test_one_tick_past_the_limit_takes_another_post() -> None:
    assert best_supports(FreeStretch(0, 100.25, 25, 6, 0.25)).driven == 4


@pytest.mark.closed_form
def test_grid_counts_from_the_lines_start_not_the_stretchs() -> None:
    assert best_supports(FreeStretch(10.1, 40.1, 25, 6, 1)).stations_ft == (10.1, 25, 40.1)


@pytest.mark.closed_form
def test_edges_of_blocked_ground_may_hold_a_post() -> None:
    found = best_supports(FreeStretch(0, 50, 26, 6, 0.25, blocked=((24.5, 26),)))
    assert found.stations_ft == (0, 24.5, 50)


@pytest.mark.closed_form
def test_a_tree_that_saves_a_post_is_used_off_the_grid_and_in_blocked_ground() -> None:
    found = best_supports(FreeStretch(0, 50, 26, 6, 0.25, blocked=((20, 30),), free=(24.37,)))
    assert found.stations_ft == (0, 24.37, 50)
    assert found.kinds == ("end", "tree", "end")
    assert found.driven == 0


@pytest.mark.closed_form
def test_the_fence_bends_to_a_tree_beside_the_line_only_where_that_saves_a_post() -> None:
    """46 ft needs one support, 50.5 ft two: a tree at 23, 2 ft off, makes bays of 23.087; at 50.5 ft a post is needed all the same."""
    saves = best_supports(FreeStretch(0, 46, 25, 6, 0.25, bends=((23.0, 2.0),)))
    assert (saves.stations_ft, saves.kinds, saves.driven) == ((0, 23, 46), ("end", "tree", "end"), 0)
    assert saves.bays_ft == (23.087, 23.087)
    assert best_supports(FreeStretch(0, 24, 25, 6, 0.25, bends=((12.0, 2.0),))).stations_ft == (0, 24)
    near_an_end = best_supports(FreeStretch(0, 74, 25, 6, 0.25, bends=((8.0, 2.0),)))
    assert (near_an_end.driven, near_an_end.kinds) == (2, ("end", "post", "post", "end"))


@pytest.mark.closed_form
def test_a_bend_makes_its_bays_longer() -> None:
    """24.95 and 2 ft off is 25.03 ft: over the limit, so that a tree there saves nothing; 1 ft off it is 24.97."""
    found = best_supports(FreeStretch(0, 49.9, 25, 6, 0.25, bends=((24.95, 2.0),)))
    assert (found.stations_ft, found.driven) == ((0, 25, 49.9), 1)
    found = best_supports(FreeStretch(0, 49.9, 25, 6, 0.25, bends=((24.95, 1.0),)))
    assert (found.stations_ft, found.driven) == ((0, 24.95, 49.9), 0)


@pytest.mark.closed_form
def test_a_pinned_post_is_kept_and_not_counted_as_still_to_drive() -> None:
    found = best_supports(FreeStretch(0, 50, 25, 6, 0.25, pinned=(10,)))
    assert found.stations_ft == (0, 10, 30, 50)
    assert found.kinds == ("end", "pinned", "post", "end")
    assert found.driven == 1


@pytest.mark.closed_form
def test_a_keep_out_wider_than_the_limit_leaves_only_its_own_excess() -> None:
    found = best_supports(FreeStretch(0, 80, 25, 6, 0.25, blocked=((30, 60),)))
    assert 30 in found.stations_ft
    assert 60 in found.stations_ft
    assert found.over_ft == 5


@pytest.mark.closed_form
def test_on_a_steady_slope_the_bay_is_its_slope_length() -> None:
    """A 3-4-5 slope: 40 ft across is 50 ft along, two bays of 25 ft."""
    found = best_supports(FreeStretch(0, 40, 25, 6, 0.25, ground_stations_ft=(0, 40), ground_levels_ft=(0, 30)))
    assert found.stations_ft == (0, 20, 40)
    assert found.bays_ft == (25, 25)


@pytest.mark.closed_form
def test_short_bays_are_told_when_they_cannot_be_avoided() -> None:
    found = best_supports(FreeStretch(0, 4, 25, 6, 0.25))
    assert (found.stations_ft, found.short_ft) == ((0, 4), 2)


def test_of_equals_the_lowest_stations_come_first() -> None:
    found = best_supports(FreeStretch(0, 31, 20, 0, 1))
    assert found.stations_ft == (0, 15, 31)


@pytest.mark.parametrize(
    "stretch",
    [
        FreeStretch(10, 10, 25, 6, 0.25),
        FreeStretch(0, 50, 25, 26, 0.25),
        FreeStretch(0, 50, 25, 6, 0),
        FreeStretch(0, 50, float("nan"), 6, 0.25),
        FreeStretch(0, 50, 25, 6, 0.25, blocked=((9, 8),)),
        FreeStretch(0, 50, 25, 6, 0.25, free=(51,)),
        FreeStretch(0, 50, 25, 6, 0.25, ground_stations_ft=(0, 40), ground_levels_ft=(0, 1)),
        FreeStretch(0, 50, 25, 6, 0.25, ground_stations_ft=(0, 0, 50), ground_levels_ft=(0, 1, 1)),
        FreeStretch(0, 50, 25, 6, 0.25, ground_stations_ft=(0, 50), ground_levels_ft=(0,)),
        FreeStretch(0, 200_000, 25, 6, 1),
    ],
)
def test_refuses_what_it_cannot_answer(stretch: FreeStretch) -> None:
    with pytest.raises(OutOfRange):
        best_supports(stretch)


def level_at(stretch: FreeStretch, station: float) -> float:
    profile = list(zip(stretch.ground_stations_ft, stretch.ground_levels_ft, strict=True))
    for (near, low), (far, high) in pairwise(profile):
        if near <= station <= far:
            return low + (high - low) / (far - near) * (station - near)
    return 0.0


def goal(stretch: FreeStretch, stations: tuple[float, ...]) -> tuple[object, ...]:
    """What the supports are judged by, worked out anew in whole thousandths of a foot."""
    aside = {station: off for station, off in stretch.bends if station not in (*stretch.free, *stretch.pinned)}
    bays = [
        round(1000 * hypot(far - near, level_at(stretch, far) - level_at(stretch, near), aside.get(far, 0) - aside.get(near, 0)))
        for near, far in pairwise(stations)
    ]
    limit, shortest = round(1000 * stretch.max_bay_ft), round(1000 * stretch.min_bay_ft)
    there = {stretch.start_ft, stretch.end_ft, *stretch.free, *stretch.pinned, *aside}
    return (
        sum(max(0, bay - limit) for bay in bays),
        sum(bay < shortest for bay in bays),
        sum(station not in there for station in stations),
        sum(station in aside for station in stations),
        sum(bay * bay for bay in bays),
        stations,
    )


def by_brute_force(stretch: FreeStretch) -> tuple[object, ...]:
    grid = [k * stretch.grid_ft for k in range(int(stretch.end_ft / stretch.grid_ft) + 1)]
    posts = {station for station in grid if not any(low < station < high for low, high in stretch.blocked)}
    must = {stretch.start_ft, stretch.end_ft, *stretch.pinned}
    trees = {*stretch.free, *(station for station, _ in stretch.bends)}
    may = sorted(s for s in (posts | trees) - must if stretch.start_ft < s < stretch.end_ft)
    subsets = (chosen for count in range(len(may) + 1) for chosen in combinations(may, count))
    return min(goal(stretch, tuple(sorted(must | set(chosen)))) for chosen in subsets)


@st.composite
def stretches(draw: st.DrawFn) -> FreeStretch:
    """Up to ten places to choose from, some steep, some with no legal answer."""
    start, count = draw(st.integers(0, 3)), draw(st.integers(2, 9))
    end = start + 2 * count
    quarters = st.integers(4 * start + 1, 4 * end - 1).map(lambda n: n / 4)
    ground = draw(st.sampled_from([(), tuple(range(0, end + 3, 3))]))
    limit = draw(st.sampled_from([3.0, 4.5, 5.0, 7.25]))
    return FreeStretch(
        start_ft=start,
        end_ft=end,
        max_bay_ft=limit,
        min_bay_ft=draw(st.sampled_from([0.0, 1.5, 2.5])),
        grid_ft=2.0,
        blocked=tuple((low, low + width) for low, width in draw(st.lists(st.tuples(quarters, st.integers(1, 8)), max_size=3))),
        free=tuple(draw(st.lists(quarters, max_size=2, unique=True))),
        pinned=tuple(draw(st.lists(quarters, max_size=1))),
        bends=tuple((station, draw(st.sampled_from([-1.5, 0.5, 2.0]))) for station in draw(st.lists(quarters, max_size=2, unique=True))),
        ground_stations_ft=ground,
        ground_levels_ft=tuple(draw(st.sampled_from([0.0, 0.3, 1.7, 6.1])) for _ in ground),
    )


@pytest.mark.independent
@given(stretches())
@settings(max_examples=100, deadline=None)
def test_agrees_with_brute_force(stretch: FreeStretch) -> None:
    found = best_supports(stretch)
    assert goal(stretch, found.stations_ft) == by_brute_force(stretch)


def by_plain_steps(stretch: FreeStretch) -> tuple[object, ...]:
    """The best from each place to the end, place by place, every bay to every place beyond weighed."""
    grid = [k * stretch.grid_ft for k in range(int(stretch.end_ft / stretch.grid_ft) + 1)]
    posts = {station for station in grid if not any(low < station < high for low, high in stretch.blocked)}
    aside = {station: off for station, off in stretch.bends if station not in stretch.free}
    places = sorted({stretch.start_ft, stretch.end_ft, *stretch.free, *aside} | {s for s in posts if stretch.start_ft < s < stretch.end_ft})
    limit, shortest = round(1000 * stretch.max_bay_ft), round(1000 * stretch.min_bay_ft)
    levels = [level_at(stretch, station) for station in places]
    best: list[tuple[int, int, int, int, int, tuple[float, ...]]] = [(0, 0, 0, 0, 0, (places[-1],))]
    for n in range(len(places) - 2, -1, -1):
        drive = int(places[n] not in (stretch.start_ft, *stretch.free, *aside))
        options = []
        for m, (over, short, driven, bends, squares, path) in zip(range(n + 1, len(places)), best, strict=True):
            off = aside.get(places[m], 0) - aside.get(places[n], 0)
            bay = round(1000 * hypot(places[m] - places[n], levels[m] - levels[n], off))
            counts = (driven + drive, bends + (places[n] in aside), squares + bay * bay)
            sums = (over + max(0, bay - limit), short + (bay < shortest), *counts)
            options.append((*sums, (places[n], *path)))
        best.insert(0, min(options))
    return best[0]


@st.composite
def long_stretches(draw: st.DrawFn) -> FreeStretch:
    """Some 200 places: several bays, keep-outs that may be too wide, a few trees, ground that rises and falls."""
    grid, limit = draw(st.sampled_from([0.25, 0.5])), draw(st.sampled_from([6.0, 10.0, 25.0]))
    end = 200 * grid
    eighths = st.integers(1, int(8 * end) - 1).map(lambda n: n / 8)
    ground = draw(st.sampled_from([(), tuple(range(0, int(end) + 10, 10))]))
    return FreeStretch(
        start_ft=0.0,
        end_ft=end,
        max_bay_ft=limit,
        min_bay_ft=draw(st.sampled_from([0.0, limit / 4, limit * 0.75, limit])),
        grid_ft=grid,
        blocked=tuple((low, low + width / 4) for low, width in draw(st.lists(st.tuples(eighths, st.integers(1, 40)), max_size=8))),
        free=tuple(draw(st.lists(eighths, max_size=3, unique=True))),
        bends=tuple((station, draw(st.sampled_from([-1.5, 2.0]))) for station in draw(st.lists(eighths, max_size=3, unique=True))),
        ground_stations_ft=ground,
        ground_levels_ft=tuple(draw(st.sampled_from([0.0, 0.3, 1.7, 6.1])) for _ in ground),
    )


@pytest.mark.independent
@given(long_stretches())
@settings(max_examples=40, deadline=None)
def test_agrees_with_plain_steps_over_hundreds_of_places(stretch: FreeStretch) -> None:
    assert goal(stretch, best_supports(stretch).stations_ft) == by_plain_steps(stretch)


@given(stretches())
@settings(max_examples=50, deadline=None)
def test_tells_its_own_supports_truly(stretch: FreeStretch) -> None:
    found = best_supports(stretch)
    assert len(found.stations_ft) == len(found.kinds) == len(found.bays_ft) + 1
    assert found.driven == goal(stretch, found.stations_ft)[2]
    assert found.over_ft == pytest.approx(max(0, max(found.bays_ft) - stretch.max_bay_ft))
    assert found.short_ft == pytest.approx(max(0, stretch.min_bay_ft - min(found.bays_ft)))


@given(st.one_of(stretches(), long_stretches()))
@settings(max_examples=60, deadline=None)
def test_what_was_found_is_measured_the_same_when_it_is_given(stretch: FreeStretch) -> None:
    found = best_supports(stretch)
    assert these_supports(stretch, found.stations_ft) == found


@given(st.one_of(stretches(), long_stretches()).map(lambda stretch: replace(stretch, pinned=())))
@settings(max_examples=100, deadline=None)
def test_no_row_in_its_limits_does_with_fewer_posts_than_the_fewest(stretch: FreeStretch) -> None:
    found = best_supports(stretch)
    assert found.over_ft > 0 or found.driven >= fewest_driven(stretch)


@pytest.mark.closed_form
def test_the_fewest_posts_of_a_stretch() -> None:
    """70 ft at 25 ft bays want two, with a tree at 30 ft one on each side; 75 ft three bays; 41 ft up a 3-4-5 slope are 51.25."""
    assert fewest_driven(FreeStretch(0, 70, 25, 6, 0.25)) == 2
    assert fewest_driven(FreeStretch(0, 70, 25, 6, 0.25, free=(30,))) == 2
    assert fewest_driven(FreeStretch(0, 70, 25, 6, 0.25, free=(20, 45))) == 0
    assert fewest_driven(FreeStretch(0, 70, 25, 6, 0.25, bends=((20, 2), (45, -2)))) == 0
    assert [fewest_driven(FreeStretch(0, length, 25, 6, 0.25)) for length in (25, 75, 75.1)] == [0, 2, 3]
    assert fewest_driven(FreeStretch(0, 41, 25, 6, 0.25, ground_stations_ft=(0, 41), ground_levels_ft=(0, 30.75))) == 2


@pytest.mark.closed_form
def test_given_supports_are_told_with_their_bays_and_what_they_pass() -> None:
    told = these_supports(FreeStretch(0, 70, 25, 6, 0.25, free=(46,)), (0, 20, 46, 50, 70))
    assert (told.kinds, told.bays_ft) == (("end", "post", "tree", "post", "end"), (20, 26, 4, 20))
    assert (told.driven, told.over_ft, told.short_ft) == (2, 1, 2)


@st.composite
def solvable(draw: st.DrawFn) -> FreeStretch:
    """Keep-outs laid round the posts of a legal fence, so that an answer is known to exist."""
    bays = draw(st.lists(st.integers(24, 100).map(lambda n: n / 4), min_size=1, max_size=30))
    posts = [sum(bays[:k]) for k in range(len(bays) + 1)]
    shrink = st.tuples(st.integers(0, 40), st.integers(0, 40)).map(lambda pair: (pair[0] / 4, pair[1] / 4))
    inset = [(low + a, high - b) for (low, high), (a, b) in zip(pairwise(posts), draw(st.lists(shrink, min_size=30)), strict=False)]
    return FreeStretch(0, posts[-1], 25, 6, 0.25, blocked=tuple((low, high) for low, high in inset if low < high))


@given(solvable())
@settings(max_examples=60, deadline=None)
def test_never_breaks_a_limit_that_has_a_solution(stretch: FreeStretch) -> None:
    found = best_supports(stretch)
    assert (found.over_ft, found.short_ft) == (0, 0)
    assert all(not low < station < high for station in found.stations_ft for low, high in stretch.blocked)


def test_the_same_stretch_gives_the_same_answer() -> None:
    stretch = FreeStretch(0, 400, 25, 6, 0.25, blocked=((20, 31), (77, 79)), free=(101.3, 202.9))
    first: Spacing = best_supports(stretch)
    assert all(best_supports(stretch) == first for _ in range(3))


@pytest.mark.closed_form
def test_an_end_that_stands_off_the_line_makes_its_bay_longer() -> None:
    """50 ft from an end 2 ft aside: 25 ft along would be a bay of 25.08 and 24.75 leaves 25.25, so a second post is wanted."""
    on_line = best_supports(FreeStretch(0.0, 50.0, 25.0, 4.0, 0.25))
    aside = best_supports(FreeStretch(0.0, 50.0, 25.0, 4.0, 0.25, ends_aside_ft=(2.0, 0.0)))
    assert (on_line.driven, aside.driven, aside.over_ft) == (1, 2, 0.0)
    assert aside.bays_ft[0] == pytest.approx((aside.stations_ft[1] ** 2 + 4) ** 0.5, abs=5e-4)
