"""A plan that one copy took back while the other went on with it: asked, and what isn't kept is as if its plan had stayed."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime

from engine.job.edit.edits import superseded_entry
from engine.job.edit.plan_taken_back import NewPlan, in_a_plans_way, opened_one_of
from engine.job.merge.joined_ticks import same_tick
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, ObstacleEntry, OfPost, RerouteEntry, SupersededEntry, live, struck, with_entries
from engine.job.model.shots import LevelShot

PLAN_TABLES = ("lines", "gates", "surfaces", "heights", "posts", "shots")
"""What a plan or a new way writes anew."""
When = tuple[datetime, str]


def plans_back(base: Job, side: Job, other: Job) -> list[NewPlan]:
    """Plans and new ways that a copy took back and that stand in the other; not one of an older program that it struck in the log alone."""
    here, there = ({entry.id for entry in live(copy.log)} for copy in (side, other))
    backs = [entry for entry in live(base.log) if isinstance(entry, NewPlan) and entry.id in there - here]
    return [entry for entry in backs if entry.before is not None or side.posts != base.posts]


def stands_on_them(base: Job, side: Job, other: Job, backs: Sequence[NewPlan]) -> str:
    """What a copy did on plans that the other one took back, once what the other struck besides is struck there too."""
    plans = {entry.id for entry in backs}
    if not plans:
        return ""
    gone = {entry.id: entry for entry in other.log if entry.struck_at is not None and entry.id not in plans}
    known = {entry.id for entry in base.log}
    log = tuple(gone.get(entry.id, entry) if entry.id in known else entry for entry in side.log)
    copy = side.model_copy(update={"log": log})
    newest = next((entry for entry in reversed(log) if entry.id in plans), None)
    found = in_a_plans_way(copy, newest) if isinstance(newest, NewPlan) else None
    return found.says if found else ""


def with_plan_as_before(base: Job, side: Job, backs: Sequence[NewPlan], last: When) -> Job:
    """A copy as if its plan had stayed as in the version before: what it said of posts since is struck, and what it struck stands."""
    before = {entry.id: entry for entry in base.log}
    side = with_ticks_before(base, side, [entry for entry in live(side.log) if entry.id not in before], last)
    ticks = {key: tick for entry in backs if entry.before for key, tick in entry.before.checks.items()}
    came_back = {key for key, tick in ticks.items() if key not in base.checks and side.checks.get(key) == tick}
    lines = {entry.line for entry in backs if isinstance(entry, RerouteEntry)}
    log = [_as_before(entry, before[entry.id], came_back) if entry.id in before else _struck(entry, lines, last) for entry in side.log]
    checks = {key: tick for key, tick in side.checks.items() if key not in came_back}
    return side.model_copy(update={**plan_as_before(base, side), "log": tuple(log), "checks": checks})


def with_ticks_before(base: Job, side: Job, plans: Iterable[LogEntry], last: When) -> Job:
    """A copy with the ticks that its own new plans opened: what wasn't ticked anew stands again, of the rest the log says what it was."""
    checks, past = dict(side.checks), dict[str, LogEntry]()
    anew = [entry for entry in side.log if isinstance(entry, SupersededEntry) and entry.struck_at is None and not entry.alike]
    for plan in (plan for plan in reversed(list(plans)) if isinstance(plan, NewPlan)):
        before = plan.before.checks if plan.before else _of_loops(base)
        for key, tick in before.items():
            later = [(entry.done_at, entry.done_by) for entry in anew if entry.item == key and entry.done_at > tick.at]
            later += [(checks[key].at, checks[key].by)] if key in checks and checks[key] != tick else []
            if later:
                entry = superseded_entry(key, tick, *min(later), opened=False)
                past[entry.id] = entry
            else:
                checks[key] = tick
    back = {key: tick for key, tick in checks.items() if key not in side.checks}
    log = [struck(one, *last) if opened_one_of(one, back) else one for one in side.log]
    held = {entry.id for entry in log}
    return side.model_copy(update={"checks": checks, "log": with_entries(log, (past[name] for name in past if name not in held))})


def with_opened_logged(side: Job, gone: Iterable[LogEntry], kept: Iterable[LogEntry], last: When) -> Job:
    """A copy whose log says what its own new plans opened, where plans just like them, which are kept, opened nothing alike, and each tick
    that somebody else had made alike."""
    there, here = (
        [ticked for plan in plans if isinstance(plan, NewPlan) and plan.before for ticked in plan.before.checks.items()]
        for plans in (kept, gone)
    )
    opened = []
    for key, tick in here:
        alike = [one for other, one in there if key == other and same_tick(tick, one)]
        if alike and not any((one.at, one.by) == (tick.at, tick.by) for one in alike):
            opened.append(superseded_entry(key, tick, tick.at, tick.by, alike=True))
        elif not alike and not any(opened_one_of(entry, {key: tick}) for entry in side.log):
            opened.append(superseded_entry(key, tick, *last, opened=True))
    held = {entry.id for entry in side.log}
    return side.model_copy(update={"log": with_entries(side.log, (entry for entry in opened if entry.id not in held))})


def _of_loops(base: Job) -> dict[ItemKey, Tick]:
    """Ticks that a new way of an older program may have opened: it didn't keep them."""
    return {key: tick for key, tick in base.checks.items() if key.stage in ("cables", "fabric")}


def plan_as_before(base: Job, side: Job) -> dict[str, object]:
    """The tables of a plan as the version before had them, with the points that a copy measured since; those of its new ways went."""
    tables: dict[str, object] = {table: getattr(base, table) for table in PLAN_TABLES[:5]}
    ways = [entry for entry in side.log if isinstance(entry, RerouteEntry) and entry.after is not None]
    gone = {*base.shots, *(name for entry in ways if entry.after for name in entry.after.shots)}
    fresh = {name: shot for name, shot in side.shots.items() if name not in gone and not isinstance(shot, LevelShot)}
    return {**tables, "shots": {**base.shots, **fresh}}


def _as_before(entry: LogEntry, was: LogEntry, came_back: Collection[ItemKey]) -> LogEntry:
    of_plan = isinstance(entry, NewPlan | OfPost) or (isinstance(entry, SupersededEntry) and entry.item in came_back)
    return was if of_plan and was.struck_at is None else entry


def _struck(entry: LogEntry, lines: Collection[str], last: When) -> LogEntry:
    of_plan = isinstance(entry, NewPlan | OfPost) or (isinstance(entry, ObstacleEntry) and entry.line in lines)
    return struck(entry, *last) if of_plan else entry
