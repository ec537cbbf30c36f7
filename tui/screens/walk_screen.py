"""The walk screen: nine stages, and of the chosen one the checklist, findings, figures and picture."""

from collections.abc import Hashable, Mapping
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container, Vertical
from textual.content import Content
from textual.reactive import var
from textual.widgets import Footer, OptionList, Static

from engine.findings import STAGES, TITLES, FindingKey, StageName, worst
from engine.job.model.item_key import ItemKey
from engine.stages.punch.closing_list import closing_lines
from engine.stages.punch.way_key import WayKey
from tui import stages
from tui.base.commands import bindings
from tui.base.key_lists import WALK_COMMANDS
from tui.base.terminal import is_plain
from tui.boxes.editing import Editing, Landed
from tui.boxes.row_words import checklist_rows, finding_rows, job_title, saved_words, top_line
from tui.screens.actions import FIRST_PICTURE, PAGES, PICTURES, WalkActions
from tui.screens.closing import NO_WAY, punch_rows, way_rows
from tui.screens.shown import picture_of, picture_title
from tui.widgets.apron_view import ApronView
from tui.widgets.card_view import CardView
from tui.widgets.chosen import Chosen
from tui.widgets.corner_view import CornerView
from tui.widgets.elevation_view import ElevationView
from tui.widgets.figures import FiguresPane, FiguresTable
from tui.widgets.picture_view import PictureView
from tui.widgets.plan_view import PlanView
from tui.widgets.profile_view import ProfileView
from tui.widgets.rail import Progress, StageRail
from tui.widgets.rows import Rows
from tui.working.saver import Saver
from tui.working.working_copy import Working

TEND_S = 0.5


