"""A plan or a new way taken back on any day: what stood before it is kept with its log entry, and comes back unless more stands on it."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from engine.job.edit.stations_after import post_after, stands_so
from engine.job.model.base import FEET_PLACES
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import NOUNS
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    LogEntry,
    ObstacleEntry,
    OfPost,
    PlannedEntry,
    RerouteEntry,
    SupersededEntry,
    live,
    struck,
)
from engine.job.model.plan_before import LINE_TABLES, LineRows, PlanBefore
from engine.job.model.words.log_sentences import called

NewPlan = PlannedEntry | RerouteEntry


def with_plan_before(job: Job, done: Job, opened: Iterable[ItemKey] = ()) -> Job:
    """A job after a plan or a new way, its last such entry holding what it put in the place of what the job before held, and the ticks that
    were opened with it: records of a job, which are read already."""
    log = list(done.log)
    last = next(n for n in range(len(log) - 1, -1, -1) if isinstance(log[n], NewPlan))
    was: dict[str, Any] = {}
    written: dict[str, Any] = {}
    for table in (*LINE_TABLES, "posts"):
        was[table], written[table] = _changed(getattr(job, table), getattr(done, table))
    checks = {key: job.checks[key] for key in opened}
    fields: dict[str, Any] = {"before": PlanBefore.model_construct(plan=tuple(job.posts), **was, checks=checks)}
    if isinstance(log[last], RerouteEntry):
        del written["posts"]
        fields["after"] = LineRows.model_construct(**written)
    else:
        fields["steps"] = tuple(entry.id for entry in log[last + 1 :] if isinstance(entry, OfPost))
    log[last] = log[last].model_copy(update=fields)
    return done.model_copy(update={"log": tuple(log)})


def _changed(rows: Mapping[str, Any], other: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Records that the other table hasn't, or not so; and those of the other that this one hasn't, or not so."""
    same = {name for name, row in rows.items() if (there := other.get(name)) is row or there == row}
    return {name: row for name, row in rows.items() if name not in same}, {name: row for name, row in other.items() if name not in same}


class InTheWay(NamedTuple):
    """What stands in the way of taking something back, and what to do about it, a sentence each."""

    says: str
    do: str

    def __str__(self) -> str:
        return f"{self.says} {self.do}"


NOT_KEPT = InTheWay(
    "What stood before it isn't kept in this file, which an older program wrote.", "Lay out afresh, or log another new way."
)


def in_a_plans_way(job: Job, entry: NewPlan) -> InTheWay | None:
    """What stands on a plan or a new way since; None where it can be taken back."""
    if entry.before is None:
        return NOT_KEPT
    if on_it := logged_on(job, entry):
        return InTheWay(f"{called(on_it[-1])} stands on it.", "Strike that first.")
    if missing := [name for name in entry.before.plan if name not in entry.before.posts and name not in job.posts]:
        return InTheWay(f"Post {missing[0]} of the plan before isn't in the file any more.", "Lay out afresh instead.")
    return _on_the_new_way(job, entry) if isinstance(entry, RerouteEntry) else None


def logged_on(job: Job, entry: NewPlan) -> list[LogEntry]:
    """What was logged since that means something else without a plan or a new way, in the order of the log."""
    standing = live(job.log)
    later = standing[standing.index(entry) + 1 :]
    own = entry.steps if isinstance(entry, PlannedEntry) else ()
    of_posts = [one for one in later if isinstance(one, OfPost) and one.id not in own]
    clear = {one.post for one in of_posts if isinstance(one, AddEntry) and _added_clear_of(entry, one)}
    return [one for one in later if _stands_on(job, entry, one, clear) and one.id not in own]


def _stands_on(job: Job, plan: NewPlan, later: LogEntry, clear: Collection[str]) -> bool:
    if isinstance(later, OfPost):
        return not _stands_without(job, plan, later.post, clear)
    if isinstance(later, ObstacleEntry):
        return isinstance(plan, RerouteEntry) and later.line == plan.line and later.place is None and _lies_on_it(plan, later)
    return isinstance(later, NewPlan)


