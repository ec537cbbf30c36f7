"""A tick counts for what it was made for: after any edits, nothing is done whose facts differ, and nothing is open whose facts don't."""

import random
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import distance_ft
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.older_ticks import with_facts
from engine.change.settling import settled
from engine.checklist import DONE_BEFORE, Item
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.errors import EditRefused
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry, log_gone_back
from engine.job.model.shots import TieShot
from engine.job.model.tick_facts import NO_FACTS
from engine.paper.as_built import build_record
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted, others

LATER = AT + timedelta(days=300)
"""After every tick of every demo."""
MARK_FT = 0.25 / 12
ROUND_FT = 0.002
"""Places are written to a thousandth of a foot."""


def ticked(job: Job, item: Item, at: datetime = AT) -> Job:
    """The job with an item ticked, with the reading it wants."""
    if item.reading is None or item.reading.wanted is None:
        return edits.tick(job, item.key, at, BY, of=item.of)
    read = max(0.0, round(item.reading.wanted, 3))
    if item.reading.unit == "ft":
        return edits.tick(job, item.key, at, BY, reading_ft=read, of=item.of)
    return edits.tick(job, item.key, at, BY, reading_in=read, of=item.of)


def all_ticked(job: Job, at: datetime = AT) -> Job:
    """The job with everything done, stage by stage, as a crew does it: lengths are read first, and what a tick changes is asked again."""
    for read in (True, False) * 3:
        lines = [line for checklist in walk(job).checklists.values() for line in checklist.lines if line.state == "open"]
        for line in lines:
            if read is (line.item.reading is not None):
                job = ticked(job, line.item, at)
    return job


Places = tuple[tuple[str, float, float], ...]


def places_of(walked: Walk, key: ItemKey) -> Places | None:
    """Where the supports that an item is about stand, worked out apart from what the item says; None where it is about none."""
    laid = walked.layout

    def at(*names: str) -> Places:
        return tuple((name, laid.supports[name].east_ft, laid.supports[name].north_ft) for name in names)

    subject = key.subject
    if (
        key.what in ("cut_length", "string", "old_sleeve")
        or key.stage in ("survey", "punch")
        or key.what.startswith(("diagonal", "two_people", "under"))
    ):
        return None
    if key.what == "hinge_plumb":
        return at(walked.gate.gates[subject].hinge_post) if subject in walked.gate.gates else None
    if pair := sorted(name for name, support in laid.supports.items() if support.gate == subject):
        return at(*pair)
    if subject in laid.bays:
        return at(laid.bays[subject].from_id, laid.bays[subject].to_id)
    if subject in walked.cables.loops:
        row = walked.cables.loops[subject].supports
        return at(*((row[0], row[-1]) if key.what in ("closed", "tail") else row))
    return at(subject) if subject in laid.supports else None


def far_ft(one: Places, other: Places) -> float:
    if [name for name, *_ in one] != [name for name, *_ in other]:
        return float("inf")
    return max((hypot(a - c, b - d) for (_, a, b), (_, c, d) in zip(one, other, strict=True)), default=0.0)


def changed(job: Job, rng: random.Random) -> Job:
    """The job after one edit of any kind that shifts what stands; as it was where that is refused."""
    walked = walk(job)
    post, line = rng.choice(list(walked.layout.supports)), rng.choice(list(job.lines))
    length_ft = walked.survey.lines[line].length_ft

    def moved(**ft: float) -> Job:
        return settled(job, walked, [{"kind": "move", "post": post, **ft}], LATER, BY)

    def rerouted() -> Job:
        row = rng.choice([line.supports for line in walked.layout.lines.values() if len(line.supports) > 1])
        first = rng.randrange(len(row) - 2) if len(row) > 3 else 0
        way = NewWay(row[first], row[min(first + 2, len(row) - 1)])
        return with_new_way(job, walked, given_up(job, walked, way, LATER), LATER, BY)

    def shifted_point() -> Job:
        name = rng.choice(list(job.points))
        point = job.points[name]
        return job.model_copy(
            update={"points": {**job.points, name: point.model_copy(update={"east_ft": point.east_ft + rng.choice([0.005, 0.4])})}}
        )

    def pulled_harder() -> Job:
        cables = job.rules.cables.model_copy(update={"tension_lbf": 60.0})
        return job.model_copy(update={"rules": job.rules.model_copy(update={"cables": cables})})

    def afresh() -> Job:
        fresh = fresh_layout(job, walked)
        return accepted_again(job, fresh, LATER, BY)

    def of_other_stock() -> Job:
        row = rng.choice([{"cable": "cable-1-8"}, {"post": "post-7"}, {"wire": "wire-36"}])
        return job.model_copy(update={"fence": job.fence.model_copy(update=row)})

    kinds: tuple[Callable[[], Job], ...] = (
        lambda: moved(along_ft=rng.choice([0.01, 0.5, -2]), out_ft=rng.choice([0, 0, 1.0])),
        lambda: moved(along_ft=rng.uniform(-3, 3)),
        lambda: edits.add_post(job, line, round(rng.uniform(1, length_ft - 1), 2), LATER, BY),
        lambda: edits.drop_post(job, post, LATER, BY),
        lambda: settled(job, walked, [{"kind": "swap", "post": post, "tree": rng.choice([*job.trees, "none"])}], LATER, BY),
        lambda: edits.obstacle(job, "rock", line, round(rng.uniform(1, length_ft - 1), 2), LATER, BY),
        lambda: job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": rng.choice([5.0, 6.0])})}),
        lambda: job.model_copy(
            update={"rules": job.rules.model_copy(update={"cables": job.rules.cables.model_copy(update={"tension_lbf": 60.0})})}
        ),
        rerouted,
        shifted_point,
        afresh,
        of_other_stock,
    )
    try:
        return rng.choice(kinds)()
    except EditRefused:
        return job


