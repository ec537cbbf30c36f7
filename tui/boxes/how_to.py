"""How a stage is done: the guide's page as text, headings, points and steps."""

import re
from collections.abc import Iterator

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from engine.findings import TITLES, StageName
from engine.guide import guide
from tui.boxes.pages import ShowScreen
from tui.widgets.reading_text import Paragraph, ReadingText

_POINT = re.compile(r"(-|\d+\.) +")
_STRONG = re.compile(r"\*\*(?P<bold>.+?)\*\*|\*(?P<italic>.+?)\*|`(?P<reverse>.+?)`")


class GuideScreen(ShowScreen):
    """How a stage is done, with its cautions."""

    def __init__(self, stage: StageName) -> None:
        super().__init__(f"How to: {TITLES[stage]}")
        self.stage = stage

    def body(self) -> ComposeResult:
        with VerticalScroll():
            yield ReadingText(tuple(paragraphs(guide(self.stage))))

    def find(self, words: str) -> bool:
        """To the next paragraph that holds these words."""
        scroll = self.query_one(VerticalScroll)
        places = self.query_one(ReadingText).holding(words)
        below = [y for y in places if y > scroll.scroll_offset.y] or places
        if below:
            scroll.scroll_to(y=below[0], animate=False)
        return bool(below)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def paragraphs(page: str) -> Iterator[Paragraph]:
    """A page of the guide; a line that begins with blanks goes on with the one before it."""
    for line in re.sub(r"\n +", " ", page).splitlines():
        if line.startswith("#"):
            yield Paragraph(Content.styled(line.lstrip("# "), "bold underline"))
        elif point := _POINT.match(line):
            yield Paragraph(inline(line[point.end() :]), Content(f" {point[1]}"), 4)
        else:
            yield Paragraph(inline(line))


def inline(words: str) -> Content:
    """Words with what the guide marks as strong, a title or a key told so."""
    parts, at = [], 0
    for found in _STRONG.finditer(words):
        parts += [Content(words[at : found.start()]), Content.styled(found[found.lastgroup or 0], found.lastgroup or "")]
        at = found.end()
    return Content.assemble(*parts, Content(words[at:]))
