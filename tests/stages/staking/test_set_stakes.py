"""Stakes that meet what is asked today stay done, whatever was asked when they were set."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, NamedTuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.answers import answer
from engine.calc.geometry.ground import Profile
from engine.job.edit import edits
from engine.job.model.fence import PostKind
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import fabric
from engine.stages.posts.stage import posts
from engine.stages.staking.stage import Staking, staking
from engine.stages.survey.floors import Floor
from tests.demo import AT, BY
from tests.stages.layouts import Spot, layout_of, square, survey_of

Stretch = tuple[float, float]
KINDS: tuple[PostKind, ...] = ("line", "line", "corner", "end", "gate", "tee")
TAPED_FT, WRITTEN_FT = 1 / 12, 0.001


class Yard(NamedTuple):
    """A line of two bays due east, 20 ft each: its posts, and from where to where rocks, slabs and dips lie."""

    kinds: tuple[PostKind, ...] = ("line", "line", "line")
    rocks: Sequence[Stretch] = ()
    slabs: Sequence[Stretch] = ()
    dips: Sequence[Stretch] = ()


def staked(yard: Yard, job: Job, most_ft: float = 4.0, close_ft: float = 2.0) -> tuple[Job, Staking]:
    """The stakes of a yard and its job, with stakes so far apart at most."""
    rules: Any = {"staking": {"stake_max_ft": most_ft, "stake_close_ft": close_ft}, "cables": {"tension_lbf": 1000}}
    job = job.model_copy(update={"rules": Job.model_validate({"rules": rules}).rules})
    rocks = [square((low + high) / 2, 0, (high - low) / 2, f"r{n}") for n, (low, high) in enumerate(yard.rocks)]
    layout = layout_of({"north": [Spot(f"P{n + 1}", 20.0 * n, 0, kind) for n, kind in enumerate(yard.kinds)]}, keep_outs=rocks)
    level = {-20.0: 0.0, 60.0: 0.0}
    for low, high in yard.dips:
        level |= {low: 0.0, (low + high) / 2: -1.0, high: 0.0}
    survey = survey_of(layout, {"north": Profile((*sorted(level),), tuple(level[at] for at in sorted(level)))})
    slabs = tuple(Floor(f"s{n}", "slab", low, high) for n, (low, high) in enumerate(yard.slabs))
    survey = replace(survey, lines={"north": replace(survey.lines["north"], floors=slabs)})
    work = posts(job, survey, layout)
    hung = fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))
    return job, staking(job, survey, layout, hung)


def all_ticked(job: Job, stakes: Staking) -> Job:
    for item in stakes.items:
        job = edits.tick(job, item.key, AT, BY, of=item.of)
    return job


def opened(job: Job, stakes: Staking) -> set[str]:
    """Items that are open."""
    return {f"{item.subject} {item.key.what}" for item in answer(stakes.items, job.checks, {}).open_items}


def stretches(most: int, long_ft: float) -> st.SearchStrategy[list[Stretch]]:
    """Stretches one after the other."""

    def apart(found: list[Stretch]) -> list[Stretch]:
        rows: list[Stretch] = []
        for low, long in sorted(found):
            start = max([low, *(high + 0.05 for _, high in rows)])
            rows.append((start, start + long))
        return rows

    return st.lists(st.tuples(st.floats(-2, 40), st.floats(0.1, long_ft)), max_size=most).map(apart)


yards = st.builds(Yard, st.tuples(*[st.sampled_from(KINDS)] * 3), stretches(3, 6), stretches(2, 12), stretches(1, 12))
bare_yards = st.tuples(*[st.sampled_from(KINDS)] * 3).map(Yard)
spacings = st.tuples(st.floats(1.5, 6), st.floats(0.5, 4))


@settings(max_examples=60, deadline=None)
@example(yard=Yard(rocks=[(0.0, 1.0)], slabs=[(1.0, 3.0)]), set_by=(2.0, 1.0), wider=(2.0, 1.0))
@example(yard=Yard(rocks=[(0.0, 1.0)], slabs=[(1.0, 3.0), (3.05, 8.05)]), set_by=(2.0, 1.0), wider=(2.0, 1.0))
@given(yard=yards, set_by=spacings, wider=st.tuples(st.floats(1, 2), st.floats(1, 2)))
def test_rules_made_wider_open_nothing_and_move_no_stake(yard: Yard, set_by: tuple[float, float], wider: tuple[float, float]) -> None:
    """With the wider rule the edge of the first slab isn't asked any more: what was fastened there is nearer to the post than need be."""
    job, planned = staked(yard, Job(), *set_by)
    done = all_ticked(job, planned)
    job, now = staked(yard, done, set_by[0] * wider[0], set_by[1] * wider[1])
    assert opened(job, now) == set()
    for name, bay in planned.bays.items():
        assert now.bays[name].stations_ft == pytest.approx(bay.stations_ft, abs=TAPED_FT + WRITTEN_FT)
        assert now.bays[name].fastened_ft == pytest.approx(bay.fastened_ft, abs=TAPED_FT + WRITTEN_FT)


