"""A repair begins from what stands: nothing is open, nothing to load, every post at its place; only what an edit makes new is asked."""

import random
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import distance_ft
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.checklist import ChecklistLine
from engine.job.edit import edits
from engine.job.file.kept_text import kept_job
from engine.job.file.store import Loaded
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import DropEntry
from engine.job.model.stock_table import fabric_ids
from engine.job.model.tick_facts import same_facts
from engine.repair.repair_file import repair_job, write_repair
from engine.stages.cables.loop_items import ROUND_AGAIN
from engine.stages.standing_line import ASKED_AFTER
from engine.walk import Walk, walk
from tests.demo import BY
from tests.paper.crew.test_cut_lists import wrong_in
from tests.repair.finished import SIGNED, YEARS, finished, opened, signed, signed_file
from tests.test_done_means_done import all_ticked, changed

PLACE_FT = 0.002
"""A plan is written to a ten-thousandth of a foot."""


def lines(worked: Walk) -> Mapping[ItemKey, ChecklistLine]:
    return {line.item.key: line for checklist in worked.checklists.values() for line in checklist.lines}


def open_keys(worked: Walk) -> set[ItemKey]:
    return {key for key, line in lines(worked).items() if line.state == "open"}


def needed(worked: Walk) -> dict[str, float]:
    return {row.stock: row.needed for row in worked.takeoff.rows}


def repair_of(job: Job) -> Job:
    """The repair of a job that is signed now, by way of its file."""
    with TemporaryDirectory() as folder:
        signed_file(Path(folder) / "old.toml", job)
        return repair_job(opened(Path(folder) / "old.toml"), state=Path(folder))


@cache
def fresh(name: str) -> Job:
    return repair_of(finished(name))


@cache
def built(name: str, seed: int) -> Job:
    """A demo that was changed while it was built, all ticked in the end."""
    rng, job = random.Random(seed), finished(name)
    for _ in range(rng.randint(0, 3)):
        job = changed(job, rng)
    return all_ticked(job)


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=5, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=653377)
def test_a_fresh_repair_asks_nothing_loads_nothing_and_has_every_post_where_it_stood(name: str, seed: int) -> None:
    old = built(name, seed)
    before, after = walk(old), walk(repair_of(old))
    assert open_keys(after) == set()
    assert all(row.needed == row.used == row.packs == row.short == 0 for row in after.takeoff.rows)
    for post, support in after.layout.supports.items():
        assert distance_ft(support.xy, before.layout.supports[post].xy) <= PLACE_FT, post
        assert (support.kind, support.support, support.at, support.gate) == (
            before.layout.supports[post].kind, before.layout.supports[post].support, before.layout.supports[post].at,
            before.layout.supports[post].gate,
        )  # fmt: skip
    assert list(after.layout.supports) == list(before.layout.supports)
    assert {name: loop.supports for name, loop in after.cables.loops.items()} == {
        name: loop.supports for name, loop in before.cables.loops.items()
    }
    assert {key for key, line in lines(before).items() if line.state == "done"} <= {
        key for key, line in lines(after).items() if line.state == "done"
    } | {key for key in lines(before) if key.what in ("old_sleeve", "marks_called", "marks_seen")}


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_after_any_edits_only_what_is_about_something_new_is_open(name: str, seed: int) -> None:
    rng, start = random.Random(seed), fresh(name)
    job = start
    for _ in range(rng.randint(1, 3)):
        job = changed(job, rng)
    after = walk(job)
    asked_each_visit = {"marks_called", "marks_seen", "offcuts_picked_up", "care_notes", "client_accepts"}
    was = {key: line.item.of for key, line in lines(walk(start)).items()}
    for key in open_keys(after):
        opened_by_a_new_way = key not in job.checks
        same = key in was and not opened_by_a_new_way and same_facts(was[key], lines(after)[key].item.of)
        asked_after = {stage for stage in ASKED_AFTER.get(key.what, ()) if after.checklists[stage].open_items}
        assert not same or key.what in asked_each_visit or asked_after, key
    assert {key for key, line in lines(after).items() if line.tick is not None and line.was is None} <= was.keys()
    assert wrong_in(job) == []


@pytest.mark.independent
def test_a_post_that_is_moved_is_loaded_anew_and_nothing_of_what_stands() -> None:
    start = fresh("willow_bend")
    loop = next(loop for loop in walk(start).cables.loops.values() if len(loop.supports) > 2)
    job = edits.move_post(start, loop.supports[1], YEARS, BY, along_ft=2)
    after = walk(job)
    row, fence = needed(after), start.fence
    wire, mesh = fabric_ids(fence)
    assert (row[fence.post], row[fence.sleeve]) == (1, 1)
    assert (row[wire], row[mesh]) == (after.fabric.loops[loop.id].wire_cut_ft, after.fabric.loops[loop.id].mesh_cut_ft)
    assert {roll.piece_ids for roll in after.fabric.wire_rolls.rolls} == {(loop.id,)}
    assert not {fence.cable, fence.brace, fence.gate_tube} & row.keys()
    assert ItemKey("cables", loop.id, "cut_length") not in open_keys(after)
    done = walk(all_ticked(job))
    used = {row.stock: row.used for row in done.takeoff.rows}
    assert used == pytest.approx(needed(done), abs=0.01)


