"""Text to read: broken to the width it has, a line drawn where it shows: what is long costs little. It stands in what scrolls it."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from rich.cells import cell_len, chop_cells
from textual.content import Content
from textual.geometry import Size
from textual.strip import Strip
from textual.visual import Visual
from textual.widget import Widget

_WORD = re.compile(r"(?:\S*[\d'] (?=\d))*\S+")
"""What isn't parted: a word, a length in feet and inches."""
LEAST_CELLS = 8


class Paragraph(NamedTuple):
    """What it says, beside a label; each line after the first begins under the first word. Without words a blank line."""

    says: Content
    label: Content = Content("")
    room: int = 0
    """Cells for the label."""


class ReadingText(Widget):
    """Paragraphs under each other, as high as they are at its width."""

    DEFAULT_CSS = """
    ReadingText { width: 1fr; height: auto; link-color: $foreground; link-style: none; link-background-hover: $block-cursor-background; }
    """

    def __init__(self, paragraphs: Sequence[Paragraph] = (), *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._broken_at = -1
        self._lines: list[Content] = []
        self._strips: dict[int, Strip] = {}
        self.paragraphs = tuple(paragraphs)

    def tell(self, words: Content, *, last: bool = False) -> None:
        """Other words, a paragraph a line; `last` where nothing stands below them."""
        self.paragraphs = in_paragraphs(words)
        self._told(last=last)

    def _told(self, *, last: bool) -> None:
        """Drawn anew. The screen is laid out anew where this wants other room than it has; what is `last`, only where it wants more."""
        self._broken_at = -1
        wide, high = self.size
        wants = len(self.lines(wide)) if wide else -1
        self.refresh(layout=not 0 <= wants <= high if last else wants != high)

    def lines(self, width: int) -> list[Content]:
        """All of it at a width."""
        if self._broken_at != width:
            self._broken_at, self._lines, self._strips = width, list(self._laid_out(width)), {}
        return self._lines

    def _laid_out(self, width: int) -> Iterator[Content]:
        return (part for one in self.paragraphs for line in _lines(one, width) for part in _fitting(line, width))

    def holding(self, words: str) -> list[int]:
        """The lines with which the paragraphs begin that hold these words."""
        at, found = 0, []
        for one in self.paragraphs:
            if words.casefold() in f"{one.label.plain} {one.says.plain}".casefold():
                found.append(at)
            at += len(list(_lines(one, self._broken_at)))
        return found

    def get_content_width(self, container: Size, viewport: Size) -> int:  # noqa: ARG002  # the signature is Textual's
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        return len(self.lines(width))

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._strips = {}

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        lines = self.lines(width)
        if y >= len(lines):
            return Strip.blank(width, self.rich_style)
        if y not in self._strips:
            self._strips[y] = Visual.to_strips(self, lines[y], width, 1, self.visual_style)[0]
        return self._strips[y]


def in_paragraphs(words: Content) -> tuple[Paragraph, ...]:
    """A paragraph a line; none where there are no words."""
    return tuple(map(Paragraph, words.split(allow_blank=True))) if words else ()


def _lines(paragraph: Paragraph, width: int) -> Iterator[Content]:
    before = paragraph.label.pad_right(paragraph.room - cell_len(paragraph.label.plain))
    for line in broken(paragraph.says, max(width - paragraph.room, LEAST_CELLS)):
        yield before + line
        before = Content(" " * paragraph.room)


def broken(words: Content, width: int) -> Iterator[Content]:
    """Words on as many lines as they take, broken between words and inside no length; one line where there are none."""
    if cell_len(words.plain) <= width:
        yield words
        return
    start = end = 0
    for word in _WORD.finditer(words.plain):
        if end > start and cell_len(words.plain[start : word.end()]) > width:
            yield words[start:end]
            start = word.start()
        end = word.end()
    yield words[start:end]


def _fitting(line: Content, width: int) -> Iterable[Content]:
    """A line, on several where one word of it is longer than that: nothing is cut."""
    if cell_len(line.plain) <= width:
        return (line,)
    return line.divide(list(accumulate(map(len, chop_cells(line.plain, width))))[:-1])
