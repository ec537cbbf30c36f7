"""An input for a length in trade notation that says at once what it understood and whether that passes."""

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from engine.calc.frozen import dataclass
from engine.calc.lengths import LengthError, format_ft_in, format_in, parse_length_ft, understood
from engine.checklist import ReadingMeans, ReadingUnit, WantedReading
from tui.base.theme import PLAIN_SIGNS, SIGNS

IN_PER_FT = 12


@dataclass(frozen=True)
class Judged:
    """What was typed, judged: its length in the unit asked for (None when it can't be read), whether it passes, and the words."""

    value: float | None
    ok: bool
    understood: str
    verdict: str


def judge(text: str, asks: WantedReading, plain: bool = False) -> Judged:
    """Read `text`, a bare number in the unit asked for, and say whether it is within the range asked for."""
    signs = PLAIN_SIGNS if plain else SIGNS
    if not text.strip():
        return Judged(None, False, "", "")
    try:
        length_ft = parse_length_ft(text, asks.unit)
    except LengthError as error:
        return Judged(None, False, "", f"{signs['fix']} {error}")
    value, shown = length_ft * (IN_PER_FT if asks.unit == "in" else 1), understood(length_ft, asks.unit)
    if not asks.passes(value):
        return Judged(value, False, shown, f"{signs['stop']} Out of range: {_off_by(value, asks)}.")
    asked = asks.low is not None or asks.high is not None
    return Judged(value, True, shown, f"{signs['done']} {'Passes' if asked else 'Read'}.")


def wanted_words(asks: WantedReading) -> str:
    """What is wanted, in words: `Wanted 24", 20" to 26".`; nothing when any length will do."""
    parts = [] if asks.wanted is None else [asks.words(asks.wanted)]
    if asks.low is not None or asks.high is not None:
        parts.append(asks.range_words)
    return f"Wanted {', '.join(parts)}." if parts else ""


def _to_16ths(value: float, unit: ReadingUnit) -> str:
    return format_in(value, 16) if unit == "in" else format_ft_in(value, 16)


def _off_by(value: float, asks: WantedReading) -> str:
    """How far a value is under or over the range: `2 1/4" under 20"`."""
    if asks.low is not None and value < asks.low:
        limit, word = asks.low, "under"
    else:
        limit, word = asks.high or 0.0, "over"
    return f"{_to_16ths(abs(value - limit), asks.unit)} {word} {asks.words(limit)}"


class LengthInput(Vertical):
    """A labelled length input with lines under it: what is wanted, what was understood, whether it passes, and what it tells."""

    DEFAULT_CSS = """
    LengthInput {
        height: auto;
        & Static { height: auto; padding: 0 1; }
        & .length-label { text-style: bold; }
        & .length-wanted { color: $text-muted; }
        & .length-verdict { text-style: bold; }
        & .length-tells { text-style: bold; }
        &.-pass .length-verdict { color: $text-success; }
        &.-out .length-verdict { color: $text-error; }
        &.-unread .length-verdict { color: $text-warning; }
    }
    """

    class Submitted(Message):
        """Enter was pressed on a length that could be read, in the unit asked for; `ok` is False when it is out of range."""

        def __init__(self, length_input: "LengthInput", value: float, ok: bool) -> None:
            super().__init__()
            self.length_input = length_input
            self.value = value
            self.ok = ok

        @property
        def control(self) -> "LengthInput":
            """The input it came from."""
            return self.length_input

    def __init__(
        self,
        label: str,
        asks: WantedReading,
        *,
        tells: ReadingMeans | None = None,
        value: str = "",
        plain: bool = False,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self.label = label
        self.asks = asks
        self.tells = tells
        self.plain = plain
        self._input = Input(value, placeholder="feet and inches" if asks.unit == "ft" else "inches")
        self._understood = Static(classes="length-understood")
        self._verdict = Static(classes="length-verdict")
        self._tells = Static(classes="length-tells")

    def compose(self) -> ComposeResult:
        """Label, input, and the lines under it."""
        yield Static(Content(self.label), classes="length-label")
        yield self._input
        yield Static(Content(wanted_words(self.asks)), classes="length-wanted")
        yield self._understood
        yield self._verdict
        if self.tells is not None:
            yield self._tells

    def on_mount(self) -> None:
        """Judge the value it opened with."""
        self._show()

    @property
    def judged(self) -> Judged:
        """What stands in the input now, judged."""
        return judge(self._input.value, self.asks, self.plain)

    def focus(self, scroll_visible: bool = True) -> "LengthInput":
        """Put the cursor in the input."""
        self._input.focus(scroll_visible)
        return self

    def on_input_changed(self, event: Input.Changed) -> None:
        """Judge every key."""
        event.stop()
        self._show()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Hand up a length that could be read; one that could not stays, with the reason under it."""
        event.stop()
        judged = self.judged
        if judged.value is not None:
            self.post_message(self.Submitted(self, judged.value, judged.ok))
        else:
            self.say_unread()

    def say_unread(self) -> None:
        """Says of a length that can't be read which it is, and of an empty one that it is wanted."""
        signs = PLAIN_SIGNS if self.plain else SIGNS
        says = self.judged.verdict.removeprefix(f"{signs['fix']} ") or "what does the tape say?"
        self._verdict.update(Content(f"{signs['fix']} {self.label}: {says}"))
        self.add_class("-unread")

    def _show(self) -> None:
        judged = self.judged
        self._understood.update(Content(judged.understood))
        self._verdict.update(Content(judged.verdict))
        if self.tells is not None:
            self._tells.update(Content("" if judged.value is None else self.tells.words(judged.value)))
        self.set_class(judged.ok, "-pass")
        self.set_class(judged.value is not None and not judged.ok, "-out")
        self.set_class(judged.value is None and bool(judged.verdict), "-unread")
