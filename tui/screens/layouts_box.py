"""The layout and its alternatives side by side: one kept, taken or thrown away."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import ClassVar, Literal, NamedTuple

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static

from engine.ahead.finished_jobs import finished_jobs
from engine.ahead.side_by_side import LayoutFigures, side_by_side
from engine.job.errors import JobError
from engine.job.model.job import Job
from engine.paper.ahead.compared_layouts import OWN_WORDS, compared, sentences
from tui.base.commands import Command, bindings
from tui.boxes.dialog import Dialog, WrongField, labelled
from tui.widgets.rows import Rows

KEEP = Command("keep", "k", "keep", "Keep the layout as it is as an alternative, too.", "Dialog")
DROP = Command("drop", "x,delete", "throw away", "Throw the chosen alternative away.", "Dialog")
BETWEEN = 2
"""Cells between two columns."""


class LayoutWish(NamedTuple):
    """What is to be done with which layout."""

    does: Literal["keep", "take", "drop"]
    name: str = ""


class LayoutsDialog(Dialog[LayoutWish]):
    """Every layout in a column, the job's own first; worked out beside the screen, which goes on answering. Hours are by the
    finished jobs beside the job file."""

    TITLE = "Layouts side by side"
    HINT: ClassVar[str] = "Up and Down, Enter takes one. k keeps the layout as it is, x throws one away. Esc leaves."
    TALL: ClassVar[bool] = True
    BINDINGS: ClassVar = bindings((KEEP, DROP))
    DEFAULT_CSS = "LayoutsDialog #columns, LayoutsDialog #worst { height: auto; margin: 0 0 1 0; }"

    class WorkedOut(Message):
        """The figures of all of them."""

        def __init__(self, found: tuple[LayoutFigures, ...]) -> None:
            super().__init__()
            self.found = found

    def __init__(self, job: Job, job_file: Path, *, estimated: bool) -> None:
        super().__init__()
        self.job, self.job_file = job, job_file
        self.title = "ESTIMATE: layouts side by side" if estimated else self.TITLE
        self.found: tuple[LayoutFigures, ...] = ()

    def parts(self) -> ComposeResult:
        yield Static("Working them out ...", id="columns", markup=False)
        names = [(name, f"{name}: {other.note}" if other.note else name) for name, other in self.job.alternatives.items()]
        yield Rows(
            ((name, Content(words)) for name, words in names),
            id="layouts",
            empty="No alternative is kept yet: k keeps the layout as it is.",
        )
        yield Static("", id="worst", markup=False)

    def on_mount(self) -> None:
        self.query_one(Rows).focus()
        self._work_out()

    @work(thread=True, exclusive=True)
    def _work_out(self) -> None:
        finished = finished_jobs(self.job_file.parent, self.job.rules.hours.pause_min, but=self.job_file)
        self.post_message(self.WorkedOut(side_by_side(self.job, finished)))

    @on(WorkedOut)
    def _worked_out(self, event: WorkedOut) -> None:
        self.found = event.found
        self._show()

    @on(OptionList.OptionHighlighted)
    def _show(self) -> None:
        """The columns for which there is room, the chosen one among them, and the worst that was found of it."""
        if self.found:
            chosen = next((number for number, one in enumerate(self.found) if number and one.name == self._chosen()), 0)
            self.query_one("#columns", Static).update(in_columns(self.found, chosen, self.query_one("#columns").size.width or 70))
            self.query_one("#worst", Static).update(tuple(sentences(self.found))[chosen])

    def _chosen(self) -> str:
        rows: Rows[str] = self.query_one(Rows)
        return rows.current or ""

    def action_keep(self) -> None:
        self.dismiss(LayoutWish("keep"))

    def action_drop(self) -> None:
        if name := self._chosen():
            self.dismiss(LayoutWish("drop", name))

    @on(OptionList.OptionSelected)
    def _taken(self) -> None:
        self.dismiss(LayoutWish("take", self._chosen()))


def in_columns(found: Sequence[LayoutFigures], chosen: int, room: int) -> str:
    """The figures in lines, the job's own first, then the chosen one and those behind it as there is room; then how many more."""
    table = compared(found)
    columns = [[head, *(row[at] for row in table.rows)] for at, head in enumerate(table.columns)]
    wide = [max(map(len, column)) + BETWEEN for column in columns]
    shown, left = [0, 1], room - wide[0] - wide[1]
    for at in [*range(chosen + 1, len(columns)), *range(chosen, 1, -1)]:
        if at not in shown and wide[at] <= left:
            shown, left = [*shown, at], left - wide[at]
    ordered = sorted(shown)
    lines = ["".join(f"{columns[at][line]:<{wide[at]}}" for at in ordered).rstrip() for line in range(len(columns[0]))]
    more = len(columns) - len(shown)
    return "\n".join([*lines, *([f"{more} more: Down shows them."] if more else [])])


class LayoutName(NamedTuple):
    """What a layout is called, and what it is."""

    name: str
    note: str


class LayoutNameDialog(Dialog[LayoutName]):
    """What the layout as it is shall be called."""

    HINTS: ClassVar[dict[str, str]] = {"name": "Letters, digits, - and _, such as by_the_oak.", "note": "In words; may stay empty."}

    def __init__(self, title: str, makes: Callable[[LayoutName], Job], name: str = "") -> None:
        super().__init__()
        self.title, self._makes, self._name = title, makes, name

    def parts(self) -> ComposeResult:
        yield from labelled("Name", Input(self._name, placeholder="such as by_the_oak", id="name", compact=True))
        yield from labelled("What it is", Input(placeholder="5 ft instead of 6", id="note", compact=True))

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
            raise WrongField("name", f"say what the layout {OWN_WORDS} shall be called.")
        return LayoutName(self.typed("name").replace(" ", "_"), self.typed("note"))
