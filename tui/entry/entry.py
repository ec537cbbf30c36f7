"""The entry screen: every kind of record with its count, the records of one kind, and the way into their forms."""

from functools import reduce
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import OptionList, Static

from engine.change.still_in_use import taken_out
from engine.job.edit import entering
from engine.job.model.job import Job
from engine.walk import Walk
from tui.base.commands import bindings
from tui.base.key_lists import ENTRY_COMMANDS, FORM_COMMANDS
from tui.base.theme import SIGNS
from tui.boxes.dialog import once_let_go
from tui.boxes.job_screen import JobScreen
from tui.boxes.materials import MaterialsScreen
from tui.boxes.pages import HelpDialog
from tui.boxes.row_words import job_title, saved_words, top_line
from tui.entry.entered import told
from tui.entry.entry_form import FormScreen
from tui.entry.form_values import records, summary, texts_of
from tui.entry.forms import FORMS, Form
from tui.entry.shot_row import COMMANDS as ROW_COMMANDS
from tui.entry.shot_row import ShotRow
from tui.widgets.key_line import KeyLine
from tui.widgets.pick_input import COMMANDS as PICK_COMMANDS
from tui.widgets.rows import Row, Rows
from tui.working.job_in_hand import FreshNames, JobInHand
from tui.working.working_copy import Edit

KIND_WIDTH = 22


class EntryScreen(JobScreen):
    """Kinds on the left, records on the right; Enter opens a form."""

    BINDINGS: ClassVar = bindings(ENTRY_COMMANDS)
    DEFAULT_CSS = """
    EntryScreen .head { height: 1; background: $panel; text-style: bold; }
    EntryScreen #lists { height: 1fr; }
    EntryScreen #kinds { width: 29; height: 100%; border: none; scrollbar-size-vertical: 1; }
    EntryScreen #records { width: 1fr; height: 100%; border: none; border-left: solid $border-blurred; }
    EntryScreen #entered { height: auto; max-height: 3; padding: 0 1; background: $surface; }
    """

    def __init__(self, hand: JobInHand) -> None:
        super().__init__(hand)
        self._names = FreshNames(hand)
        self.said = Content("Points first: lines, trees and everything else are drawn through them.")

    def compose(self) -> ComposeResult:
        yield Static(id="entry-top", classes="head", markup=False)
        with Horizontal(id="lists"):
            yield Rows(id="kinds")
            yield Rows(id="records", empty="None yet. Enter makes one.")
        yield ShotRow(self.hand, id="field-book")
        yield Static(id="entered", markup=False)
        yield KeyLine(ENTRY_COMMANDS)

    def on_mount(self) -> None:
        self.query_one(ShotRow).display = False
        self.show()
        self.query_one("#kinds").focus()

    def show(self) -> None:
        rows, table = self.query_one("#records", Rows), self.form.table
        current = reduce(lambda so_far, names: names.record(table, so_far), self._names.take(), rows.current or "")
        self.query_one("#kinds", Rows).show(kind_rows(self.hand.job))
        self._show_records()
        rows.go(current)
        self.query_one(ShotRow).follow()
        self.show_saved()

    def show_saved(self) -> None:
        """The top line, and the last thing said or what stands in the way of saving."""
        working = self.hand.working
        self.query_one("#entry-top", Static).update(top_line(self.app.size.width, f"Enter: {job_title(working)}", saved_words(working)))
        standing = Content.styled(working.standing, "bold $stop")
        self.query_one("#entered", Static).update(standing if working.standing else self.said)

    def on_resize(self) -> None:
        """The top line is as wide as the screen."""
        self.show()

    @property
    def form(self) -> Form:
        """The form of the kind under the cursor."""
        current = self.query_one("#kinds", Rows).current
        return next((form for form in FORMS if form.kind == current), FORMS[0])

    @on(OptionList.OptionHighlighted, "#kinds")
    def _show_records(self) -> None:
        form = self.form
        self.query_one("#records", Rows).show(record_rows(form, self.hand.job, self.hand.walk))

    def _record(self) -> str | None:
        """The record under the cursor, where the cursor is among records."""
        rows = self.query_one("#records", Rows)
        return rows.current if rows.has_focus else None

    def action_open(self) -> None:
        form = self.form
        self._open(form, form.kind if form.single else self._record())

    def action_add(self) -> None:
        form = self.form
        self._open(form, form.kind if form.single else None)

    @work
    async def _open(self, form: Form, name: str | None) -> None:
        if not self.may_change():
            return
        self.said_now = False
        screen = FormScreen(self.hand, form, name)
        said = await self.ask(screen)
        if said:
            self.said = said
        self.show()
        if not form.single and screen.saved_as is not None:
            self.query_one("#records", Rows).go(screen.saved_as)

    async def action_book(self) -> None:
        """Shots in the field book's row, one a line; the one under the cursor is put right there."""
        if not self.may_change():
            return
        row, name = self.query_one(ShotRow), self._record() if self.form.method else None
        row.display = True
        self.query_one(KeyLine).show(ROW_COMMANDS)
        await row.open(name or "")

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool | None:
        """In the field book's row the keys of the lists are the row's."""
        in_row = self.focused is not None and isinstance(self.focused.parent, ShotRow)
        return not (in_row and action in ("open", "to_records", "to_kinds"))

    @on(ShotRow.Entered)
    def _entered_in_row(self, event: ShotRow.Entered) -> None:
        """The row says what was entered; what was said of the edit before it can't be taken back by that key any more."""
        self._say("")
        method = self.hand.job.shots[event.name].method
        self.query_one("#kinds", Rows).go(next(form.kind for form in FORMS if form.method == method))
        self._show_records()
        self.query_one("#records", Rows).go(event.name)

    @on(ShotRow.Left)
    def _left_row(self) -> None:
        self.query_one(ShotRow).display = False
        self.query_one(KeyLine).show(ENTRY_COMMANDS)
        self.query_one("#kinds").focus()

    def action_remove(self) -> None:
        form, name = self.form, self._record()
        if form.single:
            self._take_out(form)
            return
        if name is None:
            self.notify("Go to a record first, with the right arrow.")
            return
        rows = list(records(form, self.hand.job))
        beside = dict(zip(rows, [*rows[1:], *rows[-2:-1]], strict=False)).get(name)
        is_out = self._taken_out(f"{form.one} {name}", lambda job, _at, _by: taken_out(job, form.table, name))
        if is_out and beside is not None:
            self.query_one("#records", Rows).go(beside)

    def _take_out(self, form: Form) -> None:
        """What a job has one of, or none."""
        if not form.may_be_none:
            self.notify("There is always one: correct it.")
            return
        if not records(form, self.hand.job):
            self.notify(f"There is no {form.one}.")
            return
        self._taken_out(form.one, lambda job, _at, _by: entering.take_out(job, form.table))

    def _taken_out(self, what: str, edit: Edit) -> bool:
        """Whether it could be; said either way."""
        before = self.hand.walk
        refused = self.hand.edit(f"{what} taken out", edit)
        if refused is None:
            self.said = told(Content(f"{what[:1].upper()}{what[1:]} is out."), "u", before, self.hand.walk, self.app.size.width)
        else:
            self.said = Content.styled(f"{SIGNS['fix']} {refused}", "bold $fix")
        self.show()
        return refused is None

    def action_undo(self) -> None:
        self._say(self.hand.undo())

    def action_redo(self) -> None:
        self._say(self.hand.redo())

    def _say(self, says: str) -> None:
        """In the place of what was said of the edit: that stands no more."""
        self.said = Content(says)
        self.show_saved()

    @on(OptionList.OptionSelected, "#records")
    def _clicked(self) -> None:
        self.action_open()

    def action_to_records(self) -> None:
        self.query_one("#records").focus()

    def action_to_kinds(self) -> None:
        self.query_one("#kinds").focus()

    def action_materials(self) -> None:
        self.look_at(MaterialsScreen(self.hand))

    def action_help(self) -> None:
        self.look_at(HelpDialog((("Entry", ENTRY_COMMANDS), ("Form", (*FORM_COMMANDS, *PICK_COMMANDS)), ("Field book", ROW_COMMANDS))))

    @property
    def not_kept(self) -> str:
        """What is asked before it is left with a shot in the field book's row."""
        return self.query_one(ShotRow).not_kept

    async def action_back(self) -> None:
        row = self.query_one(ShotRow)
        await once_let_go(row, lambda: self.dismiss(None), row.focus)


