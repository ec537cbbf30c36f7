"""The working copy: one open job, its walk, what can be undone, and how far it is on its way to the disk. Every edit goes through here.

Nothing here touches the disk or waits for it: `sending` says what to save, `tui/working/saver.py` saves it in a thread of its own, `landed`
takes in how that went. Whoever edits meanwhile edits on.
"""

from collections.abc import Callable, Mapping
from dataclasses import field, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from engine.calc.frozen import dataclass
from engine.job.errors import JobError, NotSaved, ReadOnlyFile, shown
from engine.job.file.store import Loaded
from engine.job.model.job import Job
from engine.job.model.log_entries import log_gone_back
from engine.walk import Walk, walk
from tui.working.clocks import clock_behind, done_at, now

if TYPE_CHECKING:
    from engine.job.merge.asked import Conflict, Keep, Side
    from engine.job.versions.sharing import Shared
    from engine.job.versions.unsaved import Unsaved

Edit = Callable[[Job, datetime, str], Job]
Walked = Callable[[], Walk]
"""What gives the walk of a job, once somebody asks."""
BOTH_CHANGED = "Not saved yet: somebody else changed the same thing in this file. Ctrl+S asks which to keep."
LINE_LETTERS, LEAST_LETTERS = 76, 40
"""As long as what came of an edit is told, at most; and as much room as it has where more stands beside it."""
SIGNED_MEANWHILE = "Not saved: the job was signed off on another laptop meanwhile. Ctrl+S says what can be done."
LEFT_OUT = "The job stands as it was signed. What you changed is kept on this laptop: it is offered once the job is reopened."
SEALED_NOW = "Signed off. The file is sealed."
CHANGED_MEANWHILE = "It was changed while it was open: open it again to see what was."


@dataclass(frozen=True)
class Request:
    """One save: `job`, made from `base` where that is known, into the file that `loaded` was read from; `rescue` is the last copy kept
    elsewhere, `taken` one whose work is in it."""

    loaded: Loaded
    base: Job | None
    job: Job
    at: datetime
    keep: "Keep | None" = None
    rescue: Path | None = None
    taken: Loaded | None = None


@dataclass(frozen=True)
class Outcome:
    """How a save went: what stands on disk now and what has to be asked, or why not. `rescue` is the copy of it kept elsewhere, if any."""

    request: Request
    shared: "Shared | None" = None
    error: JobError | None = None
    rescue: Path | None = None


class Step(NamedTuple):
    """An edit that can be taken back: its words, and the job before and after it. `passed` is whether it was said why it can't be, so that
    undo goes on to what was done before it; what comes in may change that."""

    words: str
    before: Job
    after: Job
    passed: bool = False


@dataclass(frozen=True)
class Working:
    """A job as it stands in hand. `loaded` is what the disk holds, `base` the version of it that the job in hand was made from, None where
    that isn't known. `sent` is the save on its way. `trouble` says that the last one failed and where the work is, `why` in a few words,
    `slow` that the disk doesn't answer; empty when all is well. `news` are sentences to show once: what came in from another laptop, what
    the save had to say. `conflicts` are facts that both sides changed: nothing is saved until somebody says which to keep; `answers` are
    what was said of others just before, `asked_of` is the file that has it otherwise. `rescue` is where the work is kept meanwhile.
    `touched` is what was changed in a signed-off file since it was signed. `shared` is whether another laptop saved into this file
    meanwhile, `gone` whether the file wasn't there when last looked at. `taken` is a copy kept elsewhere that was taken up and isn't saved
    yet.
    """

    loaded: Loaded
    base: Job | None
    job: Job
    walk: Walk
    by: str
    past: tuple[Step, ...] = ()
    future: tuple[tuple[str, Job], ...] = ()
    sent: Request | None = None
    trouble: str = ""
    why: str = ""
    slow: str = ""
    saved_at: datetime | None = None
    news: tuple[str, ...] = ()
    conflicts: "tuple[Conflict, ...]" = ()
    answers: "Mapping[Conflict, Side]" = field(default_factory=dict)
    asked_of: Loaded | None = None
    rescue: Path | None = None
    touched: tuple[str, ...] = ()
    shared: bool = False
    gone: bool = False
    taken: Loaded | None = None
    clock: Callable[[], datetime] = field(default=now, compare=False)

    @property
    def at(self) -> datetime:
        """The time of what is done now."""
        return done_at(self.job, self.clock())

    @property
    def saved(self) -> bool:
        """Whether the job in hand is the job on disk."""
        return self.job is self.loaded.job

    @property
    def as_it_stands(self) -> Loaded:
        """The file with the job in hand in it, whether that is on disk or not: what is read and printed of it."""
        return replace(self.loaded, job=self.job)

    @property
    def start(self) -> Job:
        """What an edit or its preview starts from: the job in hand, whose ticks all say what they were made for."""
        from engine.change.older_ticks import with_facts

        return with_facts(self.job, self.walk)

    @property
    def standing(self) -> str:
        """What the crew has to know of the disk for as long as it is so; empty when all is well."""
        gone = gone_words(self) if self.gone and self.saved else ""
        return self.trouble or self.slow or gone or (touched_words(self.touched) if self.touched and self.saved else "")

    @property
    def read_only(self) -> str:
        """Why nothing can be changed, or nothing."""
        return self.loaded.read_only_reason or ""


