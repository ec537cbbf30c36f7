"""Two copies whose common version was kept nowhere: what a log entry took out or moved stays so, whichever copy is named first."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.edit.plan_taken_back import plan_taken_back
from engine.job.merge.asked import Conflict, Keep, Side
from engine.job.merge.began import facts_of
from engine.job.merge.lone_facts import LoneFacts
from engine.job.merge.merge import WHOLE, Merged, merge
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    DropEntry,
    PlacedEntry,
    PlannedEntry,
    RerouteEntry,
    SupersededEntry,
    SwapEntry,
    current_entries,
    live,
)
from engine.job.model.words.key_words import item_words
from engine.walk import walk
from tests.demo import AT
from tests.job.merge.test_merge_law import (
    ADD,
    AGAIN,
    CLOSED,
    DROP,
    MOVE,
    NEW_WAY,
    NO_PLACE,
    READ,
    START,
    STRIKE,
    TAPED,
    UNTICK,
    about,
    after,
    as_read,
    chains,
    nothing_is_lost,
    said,
)

Chain = list[tuple[str, int, int]]
TREE = (30.0, 60.0)
"""Where the one tree stands that a post is swapped for."""


@given(start=chains, ours=chains, theirs=chains, keep=st.booleans())
@example(start=[], ours=[NEW_WAY], theirs=[ADD], keep=True)
@example(start=[], ours=[NEW_WAY], theirs=[("note", 0, 0)], keep=True)
@example(start=[], ours=[MOVE, AGAIN], theirs=[("move", 2, 2)], keep=True)
@example(start=[], ours=[AGAIN], theirs=[("note", 0, 0)], keep=False)
@example(start=[DROP], ours=[NEW_WAY], theirs=[STRIKE, MOVE], keep=True)
@example(start=[NEW_WAY], ours=[STRIKE], theirs=[MOVE], keep=True)
@example(start=[NEW_WAY], ours=[STRIKE, AGAIN], theirs=[READ], keep=False)
@example(start=[NEW_WAY], ours=[STRIKE], theirs=[STRIKE, NEW_WAY], keep=False)
@example(start=[AGAIN], ours=[STRIKE, AGAIN], theirs=[ADD], keep=False)
@example(start=[READ], ours=[UNTICK], theirs=[ADD], keep=False)
@example(start=[("tick", 0, 0)], ours=[("open", 0, 0)], theirs=[ADD], keep=False)
@example(start=[("tick", 0, 0), ("note", 0, 1)], ours=[("open", 0, 0)], theirs=[ADD], keep=True)
@example(start=[CLOSED, TAPED], ours=[MOVE, NEW_WAY], theirs=[MOVE, AGAIN, TAPED], keep=True)
@example(start=[("new way", 4, 2), ("swap", 0, 3), ("again", 5, 2)], ours=[], theirs=[("again", 5, 2), ("survey", 0, 3)], keep=False)
@example(start=[MOVE], ours=[STRIKE], theirs=[("swap", 1, 0), AGAIN], keep=True)
@example(start=[ADD, NEW_WAY], ours=[], theirs=[STRIKE], keep=False)
@example(start=[MOVE, NEW_WAY], ours=[], theirs=[STRIKE], keep=True)
@example(start=[DROP, NEW_WAY], ours=[], theirs=[STRIKE], keep=True)
@example(start=[], ours=[("new way", 5, 0), ("new way", 5, 0)], theirs=[("add", 2, 3)], keep=True)
@example(start=[READ], ours=[READ, UNTICK], theirs=[], keep=False)
@settings(max_examples=30, deadline=None)
def test_without_a_kept_ancestor_the_logs_tell_what_stands(start: Chain, ours: Chain, theirs: Chain, keep: bool) -> None:
    base = after(START, start, "Ana", 0)
    one, other = after(base, ours, "Ana", 20), as_read(after(base, theirs, "Bo", 22))
    merged = merge(None, one, other, "ours" if keep else "theirs")
    turned = merge(None, other, one, "theirs" if keep else "ours")
    assert as_read(merged.job) == merged.job
    assert said(merged.job) == said(turned.job)
    assert len(merged.conflicts) == len(turned.conflicts)
    nothing_is_lost(base, one, other, merged)
    _none_comes_back(one, other, merged)
    _what_was_opened_is_told(base, (one, other), merged)
    known = merge(base, one, other)
    if not (merged.conflicts or known.conflicts):
        assert (facts_of(merged.job), _logged(merged.job)) == (facts_of(known.job), _logged(known.job))
    for side in (one, other) if not merged.conflicts else ():
        again = merge(None, merged.job, side)
        assert said(again.job) == said(merged.job)


@given(start=chains, ours=chains, theirs=chains, sides=st.lists(st.booleans(), min_size=12, max_size=12))
@example(start=[], ours=[("tick", 4, 0)], theirs=[AGAIN, ("drop", 3, 0)], sides=[True] * 12)
@example(start=[], ours=[NEW_WAY], theirs=[(NO_PLACE, 0, 0), AGAIN], sides=[True] * 12)
@example(start=[("move", 3, 0)], ours=[("move", 2, 0)], theirs=[("move", 9, 0), STRIKE, NEW_WAY], sides=[True, *[False] * 11])
@settings(max_examples=35, deadline=None)
def test_without_a_kept_ancestor_each_answer_gives_the_same_job(start: Chain, ours: Chain, theirs: Chain, sides: list[bool]) -> None:
    base = after(START, start, "Ana", 0)
    one, other = after(base, ours, "Ana", 20), after(base, theirs, "Bo", 22)
    answers: dict[Conflict, Side] = {}
    merged = merge(None, one, other)
    while fresh := [asked for asked in merged.conflicts if asked not in answers]:
        answers |= {asked: "ours" if sides[(len(answers) + n) % 12] else "theirs" for n, asked in enumerate(fresh)}
        merged = merge(None, one, other, Keep(answers))
    turned: dict[Conflict, Side] = {
        asked if asked.path == WHOLE else replace(asked, ours=asked.theirs, theirs=asked.ours): "theirs" if side == "ours" else "ours"
        for asked, side in answers.items()
    }
    assert said(merge(None, other, one, Keep(turned)).job) == said(merged.job)
    nothing_is_lost(base, one, other, merged)
    _none_comes_back(one, other, merged)


def _left_out_no_more(one: Job, other: Job, merged: Job) -> list[tuple[float, float]]:
    """Where each post that a copy logged as left out stands in it without that entry, where that was struck as both were joined."""
    stands = {entry.id for entry in live(merged.log)}
    found = []
    for side in (one, other):
        for entry in live(side.log):
            if isinstance(entry, DropEntry) and entry.id not in stands:
                without = side.model_copy(update={"log": tuple(each for each in side.log if each is not entry)})
                found += [support.xy for name, support in walk(without).layout.supports.items() if name == entry.post]
    return found


def _before_plans_not_kept(side: Job, merged: Job) -> list[tuple[float, float]]:
    """Where supports of a copy stood before each of its plans since that the joined job has not: what it gave up stands again."""
    stands = {entry.id for entry in live(merged.log)}
    found: list[tuple[float, float]] = []
    for plan in reversed([entry for entry in live(side.log) if isinstance(entry, PlannedEntry | RerouteEntry)]):
        if plan.id in stands:
            break
        side = plan_taken_back(side, plan, plan.at, plan.by)
        found += [support.xy for support in walk(side).layout.supports.values()]
    return found


def _logged(job: Job) -> list[object]:
    """The log in its order, but for what was ticked anew."""
    return [entry for entry in job.log if not isinstance(entry, SupersededEntry)]


def _what_was_opened_is_told(base: Job, sides: tuple[Job, Job], merged: Merged) -> None:
    """A tick that one copy opened again stands only where that is asked or told."""
    for side, lone in zip(sides, merged.lone[::-1], strict=True):
        for key in base.checks.keys() & merged.job.checks.keys() - side.checks.keys():
            if merged.job.checks[key] == base.checks[key]:
                assert item_words(key) in lone.ticks or merged.conflicts, key


def _none_comes_back(one: Job, other: Job, merged: Merged) -> None:
    """No support stands where neither copy has it or logged it, and none that an entry which stands took out."""
    stand = {name: support.xy for name, support in walk(merged.job).layout.supports.items()}
    there = [walk(side).layout.supports for side in (one, other)]
    if one.points == other.points == START.points:
        held = [support.xy for supports in there for support in supports.values()]
        held += [entry.place for entry in live(merged.job.log) if isinstance(entry, PlacedEntry) and entry.place]
        held += [TREE for entry in live(merged.job.log) if isinstance(entry, SwapEntry)]
        held += _left_out_no_more(one, other, merged.job)
        held += [xy for side in (one, other) for xy in _before_plans_not_kept(side, merged.job)]
        for name, at in stand.items():
            assert min(math.dist(at, xy) for xy in held) < 0.01, (name, at, about(merged))
    current = {entry.id for entry in current_entries(merged.job.log)}
    for entry in live(merged.job.log):
        gone: tuple[str, ...] = ()
        if isinstance(entry, PlannedEntry | RerouteEntry):
            gone = (*getattr(entry, "gone", ()), *getattr(entry, "out", ()))
        elif isinstance(entry, DropEntry) and entry.id in current:
            gone = (entry.post,)
        assert not set(gone) & stand.keys(), (entry.kind, gone, about(merged))


PLUMB = ItemKey("posts", "P1", "plumb")
TICKED = edits.tick(START, PLUMB, AT, "Ana")
LATER = AT + timedelta(minutes=20)


def without(job: Job, table: str, name: str) -> Job:
    return job.model_copy(update={table: {key: row for key, row in getattr(job, table).items() if key != name}})


@pytest.mark.parametrize("keep", ["ours", "theirs"])
def test_what_was_opened_again_after_both_saw_more_of_its_maker_is_asked(keep: Side) -> None:
    """Ana's note is in both, so her tick before it was too."""
    base = edits.note(TICKED, "soft ground", AT + timedelta(minutes=5), "Ana")
    opened, other = edits.untick(base, PLUMB, LATER, "Bo"), edits.note(base, "hi", LATER, "Ana")
    merged = merge(None, opened, other, keep)
    assert [(conflict.path, conflict.ours) for conflict in merged.conflicts] == [(("checks", str(PLUMB)), "it isn't ticked")]
    assert (PLUMB in merged.job.checks) == (keep == "theirs")


