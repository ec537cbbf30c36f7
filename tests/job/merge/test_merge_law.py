"""The law of two laptops: whichever copy is named first, the same job; nothing of either is lost unasked; merging again changes nothing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.edit.striking import in_the_way, strike
from engine.job.errors import EditRefused
from engine.job.file.as_read import as_read
from engine.job.file.job_tables import seal_digest, tables_of
from engine.job.file.log_order import by_effect
from engine.job.merge.asked import Conflict, Keep, Side
from engine.job.merge.merge import WHOLE, Merged, merge
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import OfPost, PlannedEntry, RerouteEntry, SupersededEntry, live, posts_since, unstruck
from engine.job.model.signed_record import Record
from engine.walk import walk
from tests.demo import AT
from tests.job.small import SIGNED
from tests.stages.flat_yards import posts, straight

TREES = {"oak": {"point": "N", "diameter_in": 14}}
LOOSE = ("layout", "cables", "fabric")
"""Stages of which a new plan opens ticks."""
NO_PLACE = "add of an older program"
"""Which wrote no place beside the station of what was logged."""
Step = tuple[str, int, int]
Chain = list[Step]
START = straight(120.0, {"N": (30.0, 60.0)}, posts=posts("n", *range(0, 121, 20)), trees=TREES)


def _post(job: Job, n: int) -> str:
    standing = posts_since(job.posts, job.log).standing
    if not standing:
        raise EditRefused("no post stands")
    return standing[n % len(standing)]


def _record(job: Job, table: str, name: str, **fields: object) -> Job:
    rows = getattr(job, table)
    return job.model_copy(update={table: {**rows, name: rows[name].model_copy(update=fields)}})


def _strike(job: Job, n: int, at: object, by: str) -> Job:
    standing = [entry for entry in live(job.log) if not in_the_way(job, entry)]
    if not standing:
        raise EditRefused("nothing to strike")
    return strike(job, standing[n % len(standing)].id, at, by)  # type: ignore[arg-type]  # a time


def _again(job: Job, _: int, at: object, by: str) -> Job:
    return accepted_again(job, fresh_layout(job, walk(job)), at, by)  # type: ignore[arg-type]  # a time


def _reading(job: Job, n: int, at: object, by: str) -> Job:
    key = ItemKey("posts", _post(job, n), "driven_depth")
    return edits.tick(job, key, at, by, reading_in=28.0 + n)  # type: ignore[arg-type]  # a time


def _new_way(job: Job, n: int, at: object, by: str) -> Job:
    before = walk(job)
    way = NewWay(*(("P2", "P5") if n % 2 else ("P3", "P5")), ("N",))
    return with_new_way(job, before, given_up(job, before, way, at), at, by)  # type: ignore[arg-type]  # a time


def _tick_any(job: Job, n: int, at: object, by: str) -> Job:
    """Something of a loop, a bay or a flag, with its facts; read or not."""
    lines = [line for checklist in walk(job).checklists.values() for line in checklist.lines if line.item.key.stage in LOOSE]
    item = lines[(7 * n) % len(lines)].item
    reading = {f"reading_{item.reading.unit}": 20.0 + n} if item.reading else {}
    return edits.tick(job, item.key, at, by, of=item.of, **reading)  # type: ignore[arg-type]  # a time, a length


EDITS: dict[str, Callable[..., Job]] = {
    "tick": lambda job, n, at, by: edits.tick(job, ItemKey("posts", _post(job, n), "plumb"), at, by),
    "reading": _reading,
    "tick any": _tick_any,
    "loop closed": lambda job, n, at, by: edits.tick(job, ItemKey("cables", f"L{n % 3 + 1}", "closed"), at, by),
    "untick": lambda job, n, at, by: edits.untick(job, ItemKey("posts", _post(job, n), "driven_depth"), at, by),
    "open": lambda job, n, at, by: edits.untick(job, ItemKey("posts", _post(job, n), "plumb"), at, by),
    "not needed": lambda job, n, at, by: edits.tick(job, ItemKey("posts", _post(job, n), "driven_depth"), at, by, needed=False),
    "move": lambda job, n, at, by: edits.move_post(job, _post(job, n), at, by, along_ft=0.5 * (n + 1), out_ft=n % 2),
    "add": lambda job, n, at, by: edits.add_post(job, "n", 5.0 + 20 * n, at, by, offset_ft=n % 2),
    NO_PLACE: lambda job, n, at, by: edits.add_post(job, "n", 13.0 + 19 * n, at, by),
    "drop": lambda job, n, at, by: edits.drop_post(job, _post(job, n), at, by),
    "swap": lambda job, n, at, by: edits.swap_to_tree(job, _post(job, n), "oak", at, by),
    "obstacle": lambda job, n, at, by: edits.obstacle(job, "rock", "n", 3.0 + 17 * n, at, by),
    "note": lambda job, n, at, by: edits.note(job, f"words {n}", at, by, about=_post(job, n)),
    "photo": lambda job, n, at, by: edits.photo(job, f"{n}.jpg", at, by, about=_post(job, n), line="n", station_ft=3.0 + n),
    "photo of a reading": lambda job, n, *_: edits.photos_of_tick(job, ItemKey("posts", _post(job, n), "driven_depth"), (f"{n}.jpg",)),
    "delivery": lambda job, n, at, by: edits.delivery(job, "sleeve", at, by, packs=n + 1, loose=None),
    "strike": _strike,
    "new way": _new_way,
    "again": _again,
    "rule": lambda job, n, *_: job.model_copy(
        update={"rules": job.rules.model_copy(update={"layout": job.rules.layout.model_copy(update={"move_reach_ft": 2.0 + n})})}
    ),
    "survey": lambda job, n, *_: _record(job, "points", "E", north_ft=120.0 + n / 10),
    "tree": lambda job, n, *_: _record(job, "trees", "oak", diameter_in=14.0 + n),
}
SIGNED_OFF = Record.model_validate(SIGNED)
chains = st.lists(st.tuples(st.sampled_from(list(EDITS)), st.integers(0, 5), st.integers(0, 3)), max_size=5)
CLASHES = st.sampled_from(
    [
        ((kind, n, 0), (other, m, 0))
        for kind, n, other, m in (
            ("reading", 0, "reading", 7),
            ("not needed", 1, "reading", 1),
            ("move", 2, "move", 9),
            ("move", 3, "drop", 3),
            ("swap", 2, "drop", 2),
            ("swap", 1, "move", 1),
            ("new way", 0, "new way", 1),
            ("new way", 0, "again", 0),
            ("survey", 0, "survey", 1),
            ("tree", 0, "tree", 1),
            ("rule", 0, "rule", 1),
        )
    ]
)
"""What two laptops do to one thing, each otherwise; there are seven posts. Of chains at random one pair in ten is asked about."""


def after(job: Job, chain: Chain, by: str, minute: int) -> Job:
    """The job after the edits of a chain, a few minutes apart; what is refused isn't done."""
    for name, n, minutes in chain:
        minute += minutes
        try:
            done = EDITS[name](job, n, AT + timedelta(minutes=minute), by)
            job = done if name == NO_PLACE else with_places(done, walk(job), job)
        except EditRefused:
            continue
    return job


