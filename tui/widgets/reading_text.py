"""Text to read: broken to the width it has, a line drawn where it shows. It stands in what scrolls it."""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rich.cells import cell_len
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

    def lines(self, width: int) -> list[Content]:
        """All of it at a width."""
        if self._broken_at != width:
            self._broken_at, self._lines, self._strips = width, [line for one in self.paragraphs for line in _lines(one, width)], {}
        return self._lines

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


def _lines(paragraph: Paragraph, width: int) -> Iterator[Content]:
    before = paragraph.label.pad_right(paragraph.room - cell_len(paragraph.label.plain))
    for line in broken(paragraph.says, max(width - paragraph.room, LEAST_CELLS)):
        yield before + line
        before = Content(" " * paragraph.room)


def broken(words: Content, width: int) -> Iterator[Content]:
    """Words on as many lines as they take, broken between words and inside no length; one line where there are none."""
    start = end = 0
    for word in _WORD.finditer(words.plain):
        if end > start and cell_len(words.plain[start : word.end()]) > width:
            yield words[start:end]
            start = word.start()
        end = word.end()
    yield words[start:end]