@settings(max_examples=60, deadline=None)
@given(yard=bare_yards, set_by=spacings, narrower=st.tuples(st.floats(0.4, 1), st.floats(0.4, 1)))
def test_rules_made_narrower_open_the_bays_whose_stakes_stand_too_far_apart_and_no_others(
    yard: Yard, set_by: tuple[float, float], narrower: tuple[float, float]
) -> None:
    """Within an inch of the rule either is right: so near stakes are set by eye."""
    job, planned = staked(yard, Job(), *set_by)
    most_ft, close_ft = set_by[0] * narrower[0], set_by[1] * narrower[1]
    job, now = staked(yard, all_ticked(job, planned), most_ft, close_ft)
    for name, low, firm in (("P1-P2", 0.0, yard.kinds[:2]), ("P2-P3", 20.0, yard.kinds[1:])):
        over_ft = max(too_far_ft((low, *planned.bays[name].stations_ft), low, firm, most_ft, close_ft))
        if abs(over_ft) > 2 * TAPED_FT:
            assert (f"{name} flush" in opened(job, now)) == (over_ft > 0), (over_ft, planned.bays[name], now.bays[name])
    assert {item for item in opened(job, now) if not item.endswith("flush")} == set()


def too_far_ft(row: Sequence[float], start_ft: float, firm: Sequence[str], most_ft: float, close_ft: float) -> list[float]:
    """By how much each gap of a bay is over the rule; beside a corner, end, tee or gate post the closer one holds for one spacing."""
    gaps = [(low, high) for low, high in pairwise(row) if high > low]
    wide_ft = min(most_ft, max(high - low for low, high in gaps))
    close = [(start_ft, start_ft + wide_ft)] * (firm[0] != "line") + [(start_ft + 20 - wide_ft, start_ft + 20)] * (firm[1] != "line")
    inside = [min(high, b) - max(low, a) - close_ft for low, high in gaps for a, b in close]
    return [*(high - low - most_ft for low, high in gaps), *inside]


EVEN = Yard(("line", "line", "line"))
"""Every 4 ft from 0 to 40, the one at 20 shared."""
FOUND = {
    "a rock between two stakes": (EVEN._replace(rocks=[(5, 7)]), set()),
    "a rock at a stake": (EVEN._replace(rocks=[(7, 9)]), {"P1-P2 flush"}),
    "a rock that a stake stands an inch in": (EVEN._replace(rocks=[(3.93, 5)]), set()),
    "a dip": (EVEN._replace(dips=[(5, 15)]), {"P1-P2 flush", "P1-P2 dips_filled"}),
    "a slab over two stakes": (EVEN._replace(slabs=[(7, 13)]), {"P1-P2 flush", "P1-P2 fastened"}),
    "a corner": (EVEN._replace(kinds=("line", "corner", "line")), {"P1-P2 flush", "P2-P3 flush"}),
}


@pytest.mark.closed_form
@pytest.mark.parametrize("what", FOUND)
def test_what_is_found_since_opens_stakes_that_it_asks_another_of(what: str) -> None:
    yard, again = FOUND[what]
    job, planned = staked(EVEN, Job())
    job, now = staked(yard, all_ticked(job, planned))
    assert opened(job, now) == again
    assert planned.bays["P1-P2"].stations_ft == pytest.approx((0, 4, 8, 12, 16, 20))
    assert planned.bays["P2-P3"].stations_ft == pytest.approx((24, 28, 32, 36, 40))
    stays = {name: now.bays[name].stations_ft == pytest.approx(bay.stations_ft) for name, bay in planned.bays.items()}
    assert stays == {name: f"{name} flush" not in again for name in planned.bays}


@pytest.mark.closed_form
def test_spots_on_a_floor_stay_though_a_wider_rule_asks_fewer_or_none() -> None:
    """Of a slab from 5 to 17: two spots 4 ft apart, its edges staked. At 6 ft one would do, at 13 none."""
    slab = EVEN._replace(slabs=[(5, 17)])
    job, planned = staked(slab, Job(), 4.0)
    done = all_ticked(job, planned)
    for most_ft, spots in ((6.0, 1), (13.0, 0)):
        assert len(staked(slab, Job(), most_ft)[1].bays["P1-P2"].fastened_ft) == spots
        job, now = staked(slab, done, most_ft)
        assert opened(job, now) == set()
        assert now.bays["P1-P2"].fastened_ft == pytest.approx((9.0, 13.0))
        assert (now.total, now.fastened) == (planned.total, 2)
    job, now = staked(slab, done, 2.5)
    assert opened(job, now) == {"P1-P2 flush", "P1-P2 fastened", "P2-P3 flush"}


@settings(max_examples=60, deadline=None)
@example(before=Yard(), after=Yard(rocks=[(18.0, 21.0)], slabs=[(18.0, 20.0)]), spacing=((2.0, 1.0), (2.0, 1.0)))
@given(before=yards, after=yards, spacing=st.tuples(spacings, spacings))
def test_whatever_is_found_since_and_asked_every_gap_of_what_stands_is_covered_or_told(
    before: Yard, after: Yard, spacing: tuple[tuple[float, float], tuple[float, float]]
) -> None:
    job, planned = staked(before, Job(), *spacing[0])
    job, now = staked(after, all_ticked(job, planned), *spacing[1])
    held = sorted({spot for bay in now.bays.values() for spot in (*bay.stations_ft, *bay.fastened_ft)})
    told = [gap for bay in now.bays.values() for gap in bay.uncovered]
    for low, high in pairwise([0.0, *held, 40.0]):
        assert high - low <= spacing[1][0] + 2 * TAPED_FT or any(a < high and low < b for a, b in told), (low, high)
    for bay in now.bays.values():
        assert not any(low + 1.01 * TAPED_FT < at < high - 1.01 * TAPED_FT for at in bay.stations_ft for low, high in after.rocks)
