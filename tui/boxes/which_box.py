"""Both laptops changed one fact: what each says, one question at a time, and which to keep."""

from collections.abc import Iterator
from typing import ClassVar

from engine.job.merge.asked import Conflict, Side
from tui.boxes.choice import Answer, Choice


class WhichDialog(Choice[Side]):
    """One question of several. Leaving answers none of them."""

    HINT: ClassVar[str] = "Up and Down, Enter keeps it; or its letter. Esc leaves all as it is, not saved yet: Ctrl+S asks again."

    def __init__(self, asked: Conflict, number: int, of: int, *, uncalled: bool = False) -> None:
        count = f", question {number} of {of}" if of > 1 else ""
        says = asked.why or f"{asked.about}. Which is right?"
        title = "Both laptops changed this" if asked.ours else "On the other laptop meanwhile"
        super().__init__(f"{title}{count}", tuple(_answers(asked)), says, uncalled=uncalled)


def _answers(asked: Conflict) -> Iterator[Answer[Side]]:
    if asked.ours:
        yield Answer("ours", f"this laptop: {asked.ours}" if asked.theirs else asked.ours, "t")
    if asked.theirs:
        yield Answer("theirs", f"the other one: {asked.theirs}" if asked.ours else asked.theirs, "o")
