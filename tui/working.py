"""The working copy: one open job, its walk, what can be undone, and whether it is on disk. Every edit goes through here."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from engine.job.store import Loaded, save

from engine.job.errors import JobError
from engine.job.job import Job
from engine.walk import Walk, walk

Edit = Callable[[Job, datetime, str], Job]


def now() -> datetime:
    """This moment, with its offset, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)


@dataclass(frozen=True)
class Working:
    """A job as it stands. `loaded` is what the disk holds; `trouble` is why the job in hand isn't there yet, empty when it is."""

    loaded: Loaded
    job: Job
    walk: Walk
    by: str
    past: tuple[tuple[str, Job], ...] = ()
    future: tuple[tuple[str, Job], ...] = ()
    trouble: str = ""
    saved_at: datetime | None = None
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
    """The working copy after an edit, already on disk; `words` name it for undo. Raises EditRefused and changes nothing."""
    job = edit(working.job, working.clock(), working.by)
    return _stored(replace(working, past=(*working.past, (words, working.job)), future=()), job)


def undone(working: Working) -> tuple[Working, str]:
    """The job before the last edit, on disk, and what was undone; nothing to undo gives the same copy and no words."""
    if not working.past:
        return working, ""
    words, job = working.past[-1]
    return _stored(replace(working, past=working.past[:-1], future=(*working.future, (words, working.job))), job), words


def redone(working: Working) -> tuple[Working, str]:
    """The job after the edit last undone, on disk, and what was done again."""
    if not working.future:
        return working, ""
    words, job = working.future[-1]
    return _stored(replace(working, future=working.future[:-1], past=(*working.past, (words, working.job))), job), words


def saved_again(working: Working) -> Working:
    """One more try to put the job in hand on disk."""
    return _stored(working, working.job)


def _stored(working: Working, job: Job) -> Working:
    """The job in hand on disk and walked; where the disk refuses, the job is kept and the trouble stands."""
    at = working.clock()
    try:
        loaded, trouble, saved_at = save(working.loaded, job, at), "", at
    except JobError as error:
        loaded, trouble, saved_at = working.loaded, str(error), working.saved_at
    return replace(working, loaded=loaded, job=job, walk=walk(job), trouble=trouble, saved_at=saved_at)


def working_as(working: Working, by: str) -> Working:
    """The same copy with another name beside what is done from now on."""
    return replace(working, by=by)
