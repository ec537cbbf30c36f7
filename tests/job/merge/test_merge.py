"""Two versions of a job made into one."""

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit.edits import add_post, drop_post, move_post, obstacle, reopen, sign, tick, untick
from engine.job.edit.entering import rename
from engine.job.errors import NotSaved
from engine.job.file.from_bytes import read_job
from engine.job.file.store import load, new, save
from engine.job.merge.asked import Keep
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.signed_record import Record
from engine.job.model.tick_facts import At, TickFacts
from engine.job.versions.sharing import save_shared
from tests.job.small import HAND_WRITTEN, NOW, SIGNED, note_ids, noted

LATER = NOW + timedelta(hours=1)
DEPTH = item_key("posts.P1.driven_depth")
BASE = read_job(Path("yard.toml"), HAND_WRITTEN.encode()).job
RECORD = Record.model_validate(SIGNED)


def changed(job: Job, **tables: object) -> Job:
    return Job.model_validate({**job.model_dump(), **tables})


def moved(job: Job, **fields: object) -> Job:
    """The job with fields of post P1 changed."""
    return changed(job, posts={"P1": {**job.posts["P1"].model_dump(), **fields}})


def test_what_only_one_side_changed_is_taken():
    merged = merge(BASE, moved(BASE, station_ft=3), changed(BASE, points={**BASE.points, "C": {"east_ft": 9, "north_ft": 9}}))
    assert merged.job.posts["P1"].station_ft == 3.0
    assert merged.job.points["C"].east_ft == 9.0
    assert merged.came_in == ("Point C was added.",)
    assert merged.conflicts == ()


def test_two_fields_of_one_record_are_two_facts():
    merged = merge(BASE, moved(BASE, station_ft=3), moved(BASE, kind="corner"))
    assert (merged.job.posts["P1"].station_ft, merged.job.posts["P1"].kind) == (3.0, "corner")
    assert merged.came_in == ("Post P1 was changed.",)


@pytest.mark.parametrize(("keep", "station_ft"), [("ours", 3.0), ("theirs", 4.0)])
def test_one_fact_changed_on_both_sides_is_asked(keep, station_ft):
    merged = merge(BASE, moved(BASE, station_ft=3), moved(BASE, station_ft=4), keep)
    (conflict,) = merged.conflicts
    assert (conflict.path, conflict.ours, conflict.theirs) == (("posts", "P1", "station_ft"), "3' 0\"", "4' 0\"")
    assert conflict.says == "Post P1, station: here 3' 0\"; on the other side 4' 0\"."
    assert merged.job.posts["P1"].station_ft == station_ft


def test_taken_out_on_one_side_and_changed_on_the_other_is_asked():
    merged = merge(BASE, changed(BASE, posts={}), moved(BASE, station_ft=4))
    assert merged.conflicts[0].says == "Post P1: here it was taken out; on the other side it stands, and was changed."
    assert merged.job.posts == {}


def test_taken_out_on_one_side_only_is_taken_out():
    merged = merge(BASE, BASE, changed(BASE, dogs={}))
    assert merged.job.dogs == {}
    assert merged.came_in == ("Dog rex was taken out.",)


def test_log_entries_of_both_sides_are_kept_by_time_and_id():
    merged = merge(BASE, noted(noted(BASE, "o1"), "o2"), noted(noted(BASE, "t1"), "t2"))
    assert note_ids(merged.job) == ["n1", "o1", "o2", "t1", "t2"]
    assert merged.came_in == ("Logged, by Ana: note t1", "Logged, by Ana: note t2")


def test_two_entries_under_one_id_are_both_kept():
    ours, theirs = noted(BASE, "x"), noted(BASE, "x", minute=5)
    assert note_ids(merge(BASE, ours, theirs).job) == ["n1", "x", "x-2"]


def test_an_entry_that_both_sides_have_is_kept_once():
    both = noted(BASE, "x")
    assert note_ids(merge(BASE, noted(both, "o"), noted(both, "t")).job) == ["n1", "x", "o", "t"]


def test_an_entry_undone_on_either_side_stays_undone():
    undone = changed(BASE, log=())
    assert note_ids(merge(BASE, noted(BASE, "o"), undone).job) == ["o"]
    assert note_ids(merge(BASE, undone, noted(BASE, "t")).job) == ["t"]
    assert len(merge(BASE, BASE, undone).came_in) == 1


