"""A form that can't be saved says what is wrong under the field it is about, in the form's own words, and the cursor is there."""

from pathlib import Path

import pytest
from textual.widgets import Static

from engine.job.file.store import load
from tests.tui.driving import burst, keys
from tui.app import LinewalkApp
from tui.entry.entry_form import FormScreen
from tui.entry.forms import FORMS

WRONG = {
    "points": ("id", "B", "There is a point B already: give another name."),
    "shots-tie": ("from_b", "A", "Shot tie-M names the same point twice: give each of its ends its own point."),
    "shots-paces": ("paces", "0", '"0" is out of range: it must be over 0.'),
    "lines": ("points", "F1", "The list has 1 in it and must have at least 2."),
    "lines too": ("start_at", "", 'Start meets is "structure", so start at must name it.'),
    "gates": ("line", "nope", 'Gate side names the line "nope", and there is none of that name: correct the name, or add that line.'),
    "dogs": ("weight_lb", "heavy", '"heavy" is given where a number is wanted.'),
    "utility_notice": ("marks_seen", "maybe", '"maybe" is given where yes or no is wanted.'),
    "rules-layout": ("bay_min_ft", "30", "Bay min is over bay max."),
    "rules-cables": ("set_F", "130", "Set (F) is over hot (F)."),
}
"""By kind of record: the field of its first record that is typed over, what is typed, and what is said under it."""


@pytest.mark.parametrize("kind", WRONG)
async def test_it_is_said_under_the_field_and_the_cursor_is_there(path: Path, kind: str) -> None:
    field, text, says = WRONG[kind]
    before = path.read_bytes()
    number = [form.kind for form in FORMS].index(kind.removesuffix(" too"))
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *["down"] * number, *(() if FORMS[number].single else ("right",)), "enter")
        screen = app.screen
        assert isinstance(screen, FormScreen)
        while app.focused is not None and app.focused.id != f"in-{field}":
            await keys(pilot, "shift+tab" if field == "id" else "tab")
        await keys(pilot, "ctrl+u", "ctrl+k")
        await burst(pilot, f"{text}\r")
        assert app.screen is screen
        assert app.focused is not None
        assert app.focused.id == f"in-{field}"
        assert [str(under.content) for under in screen.query(".wrong.-shown").results(Static)] == [says]
    assert path.read_bytes() == before
