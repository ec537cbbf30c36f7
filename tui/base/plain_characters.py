"""What is painted on a terminal that has only plain characters: each sign as the letter or mark nearest to it."""

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from tui.base.terminal import INSTEAD


class PlainCharacters(LineFilter):
    """Every line as it is painted, in plain characters."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002  # the signature is Textual's
        return [Segment(segment.text.translate(INSTEAD), segment.style, segment.control) for segment in segments]
