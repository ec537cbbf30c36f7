"""An input for a length in trade notation that says at once what it understood and whether that passes."""

from dataclasses import dataclass
from typing import Literal

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from engine.calc.lengths import LengthError, format_ft_in, format_in, parse_length_ft
from tui.theme import PLAIN_SIGNS, SIGNS


@dataclass(frozen=True)
class Wanted:
    """What a reading should be, all in feet; None where nothing is asked. Both ends of the range pass."""

    target_ft: float | None = None
    least_ft: float | None = None
    most_ft: float | None = None


@dataclass(frozen=True)
class Reading:
    """What was typed, judged: its length when it could be read, whether it passes, and the words that say so."""

    value_ft: float | None
    ok: bool
    understood: str
    verdict: str


def judge(text: str, wanted: Wanted, bare: Literal["ft", "in"] = "ft", plain: bool = False) -> Reading:
    """Read `text` (a bare number in the unit `bare`) and compare it with what is wanted."""
    signs = PLAIN_SIGNS if plain else SIGNS
    if not text.strip():
        return Reading(None, False, "", "")
    try:
        value = parse_length_ft(text, bare)
    except LengthError as error:
        return Reading(None, False, "", f"{signs['fix']} {error}")
    understood = f"= {written(value, bare)}"
    if wanted.least_ft is not None and value < wanted.least_ft:
        short = f"{signs['stop']} Out of range: {written(wanted.least_ft - value, bare)} under {written(wanted.least_ft, bare)}."
        return Reading(value, False, understood, short)
    if wanted.most_ft is not None and value > wanted.most_ft:
        over = f"{signs['stop']} Out of range: {written(value - wanted.most_ft, bare)} over {written(wanted.most_ft, bare)}."
        return Reading(value, False, understood, over)
    asked = wanted.least_ft is not None or wanted.most_ft is not None
    return Reading(value, True, understood, f"{signs['done']} Passes." if asked else f"{signs['done']} Read.")


def written(length_ft: float, bare: Literal["ft", "in"]) -> str:
    """A length as this input shows it: inches where inches are typed, else feet and inches; to 1/16 in."""
    return format_in(length_ft * 12, 16) if bare == "in" else format_ft_in(length_ft, 16)


def wanted_words(wanted: Wanted, bare: Literal["ft", "in"]) -> str:
    """What is wanted, in words: `Wanted 24", from 22" to 26".`"""
    parts = [] if wanted.target_ft is None else [written(wanted.target_ft, bare)]
    if wanted.least_ft is not None and wanted.most_ft is not None:
        parts.append(f"from {written(wanted.least_ft, bare)} to {written(wanted.most_ft, bare)}")
    elif wanted.least_ft is not None:
        parts.append(f"at least {written(wanted.least_ft, bare)}")
    elif wanted.most_ft is not None:
        parts.append(f"at most {written(wanted.most_ft, bare)}")
    return f"Wanted {', '.join(parts)}." if parts else ""


class LengthInput(Vertical):
    """A labelled length input with three lines under it: what is wanted, what was understood, whether it passes."""

    DEFAULT_CSS = """
    LengthInput {
        height: auto;
        & Static { height: auto; padding: 0 1; }
        & .length-label { text-style: bold; }
        & .length-wanted { color: $text-muted; }
        & .length-verdict { text-style: bold; }
        &.-pass .length-verdict { color: $text-success; }
        &.-out .length-verdict { color: $text-error; }
        &.-unread .length-verdict { color: $text-warning; }
    }
    """

    class Submitted(Message):
        """Enter was pressed on a length that could be read; `ok` is False when it is out of range."""

        def __init__(self, length_input: "LengthInput", value_ft: float, ok: bool) -> None:
            super().__init__()
            self.length_input = length_input
            self.value_ft = value_ft
            self.ok = ok

        @property
        def control(self) -> "LengthInput":
            """The input it came from."""
            return self.length_input

    def __init__(
        self,
        label: str,
        wanted: Wanted | None = None,
        *,
        bare: Literal["ft", "in"] = "ft",
        value: str = "",
        plain: bool = False,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self.label = label
        self.wanted = wanted or Wanted()
        self.bare: Literal["ft", "in"] = bare
        self.plain = plain
        self._first_value = value

    def compose(self) -> ComposeResult:
        """Label, input, and the lines under it."""
        yield Static(Content(self.label), classes="length-label")
        yield Input(self._first_value, placeholder="feet and inches" if self.bare == "ft" else "inches")
        yield Static(Content(wanted_words(self.wanted, self.bare)), classes="length-wanted")
        yield Static(classes="length-understood")
        yield Static(classes="length-verdict")

    def on_mount(self) -> None:
        """Judge the value it opened with."""
        self._show()

    @property
    def reading(self) -> Reading:
        """What stands in the input now, judged."""
        return judge(self.query_one(Input).value, self.wanted, self.bare, self.plain)

    def focus(self, scroll_visible: bool = True) -> "LengthInput":
        """Put the cursor in the input."""
        self.query_one(Input).focus(scroll_visible)
        return self

    def on_input_changed(self, event: Input.Changed) -> None:
        """Judge every key."""
        event.stop()
        self._show()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Hand up a length that could be read; one that could not stays, with the reason under it."""
        event.stop()
        reading = self.reading
        if reading.value_ft is not None:
            self.post_message(self.Submitted(self, reading.value_ft, reading.ok))

    def _show(self) -> None:
        reading = self.reading
        self.query_one(".length-understood", Static).update(Content(reading.understood))
        self.query_one(".length-verdict", Static).update(Content(reading.verdict))
        self.set_class(reading.ok, "-pass")
        self.set_class(reading.value_ft is not None and not reading.ok, "-out")
        self.set_class(reading.value_ft is None and bool(reading.verdict), "-unread")
