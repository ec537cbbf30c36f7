"""What is painted, in few bytes: a colour is named where it changes, and a blank keeps the ink that stands. A thin line feels it."""

from functools import lru_cache
from typing import NamedTuple

from rich.color import ColorSystem
from rich.console import Console
from rich.style import Style
from textual._compositor import CompositorUpdate

RESET = "\x1b[0m"


class Writing(NamedTuple):
    """How a terminal writes: the codes of its weight, ink and ground, and whether a blank written so can be seen."""

    weight: str = ""
    ink: str = ""
    ground: str = ""
    marks_blanks: bool = False

    def then(self, wanted: "Writing") -> str:
        """What leads from this to another."""
        if self == wanted:
            return ""
        over = self.weight == wanted.weight and bool(wanted.ink or not self.ink) and bool(wanted.ground or not self.ground)
        before = self if over else Writing()
        codes = (wanted.weight * (not over), wanted.ink * (wanted.ink != before.ink), wanted.ground * (wanted.ground != before.ground))
        return f"\x1b[{'' if over or self == Writing() else '0;'}{';'.join(filter(None, codes))}m" if any(codes) else RESET


BARE = Writing()


class InFewBytes(CompositorUpdate):
    """What the library would paint, written shorter."""

    def __init__(self, update: CompositorUpdate) -> None:
        self.update = update

    def render_segments(self, console: Console) -> str:
        """The places and texts of the update, and between them what changes of how it writes."""
        system, now, written = console._color_system or ColorSystem.TRUECOLOR, BARE, list[str]()
        for text, style, control in self.update.__rich_console__(console, console.options):  # type: ignore[attr-defined]  # each kind has it
            if control:
                written.append(text)
            elif text != "\n":  # each row says where it is
                wanted = writing_of(style, system) if style else BARE
                if text.isspace() and not (now.marks_blanks or wanted.marks_blanks):
                    wanted = Writing(now.weight, now.ink, wanted.ground)
                written += now.then(wanted), text
                now = wanted
        return "".join((*written, now.then(BARE)))


@lru_cache(maxsize=4096)
def writing_of(style: Style, system: ColorSystem) -> Writing:
    """How a style is written."""
    colour, ground = style.color, style.bgcolor
    return Writing(
        style.without_color._make_ansi_codes(system),
        ";".join(colour.downgrade(system).get_ansi_codes()) if colour else "",
        ";".join(ground.downgrade(system).get_ansi_codes(foreground=False)) if ground else "",
        bool(style.reverse or style.underline or style.underline2 or style.strike or style.overline),
    )
