"""Ticks of older files, which don't say what they were made for, keep to what they counted for when the file was first edited."""

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.older_ticks import with_facts
from engine.checklist import ChecklistLine, standing_then
from engine.job.edit import edits
from engine.job.file.store import load
from engine.job.merge.merge import merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import MoveEntry, SupersededEntry, live
from engine.job.model.tick_facts import NO_FACTS, At, TickFacts, as_said_by, same_facts, same_place
from engine.walk import Walk, walk
from tests.change.new_way.test_job_after import line_of
from tests.demo import AT, BY, DEMO, accepted, others
from tests.test_done_means_done import LATER, all_ticked, changed
from tests.tui.in_hand import Clock, noted
from tui.working.working_copy import Working, edited, open_working, undone

FORMATS = Path(__file__).parents[2] / "job" / "file" / "formats"
SAG = item_key("cables.L3.sag")


def without_facts(job: Job) -> Job:
    """The job as an older file holds it, open again where it was signed."""
    checks = {key: tick.model_copy(update={"of": NO_FACTS}) for key, tick in job.checks.items()}
    return job.model_copy(update={"checks": checks, "record": None})


@cache
def older(name: str) -> Job:
    """A job of an older file: a demo with everything done, one with its own ticks, or a sample of a format."""
    if name == "willow_bend":
        return without_facts(all_ticked(accepted()))
    if name == "alder_row":
        return without_facts(others()[name])
    if name == "ridge_ring":
        return without_facts(all_ticked(others()[name]))
    return load(FORMATS / f"{name}.toml").job.model_copy(update={"record": None})


NAMES = ("willow_bend", "alder_row", "ridge_ring", "format_1", "format_1_1", "format_1_2")


def in_hand(job: Job) -> Working:
    loaded = load(DEMO)
    return open_working(replace(loaded, job=job), BY, Clock())


def lines(walked: Walk) -> Iterator[tuple[ItemKey, ChecklistLine]]:
    for checklist in walked.checklists.values():
        yield from checklist.by_key.items()


def states(walked: Walk) -> dict[str, str]:
    return {str(key): line.state for key, line in lines(walked)}


@pytest.mark.parametrize("name", NAMES)
def test_the_first_edit_opens_and_closes_nothing_and_is_taken_back_to_the_very_job(name: str) -> None:
    start = in_hand(older(name))
    assert start.job is start.loaded.job
    after = edited(start, "note", noted("first"))
    assert states(after.walk) == states(start.walk)
    for key, line in lines(after.walk):
        assert line.tick is None or line.tick.of == NO_FACTS or same_facts(line.tick.of, line.item.of), key
        assert line.tick is None or bool(line.tick.of.places) == bool(line.item.of.places), key
    assert undone(after)[0].job.checks == start.job.checks
    assert with_facts(after.job, after.walk) is after.job


def stood_at(walked: Walk, support: str, at: datetime) -> At:
    """Where the log has a support at a time; one that it doesn't touch stands where it stood."""
    there = standing_then(walked.layout.stood, support, at) if support in walked.layout.stood else walked.layout.supports[support].xy
    assert there is not None, support
    return At(support, *there)


def as_ringed(of: TickFacts, asked: TickFacts) -> TickFacts:
    """What was ringed by the distance of its rings, which tells their number, and without splices that no roll ends at any more: more was
    done than is asked."""
    gone = {size.name for size in of.sizes if size.name.startswith("splice ")} - {size.name for size in asked.sizes}
    words = tuple(word for word in of.words if not word.endswith((" rings", " ring")))
    return of._replace(sizes=tuple(size for size in of.sizes if size.name not in gone), words=words)


