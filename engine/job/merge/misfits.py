"""What one copy changed that doesn't go with what the other one did: asked about these changes alone; what isn't kept is as it is there."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from engine.calc.phrases import listed
from engine.job.errors import PathInFile, Problem
from engine.job.merge.asked import Conflict, Keep, in_order
from engine.job.merge.asked_posts import SettledCopies, fresh_plans, last_word, without_plan
from engine.job.merge.began import MISSING, Began, facts_of
from engine.job.model.job import Job
from engine.job.model.log_entries import live, struck
from engine.job.model.words.field_words import field_words
from engine.job.model.words.key_words import record_words, told_value
from engine.job.model.words.log_sentences import sentence

LOG, PLAN, MOST_SAID = "log", ("posts", ""), 12
Change = tuple[str, str]
"""A table and the record, or the field, of it that a copy changed; of the log an entry it made; `PLAN` where it laid out posts anew."""
Places = frozenset[tuple[object, ...]]
Misfits = Callable[[SettledCopies], Sequence[Problem]]
"""Gives the rules that both copies break together."""


def made_to_fit(began: Began, both: SettledCopies, misfits: Misfits, keep: Keep) -> SettledCopies:
    """Both copies once what they changed goes together, with what has to be asked for it. Where no few changes are to blame they are left
    as they are."""
    starts, asked = (began.ours, began.theirs), list[Conflict]()
    both = SettledCopies(both.ours, both.theirs)
    while found := misfits(both):
        sides = both.ours, both.theirs
        made = _changes(began, starts[0], *sides), _changes(began, starts[1], *sides[::-1])
        apart = _to_blame(both, starts, made, found, misfits)
        if apart is None:
            break
        said = [_said(began, starts[n], sides[n], sides[1 - n], apart[n]) for n in (0, 1)]
        asked.append(Conflict(found[0].path[:2], _why(both, found[0]), *said))
        lost = 1 if keep.of(asked[-1]) == "ours" else 0
        both = _without(both, starts, lost, apart[lost])
    return SettledCopies(both.ours, both.theirs, tuple(asked))


def _to_blame(
    both: SettledCopies, starts: tuple[Job, Job], made: tuple[list[Change], list[Change]], found: Sequence[Problem], misfits: Misfits
) -> tuple[list[Change], list[Change]] | None:
    """The fewest changes of each side without which the first misfit is gone, with all that are gone then too; None where a side has none
    such, as without all its changes something is wrong still."""
    wrong, group = _places(found), _places(found[:1])

    def left(side: int, changes: list[Change]) -> Places:
        return _places(misfits(_without(both, starts, side, changes)))

    while True:
        ours, theirs = _fewest(made[0], partial(left, 0), wrong - group), _fewest(made[1], partial(left, 1), wrong - group)
        if not ours or not theirs:
            return None
        gone = wrong - (left(0, ours) & left(1, theirs))
        if gone <= group:
            return ours, theirs
        group |= gone


def _fewest(changes: list[Change], left: Callable[[list[Change]], Places], allowed: Places) -> list[Change]:
    """As few of them as it takes that without them no more than this is wrong; none where all together don't do."""
    if not changes or not left(changes) <= allowed:
        return []
    size = len(changes)
    while size := size // 2:
        start = 0
        while start < len(changes):
            fewer = [*changes[:start], *changes[start + size :]]
            if fewer and left(fewer) <= allowed:
                changes = fewer
            else:
                start += size
    return changes


def _places(found: Iterable[Problem]) -> Places:
    return frozenset((problem.path, repr(problem.value)) for problem in found)


# What a copy changed -------------------------------------------------------------------------------------------------


def _changes(began: Began, start: Job, side: Job, other: Job) -> list[Change]:
    """Everything that a copy changed since and that the other one has otherwise."""
    before, here, there = began.facts, facts_of(side), facts_of(other)
    planned = bool(fresh_plans(start, side, other))
    found = [PLAN] if planned else []
    for table in here:
        if table == "posts" and planned:
            continue
        rows = [_rows(facts.get(table)) for facts in (before, here, there)]
        for name in sorted(rows[1].keys() | rows[2].keys()):
            was, now, yours = (row.get(name, MISSING) for row in rows)
            if now not in (was, yours):
                found.append((table, name))
    known = {entry.id for entry in (*start.log, *other.log)}
    return [*found, *((LOG, entry.id) for entry in live(side.log) if entry.id not in known)]


