"""An edit taken back beside what came in from another laptop since: all that it did and nothing else, or nothing, and why."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from engine.calc.geometry.plane import distance_ft
from engine.calc.phrases import listed
from engine.calc.tolerances import SAME_SPOT_FT
from engine.change.older_ticks import with_facts
from engine.job.edit.entering import rename
from engine.job.edit.plan_taken_back import NewPlan, plan_taken_back
from engine.job.edit.renames_found import called as called_so
from engine.job.edit.renames_found import can_be_called
from engine.job.edit.striking import in_the_way
from engine.job.errors import EditRefused, PathInFile, shown
from engine.job.file.as_read import as_read
from engine.job.merge.asked import Conflict
from engine.job.merge.came_in import came_in
from engine.job.merge.joined_ticks import tick_words
from engine.job.merge.merge import WHOLE, merge
from engine.job.merge.records_apart import taken_over
from engine.job.merge.told_apart import posts_called, posts_renamed
from engine.job.model.cross_checks import problems
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, OfPost, SupersededEntry, live, unstruck
from engine.job.model.words.field_words import value_text
from engine.job.model.words.key_words import fact_words, item_words
from engine.job.model.words.log_sentences import called, day_words, sentence
from engine.walk import Walk, walk

CHANGED, BUILT_ON = "Another laptop changed it since.", "Another laptop built on it."
CHANGED_SINCE, BUILT_ON_SINCE = "It was changed since.", "What was done since is built on it."
WENT_ON = "Another laptop went on with the job since it was opened again. Sign it off anew."
STRIKE_IT, BY_HAND = "If it has to go, strike it in the log (g).", "Put it back by hand."
MOST_NAMED = 3
Facts = Mapping[PathInFile, Any]
RENAMABLE = ("points", "lines", "trees", "gates")


class Back(NamedTuple):
    """The job without what an edit did; None where that can't be had, and `why`. `gone` is whether nothing of the edit stands anyway,
    `also` what of another laptop stands in its place, in words."""

    job: Job | None
    why: str = ""
    gone: bool = False
    also: str = ""


class _Edit(NamedTuple):
    """An edit by the jobs before and after it, the job in hand since, and which facts the edit and what came since changed: `alone` is
    whether that is the other laptop's work alone."""

    before: Job
    after: Job
    now: Job
    mine: Facts
    theirs: Facts
    alone: bool = True


def taken_back(before: Job, after: Job, now: Job, at: datetime, by: str, *, alone: bool = True) -> Back:
    """The job in hand now without the edit that made `after` of `before`; what came in since stands as it did, and so does, where that
    isn't `alone`, what was edited since here. What came in and was left out for the edit stands once that is gone."""
    back = _taken_back(before, after, now, at, by, alone=alone)
    return back if back.job is None else _with_left_out(back.job, before, after, now)


def _with_left_out(job: Job, before: Job, after: Job, now: Job) -> Back:
    """A job with what another laptop did with a post and was struck, as was answered, for what the edit did with it first."""
    had = {entry.post for entry in live(before.log) if isinstance(entry, OfPost)}
    own = [entry for entry in live(after.log) if isinstance(entry, OfPost) and entry.post not in had]
    known = {entry.id for entry in after.log}
    came = [entry for entry in now.log if isinstance(entry, OfPost) and entry.id not in known]
    words = {one.post: [(max(one.at, there.at), one.by) for there in came] for one in own}
    left_out = {entry.id: unstruck(entry) for entry in came if (entry.struck_at, entry.struck_by) in words.get(entry.post, ())}
    held = {entry.id for entry in job.log}
    log = (*(left_out.get(entry.id, entry) for entry in job.log), *(entry for name, entry in left_out.items() if name not in held))
    with_it = job.model_copy(update={"log": log})
    if not left_out or problems(with_it):
        return Back(job)
    whose, said = sorted({one.by for one in left_out.values()}), [sentence(one).rstrip(".") for one in left_out.values()]
    return Back(with_it, also=f". Stands now, by {listed(whose)}: {listed(said)}")


def _taken_back(before: Job, after: Job, now: Job, at: datetime, by: str, *, alone: bool) -> Back:
    after, now = _as_read(after), _as_read(now)
    if _facts(after) == _facts(now):
        return Back(before)
    if before.record is not None:
        return Back(None, WENT_ON)
    before, after = _called_as_now(_as_read(before), after, now)
    was = _facts(after)
    edit = _Edit(before, after, now, _changed(was, _facts(before)), _changed(was, _facts(now)), alone)
    stood = [path for path in edit.mine if not _is_history(edit, path)]
    if stood and all(path in edit.theirs and edit.theirs[path] == edit.mine[path] for path in stood):
        return Back(None, _why(edit, (), None, gone=True), gone=True)
    merged = merge(after, before, now, "theirs")
    if not merged.conflicts and _holds(edit, merged.job):
        return Back(merged.job)
    for tried in (_called_back(edit), _plan_back(edit, at, by)):
        if tried is not None:
            return Back(tried)
    gone = bool(stood) and all(path in edit.theirs for path in stood)
    return Back(None, _why(edit, merged.conflicts, None if merged.conflicts else walk(merged.job), gone=gone), gone)


