"""One of a few words: Up, Down or its first letters pick it where it stands, a click or Space lists them; Enter is the box's."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.events import Key
from textual.message import Message
from textual.widgets import Select

from tui.base.commands import Command, bindings

COMMANDS = (
    Command("pick(1)", "down", "pick", "The next word; its first letters will do too.", "Form"),
    Command("pick(-1)", "up", "pick back", "The word before.", "Form", in_footer=False),
    Command("show_overlay", "space", "list", "List the words.", "Form", in_footer=False),
    Command("submit", "enter", "accept", "Accept what stands in the box.", "Form", in_footer=False),
)


class WordSelect(Select[str], inherit_bindings=False):
    """Always one of its words; Enter is handed up as `Submitted`."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(COMMANDS)
    DEFAULT_CSS = """
    WordSelect > SelectCurrent { background: $panel; }
    WordSelect:focus > SelectCurrent, WordSelect:focus > SelectCurrent Static, WordSelect:focus > SelectCurrent.-has-value Static#label {
        background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold;
    }
    """

    class Submitted(Message):
        """Enter was pressed on it."""

    def __init__(self, words: Sequence[str], value: str, *, id: str) -> None:
        super().__init__([(word, word) for word in words], value=value, allow_blank=False, id=id, compact=True)
        self._words, self._stem = tuple(words), ""

    def name_anew(self, called: Callable[[str], str]) -> None:
        """Its words as they are called now; the same one is picked."""
        words, picked = tuple(map(called, self._words)), called(str(self.value))
        if words != self._words:
            self._words, self._stem = words, ""
            with self.prevent(self.Changed):
                self.set_options([(word, word) for word in words])
                self.value = picked

    def action_pick(self, step: int) -> None:
        self._stem = ""
        self.value = self._words[(self._words.index(str(self.value)) + step) % len(self._words)]

    def action_submit(self) -> None:
        self.post_message(self.Submitted())

    def on_key(self, event: Key) -> None:
        """Letters pick the word that starts with them; one that fits no further starts anew."""
        if self.expanded or event.character is None or not event.character.isalnum():
            return
        event.stop()
        for stem in (f"{self._stem}{event.character}".casefold(), event.character.casefold()):
            found = next((word for word in self._words if word.casefold().startswith(stem)), None)
            if found is not None:
                self._stem, self.value = stem, found
                return
