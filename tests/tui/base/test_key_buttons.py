"""Keys named in words: which words are buttons, and that a click on one does what the key does."""

from pathlib import Path

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from tests.tui.driving import on_disk, reach, shown, until_saved
from tests.tui.hands import Hands
from tui.app import LinewalkApp
from tui.base.key_buttons import key_buttons
from tui.boxes.dialog import ThrowAwayDialog
from tui.boxes.pages import HelpDialog
from tui.boxes.who_box import WhoDialog
from tui.entry.entry import EntryScreen

DEPTH = item_key("posts.P4.driven_depth")


def buttons(words: str, letters: str = "") -> list[tuple[str, str]]:
    content = key_buttons(words, letters)
    return [(content.plain[span.start : span.end], str(span.style.meta["@click"])) for span in content.spans]  # type: ignore[union-attr]


def test_named_keys_and_letters_behind_press_are_buttons() -> None:
    assert buttons("Press a to accept. Enter keeps it, Esc leaves a gap; PgDn scrolls, Entering doesn't.") == [
        ("Enter", "app.press('enter')"),
        ("Esc", "app.press('escape')"),
        ("PgDn", "app.press('pagedown')"),
        ("a", "app.press('a')"),
    ]
    assert buttons("y throws it away. Enter, n or Esc goes on typing.", "yn")[2:] == [("y", "app.press('y')"), ("n", "app.press('n')")]


async def test_a_line_of_help_does_what_its_key_does(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        hands = Hands(pilot)
        await hands.click("? keys")
        assert isinstance(app.screen, HelpDialog)
        await hands.click("Enter what was measured")
        assert isinstance(app.screen, EntryScreen)
        assert hands.commands == 0


async def test_esc_and_letters_in_a_box_are_clicked(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await hands.press("w")
        await hands.write("Bo")
        await hands.click("Esc leaves")
        assert isinstance(app.screen, ThrowAwayDialog)
        await hands.click("n or Esc")
        assert isinstance(app.screen, WhoDialog)
        await hands.click("Esc leaves")
        await hands.click("y throws")
        assert not isinstance(app.screen, WhoDialog)


async def test_a_click_elsewhere_keeps_what_was_typed_until_a_second(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        hands = Hands(pilot)
        await reach(pilot, DEPTH)
        await hands.write("29")
        await hands.click("P6 ")
        assert "29_" in shown(app)
        assert "Esc again throws away what you typed. Enter keeps it." in shown(app)
        await hands.click("Enter keeps it")
        assert on_disk(path).checks[DEPTH].reading_in == 29.0
        await reach(pilot, item_key("posts.P5.driven_depth"))
        await hands.write("28")
        await hands.click("28_")
        assert on_disk(path).checks[item_key("posts.P5.driven_depth")].reading_in == 28.0
        await hands.write("27")
        await hands.click("P7 ")
        await hands.click("P7 ")
        assert "27_" not in shown(app)
    assert set(on_disk(path).checks) == {DEPTH, item_key("posts.P5.driven_depth")}
