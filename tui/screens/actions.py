"""What each key of the walk screen does: asks where it must, makes one edit, shows the new walk."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content
from textual.screen import Screen

from engine.calc.lengths import format_ft_in
from engine.checklist import Item, Line
from engine.findings import STAGES, TITLES, StageName
from engine.job import edits
from engine.job.errors import JobError
from engine.job.job import Job
from engine.record import build_record
from engine.stages.layout import planned_posts
from tui import stages, working
from tui.screens.choice import Ask, Choice
from tui.screens.commands import WALK_COMMANDS
from tui.screens.log import KINDS, Spot, SpotDialog
from tui.screens.move import Move, MoveDialog
from tui.screens.pages import GuideScreen, HelpDialog, materials_screen, record_screen
from tui.screens.reading import Given, ReadingDialog
from tui.screens.sign import Signature, SignDialog
from tui.widgets.rows import Rows

if TYPE_CHECKING:
    from tui.working import Edit, Working

PAGES = ("checklist", "findings", "figures", "pictures")
PICTURES = ("plan", "profile", "elevation")


class WalkActions(Screen[None]):
    """The keys' work, apart from the screen that shows it."""

    working: "Working"
    stage: StageName
    page: str
    picture: str
    chosen: str | None

    def show(self) -> None:
        """Show the working copy anew."""
        raise NotImplementedError

    def edit(self, words: str, edit: "Edit") -> bool:
        """One edit, on disk before the screen says so; says why where it can't be made."""
        if self.working.read_only:
            self.notify(self.working.read_only, severity="warning")
            return False
        try:
            self.working = working.edited(self.working, words, edit)
        except JobError as error:
            self.notify(str(error), severity="warning", markup=False)
            return False
        self.show()
        self._tell()
        return True

    def _tell(self) -> None:
        """What came in from another laptop; where both changed the same fact, which to keep."""
        for words in self.working.news:
            self.notify(words, markup=False, timeout=10)
        if self.working.conflicts:
            self._ask_which()

    @work
    async def _ask_which(self) -> None:
        says = "\n".join(conflict.says for conflict in self.working.conflicts[:8])
        rows = [("ours", Content("Keep what this laptop says")), ("theirs", Content("Keep what the other one says"))]
        keep = await self.app.push_screen_wait(Choice("Both laptops changed this", rows, says))
        if keep is not None:
            self.working = working.settled(self.working, "ours" if keep == "ours" else "theirs")
            self.show()
            self._tell()

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

    def action_next_page(self) -> None:
        """The page after this one, round to the first."""
        self.page = PAGES[(PAGES.index(self.page) + 1) % len(PAGES)]

    def action_previous_page(self) -> None:
        """The page before this one, round to the last."""
        self.page = PAGES[(PAGES.index(self.page) - 1) % len(PAGES)]

    def action_picture(self) -> None:
        """The next kind of picture, on its page."""
        self.picture = PICTURES[(PICTURES.index(self.picture) + 1) % len(PICTURES)]
        self.page = "pictures"

    # Checklist -----------------------------------------------------------------------------------------------------

    def _line(self) -> Line | None:
        """The checklist line under the cursor."""
        current = self.query_one("#checklist", Rows).current
        return next((line for line in self.working.walk.checklists[self.stage].lines if line.item.key == current), None)

    def action_tick(self) -> None:
        """Tick or open again; an item with a reading asks for it."""
        line = self._line()
        if line is None or self.page != "checklist":
            return
        if line.tick is not None:
            self.edit(f"open again: {line.item.says}", lambda job, _at, _by: edits.untick(job, line.item.key))
        elif line.item.reading is not None:
            self._ask_reading(line.item)
        else:
            self._tick(line.item)

    def action_not_needed(self) -> None:
        """Mark as not needed here."""
        line = self._line()
        if line is not None and self.page == "checklist":
            self.edit(f"not needed: {line.item.says}", lambda job, at, by: edits.tick(job, line.item.key, at, by, needed=False))
            self._step_on(line.item.key)

    def _tick(self, item: Item, given: Given | None = None) -> None:
        def ticked(job: Job, at: datetime, by: str) -> Job:
            if given is None or item.reading is None:
                return edits.tick(job, item.key, at, by)
            in_feet = item.reading.unit == "ft"
            feet, inches = (given.value, None) if in_feet else (None, given.value)
            return edits.tick(job, item.key, at, by, reading_ft=feet, reading_in=inches, note=given.reason)

        if self.edit(item.says, ticked):
            self._step_on(item.key)

    def _step_on(self, key: str) -> None:
        """The cursor to the next open item below."""
        lines = self.working.walk.checklists[self.stage].lines
        keys = [line.item.key for line in lines]
        below = lines[keys.index(key) + 1 :] if key in keys else ()
        following = next((line for line in below if line.state == "open"), None)
        if following is not None:
            self.query_one("#checklist", Rows).go(following.item.key)

    @work
    async def _ask_reading(self, item: Item) -> None:
        assert item.reading is not None
        if self.working.read_only:
            self.notify(self.working.read_only, severity="warning")
            return
        given = await self.app.push_screen_wait(ReadingDialog(item, item.reading))
        if given is not None:
            self._tick(item, given)

    # What happened -------------------------------------------------------------------------------------------------

    def action_undo(self) -> None:
        """Take back the last change."""
        self._replay(working.undone, "Taken back", "There is nothing to take back.")

    def action_redo(self) -> None:
        """Do it again."""
        self._replay(working.redone, "Done again", "There is nothing to do again.")

    def _replay(self, how: Callable[["Working"], tuple["Working", str]], done: str, nothing: str) -> None:
        self.working, words = how(self.working)
        self.notify(f"{done}: {words}" if words else nothing, markup=False)
        self.show()
        self._tell()

    @work
    async def action_log(self) -> None:
        """Choose what happened, then answer its questions."""
        rows = [(kind, Content(words)) for kind, _, words in KINDS]
        kind = await self.app.push_screen_wait(Choice("What happened", rows, keys={key: kind for kind, key, _ in KINDS}))
        match kind:
            case "obstacle":
                self._log_obstacle()
            case "move":
                self.action_move()
            case "swap":
                self._log_swap()
            case "add":
                self._log_add()
            case "drop":
                self._log_drop()
            case "note":
                self._log_note()

    @work
    async def action_move(self) -> None:
        """Move the chosen post, its consequences first."""
        post = (
            self.chosen
            if self.chosen in self.working.job.posts or self._standing(self.chosen)
            else await self._ask_post("Which post moves")
        )
        if post is None:
            return

        def moved(job: Job, along_ft: float, out_ft: float, why: str = "") -> Job:
            return edits.move_post(job, post, self.working.clock(), self.working.by, along_ft=along_ft, out_ft=out_ft, why=why)

        move: Move | None = await self.app.push_screen_wait(MoveDialog(post, self.working.job, self.working.walk, moved))
        if move is not None and self.edit(f"{post} moved", lambda job, _at, _by: moved(job, move.along_ft, move.out_ft, move.why)):
            self.chosen = post

    @work
    async def _log_obstacle(self) -> None:
        spot: Spot | None = await self._ask_spot("An obstacle in the ground", obstacle=True)
        if spot is not None:
            fields = {"offset_ft": spot.offset_ft, "radius_ft": spot.radius_ft, "text": spot.text}
            self.edit(
                f"{spot.what} on {spot.line}",
                lambda job, at, by: edits.obstacle(job, spot.what, spot.line, spot.station_ft, at, by, **fields),  # type: ignore[arg-type]  # a choice of the dialog
            )

    @work
    async def _log_add(self) -> None:
        spot: Spot | None = await self._ask_spot("One more post", obstacle=False)
        if spot is not None:
            self.edit(
                f"post added on {spot.line}",
                lambda job, at, by: edits.add_post(job, spot.line, spot.station_ft, at, by, offset_ft=spot.offset_ft, why=spot.text),
            )

    @work
    async def _log_swap(self) -> None:
        post = await self._ask_post("Which post gives way to a tree")
        if post is None:
            return
        trees = [(name, Content(f"{name}  {tree.diameter_in:g} in through")) for name, tree in self.working.job.trees.items()]
        tree = await self.app.push_screen_wait(Choice("Which tree carries the cables", trees))
        if tree is not None:
            self.edit(f"{post} to tree {tree}", lambda job, at, by: edits.swap_to_tree(job, post, tree, at, by))

    @work
    async def _log_drop(self) -> None:
        post = await self._ask_post("Which post is left out")
        if post is not None:
            why = await self.app.push_screen_wait(Ask(f"Why is {post} left out", placeholder="why"))
            if why is not None:
                self.edit(f"{post} left out", lambda job, at, by: edits.drop_post(job, post, at, by, why=why))

    @work
    async def _log_note(self) -> None:
        about = self.chosen or ""
        words = await self.app.push_screen_wait(Ask(f"Note about {about}" if about else "Note", placeholder="plain words"))
        if words is not None:
            self.edit("note", lambda job, at, by: edits.note(job, words, at, by, about=about))

    def _standing(self, name: str | None) -> bool:
        return bool(name) and name in self.working.walk.layout.supports

    async def _ask_post(self, title: str) -> str | None:
        """The chosen post, or one picked from all driven ones."""
        supports = self.working.walk.layout.supports
        driven = [name for name, support in supports.items() if support.support == "driven"]
        if self.chosen in driven:
            driven = [self.chosen, *(name for name in driven if name != self.chosen)]
        rows = [
            (name, Content(f"{name:<5} {supports[name].kind:<7} {format_ft_in(supports[name].station_ft):>9} on {supports[name].line}"))
            for name in driven
        ]
        return await self.app.push_screen_wait(Choice(title, rows))

    async def _ask_spot(self, title: str, *, obstacle: bool) -> Spot | None:
        lines = tuple(self.working.job.lines)
        if not lines:
            self.notify("There is no line yet. Draw one through surveyed points first.", severity="warning")
            return None
        support = self.working.walk.layout.supports.get(self.chosen or "")
        line, station = (support.line, format_ft_in(support.station_ft)) if support else (lines[0], "")
        return await self.app.push_screen_wait(SpotDialog(title, lines, line, station, obstacle=obstacle))

    def action_accept(self) -> None:
        """Take the proposed layout as the plan."""
        if self.working.job.posts:
            self.notify("The plan is accepted already. Log a move, or add a post, to change it.")
            return
        posts = planned_posts(self.working.walk.layout)
        if self.edit("plan accepted", lambda job, at, by: edits.accept_layout(job, posts, at, by)):
            self.notify(f"Plan accepted: {len(posts)} supports.")

    # The job -------------------------------------------------------------------------------------------------------

    @work
    async def action_sign(self) -> None:
        """Sign off and seal, or open a sealed job again."""
        if self.working.job.record is not None:
            why = await self.app.push_screen_wait(Ask("Open the job again", "It is signed off and sealed. Say why it is opened.", "why"))
            if why is not None:
                self.edit("opened again", lambda job, at, by: edits.reopen(job, why, at, by))
            return
        walk = self.working.walk
        unfinished = sum(len(checklist.lines) - checklist.done for checklist in walk.checklists.values())
        left = tuple(finding for finding in walk.findings if finding.level != "note" and not finding.code.startswith("punch_"))
        signature: Signature | None = await self.app.push_screen_wait(SignDialog(unfinished, left))
        if signature is None:
            return

        def signed(job: Job, at: datetime, by: str) -> Job:
            record = build_record(walk, at, by, signature.accepted_by, signature.left_open)
            return edits.sign(job, record, at, by, signature.accepted_by)

        if self.edit("signed off", signed):
            self.notify("Signed off. The file is sealed.")

    @work
    async def action_who(self) -> None:
        """Say who is working."""
        crew = self.working.job.job.crew
        name = await self.app.push_screen_wait(Ask("Who is working", f"Crew: {', '.join(crew)}" if crew else "", "name", self.working.by))
        if name is not None:
            self.working = working.working_as(self.working, name)
            self.show()

    @work
    async def action_find(self) -> None:
        """Find anything by its id or its words."""
        words = await self.app.push_screen_wait(Ask("Find", placeholder="P7, L2, gas, sag ..."))
        if words is None:
            return
        found = stages.find(self.working.job, self.working.walk, words)
        rows = [(f"{number}", Content(f"{TITLES[hit.stage]:<18} {hit.words}")) for number, hit in enumerate(found)]
        picked = await self.app.push_screen_wait(Choice(f"{len(found)} found for {words}", rows))
        if picked is not None:
            hit = found[int(picked)]
            self.stage = hit.stage
            self.chosen = hit.subject or None
            self.page = "checklist" if hit.key else self.page
            if hit.key:
                self.query_one("#checklist", Rows).go(hit.key)

    def action_materials(self) -> None:
        """Needed against loaded."""
        self.app.push_screen(materials_screen(self.working.walk))

    def action_record(self) -> None:
        """What was built."""
        self.app.push_screen(record_screen(self.working.job, self.working.walk))

    def action_guide(self) -> None:
        """How this stage is done."""
        self.app.push_screen(GuideScreen(self.stage))

    def action_help(self) -> None:
        """The keys of this place."""
        from tui.widgets.picture_view import COMMANDS as PICTURE_COMMANDS

        here = (("Picture", PICTURE_COMMANDS),) if self.page == "pictures" else ()
        self.app.push_screen(HelpDialog((*here, ("Job", WALK_COMMANDS))))

    def action_light(self) -> None:
        """Sun or dusk."""
        from tui.theme import DUSK, SUN

        self.app.theme = DUSK if self.app.theme == SUN else SUN

    def action_save(self) -> None:
        """Try the disk again."""
        self.working = working.saved_again(self.working)
        self.show()
        self._tell()

    def action_leave(self) -> None:
        """Leave; everything is on disk. Where it isn't, try once more and say so."""
        if self.working.trouble:
            self.working = working.saved_again(self.working)
            self.show()
            if self.working.trouble:
                self.notify(
                    "The last change is not on disk yet. Fix the disk and press Ctrl+S, or press Ctrl+C to leave it.", severity="error"
                )
                return
        if len(self.app.screen_stack) > 2:
            self.dismiss(None)
        else:
            self.app.exit()
