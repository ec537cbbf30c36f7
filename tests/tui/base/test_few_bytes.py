"""What is painted in few bytes looks as the library would have painted it."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console
from rich.segment import Segment
from rich.style import Style
from textual._compositor import LayoutUpdate
from textual.geometry import Region
from textual.strip import Strip

from tui.base.few_bytes import InFewBytes

CONSOLE = Console(force_terminal=True, color_system="truecolor", legacy_windows=False)
STYLES = [None, *map(Style.parse, ("#f0f2ec on #10151a", "bold #f0f2ec on #10151a", "#8fdaa0 on #10151a", "#8fdaa0", "reverse #ffd75e"))]
MARKING = ("4", "7", "9")
Cell = tuple[str, str, str, tuple[str, ...]]


def cells(painted: str) -> dict[tuple[int, int], Cell]:
    """What stands in each cell of a terminal: character, ground, ink, weight; of a blank only what can be seen."""
    row = column = 0
    ink = ground = ""
    weight: tuple[str, ...] = ()
    stands: dict[tuple[int, int], Cell] = {}
    for codes, end, text in re.findall(r"\x1b\[([0-9;]*)([Hm])|([^\x1b\n])", painted):
        if end == "H":
            row, column = map(int, codes.split(";"))
        elif end == "m":
            for code in re.findall(r"[34]8;2;\d+;\d+;\d+|\d+", codes):
                if code == "0":
                    ink, ground, weight = "", "", ()
                elif code.startswith("38;"):
                    ink = code
                elif code.startswith("48;"):
                    ground = code
                else:
                    weight = (*weight, code)
        else:
            plain = text == " " and not any(code in MARKING for code in weight)
            stands[row, column] = (text, ground, "", ()) if plain else (text, ground, ink, weight)
            column += 1
    return stands


@settings(max_examples=100)
@given(st.lists(st.lists(st.tuples(st.sampled_from(("ab", " ", "   ", "c d", "⠒")), st.sampled_from(STYLES)), max_size=6), min_size=1))
def test_every_cell_looks_the_same(rows: list[list[tuple[str, Style | None]]]) -> None:
    update = LayoutUpdate([[Strip([Segment(text, style) for text, style in row])] for row in rows], Region(3, 2, 40, len(rows)))
    assert cells(InFewBytes(update).render_segments(CONSOLE)) == cells(update.render_segments(CONSOLE))


def test_a_colour_is_named_where_it_changes_and_a_blank_keeps_the_ink() -> None:
    light, bold, green = STYLES[1], STYLES[2], STYLES[3]
    row = Strip([Segment("P13", light), Segment("  ", green), Segment("set", green), Segment("!", bold)])
    assert InFewBytes(LayoutUpdate([[row]], Region(0, 0, 9, 1))).render_segments(CONSOLE) == (
        "\x1b[1;1H\x1b[38;2;240;242;236;48;2;16;21;26mP13  \x1b[38;2;143;218;160mset\x1b[0;1;38;2;240;242;236;48;2;16;21;26m!\x1b[0m"
    )
