"""The keys that lead from stage to stage, from page to page and from picture to picture."""

from typing import TYPE_CHECKING

from engine.findings import STAGES, StageName
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

    def action_stage(self, name: StageName) -> None:
        self.screen.stage = name

    def action_next_stage(self) -> None:
        self.screen.stage = STAGES[min(STAGES.index(self.screen.stage) + 1, len(STAGES) - 1)]

    def action_previous_stage(self) -> None:
        self.screen.stage = STAGES[max(STAGES.index(self.screen.stage) - 1, 0)]

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