def test_marks_and_the_closing_walk_are_asked_once_something_is_driven() -> None:
    start = fresh("willow_bend")
    assert not [finding for finding in walk(start).findings if finding.code in ("notice_not_called", "marks_not_seen")]
    loop = next(loop for loop in walk(start).cables.loops.values() if len(loop.supports) > 2)
    after = walk(edits.move_post(start, loop.supports[1], YEARS, BY, along_ft=2))
    assert [finding.level for finding in after.findings if finding.code == "notice_not_called"] == ["stop"]
    asked = {(key.stage, key.what) for key in open_keys(after)}
    assert {("survey", "marks_seen"), ("punch", "care_notes"), ("punch", "client_accepts"), ("posts", "old_sleeve")} <= asked
    assert ("survey", "dogs_asked") not in asked


def test_marks_hold_back_only_what_is_driven_anew() -> None:
    start = fresh("willow_bend")
    assert {name for name, work in walk(start).posts.work.items() if "marks" in work.why_not} == set()
    added = edits.add_post(edits.move_post(start, "P11", YEARS, BY, along_ft=2), "back", 236.0, YEARS, BY)
    assert {name for name, work in walk(added).posts.work.items() if "marks" in work.why_not} == {"P11", edits.next_post_id(start)}


def test_what_was_found_before_is_told_as_a_note_and_what_an_edit_brings_is_not() -> None:
    start = fresh("willow_bend")
    assert [finding for finding in walk(start).findings if finding.level != "note" and finding.stage != "punch"] == []
    told = [finding.says for finding in walk(start).findings if finding.says.startswith("As it stood: ")]
    assert told
    assert all(says.endswith("Left so then: the client knows") for says in told)
    again = walk(repair_of(start))
    assert [finding.says for finding in again.findings if finding.says.startswith("As it stood: ")] == told


def test_two_supports_at_one_place_keep_their_order() -> None:
    """Round one trunk: the loops between them are what they were, and so are their ticks."""
    done = finished("willow_bend")
    tree = next(support.at for support in walk(done).layout.supports.values() if support.support == "tree")
    loop = next(loop for loop in walk(done).cables.loops.values() if len(loop.supports) > 3)
    assert tree is not None
    old = all_ticked(edits.swap_to_tree(done, loop.supports[1], tree, SIGNED, BY))
    mend = repair_of(old)
    assert list(walk(mend).layout.supports) == list(walk(old).layout.supports)
    assert {name: loop.supports for name, loop in walk(mend).cables.loops.items()} == {
        name: loop.supports for name, loop in walk(old).cables.loops.items()
    }
    assert {tick.state for tick in mend.checks.values()} == {"done"}


def test_a_line_ends_on_the_support_it_ended_on_though_that_was_moved_out_of_a_move_s_reach() -> None:
    old = all_ticked(edits.move_post(finished("ridge_ring"), "P15", SIGNED, BY, along_ft=-1.5, out_ft=3.5))
    ends = {name: line.supports for name, line in walk(old).layout.lines.items()}
    assert ends["split"][-1] == "P15"
    assert {name: line.supports for name, line in walk(repair_of(old)).layout.lines.items()} == ends


@pytest.mark.parametrize(("east_ft", "north_ft"), [(0.0, -8.0), (12.0, -3.0), (0.0, 9.0)])
def test_a_line_ends_at_the_tree_that_its_support_was_put_onto_in_the_first_job_and_in_its_repair(east_ft: float, north_ft: float) -> None:
    """A post of the other line stands 7 ft from where they meet: nearer than the tree."""
    done = finished("ridge_ring")
    east, north = walk(done).layout.supports["P15"].xy
    oak = done.trees["ash"].model_copy(update={"point": "OAK"})
    points = {
        **done.points,
        "OAK": next(iter(done.points.values())).model_copy(update={"east_ft": east + east_ft, "north_ft": north + north_ft}),
    }
    done = done.model_copy(update={"points": points, "trees": {**done.trees, "oak": oak}})
    old = all_ticked(edits.swap_to_tree(done, "P15", "oak", SIGNED, BY))
    mend = repair_of(old)
    assert mend.posts["P15"].meant_ft == pytest.approx(walk(old).layout.supports["P15"].meant_ft)
    for job in (old, mend, repair_of(all_ticked(mend))):
        laid = walk(job)
        assert laid.layout.lines["split"].supports == ("P5", "P21", "P22", "P23", "P24", "P15")
        elsewhere = given_up(job, laid, NewWay("P18", "P20"), YEARS)
        assert walk(with_new_way(job, laid, elsewhere, YEARS, BY)).layout.lines["split"].supports[-1] == "P15"
        out = walk(edits.drop_post(job, "P15", YEARS, BY))
        assert out.layout.lines["split"].supports[-1] == "P24"


