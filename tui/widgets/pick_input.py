"""A one-line input that also picks from names: type the start of one, or go through them with up and down."""

from typing import ClassVar

from tui.base.commands import Command, bindings
from tui.widgets.read_back import ReadBackInput

COMMANDS = (
    Command("pick(1)", "down", "pick", "The next name to pick from; the start of a name will do too.", "Form"),
    Command("pick(-1)", "up", "pick back", "The name before.", "Form", in_footer=False),
)


class PickInput(ReadBackInput):
    """`options` are what can be picked, found by any of their words where `any_word` says so; `many` takes several, blanks between. `free`
    lets a new name stand as it was typed."""

    BINDINGS: ClassVar = bindings(COMMANDS)

    def __init__(
        self,
        *,
        options: tuple[str, ...] = (),
        many: bool = False,
        free: bool = False,
        any_word: bool = False,
        placeholder: str = "",
        id: str,
    ) -> None:
        super().__init__(placeholder=placeholder, id=id, compact=True, select_on_focus=not many)
        self.options, self.many, self.free, self.any_word = options, many, free, any_word
        self._stem, self._left = "", "\0"
        """What was typed before going through the names, and the value that going through them left (at first none that can be typed)."""

    @property
    def matches(self) -> tuple[str, ...]:
        """The options that start with what was typed; all of them where a whole name or nothing stands there."""
        if self.value != self._left:
            word = self._word.casefold()
            self._stem = "" if any(word == option.casefold() for option in self.options) else word
        return tuple(option for option in self.options if self._fits(option, self._stem))

    @property
    def picked(self) -> str:
        """The option that stands there, or that what was typed can only mean; else nothing."""
        word = self._word.casefold()
        exact = next((option for option in self.options if option.casefold() == word), "")
        starting = [option for option in self.options if word and self._fits(option, word)]
        return exact or (starting[0] if len(starting) == 1 and not self.free else "")

    def _fits(self, option: str, stem: str) -> bool:
        """Whether an option, or one of its words where any will do, starts so."""
        folded = option.casefold()
        return folded.startswith(stem) or (self.any_word and f" {stem}" in folded)

    def action_pick(self, step: int) -> None:
        """The option after the one that stands there, or before it; without options, the next field."""
        matches = self.matches
        if not matches:
            (self.screen.focus_next if step > 0 else self.screen.focus_previous)()
            return
        folded = [option.casefold() for option in matches]
        word = self._word.casefold()
        at = folded.index(word) + step if word in folded else 0 if step > 0 else -1
        self._replace(matches[at % len(matches)])
        self._left = self.value

    def complete(self) -> None:
        """Write out whatever the start of a name can only mean."""
        if self.many:
            words = self.value.replace(",", " ").split()
            self.value = " ".join(self._meant(word) for word in words)
        elif self.picked:
            self._replace(self.picked)

    def _meant(self, word: str) -> str:
        folded = word.casefold()
        starting = [option for option in self.options if option.casefold().startswith(folded)]
        exact = next((option for option in starting if option.casefold() == folded), "")
        return exact or (starting[0] if len(starting) == 1 else word)

    @property
    def _word(self) -> str:
        """The name being typed: of several the last."""
        return self.value.replace(",", " ").rpartition(" ")[2] if self.many else self.value.strip()

    def _replace(self, name: str) -> None:
        kept = self.value[: len(self.value) - len(self._word)] if self.many else ""
        self.value = f"{kept}{name}"
        self.cursor_position = len(self.value)
