"""One thing ticked alike on two laptops: both names and hours are kept, and nothing is asked."""

from datetime import timedelta
from itertools import permutations
from pathlib import Path

from engine.change.older_ticks import with_facts
from engine.job.edit.edits import note, photos_of_tick, superseded_entry, tick, untick
from engine.job.edit.striking import strike
from engine.job.file.from_bytes import read_job
from engine.job.merge.merge import merge
from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import SupersededEntry
from engine.job.model.words.log_sentences import sentence
from engine.walk import walk
from tests.demo import accepted
from tests.job.merge.test_merge_law import said
from tests.job.small import HAND_WRITTEN, NOW

LATER = NOW + timedelta(hours=1)
PLUMB = item_key("posts.P1.plumb")
BASE = read_job(Path("yard.toml"), HAND_WRITTEN.encode()).job


def test_one_thing_ticked_alike_by_two_keeps_both_names_and_hours_and_is_not_asked() -> None:
    early, late = (tick(BASE, PLUMB, at, by) for at, by in ((NOW, "Ana"), (LATER, "Bo")))
    merged, turned = merge(BASE, early, late), merge(BASE, late, early)
    assert (merged.conflicts, turned.job, turned.conflicts) == ((), merged.job, ())
    assert (merged.job.checks[PLUMB].at, merged.job.checks[PLUMB].by) == (NOW, "Ana")
    assert (merged.came_in, turned.came_in) == (("Bo ticked P1 plumb too.",), ("Ana ticked P1 plumb too.",))
    second = merged.job.log[-1]
    assert isinstance(second, SupersededEntry)
    assert (second.item, second.done_at, second.done_by, second.alike) == (PLUMB, LATER, "Bo", True)
    assert sentence(second) == "P1 plumb: done too, ticked on Nov 25 by Bo."
    for side in (early, late):
        for again in (merge(BASE, merged.job, side), merge(BASE, side, merged.job), merge(None, merged.job, side)):
            assert (again.job, again.conflicts) == (merged.job, ())


def test_what_was_ticked_anew_as_before_is_told_with_what_was_read_again() -> None:
    """It came in, with another name and hour, though nothing else of it differs."""
    depth = item_key("posts.P1.driven_depth")
    base = tick(tick(BASE, depth, NOW, "Ana", reading_in=30), PLUMB, NOW, "Ana")
    anew = tick(tick(base, depth, LATER, "Bo", reading_in=30), PLUMB, LATER, "Bo")
    for ours in (base, note(base, "soft", LATER, "Ana")):
        merged = merge(base, ours, anew)
        assert (merged.came_in, merged.conflicts) == (('Bo ticked P1 driven depth 30" and P1 plumb again.',), ())
        assert merge(base, merged.job, anew).came_in == ()


def test_what_no_longer_stands_goes_by_the_id_that_older_programs_gave_it() -> None:
    assert superseded_entry(PLUMB, Tick(at=NOW, by="Ana"), NOW, "Bo", opened=True).id == "261125-140500-b-8a49"


def test_of_three_that_ticked_one_thing_all_are_kept_whoever_is_taken_in_first() -> None:
    sides = [tick(BASE, PLUMB, NOW + timedelta(minutes=n), by) for n, by in enumerate(("Ana", "Bo", "Cy"))]
    ends = {repr(merge(BASE, merge(BASE, one, two).job, three).job) for one, two, three in permutations(sides)}
    assert len(ends) == 1
    whole = merge(BASE, merge(BASE, *sides[1:]).job, sides[0]).job
    assert [whole.checks[PLUMB].by, *(entry.done_by for entry in whole.log if isinstance(entry, SupersededEntry))] == ["Ana", "Bo", "Cy"]


def test_a_second_tick_that_is_struck_stays_struck_and_one_that_was_opened_again_stays_open() -> None:
    early, late = (tick(BASE, PLUMB, at, by) for at, by in ((NOW, "Ana"), (LATER, "Bo")))
    merged = merge(BASE, early, late).job
    struck = strike(merged, merged.log[-1].id, LATER, "Ana")
    assert struck.checks == merged.checks
    assert merge(BASE, struck, late).job == struck
    opened = untick(merged, PLUMB, LATER, "Ana")
    for base in (BASE, None):
        for joined in (merge(base, opened, late), merge(base, late, opened)):
            assert (PLUMB in joined.job.checks, joined.conflicts) == (False, ())


def test_a_reading_that_was_taken_in_and_taken_back_stays_so_whichever_is_named_first() -> None:
    """Bo read 28" where Ana had 30"; Ana took that in and struck it. A photo that Bo adds to it meanwhile stays to be seen."""
    depth = item_key("posts.P1.driven_depth")
    base = tick(BASE, depth, NOW, "Ana", reading_in=30)
    anew = tick(base, depth, LATER, "Bo", reading_in=28)
    back = strike(merge(base, base, anew).job, anew.log[-1].id, LATER, "Ana")
    shown = photos_of_tick(anew, depth, ("hole.jpg",))
    for start in (base, None):
        for joined in (merge(start, back, shown), merge(start, shown, back)):
            assert (joined.job.checks[depth].reading_in, joined.conflicts) == (30, ())
        assert said(merge(start, back, shown).job) == said(merge(start, shown, back).job)


def test_a_tick_from_before_a_reading_is_one_tick_though_each_read_another_length_since() -> None:
    """The foot was solid before its length was read: each laptop's first edit since writes its own length into that tick, and only the
    length is asked."""
    start = accepted()
    solid, foot = (
        next(line.item for line in walk(start).checklists["bracing"].lines if line.item.key.what == what) for what in ("solid_a", "foot_a")
    )
    base = tick(start, solid.key, NOW, "Ana", of=solid.of)
    read = [tick(base, foot.key, LATER, by, reading_ft=feet, of=foot.of) for by, feet in (("Ana", 5.08), ("Bo", 4.92))]
    ours, theirs = (with_facts(one, walk(one)) for one in read)
    assert ours.checks[solid.key] != theirs.checks[solid.key]
    for before in (base, None):
        merged, turned = merge(before, ours, theirs), merge(before, theirs, ours)
        assert [conflict.path for conflict in (*merged.conflicts, *turned.conflicts)] == [("checks", str(foot.key))] * 2
        assert not [entry for entry in merged.job.log if isinstance(entry, SupersededEntry) and entry.item == solid.key]
        assert walk(merged.job).checklists["bracing"].by_key[solid.key].tick is not None
