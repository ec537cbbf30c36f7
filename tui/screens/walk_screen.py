"""The walk screen: nine stages, and of the one that is open its sheet, a picture, the card of the chosen thing, findings and figures."""

from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.content import Content
from textual.reactive import var
from textual.style import Style as TextStyle
from textual.widgets import OptionList, Static

from engine.findings import STAGES, TITLES, FindingKey, StageName, worst
from engine.sheets.stage_sheets import sheet_of
from tui import stages
from tui.base.commands import Command, bindings
from tui.base.key_buttons import key_buttons
from tui.base.key_lists import WALK_COMMANDS
from tui.boxes.editing import Editing, Landed
from tui.boxes.row_words import finding_rows, job_title, top_line, who_and_saved
from tui.screens.actions import FIRST_PICTURE, PAGES, UNDER, WalkActions
from tui.screens.rail import Progress, StageRail
from tui.sheet.sheet_view import SheetView
from tui.sheet.strip_words import in_room, strip_words, typing_words
from tui.stages.cards import card_of
from tui.widgets.chosen import Chosen
from tui.widgets.key_line import KeyLine
from tui.widgets.rows import Rows
from tui.working.saver import Saver
from tui.working.working_copy import Working

TEND_S = 0.5
STRIP = 4
"""Lines of the strip under the sheet."""
WIDE = 100
"""From so many columns on a picture and one page more stand beside the sheet."""


