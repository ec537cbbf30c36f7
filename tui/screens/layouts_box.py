"""The layout and its alternatives side by side: one kept, taken, called otherwise or thrown away."""

from collections.abc import Callable, Sequence
from threading import Thread
from typing import ClassVar, Literal, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static

from engine.ahead.finished_jobs import finished_jobs
from engine.ahead.rests_on_it import rests_on_it
from engine.ahead.side_by_side import LayoutFigures, side_by_side
from engine.calc.length_words import said_in_units
from engine.calc.phrases import plural
from engine.findings import LEVELS
from engine.job.errors import JobError
from engine.job.model.job import Job
from engine.paper.ahead.compared_layouts import HOURS, compared, of_new_alone, worst_words
from tui.base.commands import Command, bindings
from tui.boxes.dialog import Dialog, WrongField, labelled
from tui.widgets.line_input import LineInput
from tui.widgets.rows import Rows
from tui.working.job_in_hand import JobInHand

KEEP = Command("keep", "k", "keep", "Keep the layout as it is as an alternative, too.", "Dialog")
CALL = Command("call", "r", "call otherwise", "Give the chosen alternative another name, or another word for what it is.", "Dialog")
DROP = Command("drop", "x,delete", "throw away", "Throw the chosen alternative away.", "Dialog")
BETWEEN = 2
"""Cells between two columns."""


class LayoutWish(NamedTuple):
    """What is to be done with which layout."""

    does: Literal["keep", "take", "call", "drop"]
    name: str = ""


class LayoutsDialog(Dialog[LayoutWish]):
    """Every layout in a column, the job's own first; worked out beside the screen, which goes on answering, and anew where another laptop
    changed the job. Hours are by the finished jobs beside the job file, which may take long to read: they come in last, and aren't waited
    for."""

    TITLE = "Layouts side by side"
    HINT: ClassVar[str] = "Enter takes the chosen one. k keeps the layout as it is, r calls one otherwise, x throws one away. Esc leaves."
    TALL: ClassVar[bool] = True
    BINDINGS: ClassVar = bindings((KEEP, CALL, DROP))
    DEFAULT_CSS = """
    LayoutsDialog Rows { max-height: 4; }
    LayoutsDialog #columns, LayoutsDialog #worst, LayoutsDialog #new_alone { height: auto; margin: 0 0 1 0; }
    """

    class WorkedOut(Message):
        """The figures of all of a job; `whole` once their hours are among them, as far as they can be known."""

        def __init__(self, job: Job, found: tuple[LayoutFigures, ...], *, whole: bool) -> None:
            super().__init__()
            self.job, self.found, self.whole = job, found, whole

    def __init__(self, hand: JobInHand) -> None:
        super().__init__()
        self.hand = hand
        self.found: tuple[LayoutFigures, ...] = ()
        self._whole = self._left = False

    def parts(self) -> ComposeResult:
        yield Rows(id="layouts", empty="No alternative is kept yet: k keeps the layout as it is.")
        yield Static("", id="worst", markup=False)
        yield Static("", id="new_alone", markup=False)
        yield Static("", id="columns", markup=False)

    def on_mount(self) -> None:
        self.query_one(Rows).focus()
        self.job_changed()

    def job_changed(self) -> None:
        """The layouts of the job as it is now."""
        job, self.found = self.hand.job, ()
        estimate = "ESTIMATE: layouts side by side" if rests_on_it(job, self.hand.walk) else self.TITLE
        self.query_one("Dialog > Vertical").border_title = estimate
        names = ((name, f"{name}: {other.note}" if other.note else name) for name, other in job.alternatives.items())
        rows: Rows[str] = self.query_one(Rows)
        rows.show((name, Content(words)) for name, words in names)
        says = of_new_alone(job)
        new_alone = self.query_one("#new_alone", Static)
        new_alone.update(says)
        new_alone.display = bool(says)
        self.query_one("#worst", Static).update("")
        self.query_one("#columns", Static).update("Working them out ...")
        Thread(target=self._work_out, args=(job,), name="layouts", daemon=True).start()

    def show_saved(self) -> None:
        """Nothing here says whether the job is saved."""

    def _work_out(self, job: Job) -> None:
        """In a thread."""
        self.post_message(self.WorkedOut(job, side_by_side(job), whole=False))
        file = self.hand.working.loaded.path
        try:
            finished = finished_jobs(file.parent, job.rules.hours.pause_min, but=file, told=lambda _number, _of: self._shows(job))
        except JobError:
            finished = None
        if self._shows(job):
            self.post_message(self.WorkedOut(job, side_by_side(job, finished), whole=True))

    def _shows(self, job: Job) -> bool:
        return not self._left and job is self.hand.job

    def on_unmount(self) -> None:
        """What is left of the folder can wait."""
        self._left = True

    @on(WorkedOut)
    def _worked_out(self, event: WorkedOut) -> None:
        if self._shows(event.job):
            self.found, self._whole = event.found, event.whole
            self._show()

    @on(OptionList.OptionHighlighted)
    def _show(self) -> None:
        """The worst that was found of the chosen one, and under it the columns for which there is room, its own among them."""
        if self.found:
            chosen = next((number for number, one in enumerate(self.found) if number and one.name == self._chosen()), 0)
            room = self.query_one("#columns").size.width or 70
            self.query_one("#columns", Static).update(Content(in_columns(self.found, chosen, room, hours_known=self._whole)))
            self.query_one("#worst", Static).update(Content(worst_words(self.found[chosen])))

    def _chosen(self) -> str:
        rows: Rows[str] = self.query_one(Rows)
        return rows.current or ""

    def action_keep(self) -> None:
        self.dismiss(LayoutWish("keep"))

    def action_call(self) -> None:
        if name := self._chosen():
            self.dismiss(LayoutWish("call", name))

    def action_drop(self) -> None:
        if name := self._chosen():
            self.dismiss(LayoutWish("drop", name))

    @on(OptionList.OptionSelected)
    def _taken(self) -> None:
        self.dismiss(LayoutWish("take", self._chosen()))


