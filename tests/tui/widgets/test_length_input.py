"""A length typed in trade notation, judged at every key."""

import pytest
from textual.app import App, ComposeResult
from textual.widgets import Input, Static

from engine.checklist import WantedReading
from tui.base.theme import install
from tui.widgets.length_input import LengthInput, judge, wanted_words

DEPTH = WantedReading("in", wanted=24, low=20, high=26)


@pytest.mark.parametrize(
    ("text", "value", "ok", "understood", "verdict"),
    [
        ("22 1/2", 22.5, True, '= 22 1/2"', "✓ Passes."),
        ("1' 10 1/2\"", 22.5, True, '= 22 1/2"', "✓ Passes."),
        ("20", 20, True, '= 20"', "✓ Passes."),
        ("17 3/4", 17.75, False, '= 17 3/4"', 'X Out of range: 2 1/4" under 20".'),
        ("27 1/16", 27.0625, False, '= 27 1/16"', 'X Out of range: 1 1/16" over 26".'),
        ("  ", None, False, "", ""),
    ],
)
def test_an_inch_reading_is_judged(text: str, value: float | None, ok: bool, understood: str, verdict: str) -> None:
    judged = judge(text, DEPTH)
    assert judged.value == (None if value is None else pytest.approx(value))
    assert (judged.ok, judged.understood, judged.verdict) == (ok, understood, verdict)


def test_feet_are_the_bare_unit_where_feet_are_asked() -> None:
    assert judge("23.5", WantedReading("ft", high=25)).understood == "= 23' 6\""
    assert judge("26' 2\"", WantedReading("ft", high=25)).verdict == "X Out of range: 1' 2\" over 25' 0\"."


def test_a_length_with_no_range_is_read_not_passed() -> None:
    assert judge("5", WantedReading("ft")).verdict == "✓ Read."
    assert judge("5", WantedReading("ft"), plain=True).verdict == "v Read."


def test_what_cannot_be_read_says_why() -> None:
    judged = judge("two feet", DEPTH)
    assert (judged.value, judged.ok) == (None, False)
    assert judged.verdict.startswith("! ")
    assert "two feet" in judged.verdict


@pytest.mark.parametrize(
    ("asks", "words"),
    [
        (DEPTH, 'Wanted 24", 20" to 26".'),
        (WantedReading("in", low=2), 'Wanted at least 2".'),
        (WantedReading("ft", wanted=5.0), "Wanted 5' 0\"."),
        (WantedReading("ft"), ""),
    ],
)
def test_what_is_wanted_is_said_in_words(asks: WantedReading, words: str) -> None:
    assert wanted_words(asks) == words


class _App(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.heard: list[tuple[float, bool]] = []

    def compose(self) -> ComposeResult:
        yield LengthInput("Depth of P7 [red]sleeve[/red]", DEPTH)

    def on_mount(self) -> None:
        install(self)
        self.query_one(LengthInput).focus()

    def on_length_input_submitted(self, message: LengthInput.Submitted) -> None:
        self.heard.append((message.value, message.ok))


def _lines(app: App[None]) -> list[str]:
    return [str(line.render()) for line in app.query_one(LengthInput).query(Static)]


async def test_a_crew_types_a_reading_and_sees_at_once_whether_it_passes() -> None:
    app = _App()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"17")
        assert _lines(app) == ["Depth of P7 [red]sleeve[/red]", wanted_words(DEPTH), '= 17"', 'X Out of range: 3" under 20".']
        assert app.query_one(LengthInput).has_class("-out")
        await pilot.press("enter", "backspace", "backspace", *"22", "enter")
        assert _lines(app)[2:] == ['= 22"', "✓ Passes."]
        assert app.query_one(LengthInput).has_class("-pass")
        assert app.heard == [(pytest.approx(17), False), (pytest.approx(22), True)]


async def test_what_cannot_be_read_is_not_handed_up() -> None:
    app = _App()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"2x", "enter")
        assert app.heard == []
        assert app.query_one(LengthInput).has_class("-unread")
        assert app.query_one(Input).value == "2x"