class WalkScreen(WalkActions):
    """One open job. It shows the Walk it is given and asks for edits; it works out nothing itself."""

    CSS_PATH = "walk_screen.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide"), (160, "-vast")]
    BINDINGS: ClassVar = [
        *bindings(WALK_COMMANDS),
        *(Binding(f"{number},alt+{number}", f"stage('{name}')", TITLES[name], show=False) for number, name in enumerate(STAGES, 1)),
    ]

    # Variables, not reactives: what follows them draws itself anew, the screen as a whole needn't be.
    stage: var[StageName] = var("survey", init=False)
    page: var[str] = var("sheet", init=False)
    picture: var[str] = var("plan", init=False)
    chosen: var[str | None] = var(None, init=False)

    def __init__(self, saver: Saver) -> None:
        super().__init__(saver)
        saver.tell = self._came_back
        self._beside = "card"
        self._painted = False
        self.set_reactive(WalkScreen.stage, _where_left_off(saver.working))
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))

    def compose(self) -> ComposeResult:
        """Top line, the stages, what is beside each other or one key apart, the strip, the keys."""
        yield Static(id="top", markup=False)
        yield Static(id="trouble", markup=False)
        yield StageRail()
        with Container(id="pages", classes="-sheet"):
            yield SheetView(id="sheet", empty="Nothing to tick here yet.")
            with Container(id="beside"):
                with Container(id="pictures"):
                    yield Static(id="picture-title", markup=False)
                with Container(id="under"):
                    yield Static(id="tabs", markup=False)
        yield Static(id="strip", markup=False)
        yield KeyLine(WALK_COMMANDS)

    def on_mount(self) -> None:
        """Show the job as it stands, the cursor at the first open cell."""
        self.set_interval(TEND_S, self._tend)
        self.look_around()
        self.show(anew=True)
        self._show_page(focus=True)
        self.tell()

    def first_drawn(self) -> None:
        """What stands beside the sheet follows once that can be read."""
        self._painted = True
        self._show_pictures()
        self._show_under()

    def _pane(self, place: str, name: str) -> Any:
        """The picture, or the page under it, that is shown of its place; made when that is first so."""
        panes = list(self.query(f"#{place} > .-pane"))
        pane = next((one for one in panes if one.id == name), None)
        if pane is None:
            from tui.screens.shown import pane_of

            pane = pane_of(name)
            self.query_one(f"#{place}").mount(pane)
        for one in (*panes, pane):
            one.set_class(one is pane, "-shown")
        return pane

    @property
    def sheet(self) -> SheetView:
        """The sheet of the stage."""
        return self.query_one("#sheet", SheetView)

    # What is shown -----------------------------------------------------------------------------------------------

    def show(self, *, anew: bool = False) -> None:
        """Everything from the walk; `anew` with the cursor at the first open cell."""
        walk = self.working.walk
        self.show_saved()
        rows = tuple(
            Progress(name, walk.checklists[name].done, len(walk.checklists[name].lines), worst(walk.stage_findings[name]))
            for name in STAGES
        )
        self.query_one(StageRail).show(rows, self.stage)
        self.sheet.empty = f"Nothing to tick here yet. {stages.PURPOSES[self.stage]}"
        self.sheet.show(sheet_of(self.stage, self.working.job, walk), anew=anew)
        self._share_room()
        if anew:
            self.set_reactive(WalkScreen.chosen, self.sheet.cursor.subject or self.chosen)
        self._show_strip()
        self._show_pictures()
        self._show_under()

    def _share_room(self) -> None:
        """Where the screen is wide the sheet is as wide as it needs, at most three fifths, and the picture has the rest."""
        room = self.app.size.width
        wanted = min(max(self.sheet.needs, room * 2 // 5), room * 3 // 5) if room >= WIDE else room
        if self.sheet.styles.width is None or self.sheet.styles.width.cells != wanted:
            self.sheet.styles.width = wanted

    def _show_strip(self) -> None:
        """All there is to say of the cell under the cursor."""
        sheet = self.sheet
        says = typing_words(sheet.typing) if sheet.typing else strip_words(sheet.cursor, sheet.gave_way(), self._next_step())
        lines = STRIP + 3 * (self.stage == "punch")  # what closes a way out takes more words than any cell
        says = key_buttons(in_room(says, self.app.size.width - 2, lines))
        strip = self.query_one("#strip", Static)
        if strip.styles.height is None or strip.styles.height.cells != lines:
            strip.styles.height = lines
        if strip.content != says:
            strip.update(says, layout=False)

    def _next_step(self) -> str:
        """The key that ends what the stage is for, where there is one."""
        if self.stage in ("survey", "layout") and not self.working.job.lines:
            return "Press e to enter what was measured and agreed: points, shots, lines, gates."
        if self.stage == "layout" and not self.working.walk.layout.accepted:
            return "Press a to accept this plan, then set a flag for every support."
        if self.stage == "punch" and self.working.job.record is None:
            return "Press s to sign off."
        return ""

    def show_saved(self) -> None:
        """The top line, and what stands in the way of saving."""
        working = self.working
        saved = who_and_saved(working)
        self.query_one("#top", Static).update(top_line(self.app.size.width, job_title(working), saved), layout=False)
        trouble = self.query_one("#trouble", Static)
        _say(trouble, working.standing)
        trouble.set_class(bool(working.standing), "-shown")

    def _seen(self, page: str) -> bool:
        """Whether a page has room now: the one that is open, and where the screen is wide the picture and one under it."""
        return self._painted and (page == self.page or (self.app.size.width >= WIDE and page in ("pictures", self._beside)))

    def _show_pictures(self) -> None:
        """Only the picture that is seen is made."""
        if not self._seen("pictures"):
            return
        from tui.screens.shown import picture_of, picture_title

        view = self._pane("pictures", self.picture)
        view.chosen = self.chosen
        view.picture = picture_of(self.picture, self.working.job, self.working.walk, self.chosen or "")
        title = f" {picture_title(self.picture, self.working.walk, self.chosen or '')}"
        self.query_one("#picture-title", Static).update(title, layout=False)

    def _show_under(self) -> None:
        """The card, the findings or the figures, whichever is seen."""
        working, found = self.working, self.working.walk.stage_findings[self.stage]
        if self._seen(self._beside):
            pane = self._pane("under", self._beside)
            if self._beside == "card":
                pane.picture = card_of(working.job, working.walk, self.chosen or "")
            elif self._beside == "findings":
                pane.show(finding_rows(found))
            else:
                pane.chosen = self.chosen
                pane.call_later(pane.show, stages.figures(self.stage, working.job, working.walk))
        titles = {"card": f"card {self.chosen or ''}".strip(), "findings": f"findings {len(found) or ''}".strip(), "figures": "figures"}
        parts = [_button(f" {title} ", f"screen.open('{name}')", here=name == self._beside) for name, title in titles.items()]
        self.query_one("#tabs", Static).update(Content(" ").join(parts), layout=False)

    # To the disk and back --------------------------------------------------------------------------------------------

    def _came_back(self) -> None:
        """Called from the thread that saves; a screen that is gone is told nothing."""
        if self.is_attached:
            self.post_message(Landed())

    def _tend(self) -> None:
        """Every moment: a disk that hangs or failed is looked after."""
        before = self.working
        self.saver.tend()
        if self.working.standing != before.standing:
            self._show_all_saved()

    @on(Landed)
    def _take_in(self) -> None:
        """What came back from the disk: a new mark, and all anew where something came in with it."""
        before = self.working
        if not self.saver.land():
            return
        if self.working.walk is not before.walk:
            for screen in self.app.screen_stack:
                if isinstance(screen, Editing):
                    screen.show()
        self._show_all_saved()
        top = self.app.screen
        (top if isinstance(top, Editing) else self).tell()
        if self.leaving and self.app.screen is self:
            self.leave_or_say()

    def _show_all_saved(self) -> None:
        for screen in self.app.screen_stack:
            if show_saved := getattr(screen, "show_saved", None):
                show_saved()

    # One chosen thing, followed everywhere -----------------------------------------------------------------------

    def watch_chosen(self, chosen: str | None) -> None:
        """Every widget follows the chosen thing."""
        if chosen is None:
            return
        if self.sheet.cursor.subject != chosen:
            self.sheet.go_to_subject(chosen)
        found = next((one.key for one in self.working.walk.stage_findings[self.stage] if one.subject == chosen), None)
        if found is not None and self._seen("findings") and self.query_one("#findings", Rows).current != found:
            with self.prevent(OptionList.OptionHighlighted):
                self.query_one("#findings", Rows).go(found)
        self._show_pictures()
        self._show_under()

    @on(SheetView.Reached)
    def _cell_reached(self) -> None:
        self._show_strip()
        if subject := self.sheet.cursor.subject:
            self.chosen = subject

    @on(OptionList.OptionHighlighted, "#findings")
    def _finding_reached(self, event: OptionList.OptionHighlighted) -> None:
        rows = event.option_list
        key = rows.key_of(event.option) if isinstance(rows, Rows) else None
        if rows.has_focus and isinstance(key, FindingKey):
            self.chosen = key.subject or None

    @on(Chosen)
    def _thing_chosen(self, event: Chosen) -> None:
        self.chosen = event.id

    @on(StageRail.Picked)
    def _stage_picked(self, event: StageRail.Picked) -> None:
        self.stage = event.stage

    # Where the crew is -------------------------------------------------------------------------------------------

    def watch_stage(self) -> None:
        """Another stage: its sheet, the cursor at the first open cell."""
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))
        self.show(anew=True)

    def watch_page(self) -> None:
        """Another page: shown where the screen is narrow, focused everywhere."""
        if self.page in UNDER:
            self._beside = self.page
        self._show_pictures()
        self._show_under()
        self._show_page(focus=True)

    def watch_picture(self) -> None:
        """Another picture."""
        self._show_pictures()
        if self.page == "pictures":
            self._show_page(focus=True)

    def _show_page(self, focus: bool) -> None:
        pages = self.query_one("#pages")
        pages.set_class(self.page == "sheet", "-sheet")
        pages.set_class(self.page == "pictures", "-pictures")
        pages.set_class(self.page in UNDER, "-under")
        self.query_one(KeyLine).show(self._keys())
        if not focus:
            return
        self.query_one(f"#{self.picture if self.page == 'pictures' else self.page}").focus()

    def _keys(self) -> tuple[Command, ...]:
        """The keys of the page that is open."""
        if self.page != "pictures":
            return WALK_COMMANDS
        from tui.widgets.picture_view import COMMANDS
        from tui.widgets.plan_view import PLAN_COMMANDS

        return (*COMMANDS, *(PLAN_COMMANDS if self.picture == "plan" else ()), *WALK_COMMANDS)

    def on_resize(self) -> None:
        """The top line is as wide as the screen, and what has room now is shown."""
        self.show_saved()
        self._share_room()
        self._show_pictures()
        self._show_under()

    def on_descendant_focus(self) -> None:
        """A click into another page makes it the current one."""
        for name in PAGES:
            if name != self.page and any(pane.has_focus_within for pane in self.query(f"#{name}")):
                self.page = name


def _button(words: str, action: str, *, here: bool) -> Content:
    """Words that do something when they are clicked."""
    return Content.styled(words, "bold reverse" if here else "$muted").stylize(TextStyle.from_meta({"@click": action}))


def _say(static: Static, words: str) -> None:
    """New words, and a new layout, only where they differ."""
    if static.content != words:
        static.update(words)


def _where_left_off(working: Working) -> StageName:
    """The stage of the newest tick, else the first with open items."""
    checks = working.job.checks
    if checks:
        newest = max(checks, key=lambda key: (checks[key].at, str(key)))
        for stage in STAGES:
            if stage == newest.stage:
                return stage
    return next((name for name in STAGES if working.walk.checklists[name].done < len(working.walk.checklists[name].lines)), "punch")