def _as_read(job: Job) -> Job:
    """The job as a file holds it; the very job where nothing of it is rounded there."""
    read = as_read(job)
    return job if read == job else read


def _called_as_now(before: Job, after: Job, now: Job) -> tuple[Job, Job]:
    """The jobs before and after the edit as if what the other laptop calls otherwise since then had been called so all along."""
    posts = posts_renamed(after, now)
    before, after = posts_called(before, posts), posts_called(after, posts)
    for one in taken_over(after, now):
        if can_be_called(before, one):
            before, after = called_so(before, one), called_so(after, one)
    for table in RENAMABLE:
        was, there = getattr(after, table), getattr(now, table)
        old, new = [name for name in was if name not in there], [name for name in there if name not in was]
        if len(old) == len(new) == 1 and old[0] in getattr(before, table):
            try:
                before, after = (rename(job, table, old[0], new[0]) for job in (before, after))
            except EditRefused:
                continue
    return before, after


# What is told apart --------------------------------------------------------------------------------------------------


def _facts(job: Job) -> dict[PathInFile, Any]:
    """All that a job says, each by its place: fields, entries of the log that stand, what was ticked; not what a tick was made for."""
    found: dict[PathInFile, Any] = {("log", entry.id): unstruck(entry) for entry in live(job.log)}
    for key, tick in job.checks.items():
        found["checks", str(key)] = (tick.state, tick.reading_ft, tick.reading_in, tick.note, tick.at, tick.by)
        found |= {("checks", str(key), photo): True for photo in tick.photos}
    return found | dict(_fields(job.model_dump(exclude={"format", "log", "checks", "record"}), ()))


def _fields(value: Any, path: PathInFile) -> Iterator[tuple[PathInFile, Any]]:
    if isinstance(value, dict) and path[:1] != ("alternatives",):
        for name, inner in value.items():
            yield from _fields(inner, (*path, name))
    elif isinstance(value, dict) and len(path) < 2:
        yield from (((*path, name), inner) for name, inner in value.items())
    else:
        yield path, value


def _changed(before: Facts, now: Facts) -> dict[PathInFile, Any]:
    """What a job says otherwise than the one before, and what it says now; None where that is nothing."""
    return {path: now.get(path) for path in (before | now) if before.get(path) != now.get(path)}  # type: ignore[operator]  # two dicts


def _is_history(edit: _Edit, path: PathInFile) -> bool:
    """Whether it only says what was ticked before."""
    entries = (entry for job in (edit.before, edit.after) for entry in job.log if path == ("log", entry.id))
    return any(isinstance(entry, SupersededEntry) for entry in entries)


# Whether it is whole -------------------------------------------------------------------------------------------------


def _holds(edit: _Edit, job: Job) -> bool:
    """Whether a job says all that was before the edit and all that came in, and what came in means there what it meant."""
    said = _facts(job)
    if any(said.get(path) != value for facts in (edit.mine, edit.theirs) for path, value in facts.items()):
        return False
    if problems(job) and not problems(edit.now):
        return False
    return not _opened(edit, walk(job)) and (not _plans_of(edit) or _stand_as_they_did(edit, walk(job)))


def _opened(edit: _Edit, back: Walk) -> list[ItemKey]:
    """What the other laptop settled that would be open, or asked no more."""
    here, there = _settled(walk(edit.now)), _settled(back)
    return [key for key in edit.now.checks if ("checks", str(key)) in edit.theirs and key in here and here[key] != there.get(key)]


def _settled(walked: Walk) -> dict[ItemKey, tuple[datetime, str]]:
    """When each item that is done, or not needed, was ticked, and by whom."""
    lines = (line for checklist in walked.checklists.values() for line in checklist.lines if line.settled)
    return {line.item.key: (line.tick.at, line.tick.by) for line in lines if line.tick is not None}


def _plans_of(edit: _Edit) -> list[NewPlan]:
    """Plans and new ways that the edit made, took back or let stand again."""
    log = (*edit.after.log, *edit.before.log)
    return [entry for entry in log if isinstance(entry, NewPlan) and ("log", entry.id) in edit.mine]


def _stand_as_they_did(edit: _Edit, back: Walk) -> bool:
    """Whether every support stands where it does now or did before the edit; what the other laptop did something to where it does now."""
    now, before, then = walk(edit.now).layout.supports, walk(edit.before).layout.supports, back.layout.supports
    touched = {entry.post for entry in (*edit.now.log, *edit.after.log) if isinstance(entry, OfPost) and ("log", entry.id) in edit.theirs}
    for name in {*now, *before, *then}:
        wanted = [side[name] for side in ((now,) if name in touched else (now, before)) if name in side]
        if (name in then) != (name in (now if name in touched else before)):
            return False
        if name in then and not any(distance_ft(then[name].xy, one.xy) < SAME_SPOT_FT for one in wanted):
            return False
    return True


