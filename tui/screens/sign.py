"""Sign-off: every finding left open needs a reason, then the client's name; signing seals the file."""

from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from engine.findings import Finding
from tui.screens.dialog import Dialog
from tui.screens.words import finding_content


@dataclass(frozen=True)
class Signature:
    """Who accepted, and a reason for each finding left open."""

    accepted_by: str
    left_open: dict[str, str]


class SignDialog(Dialog[Signature]):
    """One box a finding left open, then who accepts."""

    TITLE_WORDS: ClassVar[str] = "Sign off"
    HINT: ClassVar[str] = "Enter goes on; in the last box it signs and seals the file. Esc leaves it open."
    TALL: ClassVar[bool] = True

    def __init__(self, unfinished: int, findings: tuple[Finding, ...]) -> None:
        super().__init__()
        self.unfinished, self.findings = unfinished, findings

    def parts(self) -> ComposeResult:
        """What is unfinished, what is left open, the signature."""
        words = f"{self.unfinished} items are not ticked; the record will show them open." if self.unfinished else "Every item is ticked."
        yield Static(Content(words), classes="says")
        if self.findings:
            yield Static(Content(f"{len(self.findings)} findings are left open. Say why for each."), classes="says")
        for number, finding in enumerate(self.findings):
            yield Static(finding_content(finding), classes="says")
            yield Input(placeholder="why it stays open", id=f"why-{number}", compact=True)
        yield Static(Content("Accepted by (the client or who acts for them)"), classes="says")
        yield Input(placeholder="name", id="accepted", compact=True)
        yield Static(Content("Signing writes the record and seals the file. It can be opened again, with a reason."), classes="hint")

    @on(Input.Submitted)
    def _entered(self) -> None:
        empty = next((box for box in self.query(Input) if not box.value.strip()), None)
        if empty is not None:
            empty.focus()
            return
        reasons = {finding.key: self.query_one(f"#why-{number}", Input).value.strip() for number, finding in enumerate(self.findings)}
        self.dismiss(Signature(self.query_one("#accepted", Input).value.strip(), reasons))
