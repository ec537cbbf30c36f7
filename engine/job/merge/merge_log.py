"""The logs of two versions joined, and posts that both sides added under one id told apart."""

from engine.job.edit.edits import OfPost, next_post_id
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, PlannedEntry, RerouteEntry, unstruck

LONGEST_ID = 40


def joined_log(base: tuple[LogEntry, ...], ours: tuple[LogEntry, ...], theirs: tuple[LogEntry, ...]) -> tuple[LogEntry, ...]:
    """All entries of both sides: theirs in their order, then what only we added. What either side struck, or took out, stays so.

    Where we took a new plan or a new way meanwhile, what they said of posts counts from there on, and comes after it.
    """
    started, mine, yours = ({entry.id: entry for entry in log} for log in (base, ours, theirs))
    stays = [
        _struck_as(started.get(entry.id), mine.get(entry.id), entry) for entry in theirs if entry.id in mine or entry.id not in started
    ]
    taken = {entry.id for entry in stays} | set(mine)
    for entry in ours:
        if entry.id in started or _same_entry(yours.get(entry.id), entry):
            continue
        if entry.id in yours:
            entry = entry.model_copy(update={"id": _free_id(entry.id, taken)})
            taken.add(entry.id)
        stays.append(entry)
    plans = [place for place, entry in enumerate(stays) if entry.id not in started and isinstance(entry, PlannedEntry | RerouteEntry)]
    if plans and stays[plans[0]].id not in yours:
        told = [entry for entry in stays[: plans[0]] if entry.id in yours and entry.id not in started and isinstance(entry, OfPost)]
        stays = [*(entry for entry in stays if entry not in told), *told]
    return tuple(stays)


def with_free_post_ids(base: Job, ours: Job, theirs: Job) -> tuple[Job, list[str]]:
    """Our job with another id for every post that the other side added under the same one, and sentences that say so."""
    known = {entry.id for entry in base.log}
    fresh = [entry for entry in ours.log if entry.id not in known]
    yours = {entry.id: entry for entry in theirs.log}
    same = {entry.id for entry in fresh if _same_entry(yours.get(entry.id), entry)}
    theirs_new = {entry.post for entry in theirs.log if isinstance(entry, AddEntry) and entry.id not in known}
    clashing = [entry.post for entry in fresh if isinstance(entry, AddEntry) and entry.post in theirs_new and entry.id not in same]
    names: dict[str, str] = {}
    for post in clashing:
        names[post] = next_post_id(theirs, dict.fromkeys([*ours.posts, *_posts_added(ours), *names.values()]))
    if not names:
        return ours, []
    log = tuple(entry if entry.id in known else _of_renamed_post(entry, names) for entry in ours.log)
    checks = {key._replace(subject=names.get(key.subject, key.subject)): tick for key, tick in ours.checks.items()}
    says = [f"Both sides added a post {old}: yours is {new} now." for old, new in names.items()]
    return ours.model_copy(update={"log": log, "checks": checks}), says


def _same_entry(one: LogEntry | None, other: LogEntry) -> bool:
    """Whether two are one entry, struck or not."""
    return one is not None and unstruck(one) == unstruck(other)


def _struck_as(base: LogEntry | None, ours: LogEntry | None, theirs: LogEntry) -> LogEntry:
    """Theirs, struck or standing as the side that changed that says; where both struck it, as struck first."""
    if ours is None or not _same_entry(ours, theirs) or ours == base:
        return theirs
    if theirs == base or theirs.struck_at is None:
        return ours
    return ours if ours.struck_at is not None and ours.struck_at <= theirs.struck_at else theirs


def _posts_added(job: Job) -> list[str]:
    return [entry.post for entry in job.log if isinstance(entry, AddEntry)]


def _of_renamed_post(entry: LogEntry, names: dict[str, str]) -> LogEntry:
    post = getattr(entry, "post", None)
    return entry.model_copy(update={"post": names[post]}) if post in names else entry


def _free_id(name: str, taken: set[str]) -> str:
    tries = (f"{name[: LONGEST_ID - 4]}-{number}" for number in range(2, 1_000))
    return next(tried for tried in tries if tried not in taken)