@pytest.mark.parametrize("tells_of_it", [PLUMB._replace(what="driven_depth"), None])
def test_what_was_ticked_by_a_clock_that_was_a_day_behind_was_never_opened_again(tells_of_it: ItemKey | None) -> None:
    """What Ana logged or read on the one laptop alone tells that all she did there by that clock came after the laptops parted."""
    base = edits.note(START, "soft ground", AT + timedelta(days=1), "Ana")
    behind = edits.tick(base, PLUMB, LATER, "Ana")
    told = edits.tick(behind, tells_of_it, LATER, "Ana", reading_in=31.0) if tells_of_it else edits.note(behind, "hi", LATER, "Ana")
    went_on = edits.note(base, "on", AT + timedelta(days=1, hours=2), "Bo")
    merged, turned = merge(None, told, went_on), merge(None, went_on, told)
    assert (merged.conflicts, turned.conflicts) == ((), ())
    assert said(merged.job) == said(turned.job)
    assert merged.job.checks == told.checks


def test_what_may_have_been_opened_or_taken_out_is_told_alike_in_both_orders() -> None:
    opened = without(edits.untick(TICKED, PLUMB, LATER, "Bo"), "trees", "oak")
    other = edits.note(TICKED, "hi", LATER, "Ana")
    told = LoneFacts(("Tree oak",), ("P1 plumb",))
    merged, turned = merge(None, opened, other), merge(None, other, opened)
    assert (merged.job, merged.conflicts, merged.lone) == (turned.job, (), turned.lone[::-1])
    assert merged.lone == (LoneFacts(), told)
    assert told.says("b.toml", "a.toml") == (
        "Only b.toml has Tree oak. It is kept; whether a.toml took it out isn't known.",
        "Ticked only in b.toml: P1 plumb. It is kept; whether a.toml opened it again isn't known.",
    )


def test_a_new_way_of_an_older_program_is_asked_where_its_plan_differs() -> None:
    """It doesn't tell what stood before it, so which plan is newer isn't known."""
    way = after(START, [NEW_WAY], "Ana", 0)
    older = way.model_copy(update={"log": tuple(entry.model_copy(update={"before": None, "after": None}) for entry in way.log)})
    other = edits.note(START, "hi", LATER, "Bo")
    kept, gone = merge(None, older, other, "ours"), merge(None, older, other, "theirs")
    assert [[conflict.path for conflict in merged.conflicts] for merged in (kept, gone)] == [[("plan",)], [("plan",)]]
    assert (set(kept.job.posts), set(gone.job.posts)) == (set(way.posts), set(START.posts))
    assert [live(merged.job.log)[0].kind for merged in (kept, gone)] == ["reroute", "note"]
    for merged, side in ((kept, "theirs"), (gone, "ours")):
        assert said(merge(None, other, older, side).job) == said(merged.job)
