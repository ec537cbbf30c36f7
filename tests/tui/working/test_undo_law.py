"""The law of undo beside another laptop: what an edit did is gone and all that came in stands, or nothing changes and it is said why."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import event, example, given, settings

from engine.job.errors import EditRefused
from engine.job.file.as_read import as_read
from engine.job.file.store import load
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, MoveEntry, live, unstruck
from engine.walk import Walk
from tests.demo import DEMO
from tests.job.merge.test_merge_law import EDITS, START, after, chains
from tests.tui.in_hand import Clock
from tui.working import working_copy as in_hand
from tui.working.working_copy import Working, looked, open_working

Chain = list[tuple[str, int, int]]
PLANS = ("new way", "again", "strike", "survey", "tree")
"""Edits after which a post may rightly stand elsewhere."""


def _edited(working: Working, name: str, n: int) -> Working:
    try:
        return in_hand.edited(working, name, lambda job, at, by: EDITS[name](job, n, at, by))
    except EditRefused:
        return working


def _came_in(working: Working, theirs: Chain) -> Working:
    """All of ours saved, then what the other laptop made of it."""
    saved = replace(working, loaded=replace(working.loaded, job=working.job), base=working.job)
    other = after(working.job, theirs, "Ash", 300)
    return saved if other == working.job else looked(saved, replace(saved.loaded, job=as_read(other)))


ADD, MOVE, READ, DROP = ("add", 0, 0), ("move", 0, 0), ("reading", 0, 0), ("drop", 0, 0)
NEW_WAY, NOTE, AGAIN, STRIKE = ("new way", 0, 0), ("note", 0, 0), ("again", 0, 0), ("strike", 0, 0)


@given(mine=chains, theirs=chains, more=chains, later=chains)
@example(mine=[ADD], theirs=[("move", 1, 0)], more=[], later=[])
@example(mine=[ADD], theirs=[("reading", 1, 0)], more=[], later=[])
@example(mine=[READ], theirs=[("reading", 0, 0)], more=[], later=[])
@example(mine=[READ, ("reading", 0, 1)], theirs=[("reading", 0, 1)], more=[], later=[])
@example(mine=[NEW_WAY], theirs=[("move", 5, 0)], more=[], later=[])
@example(mine=[NEW_WAY], theirs=[("add", 5, 0)], more=[], later=[])
@example(mine=[NEW_WAY], theirs=[("reading", 2, 0)], more=[], later=[])
@example(mine=[NOTE, ADD], theirs=[READ], more=[MOVE], later=[DROP])
@example(mine=[MOVE, AGAIN], theirs=[MOVE], more=[], later=[])
@example(mine=[MOVE, STRIKE], theirs=[MOVE], more=[NEW_WAY], later=[STRIKE])
@settings(max_examples=50, deadline=None)
def test_an_edit_is_taken_back_whole_with_all_that_came_in_or_not_at_all(mine: Chain, theirs: Chain, more: Chain, later: Chain) -> None:
    working = replace(open_working(replace(load(DEMO), job=START, read_only_reason=None), "Mo", Clock()), base=START)
    for name, n, _ in mine:
        working = _edited(working, name, n)
    working = _came_in(working, theirs)
    for name, n, _ in more:
        working = _edited(working, name, n)
    working = _came_in(working, later)
    while open_steps := [step for step in working.past if not step.passed]:
        step = open_steps[-1]
        back = in_hand.undone(working)
        if back.why:
            event(f"not: {step.words}: {back.why.split('. ')[0]}")
            assert back.working.job is working.job
            assert back.why.endswith(".")
            assert len([one for one in back.working.past if not one.passed]) == len(open_steps) - 1
        else:
            event(f"back: {step.words}")
            _is_gone(step.before, step.after, back.working.job)
            _stands(step.after, working.job, back.working.job)
            _still_counts(step.after, working.walk, back.working.walk)
            if step.words not in PLANS or step.words == "new way":
                _same_places(step.after, working.walk, back.working.walk, working.job)
        working = back.working


def _ticks(job: Job) -> dict[ItemKey, tuple[object, ...]]:
    return {key: (tick.state, tick.reading, tick.note, tick.at, tick.by) for key, tick in job.checks.items()}


def _entries(job: Job) -> dict[str, object]:
    return {entry.id: unstruck(entry) for entry in live(job.log)}


def _rows(job: Job) -> dict[tuple[str, str], Any]:
    """Records by table and name; fields of what is one record."""
    tables = job.model_dump(exclude={"format", "log", "checks", "record"})
    return {(table, str(name)): row for table, rows in tables.items() if isinstance(rows, dict) for name, row in rows.items()}


def _is_gone(before: Job, made: Job, back: Job) -> None:
    for said in (_ticks, _entries, _rows):
        was, now, here = said(before), said(made), said(back)
        for key in {*was, *now}:
            assert was.get(key) == now.get(key) or here.get(key) == was.get(key), key
    here_too = {entry.id for entry in back.log}
    assert here_too >= {entry.id for entry in before.log}


def _stands(made: Job, hand: Job, back: Job) -> None:
    for said in (_ticks, _entries, _rows):
        was, now, here = said(made), said(hand), said(back)
        for key in {*was, *now}:
            assert was.get(key) == now.get(key) or here.get(key) == now.get(key), key


def _still_counts(made: Job, hand: Walk, back: Walk) -> None:
    def settled(walked: Walk) -> dict[ItemKey, object]:
        lines = (line for checklist in walked.checklists.values() for line in checklist.lines if line.settled)
        return {line.item.key: (line.tick.at, line.tick.by) for line in lines if line.tick}

    here = settled(back)
    was = {key: (tick.at, tick.by) for key, tick in made.checks.items()}
    for key, tick in settled(hand).items():
        if was.get(key) != tick and was.get(key) is None:
            assert here[key] == tick, key


def _same_places(made: Job, hand: Walk, back: Walk, job: Job) -> None:
    known = {entry.id for entry in made.log}
    for entry in live(job.log):
        if entry.id not in known and isinstance(entry, AddEntry | MoveEntry) and entry.post in hand.layout.supports:
            assert back.layout.supports[entry.post].xy == pytest.approx(hand.layout.supports[entry.post].xy, abs=0.03)
