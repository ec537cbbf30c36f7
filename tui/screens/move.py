"""Move a post: what it changes, shown while it is typed and before it is accepted."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from engine.calc.lengths import LengthError, parse_length_ft
from engine.consequences import Consequences, consequences
from engine.job.errors import JobError
from engine.job.job import Job
from engine.job.sentences import move_words
from engine.walk import Walk, walk
from tui import pictures
from tui.commands import Command, bindings
from tui.screens.dialog import LEAVE, Dialog, labelled
from tui.screens.words import finding_content
from tui.theme import SIGNS
from tui.widgets.figures import Column, Figures, FiguresPane, Row
from tui.widgets.plan_view import PlanView

NUDGE_FT = 0.25
COMMANDS = (
    LEAVE,
    Command("nudge(0.25,0)", "f5,ctrl+right", "on", "Move 3 in on along the line.", "Move"),
    Command("nudge(-0.25,0)", "f6,ctrl+left", "back", "Move 3 in back along the line.", "Move"),
    Command("nudge(0,0.25)", "f7,ctrl+down", "right", "Move 3 in to the right of the line.", "Move"),
    Command("nudge(0,-0.25)", "f8,ctrl+up", "left", "Move 3 in to the left of the line.", "Move"),
)


@dataclass(frozen=True)
class Move:
    """An accepted move."""

    along_ft: float
    out_ft: float
    why: str


class MoveDialog(Dialog[Move]):
    """Along and out, in trade notation; the walk with the move is held beside the walk without it."""

    BINDINGS: ClassVar = bindings(COMMANDS[1:])
    HINT: ClassVar[str] = "Enter goes on, in the last box it accepts. Ctrl+arrows nudge 3 in. Esc leaves the post where it is."
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    MoveDialog #summary { height: auto; }
    MoveDialog FiguresPane { height: auto; max-height: 100%; }
    MoveDialog PlanView { height: 14; display: none; }
    """

    def __init__(self, post: str, job: Job, before: Walk, edit: Callable[[Job, float, float], Job]) -> None:
        super().__init__()
        self.post, self.job, self.before, self.edit = post, job, before, edit

    def title_words(self) -> str:
        """Which post."""
        return f"Move {self.post}"

    def parts(self) -> ComposeResult:
        """Three inputs, the summary, and what changes."""
        yield from labelled("Along the line", Input(placeholder="on towards its end, - back", id="along", compact=True))
        yield from labelled("Out from the line", Input(placeholder="right of it, - left", id="out", compact=True))
        yield from labelled("Why", Input(placeholder="rock at 8 in", id="why", compact=True))
        yield Static(id="summary", markup=False)
        yield PlanView(id="before-after")
        yield FiguresPane(id="changes")

    def on_mount(self) -> None:
        """Ready to type."""
        self.query_one("#before-after").display = self.app.size.height >= 40
        self.query_one("#along", Input).focus()
        self._preview()

    @on(Input.Changed, "#along, #out")
    def _typed(self) -> None:
        self._preview()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        order = ("along", "out", "why")
        if event.input.id != order[-1]:
            self.query_one(f"#{order[order.index(event.input.id or order[0]) + 1]}", Input).focus()
            return
        move = self._move()
        if move is not None and (move.along_ft or move.out_ft):
            self.dismiss(move)

    def action_nudge(self, along_ft: float, out_ft: float) -> None:
        """Three inches further that way."""
        move = self._move()
        if move is None:
            return
        for name, value in (("along", move.along_ft + along_ft), ("out", move.out_ft + out_ft)):
            self.query_one(f"#{name}", Input).value = f"{value * 12:g} in" if value else ""

    def _move(self) -> Move | None:
        """What stands in the inputs, or None where it can't be read."""
        lengths = []
        for name in ("along", "out"):
            text = self.query_one(f"#{name}", Input).value.strip()
            try:
                lengths.append(parse_length_ft(text, "ft") if text not in ("", "-") else 0.0)
            except LengthError as error:
                self.query_one("#summary", Static).update(Content.styled(f"{SIGNS['fix']} {error}", "bold $fix"))
                return None
        return Move(lengths[0], lengths[1], self.query_one("#why", Input).value.strip())

    def _preview(self) -> None:
        move = self._move()
        if move is None:
            return
        if not move.along_ft and not move.out_ft:
            self.query_one("#summary", Static).update(Content(f"How far does {self.post} move? A number alone is feet: 2, 2' 6\", 30 in."))
            self.call_later(self.query_one(FiguresPane).show, ())
            return
        try:
            after = walk(self.edit(self.job, move.along_ft, move.out_ft))
        except JobError as error:
            self.query_one("#summary", Static).update(Content.styled(str(error), "bold $stop"))
            return
        found = consequences(self.before, after)
        self.query_one("#summary", Static).update(_summary(self.post, move, found))
        self.query_one(PlanView).picture = pictures.plan(self.job, after, ghost=(self.before, self.post))
        self.call_later(self.query_one(FiguresPane).show, (changes_figures(found),))


def _summary(post: str, move: Move, found: Consequences) -> Content:
    parts = [Content(f"{post} moves {move_words(move.along_ft, move.out_ft)}. {len(found.changes)} figures change.")]
    for finding in found.appear:
        parts.append(Content.assemble(Content.styled("New: ", "bold $fix"), finding_content(finding)))
    parts += [Content.styled(f"{SIGNS['done']} Gone: {finding.says}", "$done") for finding in found.go]
    return Content("\n").join(parts)


def changes_figures(found: Consequences) -> Figures:
    """The changes as a table."""
    columns = (Column("what", "left"), Column("", "left"), Column("now"), Column("then"))
    rows = tuple(Row(change.subject, (change.subject, change.what, change.before, change.after)) for change in found.changes)
    return Figures("What it changes", columns, rows)