# Other ways back -----------------------------------------------------------------------------------------------------


def _called_back(edit: _Edit) -> Job | None:
    """The job with a record called as it was: what came in under its new name follows; None where the edit was more than that."""
    for table in RENAMABLE:
        was, now = getattr(edit.before, table), getattr(edit.after, table)
        old, new = [name for name in was if name not in now], [name for name in now if name not in was]
        if len(old) != 1 or len(new) != 1:
            continue
        start, walked = with_facts(edit.before, walk(edit.before)), walk(edit.now)
        try:
            if _facts(rename(start, table, old[0], new[0])) != _facts(edit.after):
                continue
            job = rename(edit.now, table, new[0], old[0])
            again = rename(job, table, old[0], new[0])
        except EditRefused:
            continue
        if _facts(again) == _facts(edit.now) and len(_settled(walk(job))) == len(_settled(walked)):
            return job
    return None


def _plan_back(edit: _Edit, at: datetime, by: str) -> Job | None:
    """The job with what stood before a plan or a new way that the edit made, where all that was done since stands clear of it."""
    plan = next((entry for entry in _plans_of(edit) if entry in live(edit.now.log) and entry.before is not None), None)
    if plan is None or any(name not in plan.before.posts and name not in edit.now.posts for name in plan.before.plan):  # type: ignore[union-attr]  # it has one
        return None
    job = plan_taken_back(edit.now, plan, at, by)
    return job if _holds(edit, job) else None


# Why not -------------------------------------------------------------------------------------------------------------


def _why(edit: _Edit, asked: tuple[Conflict, ...], back: Walk | None, *, gone: bool) -> str:
    shared = [path for path in edit.mine if path in edit.theirs and not _is_history(edit, path)]
    both = min(shared, key=lambda path: ("checks", "log").index(path[0]) if path[0] in ("checks", "log") else -1, default=None)
    way_out = "" if gone else _way_out(edit)
    changed, built_on = (CHANGED, BUILT_ON) if edit.alone else (CHANGED_SINCE, BUILT_ON_SINCE)
    if both is not None:
        return _sentences(changed, _said_now(edit, both), way_out)
    own = _own(edit)
    if own is not None and (says := in_the_way(edit.now, own)):
        return _sentences(built_on, says)
    if asked:
        stands = asked[0].about if asked[0].path == WHOLE else asked[0].theirs
        return _sentences(built_on, stands, way_out)
    if back is not None and (opened := _opened(edit, back)):
        who = listed(sorted({edit.now.checks[key].by or "Somebody" for key in opened}))
        more = f" and {len(opened) - MOST_NAMED} more" if len(opened) > MOST_NAMED else ""
        items = ", ".join(item_words(key) for key in opened[:MOST_NAMED]) if more else listed([item_words(key) for key in opened])
        return _sentences(built_on, f"{who} ticked {items}{more}, which would count no more.", way_out)
    return _sentences(built_on, next(iter(came_in(edit.after, edit.now)), ""), way_out)


def _own(edit: _Edit) -> LogEntry | None:
    """The entry that the edit made and that stands: a plan, else its last."""
    made = [entry for entry in live(edit.now.log) if edit.mine.get(("log", entry.id), entry) is None]
    plans = [entry for entry in made if isinstance(entry, NewPlan)]
    return plans[-1] if plans else next((entry for entry in reversed(made) if not isinstance(entry, SupersededEntry)), None)


def _way_out(edit: _Edit) -> str:
    if (own := _own(edit)) is not None:
        return "" if in_the_way(edit.now, own) else STRIKE_IT
    return "" if any(path[0] in ("log", "checks") for path in edit.mine) else BY_HAND


def _said_now(edit: _Edit, path: PathInFile) -> str:
    """What stands there now."""
    now = edit.now
    if path[0] == "checks":
        key = item_key(str(path[1]))
        return f"{item_words(key)}: {tick_words(now.checks.get(key))}."
    if path[0] == "log":
        entry = next((entry for entry in now.log if entry.id == path[1]), None)
        if entry is None:
            return "It isn't in the log any more."
        if entry.struck_at is None:
            return f"{called(entry)} stands {'otherwise now' if entry.id in {one.id for one in live(edit.after.log)} else 'again'}."
        return f"{called(entry)} was struck on {day_words(entry.struck_at)}{f' by {entry.struck_by}' if entry.struck_by else ''}."
    facts = _facts(now)
    if not any(place[:2] == path[:2] for place in facts):
        return f"{fact_words(path[:2])} isn't there any more."
    value = facts.get(path)
    said = shown(value_text(str(path[-1]), value)) if isinstance(value, str | int | float) else "it is otherwise now"
    return f"{fact_words(path)}: {said}."


def _sentences(*parts: str) -> str:
    return " ".join(f"{part.rstrip('.')}." for part in parts if part)
