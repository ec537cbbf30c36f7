"""The screen below a box, dimmed: line by line, each way of writing dimmed once. The library dims it letter group by letter group."""

from functools import lru_cache
from typing import Any

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.color import Color
from textual.css.styles import RulesMap
from textual.screen import Screen
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual

BARE = RichStyle()


class Dimmed(Visual):
    """Draws a screen with a colour laid over it; nothing of it can be clicked."""

    def __init__(self, screen: Screen[Any], colour: Color) -> None:
        self.screen, self.colour = screen, colour

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:  # noqa: ARG002  # the signature is Textual's
        return container_width

    def get_height(self, rules: RulesMap, width: int) -> int:  # noqa: ARG002
        return self.screen.size.height

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:  # noqa: ARG002
        behind, colour, base = self.screen._compositor.render_strips()[:height], self.colour, style.rich_style
        return [
            Strip([Segment(text, dimmed(look or BARE, colour, base), control) for text, look, control in strip], strip.cell_length)
            for strip in (strip.crop(0, width) for strip in behind)
        ]


@lru_cache(maxsize=1024)
def dimmed(style: RichStyle, colour: Color, base: RichStyle) -> RichStyle:
    """A way of writing with a colour laid over its ink and its ground; what it leaves open is the base's."""
    ink, ground = ((Color.from_rich_color(one) + colour).rich_color if one is not None else None for one in (style.color, style.bgcolor))
    return base + style.clear_meta_and_links() + RichStyle.from_color(ink, ground)