class WalkScreen(WalkActions):
    """One open job. It shows the Walk it is given and asks for edits; it works out nothing itself."""

    CSS_PATH = "walk_screen.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide"), (160, "-vast")]
    BINDINGS: ClassVar = [
        *bindings(WALK_COMMANDS),
        *(Binding(str(number), f"stage('{name}')", TITLES[name], show=False) for number, name in enumerate(STAGES, 1)),
    ]

    # Variables, not reactives: what follows them draws itself anew, the screen as a whole needn't be.
    stage: var[StageName] = var("survey", init=False)
    page: var[str] = var("checklist", init=False)
    picture: var[str] = var("plan", init=False)
    chosen: var[str | None] = var(None, init=False)

    def __init__(self, saver: Saver) -> None:
        super().__init__(saver)
        self._placed: ItemKey | None = None
        saver.tell = self._came_back
        self.set_reactive(WalkScreen.stage, _where_left_off(saver.working))
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))

    def compose(self) -> ComposeResult:
        """Top line, rail, the stage's four pages, footer."""
        yield Static(id="top", markup=False)
        yield Static(id="trouble", markup=False)
        with Container(id="body"):
            yield StageRail()
            with Vertical(id="stage"):
                yield Static(id="purpose", markup=False)
                yield Static(id="tabs", markup=False)
                with Container(id="pages"):
                    yield Rows(id="checklist", empty="Nothing to tick here yet.")
                    yield Rows(id="ways", empty=NO_WAY)
                    with Container(id="pictures"):
                        yield PlanView(id="plan", plain=is_plain())
                        yield ProfileView(id="profile", plain=is_plain())
                        yield ApronView(id="apron", plain=is_plain())
                        yield CornerView(id="corner", plain=is_plain())
                        yield CardView(id="card")
                        yield ElevationView(id="elevation", plain=is_plain())
                    yield Rows(id="findings", empty="Nothing found in this stage.")
                    yield FiguresPane(id="figures")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Show the job as it stands."""
        self.set_interval(TEND_S, self._tend)
        self.look_around()
        self.show()
        self._show_page(focus=True)
        self.tell()

    # What is shown -----------------------------------------------------------------------------------------------

    def show(self) -> None:
        """Everything anew from the walk."""
        walk = self.working.walk
        self.show_saved()
        rows = tuple(
            Progress(name, walk.checklists[name].done, len(walk.checklists[name].lines), worst(walk.stage_findings[name]))
            for name in STAGES
        )
        self.query_one(StageRail).show(rows, self.stage)
        _say(self.query_one("#purpose", Static), self._purpose())
        self.query_one("#checklist", Rows).show(checklist_rows(walk.checklists[self.stage]))
        closing = self.stage == "punch"
        self.set_class(closing, "-punch")
        self.query_one("#findings", Rows).show(
            punch_rows(closing_lines(walk.punch, walk.stage_findings, walk.checklists))
            if closing
            else finding_rows(walk.stage_findings[self.stage])
        )
        self.query_one("#ways", Rows).show(way_rows(walk) if closing else [])
        self.call_later(self.query_one(FiguresPane).show, stages.figures(self.stage, self.working.job, walk))
        self._show_pictures()
        self._show_titles()

    def _purpose(self) -> str:
        """What the stage is for, and the key that ends it where there is one."""
        if self.stage == "layout" and not self.working.walk.layout.accepted:
            return "Press a to accept this plan, then set a flag for every support."
        if self.stage == "punch" and self.working.job.record is None:
            return f"Press s to sign off. {stages.PURPOSES[self.stage]}"
        return stages.PURPOSES[self.stage]

    def show_saved(self) -> None:
        """The top line, and what stands in the way of saving."""
        working = self.working
        saved = f"{working.by[:20]}  {saved_words(working)}" if working.by else saved_words(working)
        self.query_one("#top", Static).update(top_line(self.app.size.width, job_title(working), saved), layout=False)
        trouble = self.query_one("#trouble", Static)
        _say(trouble, working.standing)
        trouble.set_class(bool(working.standing), "-shown")

    def _show_pictures(self) -> None:
        """Only the picture that is shown is made."""
        view: Any = self.query_one(f"#{self.picture}")  # each kind of view shows its own kind of picture
        view.picture = picture_of(self.picture, self.working.job, self.working.walk, self.chosen or "")
        for name in PICTURES:
            self.query_one(f"#{name}").set_class(name == self.picture, "-shown")

    def _show_titles(self) -> None:
        checklist = self.working.walk.checklists[self.stage]
        found = len(self.working.walk.stage_findings[self.stage])
        titles = {
            "checklist": f"checklist {checklist.done} of {len(checklist.lines)}",
            "ways": f"ways out {len(self.working.walk.punch.ways_out)}",
            "findings": "left to do" if self.stage == "punch" else f"findings {found}" if found else "findings",
            "figures": "figures",
            "pictures": picture_title(self.picture, self.working.walk, self.chosen or ""),
        }
        for name, title in titles.items():
            self.query_one(f"#{name}").border_title = title
        parts = [
            Content.styled(f" {title} ", "bold reverse" if name == self.page else "$muted")
            for name, title in titles.items()
            if name in self.pages()
        ]
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
        for view in self.query(PictureView):
            view.chosen = chosen
        if chosen is None:
            return
        self.query_one(FiguresPane).chosen = chosen
        self._follow("#checklist", {line.item.key: line.item.subject for line in self.working.walk.checklists[self.stage].lines})
        if self.stage != "punch":
            self._follow("#findings", {f.key: f.subject for f in self.working.walk.stage_findings[self.stage]})
        if self.picture != "plan":
            self._show_pictures()
            self._show_titles()

    def _follow(self, rows_id: str, subjects: Mapping[Hashable, str]) -> None:
        """Put the cursor on the first row about the chosen thing, unless it is on one already."""
        rows = self.query_one(rows_id, Rows)
        if subjects.get(rows.current) == self.chosen:
            return
        first = next((key for key, subject in subjects.items() if subject == self.chosen), None)
        if first is not None:
            with self.prevent(OptionList.OptionHighlighted):
                rows.go(first)

    @on(OptionList.OptionHighlighted)
    def _row_reached(self, event: OptionList.OptionHighlighted) -> None:
        rows = event.option_list
        key = rows.key_of(event.option) if isinstance(rows, Rows) else None
        if key is not None and key == self._placed:
            self._placed = None  # put there by a stage that opened, which has chosen already
            return
        if not isinstance(rows, Rows) or not rows.has_focus or rows.current != key:
            return
        if isinstance(key, ItemKey | FindingKey):
            self.chosen = key.subject or None
        elif isinstance(key, WayKey):
            self.chosen = next((way.subject for way in self.working.walk.punch.ways_out if way.key == key), None)

    @on(Chosen)
    def _thing_chosen(self, event: Chosen) -> None:
        self.chosen = event.id

    @on(StageRail.Picked)
    def _stage_picked(self, event: StageRail.Picked) -> None:
        self.stage = event.stage

    @on(OptionList.OptionSelected, "#checklist")
    def _item_entered(self) -> None:
        self.action_tick()

    # Where the crew is -------------------------------------------------------------------------------------------

    def watch_stage(self) -> None:
        """Another stage: all pages anew, the cursor at the first open item."""
        if self.page not in self.pages():
            self.page = "findings"
        self.set_reactive(WalkScreen.picture, FIRST_PICTURE.get(self.stage, "plan"))
        open_line = next((line for line in self.working.walk.checklists[self.stage].lines if line.state == "open"), None)
        self.show()
        if open_line is not None:
            self.query_one("#checklist", Rows).go(open_line.item.key)
            self._placed = open_line.item.key
            if self.page == "checklist":
                self.chosen = open_line.item.subject or None

    def watch_page(self) -> None:
        """Another page: shown where the screen is narrow, focused everywhere."""
        self._show_page(focus=True)
        self._show_titles()

    def watch_picture(self) -> None:
        """Another picture."""
        self._show_pictures()
        self._show_titles()
        if self.page == "pictures":
            self._show_page(focus=True)

    def _show_page(self, focus: bool) -> None:
        for name in PAGES:
            self.query_one(f"#{name}").set_class(name == self.page, "-current")
        if not focus:
            return
        if self.page == "figures":
            table = next(iter(self.query_one(FiguresPane).query(FiguresTable)), None)
            if table is not None:
                table.focus()
        else:
            self.query_one(f"#{self.picture if self.page == 'pictures' else self.page}").focus()

    def on_resize(self) -> None:
        """The top line is as wide as the screen."""
        self.show_saved()

    def on_descendant_focus(self) -> None:
        """A click into another page makes it the current one."""
        for name in PAGES:
            if self.query_one(f"#{name}").has_focus_within and name != self.page:
                self.page = name


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