def as_held(then: TickFacts, asked: TickFacts) -> TickFacts:
    """What was asked, less where less is asked since of what does as well if it is more; a foot on a plate needn't be deep."""
    deep, now, named = "deep without a plate", {size.name: size for size in asked.sizes}, {size.name for size in then.sizes}
    sizes = []
    for size in then.sizes:
        less = now.get(size.name, size) if size.name in ("plate", deep, "cut to", "mower wide") else size
        sizes.append(min(size, less, key=lambda one: one.value))
        if size.name == "plate" and deep in now and deep not in named:
            sizes.append(now[deep])
    return then._replace(sizes=tuple(sizes))


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=6449)
@example(seed=447)
@example(seed=3)
@example(seed=59)
def test_nothing_is_done_whose_facts_differ_from_those_at_the_first_edit(name: str, seed: int) -> None:
    rng, start = random.Random(seed), in_hand(older(name))
    told = {key: line for key, line in lines(start.walk) if line.tick is not None}
    after = start
    for _ in range(rng.randint(1, 4)):
        after = edited(after, "changed", lambda job, *_: changed(job, rng))
    for key, line in lines(after.walk):
        if line.tick is None or key not in start.job.checks:
            continue
        if key in told:
            then, asked = (as_ringed(of, line.item.of) for of in (as_held(told[key].item.of, line.item.of), line.item.of))
            assert same_facts(then, as_said_by(then, asked)), key
        elif key.stage in ("cables", "fabric") and "-" not in key.subject:
            assert line.item.of.places, key
            assert all(same_place(stood_at(start.walk, at.support, line.tick.at), at) for at in line.item.of.places), key
    for key, line in told.items():
        now = dict(lines(after.walk)).get(key)
        taken_down = key not in after.job.checks
        assert taken_down or now is None or now.tick is not None or not same_facts(line.item.of, now.item.of), key


@pytest.mark.parametrize(("along_ft", "state"), [(-1.5, "done"), (-1.493, "done"), (-1.0, "open"), (1.5, "open")])
def test_a_loop_of_an_older_file_counts_again_only_where_its_post_is_back_in_its_place(along_ft: float, state: str) -> None:
    """P8 was moved by 1.5 ft round a rock after its loop was closed."""
    start, key = in_hand(older("ridge_ring")), item_key("cables.L2.closed")
    assert states(start.walk)[str(key)] == "open"
    after = edited(start, "moved", lambda job, at, by: edits.move_post(job, "P8", at, by, along_ft=along_ft))
    assert states(after.walk)[str(key)] == state


@pytest.mark.parametrize("closed", [True, False])
def test_a_loop_numbered_anew_by_a_post_added_elsewhere_keeps_no_tick_of_another(closed: bool) -> None:
    """Halfway between P17 and P18: shared out anew, L3 would be P9 to P12, and was P8 to P11. Closed loops stay as they are, and those that
    were strung; of these but the slits are ticked."""
    done, asked = older("ridge_ring"), item_key("cables.L3.sag" if closed else "fabric.L3.slits_lapped")
    checks = {key: tick for key, tick in done.checks.items() if closed or key.stage not in ("cables", "fabric") or key.what == asked.what}
    start = in_hand(done.model_copy(update={"checks": checks}))
    after = edited(start, "added", lambda job, at, by: edits.add_post(job, "ring", 294.34, at, by))
    rows = [{name: loop.supports for name, loop in walked.cables.loops.items()} for walked in (start.walk, after.walk)]
    assert rows[0]["L3"] == ("P8", "P9", "P10", "P11")
    assert rows[1]["L3"] == (("P8", "P9", "P10", "P11") if closed else ("P9", "P10", "P11", "P12"))
    for name, row in rows[1].items():
        key = asked._replace(subject=name)
        was, now = (dict(lines(walked)).get(key) for walked in (start.walk, after.walk))
        assert now is not None
        assert now.state == (was.state if was is not None and row == rows[0].get(name) else "open"), name


def test_a_changed_height_opens_what_hangs_from_the_eyes_in_an_older_file_too() -> None:
    start = in_hand(older("willow_bend"))
    first = walk(start.job).checklists["fabric"].by_key[ItemKey("fabric", "L3", "mesh_hung")]
    lower = {"height_ft": 5.0}
    after = edited(start, "lower", lambda job, *_: job.model_copy(update={"fence": job.fence.model_copy(update=lower)}))
    assert first.state == "done"
    assert after.walk.checklists["fabric"].by_key[ItemKey("fabric", "L3", "mesh_hung")].state == "open"


def test_a_sealed_file_keeps_its_ticks_as_they_were_sealed() -> None:
    sealed = load(FORMATS / "format_1.toml").job
    assert with_facts(sealed, walk(sealed)) is sealed


def later(minutes: int) -> datetime:
    return LATER + timedelta(minutes=minutes)


