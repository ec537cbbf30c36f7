"""Both laptops changed one fact: what each says, one question at a time, and which to keep; until what comes in settles it."""

from collections.abc import Callable, Iterator
from typing import ClassVar

from textual.content import Content
from textual.widgets import Static

from engine.job.merge.asked import Conflict, Side
from tui.boxes.choice import Answer, Choice
from tui.widgets.rows import Rows

OVER = "The other laptop saved again meanwhile: this isn't asked any more. What is to be asked instead, if anything, comes next."
GO_ON = "go on"


class WhichDialog(Choice[Side]):
    """One question of several. Leaving answers none of them."""

    HINT: ClassVar[str] = "Up and Down, Enter keeps it; or its letter. Esc leaves all as it is, not saved yet: Ctrl+S asks again."

    def __init__(self, asked: Conflict, number: int, of: int, stands: Callable[[Conflict], bool], *, uncalled: bool = False) -> None:
        count = f", question {number} of {of}" if of > 1 else ""
        says = asked.why or f"{asked.about}. Which is right?"
        title = "Both laptops changed this" if asked.ours else "On the other laptop meanwhile"
        super().__init__(f"{title}{count}", tuple(_answers(asked)), says, uncalled=uncalled)
        self._asked, self._stands, self._over = asked, stands, False

    def job_changed(self) -> None:
        """Whether it is still asked is told once it is saved, or isn't."""

    def show_saved(self) -> None:
        """What isn't asked any more has no answer; the box stays, for a key that was meant for it would do something elsewhere."""
        if not self._over and not self._stands(self._asked):
            self._over, self._answers = True, (Answer("theirs", GO_ON),)
            self.query_one(".says", Static).update(Content(OVER))
            self.query_one(Rows).show([(GO_ON, Content(GO_ON))])
            self.problem("")

    def give(self, result: Side) -> None:
        if self._over:
            self.dismiss(None)
        else:
            super().give(result)


def _answers(asked: Conflict) -> Iterator[Answer[Side]]:
    if asked.ours:
        yield Answer("ours", f"this laptop: {asked.ours}" if asked.theirs else asked.ours, "t")
    if asked.theirs:
        yield Answer("theirs", f"the other one: {asked.theirs}" if asked.ours else asked.theirs, "o")
