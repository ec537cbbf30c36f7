"""Striking an entry of the log, of whatever day: it stays to be read and counts no more, or it is said what stands in the way."""

from datetime import datetime

from engine.job.edit.edits import SEALED, reopen
from engine.job.edit.plan_taken_back import in_a_plans_way, plan_taken_back
from engine.job.errors import EditRefused
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import problems
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    LogEntry,
    OfPost,
    PlannedEntry,
    ReopenedEntry,
    RerouteEntry,
    SignedEntry,
    SupersededEntry,
    current_entries,
    live,
    struck,
)
from engine.job.model.words.key_words import item_words
from engine.job.model.words.log_sentences import called, day_words


def strike(job: Job, name: str, at: datetime, by: str, *, why: str = "") -> Job:
    """Job with an entry of its log struck, with when and by whom. To strike a signature is to reopen the job, with the reason for it."""
    entry = next((one for one in job.log if one.id == name), None)
    if entry is None:
        raise EditRefused("That entry isn't in the log any more.")
    if says := in_the_way(job, entry):
        raise EditRefused(says)
    if isinstance(entry, SignedEntry):
        return reopen(job, why, at, by)
    if isinstance(entry, PlannedEntry | RerouteEntry):
        done = plan_taken_back(job, entry, at, by)
    else:
        log = tuple(struck(one, at, by) if one.id == name else one for one in job.log)
        done = job.model_copy(update={"log": log, "checks": {**job.checks, **_ticked_again(job, entry)}})
    if (found := problems(done)) and not problems(job):
        raise EditRefused(found[0].message)
    return done


def in_the_way(job: Job, entry: LogEntry) -> str:
    """Why an entry can't be struck, in one sentence; empty where it can."""
    if entry.struck_at is not None:
        by = f" by {entry.struck_by}" if entry.struck_by else ""
        return f"It was struck already, on {day_words(entry.struck_at)}{by}."
    if isinstance(entry, SignedEntry):
        return "" if _seals(job, entry) else "The job was reopened since, so this signature seals nothing any more. It stays in the log."
    if job.record is not None:
        return SEALED
    match entry:
        case ReopenedEntry():
            return "A reopening stays in the log: the record that it took out isn't kept. Sign the job off again."
        case SupersededEntry():
            return _in_a_ticks_way(job, entry)
        case PlannedEntry() | RerouteEntry():
            return str(in_a_plans_way(job, entry) or "")
        case _ if isinstance(entry, OfPost):
            return _in_a_posts_way(job, entry)
    return ""


def _in_a_posts_way(job: Job, entry: OfPost) -> str:
    """What a later plan holds already, or what was logged of a post that was added."""
    after = live(job.log)[live(job.log).index(entry) + 1 :]
    if entry.id not in {one.id for one in current_entries(job.log)}:
        plan = next(one for one in reversed(after) if isinstance(one, PlannedEntry | RerouteEntry))
        return f"{called(plan)} holds it already. Strike that first, or move the post."
    later = [one for one in after if isinstance(one, OfPost) and one.post == entry.post]
    if isinstance(entry, AddEntry) and later:
        return f"{called(later[-1])} was logged since. Strike that first."
    return ""


def _in_a_ticks_way(job: Job, entry: SupersededEntry) -> str:
    """The tick that an item has since."""
    tick = job.checks.get(entry.item)
    if tick is None or entry.alike or _in_the_log_besides(job, entry):
        return ""
    return f"{item_words(entry.item)} was ticked on {day_words(tick.at)} by {tick.by}. Open that item first, then strike this."


def _ticked_again(job: Job, entry: LogEntry) -> dict[ItemKey, Tick]:
    """The tick that comes back with an entry that says it counts no more; none where the log says it besides."""
    if not isinstance(entry, SupersededEntry) or entry.alike or _in_the_log_besides(job, entry):
        return {}
    return {entry.item: entry.tick}


def _in_the_log_besides(job: Job, entry: SupersededEntry) -> bool:
    """Whether an entry opened a tick that another one had been made after: that of a sleeve which its post had come back to."""
    past = (one for one in live(job.log) if isinstance(one, SupersededEntry) and not one.opened)
    return entry.opened and any((one.item, one.tick) == (entry.item, entry.tick) for one in past)


def _seals(job: Job, entry: SignedEntry) -> bool:
    """Whether a signature is the one that the job is sealed with."""
    signatures = [one for one in live(job.log) if isinstance(one, SignedEntry)]
    return job.record is not None and signatures[-1] is entry