def ring() -> Job:
    """The ring without its ticks of older days, which don't say what they were made for."""
    return others()["ridge_ring"].model_copy(update={"checks": {}})


JOBS: Mapping[str, Callable[[], Job]] = {"willow_bend": accepted, "ridge_ring": ring}


@pytest.mark.independent
@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_nothing_is_done_whose_place_differs_and_nothing_open_whose_place_does_not(name: str, seed: int) -> None:
    rng = random.Random(seed)
    start = all_ticked(JOBS[name]())
    before = walk(start)
    was = {line.item.key: places_of(before, line.item.key) for checklist in before.checklists.values() for line in checklist.lines}
    job = start
    for _ in range(rng.randint(1, 3)):
        job = changed(job, rng)
    after = walk(job)
    keys = [finding.key for finding in after.findings if finding.code != DONE_BEFORE]
    assert len(keys) == len(set(keys)), "a preview and a record know a finding by its key"
    for checklist in after.checklists.values():
        for line in checklist.lines:
            key, there = line.item.key, was.get(line.item.key)
            if there is None or (line.tick or line.was) is None:
                continue
            now = places_of(after, key)
            assert now is not None, key
            off_ft = far_ft(there, now)
            assert line.tick is None or off_ft <= MARK_FT + ROUND_FT, (key, off_ft)
            assert line.tick is not None or off_ft > MARK_FT - ROUND_FT or resized(before, after, key), key


def resized(before: Walk, after: Walk, key: ItemKey) -> bool:
    """Whether what an item asks for differs in more than its place: its sentence, a height, a direction, a dip, its stock."""
    one, other = (
        next((line.item for checklist in walked.checklists.values() for line in checklist.lines if line.item.key == key), None)
        for walked in (before, after)
    )
    return one is None or other is None or one.of._replace(places=()) != other.of._replace(places=())


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10**6))
def test_undo_brings_the_ticks_back(seed: int) -> None:
    rng = random.Random(seed)
    start = all_ticked(accepted())
    saved = {entry.id: entry for entry in start.log}
    job = changed(start, rng)
    saved |= {entry.id: entry for entry in job.log}
    back = start.model_copy(update={"log": log_gone_back(job.log, start.log, saved, LATER, BY)})
    states = [[line.state for line in checklist.lines] for checklist in walk(back).checklists.values()]
    assert states == [[line.state for line in checklist.lines] for checklist in walk(start).checklists.values()]


def states(job: Job, *keys: str) -> dict[str, str]:
    walked = walk(job)
    return {key: walked.checklists[item_key(key).stage].by_key[item_key(key)].state for key in keys}  # type: ignore[index]  # a stage's name


