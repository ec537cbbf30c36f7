"""What comes into the job from elsewhere: another laptop's work, told once; facts both changed; work kept while the file was away."""

from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from engine.calc.dates import format_date
from engine.calc.phrases import ended
from engine.job.file.disk import Disk
from tui.base.apart import apart
from tui.working.job_in_hand import JobInHand

if TYPE_CHECKING:
    from engine.job.merge.asked import Conflict, Side
    from engine.job.versions.unsaved import Unsaved
    from tui.boxes.job_screen import JobScreen
    from tui.working.working_copy import Working

MOST_TOLD = 3
"""How many lines what came in takes; where more came, the last says how much."""
TOLD_S = 10.0
"""How long it stands there."""


class FromElsewhere:
    """Tells it and asks about it on one screen."""

    def __init__(self, screen: "JobScreen", hand: JobInHand) -> None:
        self.screen, self.hand, self._opened = screen, hand, hand.working
        self._asked: tuple[Conflict, ...] = ()
        self._asking = False
        self._told: tuple[str, ...] = ()
        self._told_until = 0.0

    def tell(self) -> None:
        """What came in from another laptop and what the disk had to say, once; where both changed the same fact, which to keep."""
        if news := self.hand.take_news():
            self._tell_in_one(news)
        if self.screen.app.screen is self.screen:
            self.ask_again()

    def _tell_in_one(self, news: tuple[str, ...]) -> None:
        """What came in while the last of it still stands there is told over it in one, so that the newest is in sight."""
        if monotonic() < self._told_until:
            news = (*news, *self._told)
            self.screen.app.clear_notifications()
        self._told, self._told_until = news, monotonic() + TOLD_S
        self.screen.notify(told_words(news), markup=False, timeout=TOLD_S)

    def make_room(self) -> None:
        """What a key did is told in the place of what the last one did; what came in stays its time."""
        self.screen.app.clear_notifications()
        self.screen.app.screen.query("ToastHolder").remove()
        if (left_s := self._told_until - monotonic()) > 0:
            self.screen.notify(told_words(self._told), markup=False, timeout=left_s)

    def forget(self) -> None:
        """What was told holds no more: the job it was told of is another one."""
        self._told_until = 0.0

    def ask_again(self) -> None:
        """What has to be asked now and wasn't yet: it came up at once, or while something else was being answered."""
        if self.hand.working.conflicts is not self._asked:
            self.ask_which(uncalled=True)

    def ask_which(self, *, uncalled: bool = False) -> None:
        """Where both laptops changed one fact: which to keep."""
        if self.hand.working.conflicts and not self._asking:
            self._asking = True
            self.screen.begin(self._ask_one_by_one(uncalled))

    async def _ask_one_by_one(self, uncalled: bool) -> None:
        """One question after the other; nothing is saved before all have an answer. Where something else is to be asked meanwhile, what was
        answered stands."""
        from engine.job.merge.asked import Keep
        from tui.boxes.which_box import WhichDialog

        answers: dict[Conflict, Side] = {}
        while left := [conflict for conflict in self.hand.working.conflicts if conflict not in answers]:
            first, self._asked = left[0], self.hand.working.conflicts
            of = len(self.hand.working.answers) + len(self._asked)
            side = await self.screen.ask(WhichDialog(first, of - len(left) + 1, of, self._stands, uncalled=uncalled))
            uncalled = not self._stands(first)
            if side is not None:
                answers[first] = side
            elif not uncalled:
                break
        self._asking = False
        if self.hand.working.conflicts and not left:
            self.hand.send(Keep({**self.hand.working.answers, **answers}))

    def _stands(self, asked: "Conflict") -> bool:
        """Whether that is still to be asked."""
        return asked in self.hand.working.conflicts

    async def look_around(self) -> None:
        """What was changed in a signed-off file; work of this file that was kept elsewhere and isn't in it yet."""
        opened, disk, state = self._opened, self.hand.saver.disk, self.hand.saver.state
        changed = await apart(lambda: _changed(opened, disk, state))
        if changed and self.hand.working.loaded is opened.loaded:
            self.hand.mark_touched(changed)
        await self._look_for_kept(opened)

    async def look_for_kept(self) -> None:
        """Work of this file that was kept elsewhere, once the file can take it in again."""
        await self._look_for_kept(self.hand.working)

    async def _look_for_kept(self, opened: "Working") -> None:
        disk, state = self.hand.saver.disk, self.hand.saver.state
        found = await apart(lambda: _kept(opened, disk, state))
        if found is not None and self.hand.working.job is opened.job:  # else it may be a copy of what is in hand: asked at the next opening
            await self._offer(found)

    async def _offer(self, found: "Unsaved") -> None:
        """What it is, to take it in or to throw it away. Taken in only where nothing was entered meanwhile, and nothing into a signed job;
        else it is offered at the next opening."""
        from engine.job.merge.came_in import came_in
        from tui.boxes.choice import Answer, Choice

        at = found.copy.heading.saved_at
        when = f" on {format_date(at)} at {at:%H:%M}" if at else ""
        signed = "The job was signed off without it: once it is reopened (s), this can be taken in."
        away = "This file couldn't be reached then, nobody had said which to keep, or another version was put in its place or signed since."
        sealed = self.hand.working.loaded.sealed
        holds = news_words(tuple(came_in(found.base or self.hand.job, found.copy.job)))
        says = f"It was kept on this machine{when}. {signed if sealed else away}" + (f" In it:\n{holds}" if holds else "")
        rows = [
            *([] if sealed else [Answer("take", "Take it in: join it with what is in the file")]),
            Answer("later", "Not now: keep it, and ask again"),
            Answer("drop", "It isn't needed: throw it away"),
        ]
        picked = await self.screen.ask(Choice("Work that isn't in this file yet", rows, says, uncalled=True))
        if picked == "take" and self.hand.working.saved:
            self.hand.take_up(found)
        elif picked == "drop":
            self.hand.saver.discard(found.copy.path)


def _changed(opened: "Working", disk: Disk, state: Path) -> tuple[str, ...]:
    """Beside the keys, with all that has to be read for it first."""
    from engine.paper.seal_check import seal_broken

    return seal_broken(opened.loaded, opened.walk, disk=disk, state=state)


def _kept(opened: "Working", disk: Disk, state: Path) -> "Unsaved | None":
    from engine.job.versions.unsaved import unsaved

    return unsaved(opened.loaded, disk=disk, state=state)


def told_words(news: tuple[str, ...]) -> str:
    """What lies over the work for some seconds: one sentence behind the other, so that it takes as few lines as may be."""
    return " ".join(map(ended, _first_of(news)))


def news_words(news: tuple[str, ...]) -> str:
    """A line a sentence, for a box."""
    return "\n".join(_first_of(news))


def _first_of(news: tuple[str, ...]) -> tuple[str, ...]:
    """As many as there is room for."""
    return news if len(news) <= MOST_TOLD else (*news[: MOST_TOLD - 1], f"And {len(news) - MOST_TOLD + 1} more.")