def in_columns(found: Sequence[LayoutFigures], chosen: int, room: int, *, hours_known: bool = True) -> str:
    """The figures in lines, the job's own first, then the chosen one and those behind it as there is room; then how many more."""
    table = compared(found)
    rows = [row if hours_known or row[0] != HOURS else (row[0], *("reading ..." for _ in row[1:])) for row in table.rows[: -len(LEVELS)]]
    levels = [", ".join(f"{one.findings[level]} {level}" for level in LEVELS) for one in found]
    rows.append(("found", *levels))
    columns = [["layout", *(row[0] for row in rows)], *([head, *(row[at] for row in rows)] for at, head in enumerate(table.columns) if at)]
    wide = [max(map(len, column)) + BETWEEN for column in columns]
    shown, left = [0, 1], room - wide[0] - wide[1]
    for at in [*range(chosen + 1, len(columns)), *range(chosen, 1, -1)]:
        if at not in shown and wide[at] <= left:
            shown, left = [*shown, at], left - wide[at]
    ordered = sorted(shown)
    lines = ["".join(f"{columns[at][line]:<{wide[at]}}" for at in ordered).rstrip() for line in range(len(columns[0]))]
    more = len(columns) - len(shown)
    return "\n".join([*lines, *([f"{more} more: Down shows {plural(more, 'it', 'them')}."] if more else [])])


class LayoutName(NamedTuple):
    """What a layout is called, and what it is."""

    name: str
    note: str


UNNAMED = LayoutName("", "")


class LayoutNameDialog(Dialog[LayoutName]):
    """What a layout shall be called, and what it is."""

    HINTS: ClassVar[dict[str, str]] = {"name": "Letters, digits, - and _, such as by_the_oak.", "note": "In words; may stay empty."}

    def __init__(self, title: str, makes: Callable[[LayoutName], Job], called: LayoutName = UNNAMED) -> None:
        super().__init__()
        self.title, self._makes, self._called = title, makes, called

    def parts(self) -> ComposeResult:
        yield from labelled("Name", LineInput(self._called.name, placeholder="such as by_the_oak", id="name", compact=True))
        yield from labelled(
            "What it is", LineInput(self._called.note, placeholder=said_in_units("5 ft instead of 6 ft"), id="note", compact=True)
        )

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        if event.input.id == "name" and self.typed("name"):
            self.query_one("#note", Input).focus()
            return
        self.enter(self._stands, self._refusal)

    def _refusal(self, called: LayoutName) -> JobError | None:
        try:
            self._makes(called)
        except JobError as error:
            return error
        return None

    def _stands(self) -> LayoutName:
        if not self.typed("name"):
            raise WrongField("name", "say what this layout shall be called.")
        return LayoutName(self.typed("name").replace(" ", "_"), self.typed("note"))
