"""What each key of the walk screen does: asks where it must, makes one edit, shows the new walk."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.content import Content
from textual.widgets import OptionList

from engine.calc.phrases import counted
from engine.findings import STAGES, TITLES, StageName
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.stages.layout.stage import planned_posts
from engine.stages.punch.closing_list import Jump, left_open
from tui import stages
from tui.base.key_lists import MOVING, SHEET_COMMANDS, WALK_COMMANDS
from tui.screens.by_whom import by_name, by_name_sealed_too
from tui.screens.checklist_actions import ChecklistActions
from tui.sheet.sheet_view import SheetView
from tui.widgets.rows import Rows

if TYPE_CHECKING:
    from tui.boxes.sign import Signature

UNDER = ("card", "findings", "figures")
"""Pages that share a place under the picture."""
PAGES = ("sheet", "pictures", *UNDER)
"""Pages in their order."""
PICTURES = ("plan", "corner", "profile", "apron", "elevation")
FIRST_PICTURE: dict[StageName, str] = {
    "bracing": "corner", "cables": "profile", "fabric": "apron", "staking": "apron", "gate": "elevation",
}  # fmt: skip
"""What a stage shows first; the plan where nothing is said."""
STAY = "The last change is not on disk yet. Put the disk right: this closes by itself once it is. Ctrl+C twice leaves all the same."


class WalkActions(ChecklistActions):
    """The keys' work, apart from the screen that shows it."""

    # Where ---------------------------------------------------------------------------------------------------------

    def action_stage(self, name: StageName) -> None:
        """Go to a stage."""
        self.stage = name

    def action_next_stage(self) -> None:
        """The stage after this one."""
        self.stage = STAGES[min(STAGES.index(self.stage) + 1, len(STAGES) - 1)]

    def action_previous_stage(self) -> None:
        """The stage before this one."""
        self.stage = STAGES[max(STAGES.index(self.stage) - 1, 0)]

    def _turn(self, by: int) -> None:
        self.page = PAGES[(PAGES.index(self.page) + by) % len(PAGES)]

    def action_open(self, page: str) -> None:
        """Open a page."""
        self.page = page

    def go_to(self, jump: Jump) -> None:
        """A place in a stage: its thing chosen, the cursor in its cell, or on its row, or on its finding where no row is about it."""
        self.stage = jump.stage
        self.page = "sheet"
        if jump.subject:
            self.chosen = jump.subject
        if jump.item is not None:
            self.sheet.go(jump.item)
        elif jump.finding is not None and self.sheet.cursor.subject != jump.subject:
            self.page = "findings"
            self.query_one("#findings", Rows).go(jump.finding)

    @on(OptionList.OptionSelected, "#findings")
    def _finding_entered(self, event: OptionList.OptionSelected) -> None:
        """From a finding to the cell that settles it."""
        found = self.working.walk.stage_findings[self.stage]
        rows = self.query_one("#findings", Rows)
        finding = next((one for one in found if one.key == rows.key_of(event.option)), None)
        if finding is not None:
            self.go_to(Jump(finding.stage, finding.subject, item=finding.item))

    @on(SheetView.Entered)
    def _cell_entered(self, event: SheetView.Entered) -> None:
        """Enter, or a click on the chosen cell: to where the row leads, or a tick; nothing is unticked by a click."""
        row, line = self.sheet.cursor.row, self.sheet.cursor.cell.line
        if line is not None:
            if line.state == "open" or not event.clicked:
                self.action_tick()
        elif row is not None and row.jump is not None:
            self.go_to(row.jump)
        elif row is not None and self.stage == "punch":
            self.action_materials()

    def action_next_page(self) -> None:
        """The page after this one, round to the first."""
        self._turn(1)

    def action_previous_page(self) -> None:
        """The page before this one, round to the last."""
        self._turn(-1)

    def action_picture(self) -> None:
        """The next kind of picture, on its page."""
        self.picture = PICTURES[(PICTURES.index(self.picture) + 1) % len(PICTURES)]
        self.page = "pictures"

    # The plan ------------------------------------------------------------------------------------------------------

    @by_name
    def action_accept(self) -> None:
        """Take the proposed layout as the plan; where there is one, lay out afresh what isn't driven."""
        if self.working.job.posts:
            self._lay_out_afresh()
            return
        posts = planned_posts(self.working.walk.layout)
        if self.edit("plan accepted", lambda job, at, by: edits.accept_layout(job, posts, at, by)):
            self.notify(f"Plan accepted: {counted(len(posts), 'support')}. u takes that back.")

    @work
    async def _lay_out_afresh(self) -> None:
        from engine.change.fresh_layout import accepted_again, fresh_layout
        from tui.boxes.preview import NoLayoutDialog

        if self.working.job.record is not None or self.working.read_only:
            self.notify(self.working.read_only or edits.SEALED, severity="warning")
            return
        fresh = fresh_layout(self.working.job, self.working.walk)
        if fresh.why_none:
            await self.app.push_screen_wait(NoLayoutDialog(fresh.why_none))
            return
        if fresh.same:
            self.notify(f"A fresh layout would change nothing. {fresh.says}")
            return
        title = "A fresh layout around what stands"
        if await self.shown_first(title, "fresh layout accepted", lambda job, at, by: accepted_again(job, fresh, at, by), says=fresh.says):
            self.notify(f"Plan accepted: {counted(len(fresh.posts), 'support')}. u takes that back.")

    # The job -------------------------------------------------------------------------------------------------------

    @work
    async def action_enter(self) -> None:
        """Enter records."""
        from tui.entry.entry import EntryScreen

        await self.app.push_screen_wait(EntryScreen(self.saver))
        self.show()

    @by_name_sealed_too
    def action_sign(self) -> None:
        """Sign off and seal, or open a sealed job again."""
        self._sign()

    @work
    async def _sign(self) -> None:
        from engine.paper.as_built import build_record, known_notes
        from engine.stages.punch.reasons import reasons_told
        from tui.boxes.sign import SignDialog

        if self.working.job.record is not None:
            self.ask_to_reopen()
            return
        walk = self.working.walk
        notes = tuple(finding.says for finding in known_notes(walk))
        dialog = SignDialog(len(walk.punch.ways_out), left_open(walk.punch, walk.stage_findings, walk.checklists), notes)
        signature: Signature | None = await self.app.push_screen_wait(dialog)
        if signature is None:
            return

        if self.working.walk is not walk:
            self.notify("Something came in from another laptop meanwhile. Look at it, then sign.", severity="warning")
            return

        def signed(job: Job, at: datetime, by: str) -> Job:
            reasons = reasons_told(walk.punch, signature.left_open)
            record = build_record(job, walk, at, by, signature.accepted_by, reasons, signature.told_by)
            return edits.sign(job, record, at, by, signature.accepted_by)

        self.edit("signed off", signed)

    @work
    async def action_find(self) -> None:
        """Find anything by its id or its words."""
        from tui.boxes.choice import Choice, Find

        words = await self.app.push_screen_wait(Find("Find", placeholder="P7, L2, gas, sag ..."))
        if words is None:
            return
        found = stages.find(self.working.job, self.working.walk, words)
        rows = [(f"{number}", Content(f"{TITLES[hit.stage]:<18} {hit.words}")) for number, hit in enumerate(found)]
        picked = await self.app.push_screen_wait(Choice(f"{len(found)} found for {words}", rows))
        if picked is not None:
            hit = found[int(picked)]
            if hit.entry:
                await self._show_log(hit.entry)
            else:
                self.go_to(Jump(hit.stage, hit.subject, item=hit.key, finding=hit.finding))

    @work
    async def action_log_page(self) -> None:
        """All that was logged."""
        await self._show_log()

    async def _show_log(self, at: str = "") -> None:
        """The log page, on an entry where one is named; from there to the place of an entry."""
        from tui.screens.log_page import LogPage

        page = LogPage(self.saver, at)
        await self.app.push_screen_wait(page)
        self.show()
        if page.leads_to is not None:
            self.go_to(page.leads_to)

    def action_materials(self) -> None:
        """Needed against loaded."""
        from tui.boxes.materials import MaterialsScreen

        self.app.push_screen(MaterialsScreen(self.working.job, self.working.walk, self.working.loaded.path))

    def action_record(self) -> None:
        """What was built."""
        from tui.boxes.pages import record_screen

        working = self.working

        def write() -> Path:
            from engine.paper.record_files import free_page_name, write_record

            return write_record(replace(working.loaded, job=working.job), free_page_name(working.loaded.path))[0]

        self.app.push_screen(record_screen(working.job, working.walk, working.touched, write))

    def action_guide(self) -> None:
        """How this stage is done."""
        from tui.boxes.how_to import GuideScreen

        self.app.push_screen(GuideScreen(self.stage))

    def action_help(self) -> None:
        """The keys that work here."""
        from tui.boxes.pages import HelpDialog
        from tui.widgets.picture_view import COMMANDS as PICTURE_COMMANDS
        from tui.widgets.plan_view import PLAN_COMMANDS

        of_picture = (("Picture", (*PICTURE_COMMANDS, *(PLAN_COMMANDS if self.picture == "plan" else ()))),)
        here = {"pictures": of_picture, "sheet": ((MOVING, SHEET_COMMANDS),)}.get(self.page, ())
        self.app.push_screen(HelpDialog((*here, ("Job", WALK_COMMANDS))))

    def action_light(self) -> None:
        """Sun or dusk."""
        from tui.base.theme import DUSK, SUN

        self.app.theme = DUSK if self.app.theme == SUN else SUN

    def action_save(self) -> None:
        """Try the disk again."""
        if self.working.conflicts:
            self.ask_which()
        else:
            self.saver.send()
            self.show_saved()

    def action_leave(self) -> None:
        """Leave once everything is on disk; where that takes a while, say so and wait."""
        self.leaving = True
        if not self.working.saved:
            self.notify("Waiting for the disk. This closes by itself once everything is saved.", markup=False)
            self.action_save()
        self.leave_or_say()

    def leave_or_say(self) -> None:
        """Leave where everything is on disk; stay, and say why, where the disk has failed."""
        if self.working.sent is not None:
            return
        if self.working.conflicts:
            self.leaving = False
            return
        if not self.working.saved:
            self.notify(STAY, severity="error", markup=False, timeout=10)
        elif len(self.app.screen_stack) > 2:
            self.dismiss(None)
        else:
            self.app.exit()