def struck(job, at=NOW, by="Ana"):
    return changed(job, log=(*job.log[:-1], job.log[-1].model_copy(update={"struck_at": at, "struck_by": by})))


def test_an_entry_struck_on_either_side_stays_struck_and_is_said():
    assert merge(BASE, noted(BASE, "o"), struck(BASE)).job.log == (*struck(BASE).log, noted(BASE, "o").log[-1])
    assert merge(BASE, struck(BASE), noted(BASE, "t")).job.log == (*struck(BASE).log, noted(BASE, "t").log[-1])
    assert merge(BASE, BASE, struck(BASE)).came_in == ("Taken back: Gate side is soft. (struck 14:05 by Ana)",)


def test_an_entry_that_stands_again_on_one_side_stands_again():
    base = struck(BASE)
    assert merge(base, BASE, noted(base, "t")).job.log[0].struck_at is None
    assert merge(base, noted(base, "o"), BASE).job.log[0].struck_at is None
    assert merge(base, base, BASE).came_in == ("Stands again: Gate side is soft.",)


def test_an_entry_struck_on_both_sides_is_struck_as_it_was_first():
    early, late = struck(BASE, NOW, "Ana"), struck(BASE, LATER, "Bo")
    assert merge(BASE, early, late).job.log == merge(BASE, late, early).job.log == early.log


def test_an_entry_struck_here_and_called_anew_there_is_both():
    base = changed(BASE, log=(*BASE.log[:-1], BASE.log[-1].model_copy(update={"about": "A"})))
    called = rename(base, "points", "A", "A1")
    merged = merge(base, struck(base), called).job.log
    assert merged == merge(base, called, struck(base)).job.log
    assert (merged[-1].about, merged[-1].struck_by) == ("A1", "Ana")


def test_a_new_entry_that_one_side_has_since_struck_is_one_entry():
    both = noted(BASE, "x")
    assert merge(BASE, struck(both), both).job.log == merge(BASE, both, struck(both)).job.log == struck(both).log


def test_of_two_posts_added_under_one_id_a_struck_one_has_its_own_too():
    ours = struck(add_post(BASE, "fence", 20, NOW, "Ana"))
    merged = merge(BASE, ours, add_post(BASE, "fence", 40, NOW, "Bo"))
    assert [(entry.post, entry.by, entry.struck_at is None) for entry in merged.job.log[1:]] == [("P2", "Ana", False), ("P3", "Bo", True)]


@pytest.mark.parametrize(("keep", "kept", "lost"), [("ours", 18.0, 21.0), ("theirs", 21.0, 18.0)])
def test_one_reading_read_twice_is_asked_whatever_the_clock_says(keep, kept, lost):
    early = tick(BASE, DEPTH, NOW, "Ana", reading_in=18)
    late = tick(BASE, DEPTH, LATER, "Bo", reading_in=21)
    merged = merge(BASE, early, late, keep)
    assert [conflict.says for conflict in merged.conflicts] == [
        'P1 driven depth: here 18", by Ana on Nov 25 at 14:05; on the other side 21", by Bo on Nov 25 at 15:05.'
    ]
    assert merged.job.checks[DEPTH].reading_in == kept
    assert lost in [entry.reading_in for entry in merged.job.log if entry.kind == "superseded"]
    for side in (early, late):
        assert merge(side, merged.job, side).job == merged.job
        assert merge(BASE, merged.job, side).conflicts == ()


def test_one_reading_read_alike_by_two_is_the_first_ones_and_not_asked():
    early, late = (tick(BASE, DEPTH, at, by, reading_in=18) for at, by in ((NOW, "Ana"), (LATER, "Bo")))
    for merged in (merge(BASE, early, late), merge(BASE, late, early)):
        assert merged.conflicts == ()
        assert (merged.job.checks[DEPTH].by, merged.job.checks[DEPTH].reading_in) == ("Ana", 18.0)


def test_one_reading_of_two_places_is_asked():
    here, there = (TickFacts((At("P1", east_ft, 0.0),)) for east_ft in (0.0, 2.0))
    early, late = (tick(BASE, DEPTH, NOW, "Ana", reading_in=18, of=of) for of in (here, there))
    (conflict,) = merge(BASE, early, late).conflicts
    assert 'for P1 at 0" E 0" N' in conflict.says
    assert 'for P1 at 2\' 0" E 0" N' in conflict.says


