"""Striking an entry of the log, of whatever day: it stays to be read and counts no more, or it is said what stands in the way."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from engine.calc.phrases import listed
from engine.job.edit.edits import SEALED, reopen, untick
from engine.job.edit.held_by_plan import plans_since, without_entry
from engine.job.edit.plan_taken_back import NOT_KEPT, NewPlan, in_a_plans_way, logged_on, plan_taken_back
from engine.job.errors import EditRefused
from engine.job.model.cross_checks import problems
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
    live,
    struck,
)
from engine.job.model.words.key_words import item_words, said_words
from engine.job.model.words.log_sentences import called, day_words


def strike(job: Job, name: str, at: datetime, by: str, *, why: str = "") -> Job:
    """Job with an entry of its log struck, with when and by whom. To strike a signature is to reopen the job, with the reason for it."""
    entry = next((one for one in job.log if one.id == name), None)
    if entry is None:
        raise EditRefused("That entry isn't in the log any more.")
    if says := in_the_way(job, entry):
        raise EditRefused(says)
    done = _without(job, entry, at, by, why)
    if (found := problems(done)) and not problems(job):
        raise EditRefused(found[0].message)
    return done


def _without(job: Job, entry: LogEntry, at: datetime, by: str, why: str) -> Job:
    match entry:
        case SignedEntry() if _seals(job, entry):
            return reopen(job, why, at, by)
        case PlannedEntry() | RerouteEntry() if entry.before is not None:
            return plan_taken_back(_cleared(job, entry, at, by), entry, at, by)
        case PlannedEntry():
            return _struck(job, [entry, *_held(job, entry)], at, by)
        case SupersededEntry() if _comes_back(job, entry):
            opened = untick(job, entry.item, at, by)
            return _struck(opened.model_copy(update={"checks": {**opened.checks, entry.item: entry.tick}}), [entry], at, by)
        case _ if isinstance(entry, OfPost) and plans_since(job, entry):
            without = without_entry(job, entry)
            return _struck(job.model_copy(update={"posts": without.posts}), [entry, *without.also], at, by)
    return _struck(job, [entry, *_of_an_added_post(job, entry)], at, by)


def _struck(job: Job, entries: Iterable[LogEntry], at: datetime, by: str) -> Job:
    names = {entry.id for entry in entries}
    return job.model_copy(update={"log": tuple(struck(one, at, by) if one.id in names else one for one in job.log)})


def _cleared(job: Job, plan: NewPlan, at: datetime, by: str) -> Job:
    """A job without what was logged on a plan or a new way, the last first: later plans with what was logged on those, then the rest."""
    while on_it := logged_on(job, plan):
        last = max(on_it, key=lambda one: (isinstance(one, NewPlan), on_it.index(one)))
        if says := in_the_way(job, last):
            raise EditRefused(f"{called(last)} stands on it. {says}")
        job = _without(job, last, at, by, "")
    return job


def struck_with(job: Job, entry: LogEntry) -> Sequence[LogEntry]:
    """What else is struck with an entry; not what plans wrote themselves."""
    match entry:
        case PlannedEntry() if entry.before is None:
            return _held(job, entry)
        case PlannedEntry() | RerouteEntry():
            stays = {one.id for one in live(_cleared(job, entry, entry.at, "").log)}
            gone = [one for one in live(job.log) if one.id not in stays and not isinstance(one, SupersededEntry)]
            own = {name for one in gone if isinstance(one, PlannedEntry) for name in one.steps}
            return [one for one in gone if one.id not in own]
        case _ if isinstance(entry, OfPost) and plans_since(job, entry):
            return without_entry(job, entry).also
    return _of_an_added_post(job, entry)


def comes_of_it(job: Job, entry: LogEntry) -> str:
    """What striking an entry does besides, and what stays as it is although it is struck, in sentences; empty where neither is so."""
    return " ".join(part for part in (_does(job, entry), _named(struck_with(job, entry))) if part)


def _does(job: Job, entry: LogEntry) -> str:
    match entry:
        case PlannedEntry() if entry.before is None:
            return f"{NOT_KEPT.says} The plan stays as it stands: only the log changes."
        case SupersededEntry() if _comes_back(job, entry) and entry.item in job.checks:
            tick = job.checks[entry.item]
            return f"{item_words(entry.item)}: {said_words(tick)}, ticked on {day_words(tick.at)} by {tick.by}, counts no more."
        case _ if isinstance(entry, OfPost) and plans_since(job, entry):
            return without_entry(job, entry).says
    return ""


def _named(also: Sequence[LogEntry]) -> str:
    return f"Struck with it: {listed([f'{says[:1].lower()}{says[1:]}' for says in map(called, also)])}." if also else ""


def in_the_way(job: Job, entry: LogEntry) -> str:
    """Why an entry can't be struck, in one sentence; empty where it can."""
    if entry.struck_at is not None:
        by = f" by {entry.struck_by}" if entry.struck_by else ""
        return f"It was struck already, on {day_words(entry.struck_at)}{by}."
    if isinstance(entry, SignedEntry) and _seals(job, entry):
        return ""
    if job.record is not None:
        return SEALED
    match entry:
        case ReopenedEntry():
            return "A reopening stays in the log: the record that it took out isn't kept. Sign the job off again."
        case RerouteEntry() if entry.before is None:
            return str(NOT_KEPT)
        case PlannedEntry() | RerouteEntry() if entry.before is not None:
            return _in_a_plans_way(job, entry)
    return ""


def _in_a_plans_way(job: Job, plan: NewPlan) -> str:
    try:
        job = _cleared(job, plan, plan.at, "")
    except EditRefused as refused:
        return str(refused)
    return str(in_a_plans_way(job, plan) or "")


def _held(job: Job, plan: PlannedEntry) -> list[LogEntry]:
    """What a plan holds already that is to stay although it isn't known what stood before it: it would count twice without it."""
    standing = live(job.log)
    before = standing[: standing.index(plan)]
    last = max((n for n, one in enumerate(before) if isinstance(one, PlannedEntry | RerouteEntry)), default=-1)
    return [one for one in before[last + 1 :] if isinstance(one, OfPost)]


def _of_an_added_post(job: Job, entry: LogEntry) -> list[LogEntry]:
    """What was logged since of a post that an entry added."""
    after = live(job.log)[live(job.log).index(entry) + 1 :] if isinstance(entry, AddEntry) else ()
    return [one for one in after if isinstance(one, OfPost) and isinstance(entry, AddEntry) and one.post == entry.post]


def _comes_back(job: Job, entry: SupersededEntry) -> bool:
    """Whether the tick comes back with an entry that says it counts no more; it doesn't where the log says so besides."""
    return not entry.alike and not _in_the_log_besides(job, entry)


def _in_the_log_besides(job: Job, entry: SupersededEntry) -> bool:
    """Whether an entry opened a tick that another one had been made after: that of a sleeve which its post had come back to."""
    past = (one for one in live(job.log) if isinstance(one, SupersededEntry) and not one.opened)
    return entry.opened and any((one.item, one.tick) == (entry.item, entry.tick) for one in past)


def _seals(job: Job, entry: SignedEntry) -> bool:
    """Whether a signature is the one that the job is sealed with."""
    signatures = [one for one in live(job.log) if isinstance(one, SignedEntry)]
    return job.record is not None and signatures[-1] is entry
