"""A card: all there is to say of one thing, in lines that are read at a glance. Knows no job; the stages write it."""

from collections.abc import Iterator
from textwrap import wrap
from typing import ClassVar

from rich.segment import Segment
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import MouseScrollDown, MouseScrollUp
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.visual import Visual
from textual.widget import Widget

from engine.calc.frozen import dataclass

LABEL_CELLS = 10
EDGE_CELLS = 3
"""Beside the text: one before it, a blank and the bar behind it."""
BAR = "▐"


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


class CardView(Widget, can_focus=True):
    """Shows one card; the arrow keys scroll it where it is longer than the space. Only lines that differ are painted."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "turn(-1)", show=False),
        Binding("down", "turn(1)", show=False),
        Binding("pageup", "turn(-10)", show=False),
        Binding("pagedown", "turn(10)", show=False),
    ]
    DEFAULT_CSS = "CardView { background: $background; }"
    EMPTY = "Nothing is chosen that has a card: choose a post, a bay, a loop or a gate."

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.auto_links = False  # there are none, and their look is worked out for every line
        self.picture: Card | None = None
        self._top = 0
        self._lines: list[Strip] = []
        self._painted: list[Strip] = []
        self._written_for = Size(0, 0)

    def show(self, card: Card | None) -> None:
        """Another card, from its top; the same stays where it is."""
        if card != self.picture or not self._lines:
            self._top = self._top if card and self.picture and card.title == self.picture.title else 0
            self.picture = card
            self._write()
            self._paint()

    def render_lines(self, crop: Region) -> list[Strip]:
        """Lines are broken to the width there is as they are drawn."""
        if self._written_for != self.size:
            self._write()
            self._painted = self._shown()
        return super().render_lines(crop)

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._write()
        self._paint()

    def action_turn(self, lines: int) -> None:
        self._top = self._top + lines
        self._paint()

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        event.stop()
        self.action_turn(3)

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        event.stop()
        self.action_turn(-3)

    def _write(self) -> None:
        self._written_for, width = self.size, self.size.width - EDGE_CELLS
        if width > 0:
            lines = [Content(part) for part in wrap(self.EMPTY, width)] if self.picture is None else card_lines(self.picture, width)
            self._lines = [Visual.to_strips(self, line, width, 1, self.visual_style)[0] for line in lines]

    def _paint(self) -> None:
        """Have those lines painted that differ from what stands there."""
        before, self._painted = self._painted, self._shown()
        rows = [y for y, line in enumerate(self._painted) if y >= len(before) or line != before[y]]
        if rows:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in rows))

    def _shown(self) -> list[Strip]:
        """What shows of the lines, each with its part of the bar that says how much there is."""
        high, count, base = self.size.height, len(self._lines), self.rich_style
        self._top = top = min(max(self._top, 0), max(count - high, 0))
        thumb = range(top * high // count, -(-(top + high) * high // count)) if count > high else range(0)
        shown = [*self._lines[top : top + high], *[Strip([])] * (high - count)]
        side = [Segment(f" {BAR if y in thumb else ' '}", base) for y in range(high)]
        return [
            Strip([Segment(" ", base), *line.adjust_cell_length(max(self.size.width - EDGE_CELLS, 0), base), end])
            for line, end in zip(shown, side, strict=True)
        ]

    def render_line(self, y: int) -> Strip:
        return self._painted[y] if y < len(self._painted) else Strip.blank(self.size.width, self.rich_style)


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