def test_a_tick_taken_back_on_one_side_is_open_and_one_made_again_is_done():
    open_again = untick(BASE, DEPTH, LATER, "Ana")
    again = tick(BASE, DEPTH, LATER, "Bo", reading_in=21)
    assert merge(BASE, BASE, open_again).job.checks == {}
    assert merge(BASE, BASE, open_again).came_in == ("Open again: P1 driven depth.",)
    assert merge(BASE, open_again, BASE).job.checks == {}
    asked = merge(BASE, open_again, again, "theirs")
    assert [conflict.ours for conflict in asked.conflicts] == ["it was opened again"]
    assert asked.job.checks[DEPTH].reading_in == 21.0
    assert DEPTH not in merge(BASE, open_again, again).job.checks


def test_ticks_of_both_sides_are_joined():
    merged = merge(BASE, tick(BASE, item_key("posts.P1.plumb"), NOW, "Ana"), tick(BASE, item_key("gate.G1.latch"), NOW, "Bo"))
    assert list(merged.job.checks) == [DEPTH, item_key("posts.P1.plumb"), item_key("gate.G1.latch")]
    assert merged.came_in == ("Bo ticked G1 latch.",)


def test_posts_that_both_sides_added_under_one_id_are_told_apart():
    ours = tick(move_post(add_post(BASE, "fence", 20, NOW, "Ana"), "P2", NOW, "Ana", along_ft=1), item_key("posts.P2.plumb"), NOW, "Ana")
    theirs = add_post(BASE, "fence", 40, NOW - timedelta(minutes=1), "Bo")
    merged = merge(BASE, ours, theirs)
    assert [(entry.kind, entry.post) for entry in merged.job.log[1:]] == [("add", "P2"), ("add", "P3"), ("move", "P3")]
    assert item_key("posts.P3.plumb") in merged.job.checks
    assert merged.came_in[0] == "Both sides added a post P2: yours is P3 now."
    turned = merge(BASE, theirs, ours)
    assert (turned.job, turned.came_in[0]) == (merged.job, "Both sides added a post P2: theirs is P3 now.")
    assert merge(BASE, merged.job, ours).job == merge(ours, ours, merged.job).job == merged.job


def test_a_job_signed_on_the_other_side_stands_as_signed():
    theirs = sign(BASE, RECORD, NOW, "Bo", "the client")
    merged = merge(BASE, noted(BASE, "o"), theirs)
    assert merged.job == theirs
    assert "signed off on the other side" in merged.conflicts[0].says


def test_a_job_that_changed_while_it_was_signed_is_signed_again():
    merged = merge(BASE, sign(BASE, RECORD, NOW, "Ana", "the client"), noted(BASE, "t"))
    assert merged.job.record is None
    assert note_ids(merged.job) == ["n1", "t"]
    assert "sign again" in merged.conflicts[0].says


def test_without_a_common_start_everything_of_both_is_kept_and_differences_are_asked():
    merged = merge(
        None, moved(BASE, station_ft=3), changed(BASE, dogs={**BASE.dogs, "bo": {"weight_lb": 9, "shoulder_in": 9, "body_in": 9}})
    )
    assert set(merged.job.dogs) == {"rex", "bo"}
    assert [conflict.path for conflict in merged.conflicts] == [("posts", "P1", "station_ft")]


EDITS = (
    lambda job, n: noted(job, f"e{n}"),
    lambda job, n: tick(job, item_key(f"posts.P{n}.plumb"), NOW + timedelta(minutes=n), "Ana"),
    lambda job, n: add_post(job, "fence", n + 2, NOW + timedelta(minutes=n), "Ana"),
    lambda job, n: obstacle(job, "rock", "fence", n, NOW + timedelta(minutes=n), "Bo"),
    lambda job, n: changed(job, points={**job.points, f"K{n}": {"east_ft": 100 + n, "north_ft": 0}}),
)
choices = st.lists(st.tuples(st.integers(0, len(EDITS) - 1), st.integers(0, 9)), max_size=4)


def after(job: Job, chosen: list[tuple[int, int]]) -> Job:
    for which, number in chosen:
        job = EDITS[which](job, number) if f"e{number}" not in note_ids(job) else job
    return job


