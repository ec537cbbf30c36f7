"""What was understood of what stands in a field, shown at the field's right end: a length with its unit, a day with its weekday."""

from collections.abc import Callable
from datetime import date

from rich.segment import Segment
from textual.strip import Strip

from engine.calc.dates import DateError, parse_date
from engine.calc.lengths import LengthError, parse_length_ft, understood
from engine.calc.sided_length import NO_SIDES, Sides, signed
from engine.calc.units import LengthUnit, bare_unit, unit_called
from tui.widgets.line_input import LineInput

ReadBack = Callable[[str], str]
UNREAD = "?"


def length_read_back(unit: LengthUnit, sides: Sides = NO_SIDES) -> ReadBack:
    """Shows a length in tape notation, with the unit of a bare number before it; the unit alone while nothing stands there."""

    def words(text: str) -> str:
        if not text.strip():
            return unit_called(unit)
        try:
            length = signed(text, sides)
            length_ft, bare_in_ft = parse_length_ft(length, unit), parse_length_ft(length, "ft")
            marked = bare_in_ft == parse_length_ft(length, "in") and bare_in_ft
            return f"{'' if marked else f'{bare_unit(unit)} '}{understood(length_ft, unit)}"
        except LengthError:
            return UNREAD

    return words


def day_read_back(today: date) -> ReadBack:
    """Shows a date with its weekday and year."""

    def words(text: str) -> str:
        if not text.strip():
            return "month/day"
        try:
            day = parse_date(text, today)
        except DateError:
            return UNREAD
        return f"= {day:%a %b} {day.day}, {day.year}"

    return words


class ReadBackInput(LineInput):
    """An input with what was understood at its right end; it gives way where the text needs the room."""

    read_back: ReadBack | None = None
    sides: Sides = NO_SIDES

    def render_line(self, y: int) -> Strip:
        """The line of the input, and behind it what was understood."""
        line = super().render_line(y)
        words = self.read_back(self.value) if self.read_back and y == 0 else ""
        width = self.scrollable_content_region.width
        if not words or len(self.value or self.placeholder) + len(words) + 2 > width:
            return line
        muted = self.get_component_rich_style("input--placeholder")
        return Strip([*line.crop(0, width - len(words)).extend_cell_length(width - len(words)), Segment(words, muted)], width)


def length_box(value: str = "", *, placeholder: str = "", id: str, sides: Sides = NO_SIDES) -> ReadBackInput:
    """A one-line input for a length in feet, or for one to either of some sides, that shows what it understood."""
    box = ReadBackInput(value, placeholder=placeholder, id=id, compact=True)
    box.read_back, box.sides = length_read_back("ft", sides), sides
    return box
