"""What the keys for the whole job do: its plan, its signature, what was entered and logged, pages to read, the way out."""

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from engine.calc.phrases import counted
from engine.findings import TITLES
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.stages.layout.stage import planned_posts
from engine.stages.punch.closing_list import Jump, left_open, unticked, yard_open
from tui.base.key_lists import MOVING, SHEET_COMMANDS, WALK_COMMANDS
from tui.boxes.in_name import ask_to_reopen, ask_who, asks, by_name, by_name_sealed_too
from tui.screens.photo_keys import photos_as_signed

if TYPE_CHECKING:
    from tui.boxes.sign import Signature
    from tui.screens.walk_screen import WalkScreen

STAY = "The last change is not on disk yet. Put the disk right: this closes by itself once it is. Ctrl+C twice leaves all the same."


class JobKeys:
    """The keys that are about the job as a whole."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen, self.hand = screen, screen.hand
        self._unsealed: Signature | None = None
        """A signature that nothing was sealed with, since something came in meanwhile."""
        self._unticked: frozenset[ItemKey] = frozenset()
        self._told: frozenset[str] = frozenset()
        """What wasn't ticked when its reasons were given, and the notes that the client was told of."""

    def last_step(self) -> str:
        """What the closing list leads to; in a repair that has just begun, what begins it."""
        from engine.stages.standing_line import just_begun

        begins = "Space on what is broken opens it to be done anew; l logs what is moved, left out or added."
        return begins if just_begun(self.hand.job) else "Press s to sign off."

    # The plan ------------------------------------------------------------------------------------------------------

    @by_name
    async def action_accept(self) -> None:
        """Take the proposed layout as the plan; where there is one, lay out afresh what isn't driven."""
        if self.hand.job.posts:
            await self._lay_out_afresh()
            return
        posts = planned_posts(self.hand.walk.layout)
        if self.screen.edit("plan accepted", lambda job, at, by: edits.accept_layout(job, posts, at, by)):
            self.screen.say(f"Plan accepted: {counted(len(posts), 'support')}. u takes that back.")

    async def _lay_out_afresh(self) -> None:
        from engine.change.fresh_layout import accepted_again, fresh_layout
        from engine.change.judged_layout import where_gates_may_begin
        from tui.boxes.change.preview import NoLayoutDialog

        fresh = fresh_layout(self.hand.job, self.hand.walk)
        if fresh.why_none:
            may = where_gates_may_begin(self.hand.job, self.hand.walk, self.hand.working.at)
            await self.screen.ask(NoLayoutDialog((*fresh.why_none, *may)))
            return
        if fresh.same:
            self.screen.say(f"A fresh layout would change nothing. {fresh.says}")
            return
        title = "A fresh layout around what stands"

        def laid_out(job: Job, at: datetime, by: str) -> Job:
            return accepted_again(job, fresh, at, by)

        if await self.screen.shown_first(title, "fresh layout accepted", laid_out, says=fresh.says, again="lay it out again"):
            self.screen.say(f"Plan accepted: {counted(len(fresh.posts), 'support')}. u takes that back.")

    @by_name_sealed_too
    async def action_sign(self) -> None:
        """Sign off and seal, once what is typed may be lost, or open a sealed job again."""
        await self.screen.going.away(lambda: self.screen.begin(self._sign()), self.screen)

    async def _sign(self) -> None:
        from engine.paper.as_built import build_record, known_notes
        from engine.stages.punch.reasons import of_single_things, reasons_that_stood, reasons_told
        from tui.boxes.sign import Signature, SignDialog

        if self.hand.job.record is not None:
            self._unsealed = None
            await ask_to_reopen(self.screen)
            return
        walk = self.hand.walk
        notes = tuple(finding.says for finding in known_notes(walk))
        left = left_open(walk.punch, walk.stage_findings, walk.checklists)
        before, still = self._unsealed, unticked(walk.checklists)
        if before is None:
            before = Signature("", dict(reasons_that_stood(self.hand.job.log, walk.checklists)))
        else:
            left_then = before.left_open if still <= self._unticked else of_single_things(before.left_open)
            before = replace(before, left_open=left_then, told_by=before.told_by if self._told.issuperset(notes) else "")
        ways, undone = len(walk.punch.ways_out), len(yard_open(walk.checklists))
        signature = await self.screen.ask(SignDialog(ways, undone, left, notes, before))
        if signature is None:
            return
        self._unsealed, self._unticked, self._told = signature, still, frozenset(notes)

        photos = await photos_as_signed(self.screen)
        if self.screen.came_meanwhile(walk, "sign"):
            return

        def signed(job: Job, at: datetime, by: str) -> Job:
            reasons = reasons_told(walk.punch, signature.left_open)
            record = build_record(job, walk, at, by, signature.accepted_by, reasons, signature.told_by, photos)
            return edits.sign(job, record, at, by, signature.accepted_by)

        self.screen.edit("signed off", signed)

    # What is in it ---------------------------------------------------------------------------------------------------

    @asks
    async def action_enter(self) -> None:
        from tui.entry.entry import EntryScreen

        await self.screen.ask(EntryScreen(self.hand))

    @asks
    async def action_find(self) -> None:
        from tui.boxes.choice import Answer, Choice, Find
        from tui.stages import find

        words = await self.screen.ask(Find("Find", placeholder="P7, L2, gas, P9 driven ..."))
        if words is None:
            return
        found = find(self.hand.job, self.hand.walk, words)
        answers = [Answer(f"{number}", f"{TITLES[hit.stage]:<18} {hit.words}") for number, hit in enumerate(found)]
        picked = await self.screen.ask(Choice(f"{len(found)} found for {words}", answers))
        if picked is not None:
            hit = found[int(picked)]
            if hit.entry:
                await self._show_log(hit.entry)
            else:
                await self.screen.going.to(Jump(hit.stage, hit.subject, item=hit.key, finding=hit.finding))

    @asks
    async def action_log_page(self) -> None:
        await self._show_log()

    async def _show_log(self, at: str = "") -> None:
        """The log page, on an entry where one is named; from there to the place of an entry."""
        from tui.screens.log_page import LogPage

        page = LogPage(self.hand, at)
        await self.screen.ask(page)
        if page.leads_to is not None:
            await self.screen.going.to(page.leads_to)

    @asks
    async def action_who(self) -> None:
        await ask_who(self.screen)

    # Pages to read ---------------------------------------------------------------------------------------------------

    def action_materials(self) -> None:
        from tui.boxes.materials import MaterialsScreen

        self.screen.look_at(MaterialsScreen(self.hand))

    def action_record(self) -> None:
        from tui.boxes.pages import RecordScreen

        self.screen.look_at(RecordScreen(self.hand))

    def action_guide(self) -> None:
        from tui.boxes.how_to import GuideScreen

        self.screen.look_at(GuideScreen(self.screen.stage))

    def action_help(self) -> None:
        from tui.boxes.pages import HelpDialog
        from tui.widgets.picture_view import COMMANDS as PICTURE_COMMANDS
        from tui.widgets.plan_view import PLAN_COMMANDS

        of_picture = (("Picture", (*PICTURE_COMMANDS, *(PLAN_COMMANDS if self.screen.picture == "plan" else ()))),)
        here = {"pictures": of_picture, "sheet": ((MOVING, SHEET_COMMANDS),)}.get(self.screen.page, ())
        self.screen.look_at(HelpDialog((*here, ("Job", WALK_COMMANDS))))

    # The way out -----------------------------------------------------------------------------------------------------

    def action_save(self) -> None:
        if self.hand.working.conflicts:
            self.screen.elsewhere.ask_which()
        else:
            self.hand.send()

    async def action_leave(self) -> None:
        """Leave once everything is on disk, and what is typed may be lost; where the disk takes a while, say so and wait."""
        await self.screen.going.away(self._leave, self.screen)

    def _leave(self) -> None:
        self.hand.leaving = True
        if not self.hand.working.saved:
            self.screen.say("Waiting for the disk. This closes by itself once everything is saved.")
            self.action_save()
        self.leave_or_say()

    def leave_or_say(self) -> None:
        """Leave where everything is on disk; stay, and say why, where the disk has failed."""
        working, screen = self.hand.working, self.screen
        if working.sent is not None:
            return
        if working.conflicts:
            self.hand.leaving = False
        elif not working.saved:
            screen.notify(STAY, severity="error", markup=False, timeout=10)
        elif screen.not_kept:  # typed while the disk was waited for
            self.hand.leaving = False
            screen.say("Everything is saved but what is typed here. q leaves.")
        elif len(screen.app.screen_stack) > 2:
            screen.dismiss(None)
        else:
            screen.app.exit()
