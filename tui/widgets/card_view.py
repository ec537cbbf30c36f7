"""A card: all there is to say of one thing, in lines that are read at a glance. Knows no job; the stages write it."""

from collections.abc import Iterator
from textwrap import wrap

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.reactive import reactive
from textual.widgets import Static

from engine.calc.frozen import dataclass

LABEL_CELLS = 10
GUTTER_CELLS = 2
"""Kept free beside the text for the scroll bar."""


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
        scrollbar-gutter: stable;
        &:focus { border: heavy $border; border-title-style: bold reverse; }
        & Static { height: auto; }
    }
    """
    EMPTY = "Nothing is chosen that has a card: choose a post, a bay, a loop or a gate."

    picture: reactive[Card | None] = reactive(None)

    def compose(self) -> ComposeResult:
        yield Static(self.EMPTY, id="card-text", markup=False)

    def watch_picture(self, card: Card | None) -> None:
        if self.is_mounted:
            self._say(card)

    def on_mount(self) -> None:
        """The card it was given before it was shown."""
        self._say(self.picture)

    def on_resize(self) -> None:
        """Lines are broken to the width."""
        self._say(self.picture)

    def _say(self, card: Card | None) -> None:
        text = self.query_one("#card-text", Static)
        width = self.size.width - GUTTER_CELLS
        content = Content(self.EMPTY) if card is None or width < 1 else Content("\n").join(card_lines(card, width))
        text.update(content)
        self.scroll_home(animate=False)


def card_lines(card: Card, width: int) -> Iterator[Content]:
    """The card as lines of text: title, cautions, then each label with what it says beside it, a label that repeats left out."""
    yield from (Content.styled(part, "bold") for part in wrap(card.title, width))
    yield from (Content.styled(part, "bold $fix") for caution in card.cautions for part in wrap(caution, width))
    before = ""
    for line in card.lines:
        label = "" if line.label == before else line.label
        for part in wrap(line.says, max(width - LABEL_CELLS, 1)):
            says = Content.styled(part, f"bold ${line.role}") if line.role else Content(part)
            yield Content.assemble(Content.styled(f"{label:<{LABEL_CELLS}}", "$muted"), says)
            label = ""
        before = line.label
