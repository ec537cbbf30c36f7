"""A record under another name, with the ticks that stood before still standing: what they were made for is said in the new name."""

from collections.abc import Mapping
from typing import Any

from engine.calc.frozen import dataclass
from engine.change.facts_renamed import facts_renamed
from engine.job.edit import entering
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SupersededEntry
from engine.job.model.tick_facts import NO_FACTS, TickFacts
from engine.walk import Walk, walk


def renamed(job: Job, before: Walk, table: str, old: str, new: str) -> Job:
    """Job, walked as `before`, with a record under another name everywhere."""
    return _ticks_kept(job, before, entering.rename(job, table, old, new), table, old, new)


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
        job = _ticks_kept(job, before, entering.rename_point(job, called.old, called.new), "points", called.old, called.new)
    return entering.put(job, table, name, fields)


def _ticks_kept(job: Job, before: Walk, after: Job, table: str, old: str, new: str) -> Job:
    """The renamed job with keys and facts of its ticks in the new name: what an item was called is what stands in its place now.

    Ticks that count no more, that are history or kept with a plan are said anew too: striking may bring them back.
    """
    worked = walk(after)
    anew: dict[ItemKey, ItemKey] = {}
    facts: dict[ItemKey, tuple[TickFacts, TickFacts]] = {}
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
            facts[key] = (one.item.of, other.item.of)

    def said(key: ItemKey, of: TickFacts) -> TickFacts:
        today = _said_as_today(of, *facts[key]) if key in facts and table != "stock" else None
        return today or facts_renamed(of, key.what, table, old, new)

    def of_ticks(held: Mapping[ItemKey, Tick], edited: Mapping[ItemKey, Tick]) -> dict[ItemKey, Tick]:
        rows = zip(held.items(), edited, strict=True)
        return {anew.get(key, called): _said_anew(tick, said(key, tick.of)) for (key, tick), called in rows}

    def of_entry(entry: LogEntry, was: LogEntry) -> LogEntry:
        if isinstance(entry, SupersededEntry) and isinstance(was, SupersededEntry):
            return entry.model_copy(update={"item": anew.get(was.item, entry.item), "of": said(was.item, was.of)})
        if isinstance(entry, NewPlan) and isinstance(was, NewPlan) and entry.before is not None and was.before is not None:
            checks = of_ticks(was.before.checks, entry.before.checks)
            return entry.model_copy(update={"before": entry.before.model_copy(update={"checks": checks})})
        return entry

    log = tuple(of_entry(entry, was) for entry, was in zip(after.log, job.log, strict=True))
    return after.model_copy(update={"checks": of_ticks(job.checks, after.checks), "log": log})


def _said_anew(tick: Tick, of: TickFacts) -> Tick:
    return tick if of is tick.of else tick.model_copy(update={"of": of})


def _said_as_today(of: TickFacts, old: TickFacts, new: TickFacts) -> TickFacts | None:
    """The facts of a tick in the names of today's, where it says what the old ones did; what was measured stays."""
    if old == new or of == NO_FACTS or of.words != old.words or len(new.sizes) != len(of.sizes):
        return None
    if [size.name for size in of.sizes] != [size.name for size in old.sizes]:
        return None
    sizes = tuple(size._replace(name=named.name) for size, named in zip(of.sizes, new.sizes, strict=True))
    return of._replace(sizes=sizes, words=new.words)
