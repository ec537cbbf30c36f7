"""Sign-off: everything left open needs a reason, ways out first, then who told the client the notes, and the client's name."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus
from textual.widgets import Input, Static

from engine.calc.frozen import dataclass
from engine.calc.phrases import counted, plural
from engine.stages.punch.closing_list import LeftOpen
from tui.base.theme import SIGNS
from tui.boxes.dialog import Dialog
from tui.boxes.row_words import finding_content
from tui.widgets.line_input import LineInput


@dataclass(frozen=True)
class Signature:
    """Who accepted, a reason for each thing left open, and who told the client the notes; empty where there are none."""

    accepted_by: str
    left_open: dict[str, str]
    told_by: str = ""


class SignDialog(Dialog[Signature]):
    """One box a thing left open, one for all notes, then who accepts."""

    HINT: ClassVar[str] = "Enter goes on; in the last box it signs and seals the file. Esc leaves it open."
    TALL: ClassVar[bool] = True

    def __init__(self, ways: int, undone: int, left: tuple[LeftOpen, ...], notes: tuple[str, ...], before: Signature) -> None:
        """`undone` is how many things that close the yard aren't done. `before` is a signature that came to nothing, or was taken off
        again: its reasons needn't be typed anew."""
        super().__init__()
        self.title = f"Sign off: {_out(ways, undone)}"
        """On the border, so that it stays in sight: whether a dog can get out."""
        self.left, self.notes, self.before = left, notes, before

    def parts(self) -> ComposeResult:
        """What is left open, what is known besides, the signature."""
        if self.left:
            yield Static(Content(f"{len(self.left)} left open. Say why for each."), classes="says")
        for number, left in enumerate(self.left):
            yield Static(finding_content(left, f"{number + 1}. "), id=f"says-{number}", classes="says")
            why = self.before.left_open.get(str(left.key), left.why_left)
            yield LineInput(why, placeholder="why it stays open", id=f"why-{number}", compact=True)
        if self.notes:
            known = "\n".join(f"{SIGNS['note']} {says}" for says in self.notes)
            yield Static(Content(f"{known}\nWho told the client of {plural(len(self.notes), 'this note', 'these notes')}?"), classes="says")
            yield LineInput(self.before.told_by, placeholder="name, or nobody", id="told", compact=True)
        yield Static(Content("Accepted by (the client or whoever acts for them)"), classes="says")
        yield LineInput(placeholder="name", id="accepted", compact=True)
        yield Static(Content("Signing writes the record and seals the file. It can be reopened, with a reason."), classes="hint")

    @on(DescendantFocus)
    def _reached(self, event: DescendantFocus) -> None:
        """What a reason is asked for stands over its box: both in sight."""
        number = (event.widget.id or "").removeprefix("why-")
        if number.isdecimal():
            says = self.query_one(f"#says-{number}")
            self.call_after_refresh(self.query_one(VerticalScroll).scroll_to_widget, says, top=True, animate=False)

    @on(Input.Submitted)
    def _entered(self) -> None:
        empty = next((box for box in self.query(Input) if not box.value.strip()), None)
        if empty is not None:
            empty.focus()
            self.problem(_wanted(empty.id or ""))
            return
        reasons = {str(left.key): self.typed(f"why-{number}") for number, left in enumerate(self.left)}
        self.dismiss(Signature(self.typed("accepted"), reasons, self.typed("told") if self.notes else ""))


def _out(ways: int, undone: int) -> str:
    """Whether a dog can get out."""
    if ways:
        also = f"; the yard is open, {counted(undone, 'item')} undone" if undone else ""
        return f"{SIGNS['stop']} {counted(ways, 'way')} out for a dog{also}"
    if undone:
        return f"{SIGNS['stop']} the yard is open, {counted(undone, 'item')} of what closes it"
    return f"{SIGNS['done']} the figures show no way out for a dog"


def _wanted(box: str) -> str:
    match box:
        case "told":
            return "Say who told the client, or nobody."
        case "accepted":
            return "Say who accepts the fence."
        case _:
            return f"Say why number {int(box.removeprefix('why-')) + 1} stays open."