def open_working(loaded: Loaded, by: str, clock: Callable[[], datetime] = now, *, walked: Walked | None = None) -> Working:
    """The working copy of a file just read."""
    news = (*loaded.notes, *clock_behind(loaded.job, clock))
    return Working(loaded, loaded.job, loaded.job, walked() if walked else walk(loaded.job), by, news=news, clock=clock)


def edited(working: Working, words: str, edit: Edit) -> Working:
    """The working copy after an edit, not on disk yet; `words` name it for undo. A signature can't be undone, only reopened. Raises
    EditRefused, or ReadOnlyFile where nothing can be saved, and changes nothing."""
    from engine.change.logged_places import with_places

    if working.read_only:
        raise ReadOnlyFile(working.loaded.path, working.read_only)
    start = working.start
    job = with_places(edit(start, working.at, working.by), working.walk, start)
    past = () if job.record else (*working.past, Step(words, working.job, job))
    return _with_job(replace(working, past=past, future=()), job)


class Replayed(NamedTuple):
    """The working copy gone back or on again, and what was; no words where there was nothing to do. `why` says that it can't be, and why:
    the job is as it was, and `then` is what is taken back next, if anything."""

    working: Working
    words: str
    why: str = ""
    then: str = ""


def undone(working: Working) -> Replayed:
    """The job before the last edit. A log entry that may have reached the disk is struck, not erased. What came in from another laptop
    since then stays; where it stands on the edit, nothing is undone, and the next time it is passed over: once all are, the last one is
    tried again. An edit that nothing is left of is forgotten."""
    past = working.past if _next(working.past) is not None else _none_passed(working.past)
    nth = _next(past)
    if nth is None:
        return Replayed(working, "")
    (words, before, after, _), older, newer = past[nth], past[:nth], past[nth + 1 :]
    job, also = before, ""
    if working.job is not after:
        from tui.working.taking_back import taken_back

        back = taken_back(before, after, working.job, working.at, working.by, alone=not newer)
        if back.job is None:
            passed = () if back.gone else (past[nth]._replace(passed=True),)
            then = _next(older)
            return Replayed(replace(working, past=(*older, *passed, *newer)), words, back.why, "" if then is None else older[then].words)
        job, also = back.job, back.also
    back_there = _with_log_struck(working, job)
    if older and older[-1].after is job:
        older = (*older[:-1], older[-1]._replace(after=back_there))
    gone_back = replace(working, past=(*older, *newer), future=(*working.future, (words, working.job)))
    return Replayed(_with_job(gone_back, back_there), f"{words.rstrip('.')}{also}" if also else words)


