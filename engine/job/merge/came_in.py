"""What came in from another copy, in words."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import permutations
from typing import Any

from engine.calc.phrases import listed
from engine.job.edit.renames_found import called_as
from engine.job.merge.joined_ticks import only_lacks_facts, same_tick
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, PlannedEntry, RerouteEntry, SupersededEntry, live
from engine.job.model.plan_before import LINE_TABLES
from engine.job.model.rough import Rough
from engine.job.model.words.key_words import item_words, record_words, said_words
from engine.job.model.words.log_sentences import sentence

MOST_NAMED = 3
_SEVERAL = ("paces", "step_counts", "corners", "gates_ft", "dogs")
"""What was said of several things."""
_TOLD_APART = ("format", "log", "checks", "record")


def came_in(before: Job, now: Job) -> Iterator[str]:
    """A sentence for everything that a job has and had not before, or the other way round; ticks of one crew in one."""
    before, renamed = called_as(before, now)
    yield from renamed
    known = {entry.id: entry for entry in before.log}
    fresh = (entry for entry in now.log if entry.id not in known and entry.struck_at is None)
    yield from (_entry_words(entry) for entry in fresh if not isinstance(entry, SupersededEntry))
    gone = known.keys() - {entry.id for entry in now.log}
    yield from (f"Taken back: {sentence(entry)}" for entry in before.log if entry.id in gone)
    for entry in now.log:
        if entry.id in known and (entry.struck_at is None) != (known[entry.id].struck_at is None):
            yield f"{'Stands again' if entry.struck_at is None else 'Taken back'}: {sentence(entry)}"
    yield from _ticks(before.checks, now.checks)
    yield from _ticked_too(before, now)
    yield from _changed_records(before, now)


def _entry_words(entry: LogEntry) -> str:
    by = f", by {entry.by}" if entry.by else ""
    words = f"{entry.post} is new" if isinstance(entry, AddEntry) else "Logged"
    return f"{words}{by}: {sentence(entry)}"


def _ticks(before: Mapping[ItemKey, Tick], now: Mapping[ItemKey, Tick]) -> Iterator[str]:
    by_whom: dict[str, list[str]] = defaultdict(list)
    for key, tick in now.items():
        old = before.get(key)
        if old is None or not (same_tick(old, tick) or only_lacks_facts(old, tick)):
            by_whom[tick.by].append(_ticked(key, tick))
    yield from (f"{by or 'Somebody'} ticked {_first_named(said)}." for by, said in by_whom.items())
    if shown := [item_words(key) for key, tick in now.items() if key in before and set(tick.photos) - set(before[key].photos)]:
        yield f"Photos came in of {_first_named(shown)}."
    if opened := [item_words(key) for key in before if key not in now]:
        yield f"Open again: {_first_named(opened)}."


def _ticked_too(before: Job, now: Job) -> Iterator[str]:
    """What was ticked as before at another time or by somebody else: again, or too, where that was earlier or is in the log alone."""
    again, too = defaultdict[str, list[str]](list), defaultdict[str, list[str]](list)
    for key, tick in now.checks.items():
        old = before.checks.get(key)
        if old is not None and (old.at, old.by) != (tick.at, tick.by) and same_tick(old, tick):
            (again if old.at <= tick.at else too)[tick.by].append(_ticked(key, tick))
    known = {entry.id for entry in before.log}
    for entry in now.log:
        ticked_here = isinstance(entry, SupersededEntry) and before.checks.get(entry.item) == entry.tick
        if isinstance(entry, SupersededEntry) and entry.alike and entry.id not in known and entry.struck_at is None and not ticked_here:
            too[entry.done_by].append(_ticked(entry.item, entry.tick))
    for ticked, how in ((again, "again"), (too, "too")):
        yield from (f"{by or 'Somebody'} ticked {_first_named(said)} {how}." for by, said in ticked.items())


def _ticked(key: ItemKey, tick: Tick) -> str:
    return f"{item_words(key)} {said_words(tick)}" if tick.reading is not None or tick.state != "done" else item_words(key)


def _first_named(words: list[str]) -> str:
    if len(words) <= MOST_NAMED:
        return listed(words)
    return f"{', '.join(words[:MOST_NAMED])} and {len(words) - MOST_NAMED} more"


def _changed_records(before: Job, now: Job) -> Iterator[str]:
    """A record each. What a plan that came or went wrote is told by its entry: posts, and rows of a line that say what a new way wrote."""
    plans = _plans_between(before, now)
    for table in type(now).model_fields:
        by_plan = bool(plans) and table == "posts"
        if table in _TOLD_APART or by_plan or getattr(before, table) == getattr(now, table):
            continue
        old, new = _rows(getattr(before, table)), _rows(getattr(now, table))
        wrote = [rows for entry in plans if table in LINE_TABLES for rows in _wrote(entry, table)]
        for key in [*new, *(key for key in old if key not in new)]:
            if any(key in rows and rows[key] == new.get(key) for rows in wrote):
                continue
            if key not in new:
                yield f"{record_words(table, key)} was taken out."
            elif new[key] != old.get(key):
                be = "were" if table == "rules" or (table == "rough" and key in _SEVERAL) else "was"
                yield f"{record_words(table, key)} {be} {'changed' if key in old else 'added'}."


def _plans_between(before: Job, now: Job) -> list[PlannedEntry | RerouteEntry]:
    """Plans and new ways that one of two jobs stands by and the other not."""
    plans = [{entry.id: entry for entry in live(job.log) if isinstance(entry, PlannedEntry | RerouteEntry)} for job in (before, now)]
    return [entry for here, there in permutations(plans) for name, entry in here.items() if name not in there]


def _wrote(entry: PlannedEntry | RerouteEntry, table: str) -> Iterator[Mapping[str, object]]:
    """Rows of a table as a new way found and left them, None for one that wasn't there."""
    if isinstance(entry, RerouteEntry) and entry.before and entry.after:
        found, left = getattr(entry.before, table), getattr(entry.after, table)
        yield from ({**dict.fromkeys([*found, *left]), **rows} for rows in (found, left))


def _rows(table: Any) -> Mapping[str, Any]:
    """Records by name, fields of what is one record; of what was said first only what was said."""
    if table is None or isinstance(table, Rough):
        return table.model_dump(exclude_defaults=True) if table else {}
    return table if isinstance(table, Mapping) else dict(table)