def said(job: Job) -> str:
    """All that a file says but for its heading, in its order."""
    return repr(tables_of(job))


def about(merged: Merged) -> str:
    return " ".join(f"{conflict.path} {conflict.says}" for conflict in merged.conflicts)


DROP, MOVE, STRIKE, NEW_WAY, ADD = (("drop", 0, 0), ("move", 0, 0), ("strike", 0, 0), ("new way", 0, 0), ("add", 0, 0))
CLOSED, TAPED = ("loop closed", 0, 0), ("tick any", 2, 0)
AGAIN, READ, UNTICK = ("again", 0, 0), ("reading", 0, 0), ("untick", 0, 0)


@given(start=chains, ours=chains, theirs=chains, keep=st.booleans())
@example(start=[], ours=[DROP], theirs=[DROP, NEW_WAY], keep=False)
@example(start=[MOVE], ours=[MOVE, STRIKE], theirs=[MOVE, STRIKE], keep=False)
@example(start=[], ours=[ADD], theirs=[NEW_WAY], keep=True)
@example(start=[DROP], ours=[NEW_WAY], theirs=[STRIKE, MOVE], keep=True)
@example(start=[NEW_WAY], ours=[STRIKE], theirs=[MOVE], keep=True)
@example(start=[AGAIN], ours=[STRIKE, AGAIN], theirs=[ADD], keep=False)
@example(start=[READ, UNTICK], ours=[STRIKE], theirs=[ADD], keep=False)
@example(start=[], ours=[AGAIN], theirs=[CLOSED, NEW_WAY], keep=True)
@example(start=[TAPED], ours=[READ], theirs=[ADD], keep=False)
@example(start=[TAPED], ours=[MOVE, NEW_WAY], theirs=[MOVE, AGAIN, TAPED], keep=True)
@example(start=[], ours=[CLOSED, NEW_WAY], theirs=[CLOSED, NEW_WAY], keep=False)
@example(start=[CLOSED], ours=[MOVE], theirs=[NEW_WAY, CLOSED, DROP, AGAIN], keep=True)
@settings(max_examples=35, deadline=None)
def test_whichever_is_named_first_the_same_job_comes_out(start: Chain, ours: Chain, theirs: Chain, keep: bool) -> None:
    base = after(START, start, "Ana", 0)
    one, other = after(base, ours, "Ana", 20), as_read(after(base, theirs, "Ana", 22))
    merged = merge(base, one, other, "ours" if keep else "theirs")
    assert as_read(merged.job) == merged.job
    turned = merge(base, other, one, "theirs" if keep else "ours")
    assert said(merged.job) == said(turned.job)
    assert len(merged.conflicts) == len(turned.conflicts)
    in_file = tables_of(merged.job).get("log", [])
    assert [entry["at"] for entry in in_file] == sorted(entry.at for entry in merged.job.log)
    assert [in_file[number]["id"] for number in by_effect(in_file)[0]] == [entry.id for entry in merged.job.log]
    for before, entry in pairwise(merged.job.log):
        mixed = isinstance(entry, OfPost | PlannedEntry | RerouteEntry) and entry.struck_at is None
        assert before.at <= entry.at or (mixed and before.struck_at is None)
    nothing_is_lost(base, one, other, merged)
    for side in (one, other, base):
        again = merge(side, merged.job, side)
        assert (again.job, again.conflicts, again.came_in) == (merged.job, (), ())
    if not merged.conflicts:
        for side in (one, other):
            again = merge(base, merged.job, side)
            assert (seal_digest(tables_of(again.job)), again.conflicts) == (seal_digest(tables_of(merged.job)), ())  # rows in any order


