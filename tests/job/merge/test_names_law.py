"""The law of names: where one laptop calls a record otherwise or takes it out, what the other one did to it stands under the name that
stands, on something that exists, or was asked about."""

from collections.abc import Callable
from datetime import timedelta
from functools import cache

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.checklist import Item
from engine.job.edit import edits, entering
from engine.job.edit.subjects import records_of
from engine.job.errors import EditRefused
from engine.job.file.job_tables import seal_digest, tables_of
from engine.job.merge.came_in import came_in
from engine.job.merge.merge import WHOLE, Merged, merge
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import point_names, problems
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry
from engine.job.model.words.key_words import item_words, record_words
from engine.walk import walk
from tests.change.test_renaming import jobs, names
from tests.demo import AT
from tests.job.merge.test_merge_law import as_read, said

Step = tuple[str, int]
Focus = tuple[str, str]
"""The record that both sides do something to, by its table and what the side calls it."""


def records(job: Job) -> list[Focus]:
    return [
        *names(job),
        *(("points", name) for name in sorted(point_names(job) - job.points.keys())),
        *(("shots", name) for name in job.shots),
    ]


def _rename(job: Job, of: Focus, n: int, *_: object) -> Job:
    return entering.rename_point(job, of[1], f"z{n}") if of[0] == "points" else entering.rename(job, *of, f"z{n}")


def _edit(job: Job, of: Focus, n: int, *_: object) -> Job:
    """A length of the record a little longer."""
    fields = getattr(job, of[0])[of[1]].model_dump(exclude_none=True) if of[1] in getattr(job, of[0]) else {}
    lengths = [field for field, held in fields.items() if isinstance(held, float)]
    length = lengths[n % len(lengths)] if lengths else ""
    return entering.put(job, *of, {**fields, length: fields[length] + 0.125}) if length else job


def _items(job: Job, of: Focus) -> list[Item]:
    """What asks about the record, by its name or because something stands on it or is measured from it; else the first few."""
    items = [line.item for checklist in walk(job).checklists.values() for line in checklist.lines]
    about = [item for item in items if of in records_of(job, item.key) or of[1] in (*item.of.words, *item.key.subject.split("-"))]
    return about or items[:3]


def _tick(job: Job, of: Focus, n: int, at: object, by: str) -> Job:
    item = _items(job, of)[n % len(_items(job, of))]
    reading = {f"reading_{item.reading.unit}": 3.0 + n / 16} if item.reading else {}
    return edits.tick(job, item.key, at, by, of=item.of, **reading)  # type: ignore[arg-type]  # a time, a length


def _line(job: Job, of: Focus, n: int) -> str:
    return of[1] if of[0] == "lines" else list(job.lines)[n % len(job.lines)]


EDITS: dict[str, Callable[..., Job]] = {
    "rename": _rename,
    "remove": lambda job, of, *_: entering.remove(job, *of),
    "edit": _edit,
    "tick": _tick,
    "untick": lambda job, of, n, at, by: edits.untick(job, _items(job, of)[n % len(_items(job, of))].key, at, by),
    "note": lambda job, of, n, at, by: edits.note(job, f"words {n}", at, by, about=of[1]),
    "photo": lambda job, of, n, at, by: edits.photo(job, f"{n}.jpg", at, by, about=of[1], line=_line(job, of, n), station_ft=3.0),
    "obstacle": lambda job, of, n, at, by: edits.obstacle(job, "rock", _line(job, of, n), 5.0 + n, at, by),
}


@cache
def half_ticked() -> tuple[Job, ...]:
    """Every demo job with every second item done."""
    return tuple(job.model_copy(update={"checks": dict(list(job.checks.items())[::2])}) for job in jobs())