@pytest.mark.parametrize("job", [lambda: finished("ridge_ring"), lambda: fresh("ridge_ring")])
def test_a_loop_cut_for_a_new_way_asks_to_go_round_again(job: Callable[[], Job]) -> None:
    """Its neighbours gave while it was down, though every loop ends where it ended."""
    laid = walk(job())
    loop = next(loop for loop in laid.cables.loops.values() if len(loop.supports) == 3)
    way = given_up(job(), laid, NewWay(loop.supports[0], loop.supports[-1]), YEARS)
    after = with_new_way(job(), laid, way, YEARS, BY)
    assert ROUND_AGAIN not in open_keys(laid)
    assert ROUND_AGAIN in open_keys(walk(after))


def test_an_open_loop_is_called_as_it_was_and_what_was_done_at_it_stays() -> None:
    """A loop whose end came out leaves its name in the ticks, and an open loop is counted past it; the repair doesn't hold those ticks."""
    done = finished("willow_bend")
    last = list(walk(done).cables.loops.values())[-1]
    old = all_ticked(edits.drop_post(done, last.supports[0], SIGNED, BY))
    called = next(name for name, loop in walk(old).cables.loops.items() if loop.supports[-1] == last.supports[-1])
    assert called not in walk(done).cables.loops
    old = edits.untick(old, ItemKey("cables", called, "closed"), SIGNED, BY)
    mend = repair_of(old)
    assert walk(mend).cables.loops[called].supports == walk(old).cables.loops[called].supports
    for stage, what in (("cables", "cut_length"), ("cables", "sag"), ("fabric", "wire_hung")):
        was, now = old.checks[ItemKey(stage, called, what)], mend.checks[ItemKey(stage, called, what)]
        assert (now.state, now.at, now.reading) == ("done", was.at, was.reading)
    assert mend.checks[ItemKey("cables", called, "closed")].state == "left open"


@pytest.mark.parametrize("units", ["feet-inches", "metres"])
def test_what_was_found_before_is_told_as_a_note_in_either_units(units: str) -> None:
    start = fresh("willow_bend")
    other = walk(start.model_copy(update={"job": start.job.model_copy(update={"units": units})}))
    assert [finding.says for finding in other.findings if finding.level != "note" and finding.stage != "punch"] == []
    assert other.punch.unfinished == walk(start).punch.unfinished


def test_what_came_out_is_gone_and_its_name_is_not_given_again() -> None:
    done = finished("willow_bend")
    post = next(loop for loop in walk(done).cables.loops.values() if len(loop.supports) > 2).supports[1]
    left_out = all_ticked(edits.drop_post(edits.add_post(done, "back", 100.0, SIGNED, BY), post, SIGNED, BY))
    mend = repair_of(left_out)
    assert post not in mend.posts
    assert mend.repair_of is not None
    assert post in mend.repair_of.gone
    assert not any(isinstance(entry, DropEntry) for entry in mend.log)
    assert not any(key.subject == post for key in mend.checks)
    last = max(int(name[1:]) for name in (*mend.posts, *mend.repair_of.gone) if name[1:].isdigit())
    assert edits.next_post_id(mend) == f"P{last + 1}"


def test_the_last_name_of_a_job_before_is_not_given_again() -> None:
    done = finished("willow_bend")
    added = edits.next_post_id(done)
    assert added == "P17"
    old = all_ticked(edits.drop_post(all_ticked(edits.add_post(done, "back", 100.0, SIGNED, BY)), added, YEARS, BY))
    assert edits.next_post_id(repair_of(old)) == "P18"


def test_a_repair_of_a_repair_keeps_both_records_and_both_seals(tmp_path: Path) -> None:
    state = tmp_path / "state"
    signed_file(tmp_path / "old.toml", finished("willow_bend"))
    first = write_repair(tmp_path / "old.toml", tmp_path / "first.toml", state=state)
    post = next(loop for loop in walk(first.job).cables.loops.values() if len(loop.supports) > 2).supports[1]
    again = signed_again(tmp_path / "first.toml", all_ticked(edits.move_post(first.job, post, YEARS, BY, along_ft=2), YEARS))
    second = write_repair(tmp_path / "first.toml", tmp_path / "second.toml", state=state)
    assert open_keys(walk(second.job)) == set()
    assert second.job.job.title == first.job.job.title
    kept = opened(tmp_path / "second.toml").job.repair_of
    assert kept is not None
    inner = kept_job(kept)
    assert (inner.seal_holds, inner.job) == (True, again.job)
    assert inner.job.repair_of is not None
    assert kept_job(inner.job.repair_of).seal_holds is True
    assert [sleeve.post for sleeve in kept.sleeves.values()] == [post]


def signed_again(path: Path, job: Job) -> Loaded:
    from engine.job.file.store import save

    return save(opened(path), signed(job, YEARS), state=path.parent / "state")