def _stands_without(job: Job, plan: NewPlan, post: str, added: Collection[str]) -> bool:
    """Whether what is said of a post means the same without a plan: it was added clear of it, or stands in the plan before just so, by the
    stations of that one."""
    if plan.before is None or not plan.before.plan:
        return False
    if post in added or post not in plan.before.plan:
        return post in added
    if isinstance(plan, RerouteEntry) and post in (plan.from_post, plan.to_post):
        return False
    was, now = plan.before.posts.get(post), job.posts.get(post)
    there = post_after(plan, was)
    return was is None or (there is not None and now is not None and stands_so(now, there))


def _added_clear_of(plan: NewPlan, entry: AddEntry) -> bool:
    """Whether the station of a post that was added is the same without a plan."""
    if isinstance(plan, PlannedEntry) or entry.line != plan.line:
        return True
    return plan.from_ft < plan.to_ft and entry.station_ft <= plan.from_ft


def _on_the_new_way(job: Job, entry: RerouteEntry) -> InTheWay | None:
    """What was changed, shot or set along the line as it runs now."""
    for table, name in _other_than_written(job, entry):
        return InTheWay(f"{NOUNS[table]} {name} was changed since.", "Put it back as it was, or log another new way.")
    for table in LINE_TABLES[1:]:
        for name, row in getattr(job, table).items():
            if getattr(row, "line", "") == entry.line and name not in getattr(entry.after, table) and _lies_on_it(entry, row):
                return InTheWay(f"{NOUNS[table]} {name} was entered on {entry.line} since, along the new way.", "Take it out first.")
    return None


def _other_than_written(job: Job, entry: RerouteEntry) -> Iterator[tuple[str, str]]:
    """Records that aren't as the new way wrote them."""
    for table in LINE_TABLES:
        now, written = getattr(job, table), getattr(entry.after, table, {})
        for name in dict.fromkeys((*written, *getattr(entry.before, table))):
            if now.get(name) != written.get(name):
                yield table, name


def _lies_on_it(entry: RerouteEntry, row: Any) -> bool:
    """Whether a station of the line is told otherwise since the new way: on it, and past it unless it is as long as the way before."""
    begins_ft, ends_ft = (row.station_ft, row.station_ft) if hasattr(row, "station_ft") else (row.from_ft, row.to_ft)
    if entry.to_ft < entry.from_ft:
        return bool(entry.to_ft > 0 or ends_ft > entry.from_ft)
    as_long = round(entry.shift_ft, FEET_PLACES) == 0
    return bool(ends_ft > entry.from_ft and not (as_long and begins_ft >= entry.to_ft))


def plan_taken_back(job: Job, entry: NewPlan, at: datetime, by: str) -> Job:
    """A job with what stood before a plan or a new way; that entry, and what was logged or opened with it, is struck."""
    before = entry.before
    assert before is not None
    tables: dict[str, Any] = {"posts": {name: before.posts.get(name) or job.posts[name] for name in before.plan}}
    if isinstance(entry, RerouteEntry):
        tables |= {table: _rows_before(job, entry, table) for table in LINE_TABLES}
    back = {key: tick for key, tick in before.checks.items() if key not in job.checks}
    gone = {entry.id, *(entry.steps if isinstance(entry, PlannedEntry) else ())}
    log = tuple(struck(one, at, by) if one.id in gone or opened_one_of(one, back) else one for one in job.log)
    return job.model_copy(update={**tables, "checks": {**job.checks, **back}, "log": log})


def _rows_before(job: Job, entry: RerouteEntry, table: str) -> dict[str, Any]:
    now, was, written = getattr(job, table), getattr(entry.before, table), getattr(entry.after, table, {})
    kept = {name: was.get(name, row) for name, row in now.items() if name in was or name not in written}
    return {**kept, **was}


def opened_one_of(entry: LogEntry, back: Mapping[ItemKey, Tick]) -> bool:
    """Whether an entry says that one of these ticks was opened."""
    if not isinstance(entry, SupersededEntry) or not entry.opened or entry.item not in back:
        return False
    return entry.tick == back[entry.item]
