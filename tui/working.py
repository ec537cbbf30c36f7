"""The working copy: one open job, its walk, what can be undone, and whether it is on disk. Every edit goes through here."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from engine.job.errors import JobError, ReadOnlyFile
from engine.job.job import Job
from engine.job.log import log_gone_back
from engine.job.merge import Conflict, Side
from engine.job.sharing import save_shared
from engine.job.store import Loaded
from engine.walk import Walk, walk

Edit = Callable[[Job, datetime, str], Job]
BOTH_CHANGED = "Not saved yet: somebody else changed the same thing in this file. Say which to keep."


def now() -> datetime:
    """This moment, with its offset, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)


@dataclass(frozen=True)
class Working:
    """A job as it stands. `loaded` is what the disk holds; `trouble` is why the job in hand isn't there yet, empty when it is.

    `news` are sentences to show once: what came in from another laptop, what the save had to say. `conflicts` are facts that both
    sides changed: nothing is saved until somebody says which to keep.
    """

    loaded: Loaded
    job: Job
    walk: Walk
    by: str
    past: tuple[tuple[str, Job], ...] = ()
    future: tuple[tuple[str, Job], ...] = ()
    trouble: str = ""
    saved_at: datetime | None = None
    news: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    clock: Callable[[], datetime] = field(default=now, compare=False)

    @property
    def saved(self) -> bool:
        """Whether the job in hand is the job on disk."""
        return not self.trouble

    @property
    def read_only(self) -> str:
        """Why nothing can be changed, or nothing."""
        return self.loaded.read_only_reason or ""


def open_working(loaded: Loaded, by: str, clock: Callable[[], datetime] = now) -> Working:
    """The working copy of a file just read."""
    return Working(loaded, loaded.job, walk(loaded.job), by, clock=clock)


def edited(working: Working, words: str, edit: Edit) -> Working:
    """The working copy after an edit, already on disk; `words` name it for undo. A signature can't be undone, only reopened.

    Raises EditRefused, or ReadOnlyFile where nothing can be saved, and changes nothing.
    """
    if working.read_only:
        raise ReadOnlyFile(working.loaded.path, working.read_only)
    job = edit(working.job, working.clock(), working.by)
    past = () if job.record is not None else (*working.past, (words, working.job))
    return _stored(replace(working, past=past, future=()), job)


def undone(working: Working) -> tuple[Working, str]:
    """The job before the last edit, on disk, and what was undone; nothing to undo gives the same copy and no words.

    A log entry that was on disk is struck, not erased.
    """
    if not working.past:
        return working, ""
    words, job = working.past[-1]
    back = replace(working, past=working.past[:-1], future=(*working.future, (words, working.job)))
    return _stored(back, _gone_to(working, job)), words


def redone(working: Working) -> tuple[Working, str]:
    """The job after the edit last undone, on disk, and what was done again; what was struck stands again."""
    if not working.future:
        return working, ""
    words, job = working.future[-1]
    forth = replace(working, future=working.future[:-1], past=(*working.past, (words, working.job)))
    return _stored(forth, _gone_to(working, job)), words


def _gone_to(working: Working, job: Job) -> Job:
    """A job gone back to, or on to again, with the log's other entries struck; a sealed one stands as it was sealed."""
    if job.record is not None:
        return job
    saved = {entry.id: entry for entry in working.loaded.job.log}
    return job.model_copy(update={"log": log_gone_back(working.job.log, job.log, saved, working.clock(), working.by)})


def saved_again(working: Working) -> Working:
    """One more try to put the job in hand on disk."""
    return _stored(working, working.job)


def settled(working: Working, keep: Side) -> Working:
    """The job in hand on disk, with the facts that both sides changed taken from the side to keep."""
    return _stored(working, working.job, keep)


def _stored(working: Working, job: Job, keep: Side | None = None) -> Working:
    """The job in hand on disk and walked; where the disk refuses, the job is kept and the trouble stands.

    Undo ends where something came in from another laptop: going back past it would take that out again.
    """
    at = working.clock()
    try:
        shared = save_shared(working.loaded, job, at, keep)
    except JobError as error:
        return replace(working, job=job, walk=walk(job), trouble=str(error), news=(), conflicts=())
    if shared.conflicts:
        return replace(working, job=job, walk=walk(job), trouble=BOTH_CHANGED, news=(), conflicts=shared.conflicts)
    loaded = shared.loaded
    news = (*shared.came_in, *loaded.notes)
    fresh = replace(working, loaded=loaded, job=loaded.job, walk=walk(loaded.job), trouble="", saved_at=at, news=news, conflicts=())
    return replace(fresh, past=(), future=()) if shared.came_in else fresh


def working_as(working: Working, by: str) -> Working:
    """The same copy with another name beside what is done from now on."""
    return replace(working, by=by)
