"""What two copies of one job both began from: the version that is known, or, where none was kept, what both tell of it themselves.

A log entry that both have stood in it. A plan or a new way that only one has came later: what it put in the place of what stood before is
kept with it, so that copy's plan is taken back to where they parted. What both then say alike they began with; the rest isn't known.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from engine.job.edit.plan_taken_back import NewPlan, plan_taken_back
from engine.job.merge.asked import in_order
from engine.job.merge.joined_ticks import FORGOTTEN, only_lacks_facts, same_tick
from engine.job.merge.plans_back import PLAN_TABLES
from engine.job.merge.told_apart import same_entry
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, OfPost, SupersededEntry, current_entries, live, unstruck

JOINED = ("format", "log", "checks", "record")
"""What isn't joined table by table."""


class Missing:
    """Stands where a side has no such key."""


MISSING = Missing()


@dataclass(frozen=True, slots=True)
class Began:
    """What two copies began from, once for each: their plans as each had it then, log and ticks alike. `facts` is what is known of it, and
    `sure` is whether the plans of both could be taken back to it."""

    ours: Job
    theirs: Job
    facts: Any
    sure: bool = True


def facts_of(job: Job) -> dict[str, Any]:
    """All that is joined table by table."""
    return job.model_dump(exclude=set(JOINED))


def known_start(base: Job, ours: Job, theirs: Job) -> Began:
    """The version that both came from; a plan that both struck since is not in it: one that took it again changed that."""
    before = base
    for entry in reversed([entry for entry in live(base.log) if isinstance(entry, NewPlan)]):
        if not all(any(one.id == entry.id and one.struck_at is not None for one in side.log) for side in (ours, theirs)):
            break
        if not _tells_what_stood(entry, before):
            break
        before = plan_taken_back(before, entry, entry.at, entry.by)
    start = base if before is base else before.model_copy(update={"log": base.log})
    return Began(start, start, facts_of(start))


def told_start(ours: Job, theirs: Job) -> Began:
    """What both copies tell of the version that both came from, the same whichever is named first."""
    log = _shared_log(ours.log, theirs.log)
    fresh = _fresh_plans(ours, log), _fresh_plans(theirs, log)
    backs = _taken_back(ours, theirs), _taken_back(theirs, ours)
    then = [_before(side, plans, log) for side, plans in zip((ours, theirs), fresh, strict=True)]
    sure = None not in then
    here = then[0] or _planned_as(ours, then[1])
    there = then[1] or _planned_as(theirs, then[0])
    here, there = _with_plan_of(here, there, backs[0]), _with_plan_of(there, here, backs[1])
    here, there = _with_posts_of(here, there, _struck_beneath(ours, theirs)), _with_posts_of(there, here, _struck_beneath(theirs, ours))
    checks = _shared_ticks(ours, theirs, fresh, [*backs[0], *backs[1]], log)
    starts = [side.model_copy(update={"log": log, "checks": checks, "record": None}) for side in (here, there)]
    return Began(starts[0], starts[1], _common(facts_of(here), facts_of(there)), sure)


def names_before(began: Began) -> Job:
    """The log and the posts that both began with, as far as either tells."""
    return began.ours.model_copy(update={"posts": {**began.theirs.posts, **began.ours.posts}})


def _common(one: Any, other: Any) -> Any:
    """What both say alike, table by table."""
    if not isinstance(one, dict) or not isinstance(other, dict):
        return one if one == other else MISSING
    return {
        key: both
        for key in in_order((), one, other)
        if key in one and key in other and (both := _common(one[key], other[key])) is not MISSING
    }