def record_of(job: Job, which: int) -> Focus:
    """One of its records, of each table as often."""
    tables = sorted({table for table, _ in records(job)})
    rows = [one for one in records(job) if one[0] == tables[which % len(tables)]]
    return rows[which // len(tables) % len(rows)]


steps = st.lists(st.tuples(st.sampled_from(list(EDITS)), st.integers(0, 4)), min_size=1, max_size=4)
which_one = st.integers(0, 200)


def after(job: Job, of: Focus, chain: list[Step], by: str, minute: int) -> Job:
    """The job after what a chain did to a record, two minutes apart; what is refused isn't done, nothing after it is taken out."""
    for name, n in chain:
        minute += 2
        try:
            job = EDITS[name](job, of, n, AT + timedelta(minutes=minute), by)
        except EditRefused:
            continue
        if name == "remove":
            break
        of = (of[0], f"z{n}") if name == "rename" else of
    return job


RENAMED_AND_GONE = [("rename", 0), ("remove", 0)]


@given(job=st.integers(0, 20), which=which_one, ours=steps, theirs=steps, keep=st.booleans())
@example(job=0, which=0, ours=[("remove", 0)], theirs=[("edit", 0), ("tick", 0)], keep=True)
@example(job=1, which=158, ours=RENAMED_AND_GONE, theirs=[("remove", 0)], keep=False)
@settings(max_examples=20, deadline=None)
def test_what_was_done_to_a_record_stands_under_its_name(job: int, which: int, ours: list[Step], theirs: list[Step], keep: bool) -> None:
    base = half_ticked()[job % len(half_ticked())]
    of = record_of(base, which)
    one, other = after(base, of, ours, "Ash", 0), as_read(after(base, of, theirs, "Mo", 1))
    merged = merge(base, one, other, "ours" if keep else "theirs")
    turned = merge(base, other, one, "theirs" if keep else "ours")
    assert as_read(merged.job) == merged.job
    assert problems(merged.job) == []
    assert said(merged.job) == said(turned.job)
    assert len(merged.conflicts) == len(turned.conflicts)
    done = [sum(tick.at == AT for tick in job.checks.values()) for job in (base, one, other, merged.job)]
    assert done[3] >= done[1] + done[2] - done[0]
    for side in (one, other):
        _stands(base, side, merged)
        again = merge(side, merged.job, side)
        assert (again.job, again.conflicts, again.came_in) == (merged.job, (), ())
        if not merged.conflicts:
            again = merge(base, merged.job, side)
            assert (seal_digest(tables_of(again.job)), again.conflicts) == (seal_digest(tables_of(merged.job)), ())  # rows in any order


def _stands(base: Job, side: Job, merged: Merged) -> None:
    """Every tick and entry that a side made since is in the joined job, on an item that is asked, or it was asked about. What is asked once
    for all decks stands though the last of them was taken out."""
    joined = {entry.id: entry for entry in merged.job.log}
    for entry in side.log[len(base.log) :]:
        assert entry.id in joined
        assert joined[entry.id].struck_at is None or entry.struck_at is not None or merged.conflicts
    asked = [conflict for conflict in merged.conflicts if conflict.path != WHOLE]
    if len(asked) < len(merged.conflicts):
        return
    there = {line.item.key for checklist in walk(merged.job).checklists.values() for line in checklist.lines}
    here = {line.item.key for checklist in walk(side).checklists.values() for line in checklist.lines}
    stand = {_said_of(key, tick) for key, tick in merged.job.checks.items() if key in there or key.subject == "job"}
    stand |= {_said_of(entry.item, entry.tick) for entry in merged.job.log if isinstance(entry, SupersededEntry)}
    made = {entry.at for entry in side.log[len(base.log) :]} | {tick.at for tick in side.checks.values() if tick.at > AT}
    for key, tick in side.checks.items():
        if tick.at in made and key in here and _said_of(key, tick) not in stand:
            called = (key.what.replace("_", " "), item_words(key))
            assert any(one.path[0] == "checks" or any(words in one.says for words in called) for one in asked), (key, asked)


def _said_of(key: ItemKey, tick: Tick) -> tuple[object, ...]:
    return (key.stage, key.what, tick.state, tick.at, tick.by, tick.reading)


@given(job=st.integers(0, 20), which=which_one, n=st.integers(0, 9), there=steps)
@settings(max_examples=25, deadline=None)
def test_a_new_name_alone_is_followed_unasked_and_told_in_a_sentence(job: int, which: int, n: int, there: list[Step]) -> None:
    base = half_ticked()[job % len(half_ticked())]
    of = record_of(base, which)
    called = after(base, of, [("rename", n)], "Ash", 0)
    told = () if called == base else (f"{record_words(*of)} is called z{n} now.",)
    assert tuple(came_in(base, called)) == told
    done = [step for step in there if step[0] not in ("rename", "remove")]
    other = as_read(after(base, of, done, "Mo", 1))
    merged, turned = merge(base, called, other), merge(base, other, called)
    assert (merged.conflicts, turned.conflicts) == ((), ())
    assert turned.came_in == (told if other != base else tuple(came_in(base, called)))
    assert said(merged.job) == said(turned.job)
    if told:
        alone = after(other, of, [("rename", n)], "Ash", 0)
        assert seal_digest(tables_of(merged.job)) == seal_digest(tables_of(alone))  # rows in any order


@pytest.mark.parametrize("theirs", [[("remove", 0)], [("rename", 1), ("remove", 0)], RENAMED_AND_GONE])
def test_what_a_shot_that_both_took_out_leaves_open_is_open_in_the_joined_job_too(theirs: list[Step]) -> None:
    """Whatever either called it before: that the shots of the yard are done was said of four, and three are left."""
    shots, base = item_key("survey.yard.levels_shot"), half_ticked()[1]
    one, other = (after(base, ("shots", "level-yard-01"), chain, by, 0) for chain, by in ((RENAMED_AND_GONE, "Ash"), (theirs, "Mo")))
    states = [walk(job).checklists["survey"].by_key[shots].state for job in (base, one, other)]
    merged = [merge(base, one, other), merge(base, other, one)]
    assert (states, [joined.conflicts for joined in merged]) == (["done", "open", "open"], [(), ()])
    assert [walk(joined.job).checklists["survey"].by_key[shots].state for joined in merged] == ["open", "open"]