@given(start=chains, both=CLASHES, ours=chains, theirs=chains, sides=st.lists(st.booleans(), min_size=12, max_size=12))
@settings(max_examples=25, deadline=None)
def test_whichever_is_named_first_each_answer_gives_the_same_job(
    start: Chain, both: tuple[Step, Step], ours: Chain, theirs: Chain, sides: list[bool]
) -> None:
    """Each question is answered by a coin of its own, until nothing new is asked."""
    base = after(START, start, "Ana", 0)
    one, other = after(base, [both[0], *ours], "Ana", 20), after(base, [both[1], *theirs], "Ana", 22)
    answers: dict[Conflict, Side] = {}
    merged = merge(base, one, other)
    while fresh := [asked for asked in merged.conflicts if asked not in answers]:
        answers |= {asked: "ours" if sides[(len(answers) + n) % 12] else "theirs" for n, asked in enumerate(fresh)}
        merged = merge(base, one, other, Keep(answers))
    turned: dict[Conflict, Side] = {
        asked if asked.path == WHOLE else replace(asked, ours=asked.theirs, theirs=asked.ours): "theirs" if side == "ours" else "ours"
        for asked, side in answers.items()
    }
    said_turned = merge(base, other, one, Keep(turned))
    assert said(said_turned.job) == said(merged.job)
    nothing_is_lost(base, one, other, merged)
    for side in (one, other, base):
        again = merge(side, merged.job, side)
        assert (again.job, again.conflicts) == (merged.job, ())


