"""The nine stages in order, each with what is left to do and the worst finding in it; a click goes there."""

from collections.abc import Iterator

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.events import Click
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from engine.calc.frozen import dataclass
from engine.findings import STAGES, TITLES, Level, StageName
from tui.base.theme import SIGNS

GAP = 2


@dataclass(frozen=True)
class Progress:
    """One stage: items done of all, and its worst finding."""

    stage: StageName
    done: int
    of: int
    worst: Level | None

    @property
    def words(self) -> str:
        """Number, name, what is left, and a sign where something is to stop or to fix."""
        left = self.of - self.done
        state = f"{left}" if left else SIGNS["done"] if self.of else "-"
        sign = SIGNS[self.worst] if self.worst in ("stop", "fix") else ""
        return f"{STAGES.index(self.stage) + 1} {TITLES[self.stage]} {state}{sign}"


def lined_up(words: tuple[str, ...], room: int) -> list[tuple[int, int]]:
    """Where each piece of words stands, line and cell, one after the other; without a margin where that saves a line."""
    return min((list(_places_from(margin, words, room)) for margin in (1, 0)), key=lambda places: max(places, default=(0, 0))[0])


def _places_from(margin: int, words: tuple[str, ...], room: int) -> Iterator[tuple[int, int]]:
    line, at = 0, margin
    for piece in words:
        size = cell_len(piece)
        if at > margin and at + size > room:
            line, at = line + 1, margin
        yield line, at
        at += size + GAP


class StageRail(Widget):
    """As many lines as it takes."""

    class Picked(Message):
        """The crew picked a stage."""

        def __init__(self, stage: StageName) -> None:
            super().__init__()
            self.stage = stage

    COMPONENT_CLASSES = {"rail--here", "rail--stop", "rail--fix", "rail--done"}
    DEFAULT_CSS = """
    StageRail {
        height: 2; background: $surface; color: $foreground;
        & > .rail--here { text-style: bold reverse; }
        & > .rail--stop { color: $stop; text-style: bold; }
        & > .rail--fix { color: $fix; text-style: bold; }
        & > .rail--done { color: $done; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[Progress, ...] = ()
        self._here: StageName = "survey"

    def show(self, rows: tuple[Progress, ...], here: StageName) -> None:
        """Draw all nine, where anything differs."""
        if (rows, here) == (self._rows, self._here):
            return
        self._rows, self._here = rows, here
        self._stand()
        self.refresh()

    def on_resize(self) -> None:
        """As many lines as the room asks for."""
        self._stand()

    def _stand(self) -> None:
        lines = 1 + max(self._places(), default=(0, 0))[0]
        if self.styles.height is None or self.styles.height.value != lines:
            self.styles.height = lines

    def _places(self) -> list[tuple[int, int]]:
        return lined_up(tuple(row.words for row in self._rows), self.size.width or 80)

    def render_line(self, y: int) -> Strip:
        """The stages of one line."""
        drawn, at = [], 0
        for row, (line, start) in zip(self._rows, self._places(), strict=True):
            if line == y:
                drawn += [Segment(" " * (start - at), self.rich_style), Segment(row.words, self._style(row))]
                at = start + cell_len(row.words)
        return Strip(drawn).adjust_cell_length(self.size.width, self.rich_style)

    def _style(self, row: Progress) -> Style:
        if row.stage == self._here:
            return self.get_component_rich_style("rail--here")
        if row.worst in ("stop", "fix"):
            return self.get_component_rich_style(f"rail--{row.worst}")
        return self.get_component_rich_style("rail--done") if row.of and row.done == row.of else self.rich_style

    def on_click(self, event: Click) -> None:
        """Go to the stage that was clicked."""
        for row, (line, start) in zip(self._rows, self._places(), strict=True):
            if line == event.y and start <= event.x < start + cell_len(row.words):
                self.post_message(self.Picked(row.stage))