def _shared_log(ours: tuple[LogEntry, ...], theirs: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """Entries that both have; what only one struck, or each at another time, stood when they parted."""
    mine, yours = ({entry.id: entry for entry in log} for log in (ours, theirs))
    shared = {name for name, entry in mine.items() if name in yours and same_entry(entry, yours[name])}
    order = min([name for name in log if name in shared] for log in (mine, yours))
    return tuple(mine[name] if mine[name] == yours[name] else unstruck(mine[name]) for name in order)


def _fresh_plans(side: Job, log: Iterable[LogEntry]) -> list[NewPlan]:
    known = {entry.id for entry in log}
    return [entry for entry in live(side.log) if isinstance(entry, NewPlan) and entry.id not in known]


def _taken_back(side: Job, other: Job) -> list[NewPlan]:
    """Plans of both that only this side struck, as the other has them."""
    struck = {entry.id for entry in side.log if entry.struck_at is not None}
    return [entry for entry in live(other.log) if isinstance(entry, NewPlan) and entry.id in struck]


def _before(side: Job, fresh: list[NewPlan], log: Iterable[LogEntry]) -> Job | None:
    """A copy before the plans that only it has; None where they don't tell what stood before them, or stand under one of both."""
    known = {entry.id for entry in log}
    plans = [entry for entry in live(side.log) if isinstance(entry, NewPlan)]
    if any(entry.id in known for entry in plans[len(plans) - len(fresh) :]):
        return None
    for entry in reversed(fresh):
        if not _tells_what_stood(entry, side):
            return None
        side = plan_taken_back(side, entry, entry.at, entry.by)
    return side


def _tells_what_stood(plan: NewPlan, side: Job) -> bool:
    """Whether a plan tells all that stood before it, together with what a copy holds still."""
    return plan.before is not None and all(name in plan.before.posts or name in side.posts for name in plan.before.plan)


def _planned_as(side: Job, other: Job | None) -> Job:
    """A copy whose plan can't be taken back, with the other one's, or with none."""
    return side.model_copy(update={table: getattr(other, table) for table in PLAN_TABLES} if other else {"posts": {}})


def _with_plan_of(side: Job, other: Job, backs: list[NewPlan]) -> Job:
    """A copy that took plans back with all that they had put in the place of what it has, as the other one holds it."""
    for plan in backs:
        tables = {table: _rows_as_there(getattr(side, table), getattr(other, table), _touched(plan, other, table)) for table in PLAN_TABLES}
        side = side.model_copy(update=tables)
    return side


def _struck_beneath(side: Job, other: Job) -> set[str]:
    """Posts of which this side struck an entry from before a plan of both, which let go what it had taken over of that."""
    struck = {entry.id for entry in side.log if entry.struck_at is not None}
    current = {entry.id for entry in current_entries(other.log)}
    return {entry.post for entry in live(other.log) if isinstance(entry, OfPost) and entry.id in struck - current}


def _with_posts_of(side: Job, other: Job, names: set[str]) -> Job:
    """A copy with these posts as the other one holds them."""
    return side.model_copy(update={"posts": _rows_as_there(side.posts, other.posts, names)}) if names else side


def _touched(plan: NewPlan, other: Job, table: str) -> set[str]:
    """Names of the rows that a plan changed, took out or made."""
    if plan.before is None:
        return set(getattr(other, table))
    names = {*getattr(plan.before, table), *getattr(getattr(plan, "after", None), table, ())}
    return names | ({*other.posts} - {*plan.before.plan}) if table == "posts" else names


def _rows_as_there(here: Mapping[str, Any], there: Mapping[str, Any], names: set[str]) -> dict[str, Any]:
    rows = {name: row if name in names else here[name] for name, row in there.items() if name in names or name in here}
    return {**rows, **{name: row for name, row in here.items() if name not in names and name not in rows}}


def _shared_ticks(
    ours: Job, theirs: Job, fresh: tuple[list[NewPlan], ...], backs: list[NewPlan], log: tuple[LogEntry, ...]
) -> dict[ItemKey, Tick]:
    """Ticks that both began with: what both have, what the plan of one opened and the other knows, and what one opened since."""
    known = {entry.id for entry in log}
    held = [_held(side, plans, known) for side, plans in zip((ours, theirs), fresh, strict=True)]
    came_back = {(key, tick.at, tick.by) for plan in backs if plan.before for key, tick in plan.before.checks.items()}
    checks = {key: tick for key, tick in ours.checks.items() if key in theirs.checks and _one_tick(tick, theirs.checks[key])}
    seen = dict(_last_seen(checks, log))
    since = _first_since(ours, theirs), _first_since(theirs, ours)
    for key in dict.fromkeys((*held[0], *held[1])):
        if key in checks:
            continue
        both = [tick for tick in held[0].get(key, ()) if any(_one_tick(tick, one) for one in held[1].get(key, ()))]
        lone = [side.checks[key] for side in (ours, theirs) if key in side.checks]
        if both:
            checks[key] = max(both, key=lambda tick: (tick.at, tick.by))
        elif len(lone) == 1 and any(_ticked_anew(lone[0], later) for later in held[key in ours.checks].get(key, ())):
            checks[key] = lone[0].model_copy(update={"note": FORGOTTEN})
        elif len(lone) == 1 and (key, lone[0].at, lone[0].by) not in came_back and opened_unsaid(lone[0]):
            by, at = lone[0].by, lone[0].at
            if at < seen.get(by, at) and at < since[key in theirs.checks].get(by, seen[by]):
                checks[key] = lone[0].model_copy(update={"note": FORGOTTEN})
    return checks


def opened_unsaid(tick: Tick) -> bool:
    """Whether a tick can be opened again without a word in the log."""
    return tick.reading is None and not tick.note and not tick.photos


def _first_since(side: Job, other: Job) -> dict[str, datetime]:
    """By person, the first that they surely did on one side once the two had parted, by a clock that may be wrong: what they did after that
    came later too."""
    there = {entry.id for entry in other.log}
    done = [(entry.at, entry.by) for entry in side.log if entry.id not in there]
    done += [(tick.at, tick.by) for key, tick in side.checks.items() if key not in other.checks and not opened_unsaid(tick)]
    return {by: at for at, by in sorted(done, reverse=True)}


def _held(side: Job, plans: Iterable[NewPlan], known: Collection[str]) -> dict[ItemKey, list[Tick]]:
    """By item, what a copy has or had: its tick, those that its own plans opened, and those that were overruled since."""
    found: dict[ItemKey, list[Tick]] = {key: [tick] for key, tick in side.checks.items()}
    for plan in plans:
        for key, tick in plan.before.checks.items() if plan.before else ():
            found.setdefault(key, []).append(tick)
    for entry in side.log:
        if isinstance(entry, SupersededEntry) and not entry.alike and entry.id not in known:
            found.setdefault(entry.item, []).append(entry.tick)
    return found


def _one_tick(one: Tick, other: Tick) -> bool:
    return one == other or only_lacks_facts(one, other) or only_lacks_facts(other, one)


def _ticked_anew(tick: Tick, later: Tick) -> bool:
    """Whether somebody ticked once more, unlogged, what was so already: who let go of the later one may have let go of this."""
    return tick.by == later.by and tick.at < later.at and same_tick(tick, later)


def _last_seen(checks: Mapping[ItemKey, Tick], log: Iterable[LogEntry]) -> Iterator[tuple[str, datetime]]:
    """By person, the last that both copies know of what they did: whatever they did before that, both have seen."""
    done = sorted([*((tick.at, tick.by) for tick in checks.values()), *((entry.at, entry.by) for entry in log)])
    yield from ((by, at) for at, by in done)
