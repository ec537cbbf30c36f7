"""A loop stays the loop it is, under its name, whatever is done elsewhere; one that was taken down for another is not there again."""

import random
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.older_ticks import with_facts
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import same_place
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import AT, BY, accepted, others
from tests.test_done_means_done import JOBS, LATER, all_ticked, changed, ticked

Loops = dict[str, tuple[str, ...]]


def loops(job: Job) -> Loops:
    return {name: loop.supports for name, loop in walk(job).cables.loops.items()}


def states(job: Job, loop: str) -> dict[str, str]:
    """What is asked of a loop's cable and how it stands."""
    return {line.item.key.what: line.state for line in walk(job).checklists["cables"].lines if line.item.key.subject == loop}


@pytest.mark.parametrize("name", sorted(JOBS))
@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_what_was_cut_read_or_closed_keeps_its_name_wherever_its_supports_stay(name: str, seed: int) -> None:
    rng = random.Random(seed)
    job = all_ticked(JOBS[name]())
    gone = rng.choice([(), ("closed", "tail"), ("closed", "tail", "sag")])
    job = job.model_copy(
        update={"checks": {key: tick for key, tick in job.checks.items() if key.stage != "cables" or key.what not in gone}}
    )
    before, was, fence = walk(job), loops(job), job.fence
    for _ in range(rng.randint(1, 3)):
        job = changed(job, rng)
    after, now = walk(job), loops(job)
    cut_up = {loop for entry in job.log if entry.kind == "reroute" for loop in entry.loops}
    for loop, supports in ((loop, row) for loop, row in was.items() if loop not in cut_up):
        stays = [before.layout.supports[name].there for name in supports]
        if supports in now.values() and all(same_place(one, after.layout.supports[one.support].there) for one in stays):
            assert now.get(loop) == supports
            cut = ItemKey("cables", loop, "cut_length")
            assert job.fence != fence or cut not in before.checklists["cables"].ticked_done or cut in after.checklists["cables"].ticked_done


@pytest.mark.parametrize("name", sorted(JOBS))
def test_opening_what_closed_a_loop_opens_that_alone(name: str) -> None:
    job = all_ticked(JOBS[name]())
    was = loops(job)
    for loop in was:
        opened = edits.untick(job, ItemKey("cables", loop, "closed"), LATER, BY)
        assert loops(opened) == was
        assert {line.item.key for line in walk(opened).checklists["cables"].lines if line.state == "open"} == {
            ItemKey("cables", loop, "closed")
        }


def test_a_loop_that_was_cut_off_for_another_is_not_there_again_when_its_post_is() -> None:
    """P13 carries the ends of L5 and L6; left out, L7 and L8 are strung past it. Its leaving out struck, those hang there still."""
    job = all_ticked(accepted())
    out = edits.drop_post(job, "P13", LATER, BY)
    assert {name: row for name, row in loops(out).items() if name not in loops(job)} == {
        "L7": ("P11", "P12", "P14"),
        "L8": ("P14", "P15", "P16"),
    }
    strung = all_ticked(out, LATER + timedelta(hours=5))
    back = strike(strung, out.log[-1].id, LATER + timedelta(hours=6), BY)
    assert loops(back) == {**loops(out), "L7": ("P11", "P12", "P13", "P14")}
    assert states(back, "L7")["closed"] == "done"
    assert states(back, "L7")["sag"] == "open"
    open_again = edits.untick(back, ItemKey("cables", "L7", "closed"), LATER + timedelta(hours=7), BY)
    assert "L5" not in loops(open_again), "what hangs there is L7, whether its lock is on or off"
    early = strike(out, out.log[-1].id, LATER + timedelta(hours=1), BY)
    assert loops(early) == loops(job), "nothing was strung meanwhile"


def test_a_ring_that_loses_its_gate_keeps_the_loops_that_hang() -> None:
    """L8 runs past the ring's first support."""
    job = all_ticked(others()["ridge_ring"])
    was = loops(job)
    assert was["L8"] == ("P20", "P1", "P2")
    closed = job.model_copy(update={"gates": {name: gate for name, gate in job.gates.items() if name != "upper"}})
    now = loops(closed)
    assert {name: row for name, row in now.items() if was.get(name) != row} == {"L12": ("P2", "P3")}
    assert was.keys() - now.keys() == set()


@pytest.mark.parametrize("station_ft", [0.0, 20.0, 150.0])
def test_what_hangs_on_a_ring_stays_done_when_its_gate_goes_and_while_the_loop_that_closes_it_is_strung(station_ft: float) -> None:
    """A gate at the ring's first support, one past it, and one far round, where a loop begins at the first support or runs past it. What
    hangs has laid its ends over what hung before it, and the new loop lays both of its own over theirs."""
    ring = JOBS["ridge_ring"]()
    gates = {**ring.gates, "upper": ring.gates["upper"].model_copy(update={"station_ft": station_ft})}
    bare = ring.model_copy(update={"gates": gates, "posts": {}, "log": ()})
    job = all_ticked(edits.accept_layout(bare, planned_posts(walk(bare).layout), AT, BY))
    was = loops(job)
    job = job.model_copy(update={"gates": {name: gate for name, gate in gates.items() if name != "upper"}})
    (new,) = loops(job).keys() - was.keys()
    again = ItemKey("cables", "job", "round_again")
    assert walk(job).checklists["cables"].by_key[again].state == "open", "the last loop isn't closed"
    for what in ("cables", "fabric"):
        for item in [line.item for line in walk(job).checklists[what].lines if line.item.subject == new]:  # type: ignore[index]  # a stage's name
            assert {name: row for name, row in loops(job).items() if name != new} == was
            assert {
                line.item.key for line in walk(job).checklists["fabric"].lines if line.tick is None and line.item.subject != new
            } == set()
            job = ticked(job, item, LATER)
    laps = [size.name for size in walk(job).checklists["fabric"].by_key[ItemKey("fabric", new, "seam_ringed")].item.of.sizes]
    assert "splice 4 rings apart" in laps, "wire and mesh lap at both ends"


def test_loops_that_are_cut_and_not_closed_keep_their_names_when_a_post_more_makes_other_loops_of_the_rest() -> None:
    job = all_ticked(others()["ridge_ring"])
    cut = job.model_copy(
        update={"checks": {key: tick for key, tick in job.checks.items() if key.stage != "cables" or key.what == "cut_length"}}
    )
    more = edits.add_post(cut, "ring", 295.625, AT, BY)
    was, now = loops(cut), loops(more)
    same = {name for name, row in was.items() if row in now.values()}
    assert same >= {"L1", "L8", "L9", "L10", "L11"}
    assert all(now[name] == was[name] and states(more, name)["cut_length"] == "done" for name in same)


def test_that_every_loop_was_read_again_counts_from_before_it_said_how_many_until_an_edit_writes_it_in() -> None:
    again, job = ItemKey("cables", "job", "round_again"), all_ticked(accepted())
    tick = job.checks[again]
    older = job.model_copy(update={"checks": {**job.checks, again: tick.model_copy(update={"of": tick.of._replace(words=())})}})
    assert walk(older).checklists["cables"].by_key[again].state == "done"
    assert (tick.of.words, with_facts(older, walk(older)).checks[again].of) == (("6 loops",), tick.of)
