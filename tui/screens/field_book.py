"""The field book's row under the survey's sheet: the next shot as it is called out, or one that is there put right."""

from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.widget import AwaitMount

from tui.base.commands import Command
from tui.sheet.sheet_view import SheetView
from tui.working.job_in_hand import JobInHand

ALL = 1_000
"""More screens than a book has."""

if TYPE_CHECKING:
    from tui.entry.shot_row import ShotRow


class FieldBook(Vertical):
    """One line while the cursor is elsewhere; how it is understood stands below while it is typed. Made when it is first shown."""

    DEFAULT_CSS = """
    FieldBook { display: none; height: auto; }
    FieldBook.-shown { display: block; }
    FieldBook ShotRow Static { display: none; }
    FieldBook.-typed ShotRow Static { display: block; }
    """

    def __init__(self, hand: JobInHand, sheet: SheetView) -> None:
        super().__init__()
        self.hand, self.sheet = hand, sheet
        self.row: ShotRow | None = None
        self.made: AwaitMount | None = None

    def show(self, there: bool) -> None:
        """Below the sheet of the survey of a job that isn't sealed; nowhere else."""
        shown = there and self.hand.job.record is None
        if shown and self.row is None:
            from tui.entry.shot_row import ShotRow

            self.row = ShotRow(self.hand)
            self.made = self.mount(self.row)
        elif self.row is not None:
            self.row.follow()
        self.set_class(shown, "-shown")

    def open(self, shot: str = "") -> None:
        """The cursor into it, for the next shot below the last one, or to put one right."""
        if self.row is not None:
            if not shot:
                self.sheet.action_leaf(ALL)
            self.screen.call_later(self._opened, self.row, shot)

    async def _opened(self, row: "ShotRow", shot: str) -> None:
        """Once the row stands: done by the screen, on which the next key waits."""
        if self.made is not None:
            await self.made
            self.made = None
        await row.open(shot)

    @property
    def not_kept(self) -> str:
        """What is asked before what stands in it is thrown away."""
        return self.row.not_kept if self.row is not None and self.made is None else ""

    def drop(self) -> None:
        """What stands in it goes."""
        if self.not_kept and self.row is not None:
            self.row.clear()

    @property
    def keys(self) -> tuple[Command, ...]:
        """Its keys."""
        from tui.entry.shot_row import COMMANDS

        return COMMANDS

    def on_descendant_focus(self) -> None:
        """While it is typed, what is understood stands below it."""
        self.add_class("-typed")

    def on_descendant_blur(self) -> None:
        """One line again."""
        self.remove_class("-typed")

    def on_shot_row_entered(self, event: "ShotRow.Entered") -> None:
        """The sheet shows the shot, and how far it is off."""
        self.sheet.go_to_subject(event.name)

    def on_shot_row_left(self) -> None:
        """Back to the sheet."""
        self.sheet.focus()
