"""The job in hand: the one object that knows the open job. Whoever shows it follows it, and every edit goes through it."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from threading import Thread
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar, runtime_checkable

from engine.job.edit.entering import RECORD_TABLES
from engine.job.errors import EditRefused, JobError
from engine.job.model.job import Job
from engine.walk import Walk, walk
from tui.working import working_copy
from tui.working.saver import Saver
from tui.working.who_works import remember_name
from tui.working.working_copy import Edit, Replayed, Working

if TYPE_CHECKING:
    from engine.job.merge.asked import Keep
    from engine.job.versions.unsaved import Unsaved
    from tui.working.called_now import NewNames

T = TypeVar("T")


@runtime_checkable
class Follower(Protocol):
    """Whoever shows the job: told when it is another one, and when it is further on its way to the disk."""

    def job_changed(self) -> None:
        """The job is another one."""

    def show_saved(self) -> None:
        """It is saved now, or isn't, or what stands in the way is something else."""


class FreshNames:
    """New names that weren't taken in yet by whoever holds things by theirs: those given from now on, or since there were so many."""

    def __init__(self, hand: "JobInHand", since: int | None = None) -> None:
        self._given = hand.new_names
        self._seen = len(self._given) if since is None else since

    def take(self) -> "list[NewNames]":
        """Those since the last time, in their order."""
        fresh, self._seen = self._given[self._seen :], len(self._given)
        return fresh


class Followed(Generic[T]):
    """What is open, chosen or typed for: by its name at first, and by each that it is given from then on. `called` gives it a new one."""

    def __init__(self, fresh: FreshNames, what: T, called: "Callable[[NewNames, T], T]") -> None:
        self._fresh, self._what, self._called = fresh, what, called

    @property
    def now(self) -> T:
        """It by its names now."""
        for names in self._fresh.take():
            self._what = self._called(names, self._what)
        return self._what


class JobInHand:
    """What stands, what can be undone, who works, what another laptop saved; the way to the disk is the saver's."""

    def __init__(self, saver: Saver) -> None:
        self.saver = saver
        self.followers: Callable[[], Iterable[Follower]] = lambda: ()
        self.new_names: list[NewNames] = []
        """What was called otherwise since the job was opened, one change after the other."""
        self.leaving = False
        """Whether the crew has asked to leave and only the disk is waited for; who goes on working doesn't leave."""

    # What stands -----------------------------------------------------------------------------------------------------

    @property
    def working(self) -> Working:
        """The job as it stands, with what can be undone and how far it is on its way to the disk."""
        return self.saver.working

    @property
    def job(self) -> Job:
        """The job itself."""
        return self.saver.working.job

    @property
    def walk(self) -> Walk:
        """Everything worked out from it."""
        return self.saver.working.walk

    def remember_walk(self) -> None:
        """A walk that another process made is made here too, beside the keys, so that the first edit finds it remembered."""
        Thread(target=walk, args=(self.job,), name="walker", daemon=True).start()

    # Edits -----------------------------------------------------------------------------------------------------------

    def edit(self, words: str, edit: Edit) -> JobError | None:
        """One edit, shown at once and sent to the disk, or why it can't be made; `words` name it for undo."""
        try:
            self._change(working_copy.edited(self.working, words, edit))
        except JobError as error:
            return error
        return None

    def after(self, edit: Edit) -> Job:
        """The job as an edit would leave it; nothing is changed. A JobError where it can't be made."""
        if self.working.read_only:
            raise EditRefused(self.working.read_only)
        return edit(self.working.start, self.working.at, self.working.by)

    def refusal(self, edit: Edit) -> JobError | None:
        """Why an edit can't be made; nothing is changed."""
        try:
            self.after(edit)
        except JobError as error:
            return error
        return None

    def undo(self) -> str:
        """The job before the last edit; what was taken back, in words, or why it can't be."""
        return self._replay(working_copy.undone, "Taken back: ") or "There is nothing to take back."

    def redo(self) -> str:
        """The job after the edit last taken back; what was done again, in words."""
        return self._replay(working_copy.redone, "Redone: ") or "There is nothing to redo."

    def _replay(self, how: Callable[[Working], Replayed], does: str) -> str:
        """What was done, and what came of it; nothing where there was nothing to do."""
        before, job = self.walk, self.job
        replayed, words, why, then = how(self.working)
        if why:
            self.saver.working = replayed
            return f"Can't be taken back: {words}. {why}{f' Undo again takes back what was done before: {then}.' if then else ''}"
        self._change(replayed)
        says = f"{does}{words.removesuffix('.')}"
        did = working_copy.did_since(before, self.walk, beside=len(says), jobs=(job, self.job))
        return f"{says}{f'. {did}' if did else ''}" if words else ""

    def works_as(self, name: str) -> None:
        """Who works from now on; the name is kept for this laptop."""
        remember_name(self.saver.state, name)
        self._change(working_copy.working_as(self.working, name))

    def take_up(self, found: "Unsaved") -> None:
        """Work that was kept elsewhere, in hand again."""
        self._change(working_copy.taken_up(self.working, found))

    def _change(self, changed: Working) -> None:
        before, self.leaving = self.job, False
        self.saver.change(changed)
        self._tell(before)

    # The disk, and another laptop ------------------------------------------------------------------------------------

    def send(self, keep: "Keep | None" = None) -> None:
        """Save at once."""
        self.saver.send(keep)
        self._tell_saved()

    def tend(self) -> None:
        """Every moment: a disk that hangs or failed is looked after."""
        before = self.working
        self.saver.tend()
        if self.working.standing != before.standing:
            self._tell_saved()

    def land(self) -> bool:
        """Take in what came back from the disk; whether anything did."""
        before = self.working
        landed = self.saver.land()
        if self.working.walk is not before.walk:
            self._tell(before.job)
        if landed:
            self._tell_saved()
        return landed

    def take_news(self) -> tuple[str, ...]:
        """What came in and what the disk had to say, once."""
        news = self.working.news
        if news:
            self.saver.working = replace(self.working, news=())
        return news

    def mark_touched(self, touched: tuple[str, ...]) -> None:
        """What was changed in a signed-off file since it was signed."""
        self.saver.working = replace(self.working, touched=touched)
        self._tell_saved()

    def thing(self, name: str, since: int | None = None) -> Followed[str]:
        """What is known by its name alone, by what it is called from now on, or since so many names were given."""
        return Followed(FreshNames(self, since), name, lambda names, so_far: names.thing(so_far))

    def _tell(self, before: Job) -> None:
        if any(getattr(before, table) is not getattr(self.job, table) for table in (*RECORD_TABLES, "log")):
            from tui.working.called_now import new_names

            if (names := new_names(before, self.job)) is not None:
                self.new_names.append(names)
        for follower in self.followers():
            follower.job_changed()

    def _tell_saved(self) -> None:
        for follower in self.followers():
            follower.show_saved()