@given(ours=choices, theirs=choices)
@settings(max_examples=35, deadline=None)
def test_nothing_that_either_side_added_is_lost(ours, theirs):
    one, other = after(BASE, ours), after(BASE, theirs)
    merged = merge(BASE, one, other)
    assert merged.conflicts == ()
    assert set(merged.job.points) == {*one.points, *other.points}
    assert len(merged.job.log) >= max(len(one.log), len(other.log))
    assert {entry.id for entry in merged.job.log} >= {entry.id for entry in (*one.log, *other.log)}
    assert len({entry.post for entry in merged.job.log if entry.kind == "add"}) == sum(entry.kind == "add" for entry in merged.job.log)


@given(ours=choices)
@settings(max_examples=30, deadline=None)
def test_merging_with_a_side_that_changed_nothing_changes_nothing(ours):
    one = after(BASE, ours)
    assert merge(BASE, one, BASE).job == one
    assert merge(BASE, BASE, one).job == one
    assert merge(BASE, one, one).job == one


@pytest.fixture
def two(tmp_path):
    """One file, opened twice."""
    path = tmp_path / "yard.toml"
    new(path, BASE, NOW, state=tmp_path / "state")
    return load(path), load(path), tmp_path / "state"


def test_a_shared_save_brings_both_sides_onto_the_disk(two):
    mine, other, state = two
    save(other, noted(other.job, "theirs"), NOW, state=state)
    shared = save_shared(mine, noted(mine.job, "ours"), NOW, base=mine.job, state=state)
    assert note_ids(load(mine.path).job) == ["n1", "ours", "theirs"]
    assert shared.loaded.job == load(mine.path).job
    assert len(shared.came_in) == 1


def test_a_shared_save_asks_before_it_decides(two):
    mine, other, state = two
    theirs = save(other, moved(other.job, station_ft=4), NOW, state=state)
    asked = save_shared(mine, moved(mine.job, station_ft=3), NOW, base=mine.job, state=state)
    assert len(asked.conflicts) == 1
    assert asked.loaded == load(mine.path)
    assert load(mine.path).digest == theirs.digest
    answered = save_shared(mine, moved(mine.job, station_ft=3), NOW, Keep(otherwise="ours"), base=mine.job, state=state)
    assert answered.conflicts == ()
    assert load(mine.path).job.posts["P1"].station_ft == 3.0


def test_a_shared_save_never_goes_over_a_signed_version(two):
    mine, other, state = two
    signed = save(other, sign(other.job, RECORD, NOW, "Bo", "the client"), NOW, state=state)
    shared = save_shared(mine, noted(mine.job, "ours"), NOW, Keep(otherwise="ours"), base=mine.job, state=state)
    assert [conflict.path for conflict in shared.conflicts] == [("record",)]
    assert load(mine.path).digest == signed.digest
    reopened = reopen(shared.loaded.job, "one more note", NOW, "Ana")
    assert save_shared(shared.loaded, reopened, NOW, base=shared.loaded.job, state=state).conflicts == ()


def test_a_file_spoiled_by_somebody_else_is_left_and_the_work_is_kept_elsewhere(two):
    mine, _, state = two
    mine.path.write_bytes(b"half a fi")
    with pytest.raises(NotSaved, match="can't be read now") as caught:
        save_shared(mine, noted(mine.job, "ours"), NOW, base=mine.job, state=state)
    assert mine.path.read_bytes() == b"half a fi"
    assert note_ids(load(caught.value.rescue).job) == ["n1", "ours"]


@pytest.mark.parametrize(("keep", "stands"), [("ours", "drop"), ("theirs", "move")])
def test_a_dropped_post_that_the_other_side_moved_is_asked_and_both_stay_in_the_log(two, keep, stands):
    mine, other, state = two
    save(other, move_post(other.job, "P1", NOW, "Bo", along_ft=2), NOW, state=state)
    dropped = drop_post(mine.job, "P1", LATER, "Ana")
    (conflict,) = save_shared(mine, dropped, NOW, base=mine.job, state=state).conflicts
    assert conflict.about == "P1"
    save_shared(mine, dropped, NOW, Keep(otherwise=keep), base=mine.job, state=state)
    log = load(mine.path).job.log
    assert [entry.kind for entry in log] == ["note", "move", "drop"]
    assert [entry.kind for entry in log[1:] if entry.struck_at is None] == [stands]