def test_a_driven_post_that_is_moved_two_feet_opens_what_was_done_at_it_and_nothing_else() -> None:
    done = all_ticked(accepted())
    loop = next(loop for loop in walk(done).cables.loops.values() if len(loop.supports) > 2)
    before, post, after = loop.supports[:3]
    job = edits.move_post(done, post, LATER, BY, along_ft=2)
    walked = walk(job)
    opened = {
        str(line.item.key) for checklist in walked.checklists.values() for line in checklist.lines if line.state == "open" and line.was
    }

    at_post = {f"posts.{post}.{what}" for what in ("driven_depth", "solid", "plumb", "eyes")} | {f"layout.{post}.flag"}
    bays = {f"layout.{bay}.taped" for bay in (f"{before}-{post}", f"{post}-{after}")}
    stakes = {f"staking.{bay}.{what}" for bay in (f"{before}-{post}", f"{post}-{after}") for what in ("flush", "tight")}
    whole = {f"cables.{loop.id}.sag"} | {f"fabric.{loop.id}.{what}" for what in ("wire_hung", "mesh_hung", "seam_ringed", "apron_turned")}
    assert at_post | bays | stakes | whole <= opened
    assert states(job, f"cables.{loop.id}.cut_length", f"cables.{loop.id}.closed") == dict.fromkeys(
        (f"cables.{loop.id}.cut_length", f"cables.{loop.id}.closed"), "done"
    )
    far = walked.layout.lines[loop.line].supports
    assert all(f".{name}." not in key for key in opened for name in far if name not in loop.supports)
    assert walked.posts.work[post].driven_in is None


def test_the_record_says_of_a_moved_post_that_nobody_read_its_depth() -> None:
    """And of every stage in which something is open again, though all are about P2."""
    start = all_ticked(accepted())
    job = edits.move_post(start, "P2", LATER, BY, along_ft=2)
    walked = walk(job)
    record = build_record(job, walked, LATER, BY, "the client", {})
    again = [f"{finding.says} {finding.do}" for finding in walked.findings if finding.code == DONE_BEFORE and finding.stage != "punch"]

    assert len(again) > 4
    assert [says for says in record.notes.values() if " done before " in says] == again

    assert build_record(start, walk(start), LATER, BY, "the client", {}).supports["P2"].driven_in is not None
    assert record.supports["P2"].driven_in is None


def test_a_post_left_out_of_a_closed_loop_leaves_its_sag_open() -> None:
    start = all_ticked(accepted())
    loop = next(loop for loop in walk(start).cables.loops.values() if len(loop.supports) > 3)
    job = edits.drop_post(start, loop.supports[1], LATER, BY)
    assert states(job, f"cables.{loop.id}.sag", f"cables.{loop.id}.closed") == {
        f"cables.{loop.id}.sag": "open",
        f"cables.{loop.id}.closed": "done",
    }


def test_a_tree_that_its_survey_puts_elsewhere_takes_along_what_hangs_on_it() -> None:
    """P13 is on the hickory, 9" through: a tape of it that is 2.5 ft longer puts it 2.5 ft off, one of 3" leaves P13 within the trunk."""
    done = all_ticked(accepted())

    def taped(more_ft: float) -> Job:
        shot = done.shots["tie-T2"]
        assert isinstance(shot, TieShot)
        return done.model_copy(update={"shots": {**done.shots, "tie-T2": shot.model_copy(update={"tape_a_ft": shot.tape_a_ft + more_ft})}})

    keys = ("posts.P13.eyes", "layout.P12-P13.taped", "layout.P13-P14.taped", "cables.L5.sag", "fabric.L5.wire_hung")
    off, near = walk(taped(2.5)), walk(taped(0.25))
    assert (off.layout.supports["P13"].xy, off.layout.supports["P13"].moved_ft) == (off.survey.points["T2"].xy, 0)
    assert set(states(taped(2.5), *keys).values()) == {"open"}
    assert distance_ft(near.layout.supports["P13"].xy, near.survey.points["T2"].xy) > MARK_FT
    assert set(states(taped(0.25), *keys).values()) == {"done"}


def test_a_rock_found_under_a_hung_loop_opens_its_slits_and_its_apron_and_nothing_of_other_loops() -> None:
    done = all_ticked(accepted())
    walked = walk(done)
    first = walked.layout.bays[walked.cables.loops["L3"].bays[0]]
    rocky = edits.obstacle(done, "rock", first.line, (first.start_ft + first.end_ft) / 2, LATER, BY, offset_ft=1)
    opened = {line.item.key for line in walk(rocky).checklists["fabric"].lines if line.state == "open"}
    larger = rocky.model_copy(update={"log": (*rocky.log[:-1], rocky.log[-1].model_copy(update={"wide_ft": 2.0}))})
    round_it = ItemKey("fabric", "L3", "slits_lapped"), ItemKey("fabric", "L3", "apron_turned")

    assert opened == set(round_it)
    again = walk(rocky).checklists["fabric"].by_key
    lapped = edits.tick(rocky, round_it[0], LATER, BY, of=again[round_it[0]].item.of)
    assert states(lapped, *map(str, round_it)) == {str(round_it[0]): "done", str(round_it[1]): "open"}
    assert set(states(larger, *map(str, round_it)).values()) == {"open"}
    assert states(strike(rocky, rocky.log[-1].id, LATER, BY), *map(str, round_it)) == dict.fromkeys(map(str, round_it), "done")


