"""The keys that lead from stage to stage, from page to page and from picture to picture."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from engine.findings import STAGES, StageName
from engine.stages.punch.closing_list import Jump
from tui.boxes.dialog import TypedInto, once_let_go
from tui.working.working_copy import Working

if TYPE_CHECKING:
    from tui.screens.walk_screen import WalkScreen

UNDER = ("card", "findings", "figures")
"""Pages that share a place under the picture."""
PAGES = ("sheet", "pictures", *UNDER)
"""Pages in their order."""
PICTURES = ("plan", "corner", "profile", "apron", "elevation")


class Going:
    """The keys that lead on."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen = screen

    async def away(self, then: Callable[[], object], typed: TypedInto | None = None) -> None:
        """What leads away from a cell that is typed into, or from all that is `typed`, once that may be lost; else back to it."""

        def let_go() -> None:
            if self.screen.sheet.typing is not None:
                self.screen.sheet.drop()
            if typed is self.screen:
                self.screen.field_book.drop()
            then()

        await once_let_go(typed or self.screen.sheet, let_go, self._back)

    def _back(self) -> None:
        """The cursor where something is typed."""
        screen = self.screen
        if not screen.sheet.not_kept:
            screen.stage = "survey"
        screen.page = "sheet"
        if screen.sheet.not_kept:
            screen.sheet.focus()
        else:
            screen.field_book.open()

    async def to(self, jump: Jump) -> None:
        """A place in a stage: its thing chosen, the cursor in its cell, or on its row, or on its finding where nothing is about it."""
        await self.away(lambda: self._to(jump))

    def _to(self, jump: Jump) -> None:
        screen = self.screen
        screen.stage = jump.stage
        screen.page = "sheet"
        if jump.subject:
            screen.chosen = jump.subject
        if jump.item is not None:
            screen.sheet.go(jump.item)
        elif jump.finding is not None and jump.subject not in screen.sheet.cursor.subjects:
            screen.page = "findings"
            if screen.under:
                screen.under.go(jump.finding)

    async def action_call_shot(self) -> None:
        """The next shot into the row below the survey's sheet."""
        if self.screen.stage == "survey" and self.screen.may_change():
            await self.away(self._call_shot)

    def _call_shot(self) -> None:
        self.screen.page = "sheet"
        self.screen.field_book.open()

    async def action_stage(self, name: StageName) -> None:
        """A stage by its number."""
        if name != self.screen.stage:
            await self.away(lambda: setattr(self.screen, "stage", name))

    async def action_next_stage(self) -> None:
        await self.action_stage(STAGES[min(STAGES.index(self.screen.stage) + 1, len(STAGES) - 1)])

    async def action_previous_stage(self) -> None:
        await self.action_stage(STAGES[max(STAGES.index(self.screen.stage) - 1, 0)])

    def action_open(self, page: str) -> None:
        self.screen.page = page

    def action_next_page(self) -> None:
        self.screen.page = PAGES[(PAGES.index(self.screen.page) + 1) % len(PAGES)]

    def action_previous_page(self) -> None:
        self.screen.page = PAGES[PAGES.index(self.screen.page) - 1]

    def action_picture(self) -> None:
        self.screen.picture = PICTURES[(PICTURES.index(self.screen.picture) + 1) % len(PICTURES)]
        self.screen.page = "pictures"


def where_left_off(working: Working) -> StageName:
    """The stage of the newest tick, the furthest of those made in the same second; else the first with open items."""
    ticks = [(tick.at, STAGES.index(stage)) for key, tick in working.job.checks.items() for stage in STAGES if stage == key.stage]
    if ticks:
        return STAGES[max(ticks)[1]]
    return next((name for name in STAGES if working.walk.checklists[name].done < len(working.walk.checklists[name].lines)), "punch")