def nothing_is_lost(base: Job, one: Job, other: Job, merged: Merged) -> None:
    known = {entry.id for entry in base.log}
    joined = {entry.id: entry for entry in merged.job.log}
    asked = about(merged)
    for side in (one, other):
        for entry in side.log:
            assert entry.id in joined
            struck_here = {e.id for e in (*one.log, *other.log) if e.struck_at is not None}
            overruled = joined[entry.id].struck_at is not None and entry.id not in struck_here
            elsewhere = [e for s in (one, other) if s is not side for e in s.log]
            alike = any((e.kind, getattr(e, "post", "")) == (entry.kind, getattr(entry, "post", "")) for e in elsewhere)
            assert entry.id in known or not overruled or merged.conflicts or alike
    have, opened = _ticks_of(merged.job), _opened_by_plans(base, base, stand=True)
    for side, there in ((one, other), (other, one)):
        for key, tick in [*side.checks.items(), *_opened_by_plans(side, merged.job, stand=False)]:
            untouched = tick == base.checks.get(key)
            taken_back = untouched and key not in there.checks and (key, tick) not in _opened_by_plans(there, merged.job, stand=False)
            before = untouched or (key, tick) in opened
            past = [entry.tick for entry in there.log if isinstance(entry, SupersededEntry) and entry.item == key]
            again = [*past, *(one for name, one in there.checks.items() if name == key)]
            anew = before and key in there.checks and tick.reading in (None, *(one.reading for one in again))
            told = f"('checks', '{key}')" in asked
            assert _said_of(key, tick) in have or taken_back or anew or told, (key, tick, asked)


def _said_of(key: ItemKey, tick: Tick) -> tuple[object, ...]:
    """A tick by what was asked, for a post may be called anew."""
    return (key.what, tick.state, tick.at, tick.by, tick.reading, tick.note)


def _ticks_of(job: Job) -> set[tuple[object, ...]]:
    """Every tick that a job holds: standing, as history that isn't struck, or opened by a plan that stands."""
    past = {_said_of(entry.item, entry.tick) for entry in live(job.log) if isinstance(entry, SupersededEntry)}
    opened = {_said_of(key, tick) for key, tick in _opened_by_plans(job, job, stand=True)}
    return {_said_of(key, tick) for key, tick in job.checks.items()} | past | opened


def _opened_by_plans(side: Job, merged: Job, *, stand: bool) -> list[tuple[ItemKey, Tick]]:
    """Ticks that plans of a copy opened: those that stand in the merged job, or those that were made and don't."""
    standing = {entry.id for entry in live(merged.log)}
    plans = [entry for entry in live(side.log) if isinstance(entry, PlannedEntry | RerouteEntry) and (entry.id in standing) == stand]
    return [ticked for plan in plans if plan.before for ticked in plan.before.checks.items()]


@given(done=st.tuples(st.sampled_from(["add", NO_PLACE, "move", "drop"]), st.integers(0, 5), st.just(0)), ours=chains, theirs=chains)
@example(done=(NO_PLACE, 5, 0), ours=[], theirs=[NEW_WAY])
@example(done=("drop", 6, 0), ours=[], theirs=[NEW_WAY])
@example(done=("move", 5, 0), ours=[], theirs=[("new way", 0, 9)])
@settings(max_examples=30, deadline=None)
def test_no_post_is_lost_and_none_lands_elsewhere(done: Step, ours: Chain, theirs: Chain) -> None:
    """Nor does one stand that a side left out: what was logged of it before the other side's new way counts beside that."""
    one, other = after(START, [done, *ours], "Ana", 0), after(START, theirs, "Bo", 2)
    merged = merge(START, one, other)
    surveyed = [side.points["E"] != START.points["E"] for side in (one, other)]
    if merged.conflicts or any(surveyed):
        return
    stand = walk(merged.job).layout.supports
    called = {unstruck(e).id: e.post for e in merged.job.log if isinstance(e, OfPost)}
    for side in (one, other):
        there = walk(side).layout.supports
        for entry in live(side.log):
            if isinstance(entry, OfPost) and entry.post not in there:
                assert called[entry.id] not in stand
            elif isinstance(entry, OfPost):
                assert stand[called[entry.id]].xy == pytest.approx(there[entry.post].xy, abs=0.001)


@given(chain=chains, other=chains)
@settings(max_examples=30, deadline=None)
def test_a_side_that_was_signed_is_asked_about(chain: Chain, other: Chain) -> None:
    signed = edits.sign(after(START, chain, "Ana", 0), SIGNED_OFF, AT + timedelta(hours=1), "Ana", "the client")
    changed = after(START, other, "Bo", 2)
    if changed == START:
        assert merge(START, signed, changed).job == signed
        return
    assert merge(START, signed, changed).conflicts
    assert merge(START, changed, signed).job == signed
    assert merge(START, changed, signed).conflicts