def _next(past: tuple[Step, ...]) -> int | None:
    """Which edit is taken back next: the last that wasn't passed over."""
    return next((n for n in range(len(past) - 1, -1, -1) if not past[n].passed), None)


def _none_passed(past: tuple[Step, ...]) -> tuple[Step, ...]:
    return tuple(step._replace(passed=False) for step in past)


def redone(working: Working) -> Replayed:
    """The job after the edit last undone; what was struck stands again."""
    if not working.future:
        return Replayed(working, "")
    words, job = working.future[-1]
    job = _with_log_struck(working, job)
    forth = replace(working, future=working.future[:-1], past=(*working.past, Step(words, working.job, job)))
    return Replayed(_with_job(forth, job), words)


def _with_job(working: Working, job: Job) -> Working:
    return replace(working, job=job, walk=walk(job))


def _came_of_it(working: Working, before: Working) -> Working:
    """The working copy with news that came in: what is called otherwise now first, and behind that, or behind the first of the others, what
    it opened and found; what is only settled is no such news, and neither is another name."""
    from engine.change.what_it_did import what_it_did
    from engine.job.merge.told_apart import tells_new_name
    from tui.working.called_now import new_names

    if not working.news:
        return working
    names = new_names(before.job, working.job)
    job, renamed = (names.called(before.job), [one.says for one in names.records]) if names else (before.job, [])
    named = [one for one in working.news if one in renamed or tells_new_name(one)]
    news = (*named, *(one for one in working.news if one not in named))
    did = what_it_did(before.walk if job is before.job else walk(job), working.walk)
    if did.sign == "done":
        return replace(working, news=news)
    first = max(len(named), 1)
    return replace(working, news=(*news[:first], did.words(LINE_LETTERS), *news[first:]))


def did_since(before: Walk, after: Walk, beside: int = 0, jobs: tuple[Job, Job] | None = None) -> str:
    """What an edit opened, found and settled, in a sentence that has a line beside so many letters; of one gone back to with both jobs."""
    from engine.change.what_it_did import moved_ticks, what_it_did

    return what_it_did(before, after, moved=moved_ticks(*jobs) if jobs else ()).words(max(LINE_LETTERS - beside - 2, LEAST_LETTERS))


def _with_log_struck(working: Working, job: Job) -> Job:
    """A job gone back to, or on to again, with the log's other entries struck; a sealed one stands as it was sealed."""
    if job.record is not None:
        return job
    sent = working.sent.job.log if working.sent else ()
    saved = {entry.id: entry for entry in (*working.loaded.job.log, *sent)}
    return job.model_copy(update={"log": log_gone_back(working.job.log, job.log, saved, working.at, working.by)})


def sending(working: Working, keep: "Keep | None" = None) -> Working:
    """The working copy with a save on its way in `sent`: none where one is under way already, or there is nothing to save. `keep` says
    whose word holds where both sides changed the same fact; None asks."""
    if working.sent is not None or working.saved:
        return working
    return replace(working, sent=Request(working.loaded, working.base, working.job, working.clock(), keep, working.rescue, working.taken))


def landed(working: Working, outcome: Outcome) -> Working:
    """The working copy once a save came back; edits made meanwhile stand, and are the next to be saved."""
    back = replace(working, sent=None, slow="", gone=False, conflicts=(), answers={}, asked_of=None, rescue=outcome.rescue)
    given = outcome.request.keep.answers if outcome.request.keep else {}
    if outcome.shared is None:
        why = outcome.error.why if isinstance(outcome.error, NotSaved) else ""
        says = f"Not saved: {why} It is tried again every few seconds. {kept_words(outcome.rescue)}" if why else str(outcome.error)
        return replace(back, trouble=says, why=why)
    if outcome.shared.conflicts:
        signed = outcome.shared.loaded.sealed and outcome.request.job.record is None
        trouble, why = (SIGNED_MEANWHILE, "signed meanwhile") if signed else (BOTH_CHANGED, "both changed it")
        same = outcome.request.keep is not None and outcome.shared.conflicts == working.conflicts  # joined anew, and not edited since
        asked = working.conflicts if same else outcome.shared.conflicts
        return replace(back, trouble=trouble, why=why, conflicts=asked, answers=given, asked_of=outcome.shared.loaded)
    return _after_save(replace(back, trouble="", why="", saved_at=outcome.request.at, taken=None), working, outcome.request, outcome.shared)


