"""A record under another name, with the ticks that stood before still standing: what they were made for is said in the new name."""

from collections.abc import Callable, Mapping
from typing import Any

from engine.calc.frozen import dataclass
from engine.job.edit import entering
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SupersededEntry
from engine.job.model.tick_facts import NO_FACTS, TickFacts
from engine.walk import Walk, walk


def renamed(job: Job, before: Walk, table: str, old: str, new: str) -> Job:
    """Job, walked as `before`, with a record under another name everywhere."""
    return _ticks_kept(job, before, entering.rename(job, table, old, new))


@dataclass(frozen=True)
class NewPointName:
    """A shot's point given a name that nobody has; `elsewhere` where other shots measure the point by its old name too."""

    old: str
    new: str
    elsewhere: bool


def new_point_name(job: Job, name: str, fields: Mapping[str, Any]) -> NewPointName | None:
    """Whether writing a shot anew gives its point a new name; None where it doesn't."""
    if name not in job.shots:
        return None
    before, written = shot_points(job.shots[name]), entering.written(job, "shots", name, fields)
    changed = [(old, now) for old, now in zip(before.values(), shot_points(written.shots[name]).values(), strict=False) if old != now]
    known = point_names(job)
    if len(changed) != 1 or changed[0][0] not in known or changed[0][1] in known or changed[0][1] not in point_names(written):
        return None
    return NewPointName(*changed[0], elsewhere=changed[0][0] in point_names(written))


def corrected(job: Job, before: Walk, table: str, name: str, fields: Mapping[str, Any], *, everywhere: bool = True) -> Job:
    """Job with a record of a name written anew; a shot's point given a name that nobody has is called so everywhere, unless only here."""
    called = new_point_name(job, name, fields) if table == "shots" and everywhere else None
    if called is not None:
        job = _ticks_kept(job, before, entering.rename_point(job, called.old, called.new))
    return entering.put(job, table, name, fields)


def _ticks_kept(job: Job, before: Walk, after: Job) -> Job:
    """The renamed job with keys and facts of its ticks in the new name: what an item was called is what stands in its place now."""
    worked = walk(after)
    anew: dict[ItemKey, ItemKey] = {}
    facts: dict[ItemKey, Callable[[Tick], Tick]] = {}
    for stage, checklist in before.checklists.items():
        was, now = checklist.lines, worked.checklists[stage].lines
        if len(was) != len(now):
            continue
        asked = {line.item.key for line in now}
        for one, other in zip(was, now, strict=True):
            key, new_key = one.item.key, other.item.key
            if key.what != new_key.what or (key in asked and key != new_key):
                continue
            anew[key] = new_key
            if one.item.of != other.item.of:
                facts[key] = _said_anew(one.item.of, other.item.of)
    edited = dict(zip(job.checks, after.checks, strict=True))
    checks = {anew.get(key, edited[key]): facts[key](tick) if key in facts else tick for key, tick in job.checks.items()}
    log = tuple(_of_item(entry, old, anew) for entry, old in zip(after.log, job.log, strict=True))
    return after.model_copy(update={"checks": checks, "log": log})


def _of_item(entry: LogEntry, old: LogEntry, anew: Mapping[ItemKey, ItemKey]) -> LogEntry:
    if isinstance(entry, SupersededEntry) and isinstance(old, SupersededEntry):
        return entry.model_copy(update={"item": anew.get(old.item, entry.item)})
    return entry


def _said_anew(old: TickFacts, new: TickFacts) -> Callable[[Tick], Tick]:
    """Gives ticks made for the old facts the names of the new ones; what was measured stays."""

    def said(tick: Tick) -> Tick:
        of = tick.of
        if of == NO_FACTS or of.words != old.words or [size.name for size in of.sizes] != [size.name for size in old.sizes]:
            return tick
        if len(new.sizes) != len(of.sizes):
            return tick
        sizes = tuple(size._replace(name=named.name) for size, named in zip(of.sizes, new.sizes, strict=True))
        return tick.model_copy(update={"of": TickFacts(of.places, sizes, new.words)})

    return said
