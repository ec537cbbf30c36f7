"""The walk screen: nine stages, and of the one that is open its sheet, a picture, the card of the chosen thing, findings and figures."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.message import Message
from textual.reactive import var
from textual.widgets import Static

from engine.findings import STAGES, TITLES, StageName, worst
from engine.job.edit.edits import SEALED
from engine.sheets.stage_sheets import sheet_of
from tui.base.commands import Command, bindings, take_keys
from tui.base.key_lists import ALT_NUMBERS, READING_COMMANDS, WALK_COMMANDS
from tui.boxes.job_screen import JobScreen
from tui.boxes.row_words import job_title, top_line, who_and_saved
from tui.screens.field_book import FieldBook
from tui.screens.going import PAGES, UNDER, Going, where_left_off
from tui.screens.job_keys import JobKeys
from tui.screens.layouts_key import LayoutsKey
from tui.screens.rail import Progress, StageRail
from tui.screens.shared_place import GoTo
from tui.screens.ticking import Ticking
from tui.screens.walk_look import LOOK
from tui.screens.what_happened import WhatHappened
from tui.sheet.sheet_said import Ended, Entered, Reached, Read, Started
from tui.sheet.sheet_strip import SheetStrip
from tui.sheet.sheet_view import SheetView
from tui.widgets.chosen import Chosen
from tui.widgets.key_line import KeyLine
from tui.working.job_in_hand import JobInHand

if TYPE_CHECKING:
    from tui.screens.pictures import Pictures
    from tui.screens.under_picture import UnderPicture

FIRST_PICTURE: dict[StageName, str] = {
    "bracing": "corner", "cables": "profile", "fabric": "apron", "staking": "apron", "gate": "elevation",
}  # fmt: skip
"""What a stage shows first; the plan where nothing is said."""
TEND_S = 0.5
WAY_OUT_LINES = 3
"""So many lines more of the strip what closes a way out takes."""
WIDE = 100
"""From so many columns on a picture and one page more stand beside the sheet."""


class Landed(Message):
    """Something came back from the disk and waits to be taken in."""


class WalkScreen(JobScreen):
    """One open job. It hands its parts what they show, and keeps where the crew is; what the keys do to the job is in three groups."""

    DEFAULT_CSS = LOOK
    HORIZONTAL_BREAKPOINTS = [(160, "-vast")]
    BINDINGS: ClassVar = [
        *bindings(WALK_COMMANDS),
        *(
            Binding(f"{number},alt+{number},{sign}", f"stage('{name}')", TITLES[name], show=False)
            for number, (name, sign) in enumerate(zip(STAGES, ALT_NUMBERS, strict=True), 1)
        ),
    ]
    SEALED_SAYS: ClassVar[str] = f"{SEALED} s reopens it."

    # Variables, not reactives: what follows them draws itself anew, the screen as a whole needn't be.
    stage: var[StageName] = var("survey", init=False)
    page: var[str] = var("sheet", init=False)
    picture: var[str] = var("plan", init=False)
    chosen: var[str | None] = var(None, init=False)

    def __init__(self, hand: JobInHand) -> None:
        super().__init__(hand)
        hand.saver.tell = self._came_back
        self.rail, self.sheet, self.strip = StageRail(), SheetView(id="sheet"), SheetStrip(id="strip", markup=False)
        self.field_book = FieldBook(hand, self.sheet)
        self.beside = Container(id="beside")
        self.pictures: Pictures | None = None
        self.under: UnderPicture | None = None
        what_happened = WhatHappened(self)
        self.ticking, self.job_keys, self.going = Ticking(self, what_happened.settle_refused), JobKeys(self), Going(self)
        take_keys(self, self.ticking, what_happened, self.job_keys, LayoutsKey(self), self.going)
        self._under_page, self._behind_sheet = UNDER[0], False
        self.set_reactive(WalkScreen.stage, where_left_off(hand.working))
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))

    def compose(self) -> ComposeResult:
        """Top line, the stages, what is beside each other or one key apart, the strip, the keys."""
        yield Static(id="top", markup=False)
        yield Static(id="trouble", markup=False)
        yield self.rail
        with Container(id="pages"):
            yield self.sheet
            yield self.beside
        yield self.field_book
        yield self.strip
        yield KeyLine(WALK_COMMANDS)

    def on_mount(self) -> None:
        """Show the job as it stands, the cursor at the first open cell."""
        self.set_interval(TEND_S, self.hand.tend)
        self._show_stage(anew=True)
        self._show_page()
        self.elsewhere.tell()

    async def first_drawn(self) -> None:
        """What stands beside the sheet, and a look round for work kept elsewhere, follow once that can be read."""
        from tui.screens.pictures import Pictures
        from tui.screens.under_picture import UnderPicture

        self.pictures, self.under = Pictures("pictures", heading="picture-title"), UnderPicture("under")
        await self.beside.mount(self.pictures, self.under)
        self._share_room()
        self._show_beside()
        if self.page != "sheet":
            self._show_page()
        self.call_after_refresh(self.hand.remember_walk)
        self.begin(self.elsewhere.look_around())

    # What is shown -----------------------------------------------------------------------------------------------

    def show(self) -> None:
        """Everything from the job; the cursor stays. Strip and picture wait for what else the key does: a tick steps on, and they are drawn
        of where it leads."""
        called = self.ticking.follow_names()
        self.set_reactive(WalkScreen.chosen, self.chosen and called(self.chosen))
        self._show_stage(anew=False, called=called)
        self._behind_sheet = True
        self.call_later(self._catch_up, waits=True)

    def _catch_up(self, *, waits: bool) -> None:
        if waits and not self._message_queue.empty():
            self.call_later(self._catch_up, waits=False)
        elif self._behind_sheet:
            self._show_strip()
            self._show_beside()

    def _show_stage(self, *, anew: bool, called: Callable[[str], str] = str) -> None:
        """The stage; `anew` with the cursor at the first open cell, else on its thing by what that is `called` now."""
        job, walk = self.hand.job, self.hand.walk
        self.show_saved()
        lists, found = walk.checklists, walk.stage_findings
        rows = tuple(Progress(name, lists[name].done, len(lists[name].lines), worst(found[name])) for name in STAGES)
        self.rail.show(rows, self.stage)
        sheet = sheet_of(self.stage, job, walk)
        if not sheet.parts:
            from tui.stages import PURPOSES

            self.sheet.empty = f"Nothing to tick here yet. {PURPOSES[self.stage]}"
        self.sheet.show(sheet, anew=anew, called=called)
        self._share_room()
        if anew:
            self.set_reactive(WalkScreen.chosen, self.sheet.cursor.subject or self.chosen)
            self._show_strip()
            self._show_beside()

    def _share_room(self) -> None:
        """Where the screen is wide the sheet is as wide as it needs, at most three fifths, and the picture has the rest; else the page
        that is open has all."""
        room = self.app.size.width
        wide = room >= WIDE
        self.sheet.display, self.beside.display = wide or self.page == "sheet", wide or self.page != "sheet"
        if self.pictures and self.under:
            self.pictures.display, self.under.display = wide or self.page == "pictures", wide or self.page in UNDER
        wanted = min(max(self.sheet.needs, room * 2 // 5), room * 3 // 5) if wide else room
        if self.sheet.styles.width is None or self.sheet.styles.width.cells != wanted:
            self.sheet.styles.width = wanted

    def _show_strip(self) -> None:
        more = WAY_OUT_LINES * (self.stage == "punch")
        self.strip.show(self.sheet, self._next_step(), more_lines=more, elsewhere=self.page != "sheet")

    @property
    def not_kept(self) -> str:
        """What is asked before what is typed here is thrown away."""
        return self.sheet.not_kept or self.field_book.not_kept

    def _next_step(self) -> str:
        """The key that ends what the stage is for, where there is one; of a signed-off job, what this version sees otherwise."""
        if self.hand.job.record is not None:
            from engine.paper.record_tables import since_words

            return since_words(self.hand.job, self.hand.walk, changed=bool(self.hand.working.touched))
        if self.stage in ("survey", "layout") and not self.hand.job.lines:
            return "Press e to enter what was measured and agreed: points, shots, lines, gates."
        if self.stage == "layout" and not self.hand.walk.layout.accepted:
            return "Press a to accept this plan, then set a flag for every support."
        if self.stage == "punch":
            return self.job_keys.last_step()
        return ""

    def show_saved(self) -> None:
        """The top line, and what stands in the way of saving."""
        working, trouble = self.hand.working, self.query_one("#trouble", Static)
        top, says = self.query_one("#top", Static), top_line(self.app.size.width, job_title(working), who_and_saved(working))
        if top.content != says:
            top.update(says, layout=False)
        if trouble.content != working.standing:
            trouble.update(working.standing)
            trouble.set_class(bool(working.standing), "-shown")

    def _show_beside(self) -> None:
        """The picture, the page under it and the field book's row, as far as they have room now."""
        self._behind_sheet, wide = False, self.app.size.width >= WIDE
        if self.pictures and (wide or self.page == "pictures"):
            self.pictures.show(self.picture, self.hand.job, self.hand.walk, self.chosen)
        if self.under and (wide or self.page in UNDER):
            self.under.show(self._under_page, self.stage, self.hand.job, self.hand.walk, self.chosen)
        if self.under:
            self.field_book.show(self.stage == "survey" and (wide or self.page == "sheet"))

    # To the disk and back --------------------------------------------------------------------------------------------

    def _came_back(self) -> None:
        """Called from the thread that saves; a screen that is gone is told nothing."""
        if self.is_attached:
            self.post_message(Landed())

    @on(Landed)
    def _take_in(self) -> None:
        """What came back from the disk, told on the screen that is open."""
        sealed = self.hand.working.loaded.sealed
        if not self.hand.land():
            return
        top = self.app.screen
        (top if isinstance(top, JobScreen) else self).elsewhere.tell()
        if sealed and not self.hand.working.loaded.sealed:
            self.begin(self.elsewhere.look_for_kept())
        if self.hand.leaving and top is self:
            self.job_keys.leave_or_say()

    # One chosen thing, followed everywhere -----------------------------------------------------------------------

    def watch_chosen(self, chosen: str | None) -> None:
        """Every part follows the chosen thing."""
        if chosen is not None:
            self.sheet.go_to_subject(chosen)
        self._show_beside()

    @on(Reached)
    def _cell_reached(self) -> None:
        self._show_strip()
        self.query_one(KeyLine).show(self._keys())
        if self.chosen not in self.sheet.cursor.subjects:
            self.chosen = self.sheet.cursor.subject or self.chosen

    @on(Started)
    def _reading_started(self, event: Started) -> None:
        self.ticking.start_reading(event.text, entered=event.entered)

    @on(Read)
    def _reading_kept(self, event: Read) -> None:
        self.ticking.keep_reading(event.line, event.given)

    @on(Entered)
    async def _cell_entered(self, event: Entered) -> None:
        """Enter, or a click on the chosen cell: to where the row leads, or a tick; nothing is unticked by a click."""
        row, line = self.sheet.cursor.row, self.sheet.cursor.cell.line
        if line is not None:
            if line.state == "open" or not event.clicked:
                self.ticking.action_tick()
        elif row is not None and row.jump is not None:
            await self.going.to(row.jump)
        elif row is not None and self.stage == "survey" and self.may_change():
            self.field_book.open(row.subject)
        elif row is not None and self.stage == "punch":
            self.job_keys.action_materials()

    @on(Ended)
    async def _sheet_ended(self) -> None:
        await self.going.action_call_shot()

    @on(Chosen)
    def _thing_chosen(self, event: Chosen) -> None:
        self.chosen = event.id or None

    @on(GoTo)
    async def _place_wanted(self, event: GoTo) -> None:
        await self.going.to(event.place)

    @on(StageRail.Picked)
    async def _stage_picked(self, event: StageRail.Picked) -> None:
        await self.going.action_stage(event.stage)

    # Where the crew is -------------------------------------------------------------------------------------------

    def watch_stage(self) -> None:
        """Another stage: its sheet, the cursor at the first open cell."""
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))
        self._show_stage(anew=True)

    def watch_page(self) -> None:
        """Another page: shown where the screen is narrow, focused everywhere."""
        if self.page in UNDER:
            self._under_page = self.page
        if self.sheet.typing is not None:
            self._show_strip()
        self._show_beside()
        self._show_page()

    def watch_picture(self) -> None:
        self._show_beside()
        if self.page == "pictures":
            self._show_page()

    def _show_page(self) -> None:
        """The page that is open, with the cursor in it once it stands, and its keys below."""
        self._share_room()
        self.query_one(KeyLine).show(self._keys())
        for pane in self.query(f"#{self.picture if self.page == 'pictures' else self.page}"):
            pane.focus()

    def _keys(self) -> tuple[Command, ...]:
        """The keys of the page that is open, or of the row that is typed below it."""
        if self.field_book.has_focus_within:
            return self.field_book.keys
        if self.page != "pictures":
            return READING_COMMANDS if self.sheet.typing is not None and self.page == "sheet" else WALK_COMMANDS
        from tui.widgets.picture_view import COMMANDS
        from tui.widgets.plan_view import PLAN_COMMANDS

        of_picture = (*COMMANDS, *(PLAN_COMMANDS if self.picture == "plan" else ()))
        leads_on = tuple(command for command in WALK_COMMANDS if command.id == "next_page")
        return (*leads_on, *of_picture, *(command for command in WALK_COMMANDS if command not in leads_on))

    def on_resize(self) -> None:
        """The top line is as wide as the screen, and what has room now is shown."""
        self.show_saved()
        self._share_room()
        self._show_beside()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a shot is typed Tab is its row's."""
        if self.field_book.has_focus_within and action in ("next_page", "previous_page"):
            return False
        return super().check_action(action, parameters)

    def on_descendant_focus(self) -> None:
        """A click into another page makes it the current one; a row that is typed has its own keys, and the strip's room."""
        self.query_one(KeyLine).show(self._keys())
        self.strip.display = not self.field_book.has_focus_within
        for name in PAGES:
            if name != self.page and any(pane.has_focus_within for pane in self.query(f"#{name}")):
                self.page = name