def _after_save(back: Working, before: Working, request: Request, shared: "Shared") -> Working:
    job, fresh_words = shared.loaded.job, (*back.news, *shared.came_in)
    news = list(shared.loaded.notes)
    if before.trouble and not before.conflicts:
        news.insert(0, f"The disk is back: everything up to {request.at:%H:%M} is saved.")
    if before.job is not request.job:
        return replace(back, loaded=shared.loaded, base=request.job if shared.joined else job, news=(*back.news, *news))
    if shared.left_out:
        back, fresh_words = replace(back, rescue=None), (LEFT_OUT, *fresh_words)
    elif job.record is not None and request.loaded.job.record is None:
        news.append(SEALED_NOW)
    fresh = replace(back, loaded=shared.loaded, base=job, news=(*fresh_words, *news), touched=_touched(shared.loaded))
    fresh = _with_arrival(fresh, job) if shared.joined else fresh
    if job is before.job:
        return fresh
    return _came_of_it(_with_job(fresh, job), before) if fresh_words else _with_job(fresh, job)


def _with_arrival(working: Working, after: Job) -> Working:
    """The working copy with work of another laptop in it: nothing is done again over that, and a signature can't be undone."""
    past = () if after.record is not None else _none_passed(working.past)
    return replace(working, past=past, future=(), shared=True)


def looked(working: Working, loaded: Loaded, *, apart: bool = False) -> Working:
    """The working copy with what another laptop put into the file meanwhile, where nothing of its own is under way. Where that is `apart`,
    not made from what was saved, the job in hand isn't in the file any more: the next save joins both."""
    from engine.job.merge.came_in import came_in

    if not working.saved or working.sent is not None:
        return working
    if apart:
        gone = replace(working.loaded, job=working.job.model_copy())
        return replace(working, loaded=gone, base=gone.job)
    news = (*working.news, *came_in(working.job, loaded.job))
    if loaded.job.record is not None and working.job.record is None:
        news = (*news, SEALED_NOW)
    there = replace(working, loaded=loaded, base=loaded.job, news=news, touched=_touched(loaded))
    return _came_of_it(_with_job(_with_arrival(there, loaded.job) if loaded.job != working.job else there, loaded.job), working)


def taken_up(working: Working, found: "Unsaved") -> Working:
    """The working copy with work in hand that was kept elsewhere; what the file has had since is joined with it by the next save."""
    return replace(_with_job(working, found.copy.job), base=found.base, past=(), future=(), rescue=found.copy.path, taken=found.copy)


def _touched(loaded: Loaded) -> tuple[str, ...]:
    """What was changed in a signed-off file while it was open, as far as the file itself tells it."""
    return loaded.changed_says or ((CHANGED_MEANWHILE,) if loaded.seal_holds is False else ())


def touched_words(touched: tuple[str, ...]) -> str:
    """That a signed-off file isn't what was signed, and how."""
    more = f" And {len(touched) - 1} more: b shows all." if len(touched) > 1 else ""
    return f"This isn't what was signed any more. {touched[0]}{more}"


def gone_words(working: Working) -> str:
    """That the file isn't there, and what brings it back."""
    back = "Put it back, or leave it be." if working.read_only else "Put it back, or go on: the next change writes it there again."
    return f"{shown(working.loaded.path.name)} isn't where it was: it was renamed or deleted, or its disk is away. {back}"


def kept_words(rescue: Path | None) -> str:
    """Where the work is meanwhile. The folder is named: it holds the newest copy, whatever that is called."""
    return f"Your work is kept in {shown(str(rescue.parent), 400)}" if rescue else "No copy could be kept elsewhere: leave this open."


def working_as(working: Working, by: str) -> Working:
    """The same copy with another name beside what is done from now on."""
    return replace(working, by=by)
