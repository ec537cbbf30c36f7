"""The last line of a screen: its keys in words, each a button. The way out is never cut off."""

from collections.abc import Sequence

from rich.cells import cell_len
from rich.segment import Segment
from textual.events import Click
from textual.strip import Strip
from textual.widget import Widget

from tui.base.commands import Command, key_words

GAP = 2


class KeyLine(Widget):
    """Keys that fit, first what comes first; the last two, help and the way out, always."""

    COMPONENT_CLASSES = {"keys--key"}
    DEFAULT_CSS = """
    KeyLine { height: 1; dock: bottom; background: $panel; color: $foreground; }
    KeyLine > .keys--key { color: $footer-key-foreground; text-style: bold; }
    """

    def __init__(self, commands: Sequence[Command]) -> None:
        super().__init__()
        self.commands = tuple(command for command in commands if command.in_footer)

    def show(self, commands: Sequence[Command]) -> None:
        fresh = tuple(command for command in commands if command.in_footer)
        if fresh != self.commands:
            self.commands = fresh
            self.refresh()

    def fitting(self, room: int) -> list[tuple[int, Command]]:
        """Each key that fits with the cell at which it starts."""
        always = self.commands[-2:]
        left = room - 1 + GAP - sum(_size(command) for command in always)
        shown: list[Command] = []
        for command in self.commands[:-2]:
            if left < _size(command):
                break
            left -= _size(command)
            shown.append(command)
        at, found = 1, []
        for command in (*shown, *always):
            found.append((at, command))
            at += _size(command)
        return found

    def render_line(self, y: int) -> Strip:  # noqa: ARG002  # there is one line
        drawn = [Segment(" ", self.rich_style)]
        for _, command in self.fitting(self.size.width):
            drawn.append(Segment(f"{key_words(command.keys[0])} ", self.get_component_rich_style("keys--key")))
            drawn.append(Segment(f"{command.words}{' ' * GAP}", self.rich_style))
        return Strip(drawn).adjust_cell_length(self.size.width, self.rich_style)

    async def on_click(self, event: Click) -> None:
        for at, command in self.fitting(self.size.width):
            if at <= event.x < at + _size(command) - GAP:
                focused = self.screen.focused
                name = command.id.split("(")[0]
                await self.app.run_action(command.id, focused if focused and hasattr(focused, f"action_{name}") else self.screen)


def _size(command: Command) -> int:
    return cell_len(f"{key_words(command.keys[0])} {command.words}") + GAP