def _rows(table: object) -> Mapping[str, Any]:
    """Records by name, or fields; of what there is none or one of, that one."""
    return table if isinstance(table, Mapping) else {"": table}


def _without(both: SettledCopies, starts: tuple[Job, Job], lost: int, changes: Iterable[Change]) -> SettledCopies:
    """Both copies, of which one is as the other in what these changes are about."""
    sides = [both.ours, both.theirs]
    start, side, other = starts[lost], sides[lost], sides[1 - lost]
    last = max(last_word(copy)[0] for copy in sides), last_word(other)[1]
    if PLAN in changes:
        plan = fresh_plans(start, side, other)
        side = without_plan(start, side, plan, (last[0], last[1] or plan[-1].by))
    entries = {name for table, name in changes if table == LOG}
    tables: dict[str, Any] = {LOG: tuple(struck(entry, *last) if entry.id in entries else entry for entry in side.log)}
    for table, name in changes:
        if table != LOG and (table, name) != PLAN:
            tables[table] = _as_there(tables.get(table, getattr(side, table)), getattr(other, table), getattr(start, table), name)
    sides[lost] = side.model_copy(update=tables)
    return SettledCopies(sides[0], sides[1])


def _as_there(here: Any, there: Any, before: Any, name: str) -> Any:
    """A table with one of its records, or fields, as the other copy has it."""
    if not isinstance(here, dict):
        return here.model_copy(update={name: getattr(there, name)}) if name and here and there else there
    rows = {**here, name: there.get(name, MISSING)}
    return {key: rows[key] for key in in_order(before, here, there) if rows.get(key, MISSING) is not MISSING}


# How it is asked -----------------------------------------------------------------------------------------------------


def _why(both: SettledCopies, found: Problem) -> str:
    """The rule that is broken, without what to do."""
    says = found.message.rpartition(": ")[0] or found.message.rstrip(".")
    entry = next((entry for side in (both.ours, both.theirs) for entry in side.log if f"Log entry {entry.id} " in says), None)
    return says.replace(f"Log entry {entry.id}", sentence(entry).rstrip(".")) if entry else says


def _said(began: Began, start: Job, side: Job, other: Job, changes: list[Change]) -> str:
    said = [words for change in changes for words in _words(began, start, side, other, change)]
    return listed([*said[:MOST_SAID], *([f"{len(said) - MOST_SAID} more"] if len(said) > MOST_SAID else [])])


def _words(began: Began, start: Job, side: Job, other: Job, change: Change) -> Iterator[str]:
    """What a side did: `tree T4 was added`, `gate G1, leaf width: 6' 0"`."""
    table, name = change
    if change == PLAN:
        yield from (sentence(entry).rstrip(".") for entry in fresh_plans(start, side, other))
    elif table == LOG:
        yield from (f"logged: {sentence(entry).rstrip('.')}" for entry in side.log if entry.id == name)
    else:
        was, now = (_rows(facts.get(table)).get(name, MISSING) for facts in (began.facts, facts_of(side)))
        what = _small(record_words(table, name))
        if now is MISSING or was is MISSING:
            yield f"{what} was {'taken out' if now is MISSING else 'added'}"
        elif isinstance(now, dict) and isinstance(was, dict):
            yield f"{what}, {listed(list(fields_changed((table, name), was, now)))}"
        else:
            yield f"{what}: {told_value(change, now)}"


def fields_changed(path: PathInFile, was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    """What a record says otherwise than before: `leaf width 6' 0"`."""
    of = str(path[0])
    for field, value in now.items():
        if was.get(field, MISSING) != value:
            yield f"{_small(field_words(of, field))} {told_value((*path, field), value)}"


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"