MERGED: Mapping[str, Callable[[Job], Job]] = {
    "noted": lambda job: edits.note(job, "here", later(1), "Ana"),
    "read anew": lambda job: edits.tick(edits.untick(job, SAG, later(2), "Ana"), SAG, later(3), "Ana", reading_in=1.5),
    "opened": lambda job: edits.untick(job, SAG, later(2), "Ana"),
    "left out": lambda job: edits.drop_post(job, "P6", later(4), "Ana"),
    "moved": lambda job: edits.move_post(job, "P6", later(4), "Ana", along_ft=1.0),
}


@pytest.mark.parametrize("known", [True, False])
@pytest.mark.parametrize("other", MERGED)
def test_a_copy_whose_ticks_were_given_their_facts_asks_nothing_beside_the_older_one(other: str, known: bool) -> None:
    base = older("willow_bend")
    given = edits.note(with_facts(base, walk(base)), "given", later(0), "Bo")
    theirs = MERGED[other](base)
    for one, two in ((given, theirs), (theirs, given)):
        merged = merge(base if known or other in ("read anew", "opened") else None, one, two)
        assert merged.conflicts == ()
        assert not any("item" in words for words in merged.came_in)
        kept = merged.job.checks.get(SAG)
        assert (kept.reading_in if kept else None) == (theirs.checks[SAG].reading_in if SAG in theirs.checks else None)
        assert all(tick.of == given.checks[key].of for key, tick in merged.job.checks.items() if key != SAG)
    assert {entry.kind for entry in live(merged.job.log)} >= {"note"}


def test_both_copies_of_one_file_are_given_the_same_facts() -> None:
    base = in_hand(older("willow_bend"))
    one = edited(base, "here", noted("here"))
    two = edited(base, "moved", moved_on)
    merged = merge(base.job, one.job, two.job)
    assert merged.conflicts == ()
    assert merged.job.checks == one.job.checks == two.job.checks


def moved_on(job: Job, at: datetime, by: str) -> Job:
    return edits.move_post(job, "P6", at, by, along_ft=1.0)


def test_a_tick_that_counts_no_more_does_not_come_to_count_with_a_later_plan() -> None:
    """P4's flag and the bay taped from it before it moved 2 ft: the plan that is accepted then holds the move, so its log says nothing."""
    job = line_of()
    keys = [item_key(f"layout.{name}") for name in ("P4.flag", "P3-P4.taped", "P1-P2.taped")]
    for key in keys:
        job = edits.tick(job, key, AT, BY, reading_ft=20 if key.what == "taped" else None)
    moved = edits.move_post(job, "P4", AT + timedelta(hours=1), BY, along_ft=2)
    given = with_facts(moved, walk(moved))
    placed = given.posts["P4"].model_copy(update={"station_ft": 62.0})
    planned = edits.accept_layout(given, {**given.posts, "P4": placed}, AT + timedelta(hours=2), BY)
    for one in (given, planned):
        assert [walk(one).checklists["layout"].by_key[key].state for key in keys] == ["open", "open", "done"]
    assert [str(given.checks[key].of) for key in keys] == [
        "P4 at 0.000 E 60.000 N",
        "P3 at 0.000 E 40.000 N, P4 at 0.000 E 60.000 N",
        "P1 at 0.000 E 0.000 N, P2 at 0.000 E 20.000 N",
    ]


def test_the_first_move_in_an_older_file_is_logged_with_its_place_though_the_edit_says_more_in_the_log_before_it() -> None:
    """The log keeps a tick that doesn't say of which stock it was: that is written in with the move."""
    done = all_ticked(accepted())
    depth = item_key("posts.P2.driven_depth")
    again = edits.tick(done, depth, LATER, BY, reading_in=20.0, of=done.checks[depth].of._replace(stock=()))
    (kept,) = [entry for entry in again.log if isinstance(entry, SupersededEntry)]
    less = kept.model_copy(update={"of": kept.of._replace(stock=())})
    old = again.model_copy(update={"log": tuple(less if entry is kept else entry for entry in again.log)})
    moved = edited(in_hand(old), "move", lambda job, at, by: edits.move_post(job, "P5", at, by, along_ft=1)).job

    assert [entry.of.stock for entry in moved.log if isinstance(entry, SupersededEntry)] != [()]
    (move,) = [entry for entry in moved.log if isinstance(entry, MoveEntry)]
    stands = walk(moved).layout.supports["P5"].xy
    assert move.place == pytest.approx(stands, abs=0.002)
