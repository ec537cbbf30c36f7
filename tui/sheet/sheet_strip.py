"""The strip under the sheet, on screen: the words of the cell under the cursor in the lines there are."""

from textual.widgets import Static

from tui.base.key_buttons import key_buttons
from tui.base.told_once import tell_once
from tui.sheet.sheet_view import SheetView
from tui.sheet.strip_words import in_room, strip_words, typing_words

LINES = 4


class SheetStrip(Static):
    """All there is to say of the cell under the cursor, or of what is typed into it."""

    DEFAULT_CSS = """
    SheetStrip {
        height: 4; background: $surface; color: $foreground; padding: 0 1;
        link-color: $foreground; link-style: bold; link-background-hover: $block-cursor-background;
    }
    """

    def show(self, sheet: SheetView, next_step: str, *, more_lines: int = 0, elsewhere: bool = False) -> None:
        """Of this sheet, after the next step where there is one; the keys are those of a page `elsewhere`."""
        says = typing_words(sheet.typing, elsewhere=elsewhere) if sheet.typing else strip_words(sheet.cursor, sheet.gave_way(), next_step)
        lines = LINES + more_lines
        says = key_buttons(in_room(says, self.app.size.width - 2, lines))
        if self.styles.height is None or self.styles.height.cells != lines:
            self.styles.height = lines
        tell_once(self, says, layout=False)