def test_a_rock_where_a_stake_stands_opens_the_stakes_of_its_bay_though_there_are_as_many() -> None:
    """P5 to P6 has five stakes; round a rock at the second it has five as well, at other places. What an older program ticked says only
    how many there are, and counts until an edit writes their places in."""
    done = all_ticked(accepted())
    bay, flush = walk(done).layout.bays["P5-P6"], item_key("staking.P5-P6.flush")
    stations = walk(done).staking.bays["P5-P6"].stations_ft
    rocky = edits.obstacle(done, "rock", bay.line, stations[1], LATER, BY, wide_ft=0.5)
    older = done.checks[flush].of._replace(sizes=tuple(size for size in done.checks[flush].of.sizes if not size.name.endswith("along")))
    old = done.model_copy(update={"checks": {**done.checks, flush: done.checks[flush].model_copy(update={"of": older})}})

    assert [round(at - bay.start_ft, 2) for at in stations] == [3.38, 6.76, 10.14, 13.52, 16.91]
    assert [round(at - bay.start_ft, 2) for at in walk(rocky).staking.bays["P5-P6"].stations_ft] == [3.38, 5.76, 9.76, 13.52, 16.91]
    assert states(rocky, str(flush), "staking.P5-P6.tight", "staking.P6-P7.flush") == {
        str(flush): "open",
        "staking.P5-P6.tight": "done",
        "staking.P6-P7.flush": "done",
    }
    assert states(old, str(flush)) == {str(flush): "done"}
    assert str(with_facts(old, walk(old)).checks[flush].of) == str(done.checks[flush].of)


def test_an_old_file_s_tick_counts_for_what_stood_at_its_time() -> None:
    depth, taped = item_key("posts.P2.driven_depth"), item_key("layout.P1-P2.taped")
    old = edits.tick(edits.tick(accepted(), depth, AT, BY, reading_in=30), taped, AT, BY, reading_ft=20)
    moved = edits.move_post(old, "P2", LATER, BY, along_ft=2)
    back = edits.move_post(moved, "P2", LATER + timedelta(hours=1), BY, along_ft=-2)

    assert set(states(old, str(depth), str(taped)).values()) == {"done"}
    assert set(states(moved, str(depth), str(taped)).values()) == {"open"}
    assert set(states(back, str(depth), str(taped)).values()) == {"done"}
    again = edits.tick(moved, depth, LATER + timedelta(hours=2), BY, reading_in=28)
    assert states(again, str(depth)) == {str(depth): "done"}
    assert [(entry.item, entry.reading_in) for entry in again.log if isinstance(entry, SupersededEntry)] == [(depth, 30.0)]


def test_an_old_file_s_sag_is_open_where_the_corner_of_its_loop_was_left_out() -> None:
    """P9 is a corner, far off the string from P8 to P10; the file doesn't say what its ticks were made for."""
    done = all_ticked(accepted())
    old = done.model_copy(update={"checks": {key: tick.model_copy(update={"of": NO_FACTS}) for key, tick in done.checks.items()}})
    loop = next(loop for loop in walk(old).cables.loops.values() if "P9" in loop.supports[1:-1])
    keys = (f"cables.{loop.id}.sag", f"fabric.{loop.id}.wire_hung", f"fabric.{loop.id}.mesh_hung", "cables.L1.sag")

    assert set(states(old, *keys).values()) == {"done"}
    assert list(states(edits.drop_post(old, "P9", LATER, BY), *keys).values()) == ["open", "open", "open", "done"]


def test_ties_of_another_number_are_to_be_tied_again_and_the_loop_s_other_work_stays() -> None:
    done = all_ticked(accepted())
    loop = next(key.subject for key in done.checks if key.what == "corners_tied")
    fabric = done.rules.fabric.model_copy(update={"tie_corner_in": done.rules.fabric.tie_corner_in / 2})
    closer = done.model_copy(update={"rules": done.rules.model_copy(update={"fabric": fabric})})
    assert states(closer, f"fabric.{loop}.corners_tied", f"fabric.{loop}.mesh_hung") == {
        f"fabric.{loop}.corners_tied": "open",
        f"fabric.{loop}.mesh_hung": "done",
    }
