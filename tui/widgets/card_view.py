"""A card: all there is to say of one thing, in lines that are read at a glance. Knows no job; the stages write it."""

from collections.abc import Iterator
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.reactive import reactive
from textual.widgets import Static

LABEL_CELLS = 10


@dataclass(frozen=True)
class CardLine:
    """One line: what it is about, and what it says; `role` colours what it says."""

    label: str
    says: str
    role: str = ""


@dataclass(frozen=True)
class Card:
    """A title, the cautions, then the lines."""

    title: str
    cautions: tuple[str, ...]
    lines: tuple[CardLine, ...]


class CardView(VerticalScroll, can_focus=True):
    """Shows one card; the arrow keys scroll it where it is longer than the space."""

    DEFAULT_CSS = """
    CardView {
        border: round $border-blurred;
        background: $background;
        padding: 0 1;
        &:focus { border: heavy $border; border-title-style: bold reverse; }
        & Static { height: auto; }
    }
    """
    EMPTY = "No loop to show yet."

    picture: reactive[Card | None] = reactive(None)

    def compose(self) -> ComposeResult:
        """One text."""
        yield Static(self.EMPTY, id="card-text", markup=False)

    def watch_picture(self, card: Card | None) -> None:
        """Other words."""
        if self.is_mounted:
            self._say(card)

    def on_mount(self) -> None:
        """The card it was given before it was shown."""
        self._say(self.picture)

    def _say(self, card: Card | None) -> None:
        content = Content(self.EMPTY) if card is None else Content("\n").join(card_lines(card))
        self.query_one("#card-text", Static).update(content)
        self.scroll_home(animate=False)


def card_lines(card: Card) -> Iterator[Content]:
    """The card as lines of text: title, cautions, then each label with what it says, a label that repeats left out."""
    yield Content.styled(card.title, "bold")
    yield from (Content.styled(caution, "bold $fix") for caution in card.cautions)
    before = ""
    for line in card.lines:
        label = "" if line.label == before else line.label
        says = Content.styled(line.says, f"bold ${line.role}") if line.role else Content(line.says)
        yield Content.assemble(Content.styled(f"{label:<{LABEL_CELLS}}", "$muted"), says)
        before = line.label