def kind_rows(job: Job) -> list[Row[str]]:
    """A row a kind, with how many records it has; nothing where there is always one."""
    counts = {form.kind: "" if form.single else f"{_count(form, job) or '-':>3}" for form in FORMS}
    return [(form.kind, Content(f"{form.title:<{KIND_WIDTH}.{KIND_WIDTH}}{counts[form.kind]}")) for form in FORMS]


def record_rows(form: Form, job: Job, walk: Walk) -> list[Row[str]]:
    """A row a record, marked where it is a shot that doesn't fit; where there is always one, a row for each of its fields."""
    held = records(form, job)
    if form.single:
        texts = texts_of(form, form.kind, held.get(form.kind))
        return [(field.key, Content(f"{field.label:<20} {texts[field.key]}")) for field in form.fields]
    wrong = {fit.shot for fit in walk.survey.fits if not fit.fits} if form.method else set()
    return [(name, _row(name, summary(form, row), name in wrong)) for name, row in held.items()]


def _row(name: str, says: str, wrong: bool) -> Content:
    sign = Content.styled(f"{SIGNS['fix']} ", "bold $fix") if wrong else Content("  ")
    return Content.assemble(sign, Content.styled(f"{name:<8} ", "bold"), says)


def _count(form: Form, job: Job) -> int:
    return len(job.stock) if form.table == "stock" else len(records(form, job))
