"""Stakes beside and the edge fastened on hard floors, alone, over a post, in a close stretch, and next to other blocked ground."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import fabric
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from engine.stages.staking.stage import Staking, staking
from engine.stages.survey.floors import Floor
from tests.stages.layouts import Spot, layout_of, row, square, survey_of
from tests.stages.staking.test_stage import LINE_BAY

Stretch = tuple[float, float]
END_BAY = row(3, 20.0)


def staked(spots: Sequence[Spot], floors: Sequence[Stretch], rocks: Sequence[Stretch] = (), **tables: Any) -> Staking:
    """A line due east over slabs and rocks from station to station."""
    keep_outs = [square((low + high) / 2, 0, (high - low) / 2, f"r{n}") for n, (low, high) in enumerate(rocks)]
    layout: Layout = layout_of({"north": spots}, keep_outs=keep_outs)
    job = Job.model_validate(tables)
    slabs = tuple(Floor(f"s{n}", "slab", low, high) for n, (low, high) in enumerate(sorted(floors)))
    bare = survey_of(layout)
    survey = replace(bare, lines={"north": replace(bare.lines["north"], floors=slabs)})
    work = posts(job, survey_of(layout), layout)
    hung = fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))
    return staking(job, survey, layout, hung)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("spots", "floors", "rocks", "stations", "fastened", "uncovered"),
    [
        # narrow: the stakes beside it, one on its edge, cover it
        (LINE_BAY, [(8, 11)], [], (0, 4, 8, 12, 16, 20), (), ()),
        # 10 ft: three spaces of 3 1/3 ft on the slab, both edges staked
        (LINE_BAY, [(6, 16)], [], (0, 3, 6, 16, 20), (28 / 3, 38 / 3), ()),
        # close stretch of 4 ft at the end, carried on over the slab: on it the wider limit holds, so 2 1/2 ft do
        (END_BAY, [(1, 6)], [], (0, 1, 6, 9.5, 13, 16.5, 20), (3.5,), ()),
        # 5 ft of rock are open, the 2 ft of slab beside it are fastened at their edge
        (LINE_BAY, [(13, 15)], [(8, 13)], (0, 4, 8, 15, 17.5, 20), (13,), ((8, 13),)),
        (LINE_BAY, [(8, 10)], [(10, 15)], (0, 4, 8, 15, 17.5, 20), (10,), ((10, 15),)),
        # 3 ft of rock are too much where the stakes stand 2 ft apart, before a slab and after it
        (END_BAY, [(4, 6)], [(1, 4)], (0, 1, 6, 9.5, 13, 16.5, 20), (4,), ((1, 4),)),
        (END_BAY, [(1, 2)], [(2, 5)], (0, 1, 5, 8.75, 12.5, 16.25, 20), (2,), ()),  # 2 ft of it: the stakes go on 4 ft apart past 4 ft
        (END_BAY, [(0.5, 1)], [(1, 4)], (0, 0.5, 4, 8, 12, 16, 20), (1,), ((1, 4),)),
    ],
)
def test_a_floor_in_a_bay(
    spots: Sequence[Spot],
    floors: Sequence[Stretch],
    rocks: Sequence[Stretch],
    stations: tuple[float, ...],
    fastened: tuple[float, ...],
    uncovered: tuple[Stretch, ...],
) -> None:
    bay = staked(spots, floors, rocks).bays["P1-P2"]

    assert bay.stations_ft == pytest.approx(stations)
    assert bay.fastened_ft == pytest.approx(fastened)
    assert bay.uncovered == tuple(pytest.approx(gap) for gap in uncovered)


@pytest.mark.closed_form
def test_a_floor_over_a_post_is_fastened_there_once() -> None:
    """From 18 to 26 ft over the post at 20: two spaces of 3 ft past it."""
    result = staked(LINE_BAY, [(18, 26)])

    assert result.bays["P1-P2"].stations_ft == pytest.approx((0, 3.6, 7.2, 10.8, 14.4, 18))
    assert result.bays["P1-P2"].fastened_ft == (20.0,)
    assert result.bays["P2-P3"].stations_ft == pytest.approx((26, 29.5, 33, 36.5, 40))
    assert result.bays["P2-P3"].fastened_ft == (23.0,)
    assert (result.total, result.fastened, result.findings) == (11, 2, ())


def test_a_floor_over_a_corner_post_is_fastened_there_for_both_bays() -> None:
    corner = [LINE_BAY[0], LINE_BAY[1]._replace(kind="corner"), LINE_BAY[2]]
    bays = staked(corner, [(18, 26)]).bays

    assert (bays["P1-P2"].fastened_ft, bays["P2-P3"].fastened_ft) == ((20.0,), (20.0, 23.0))


@pytest.mark.parametrize(
    ("floors", "items"),
    [
        ([], ["flush", "tight"]),
        ([(6, 16)], ["flush", "fastened", "tight"]),
        ([(-1, 21)], ["fastened"]),  # no soil for an apron to lie on
    ],
)
def test_items_of_a_bay_with_floors(floors: list[Stretch], items: list[str]) -> None:
    assert [item.key.what for item in staked(LINE_BAY, floors).items if item.subject == "P1-P2"] == items


@settings(max_examples=80, deadline=None)
@given(
    floors=st.lists(st.tuples(st.floats(-2, 40), st.floats(0.1, 15)), max_size=3),
    rocks=st.lists(st.tuples(st.floats(-2, 40), st.floats(0.1, 8)), max_size=3),
)
def test_every_gap_is_covered_or_told_whatever_lies_on_the_line(floors: list[Stretch], rocks: list[Stretch]) -> None:
    apart: list[Stretch] = []
    for low, long_ft in sorted(floors):
        start = max([low, *(high for _, high in apart)])
        apart.append((start, start + long_ft))
    result = staked(END_BAY, apart, [(low, low + long_ft) for low, long_ft in rocks])

    held = sorted({spot for bay in result.bays.values() for spot in (*bay.stations_ft, *bay.fastened_ft)})
    told = [gap for bay in result.bays.values() for gap in bay.uncovered]
    assert all(0 <= spot <= 40 for spot in held)
    for low, high in pairwise([0.0, *held, 40.0]):
        assert high - low <= 4.0 + 0.03 or any(a < high and low < b for a, b in told)
    assert len([finding for finding in result.findings if finding.code == "apron_unstaked"]) == sum(
        bool(bay.uncovered) for bay in result.bays.values()
    )
