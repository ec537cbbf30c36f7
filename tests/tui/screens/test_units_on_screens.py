"""Every screen and box of a job in metres, by real keys: nowhere a foot, a pound or a mile; of a job in feet nowhere a metre."""

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from engine.calc.units import FEET_INCHES, METRES, Units
from engine.findings import STAGES
from engine.job.edit import edits
from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from tests.demo import AT, BY, accepted
from tests.test_units_everywhere import BEARING, WRONG, in_its, own_words
from tests.tui.driving import burst, keys, shown
from tui.app import LinewalkApp
from tui.entry.forms import FORMS

SIZE = (80, 24)
PAGES = 5
STAYS = ("feet-i", "Like 23'", "Like 22 1/2", "a bare number", "bare number is")
"""Words of a choice; and what else is read in a place for a length."""
BOXES = {
    "keys": ("question_mark",), "how to": ("h",), "log": ("g",), "materials": ("t",), "hours": ("t", "h"), "record": ("b",),
    "layouts": ("j",), "what happened": ("l",), "obstacle": ("l", "o"), "added": ("l", "a"), "left out": ("l", "d"), "tree": ("l", "t"),
    "new way": ("l", "w"), "delivery": ("l", "v"), "note": ("l", "n"), "photo": ("l", "p"), "move": ("m",), "sign": ("s",),
    "find": ("slash", "p"),
    "entry": ("e",), "field book": ("e", "b"),
}  # fmt: skip


def begun() -> Job:
    """Something of everything that happens: a rock, a moved post, readings, a delivery, a photo."""
    job = edits.obstacle(accepted(), "rock", "back", 83.0, AT, BY, radius_ft=2.0, text="ledge")
    job = edits.move_post(job, "P6", AT, BY, along_ft=2.0, out_ft=1.0, why="ledge")
    job = edits.tick(job, item_key("posts.P4.driven_depth"), AT, BY, reading_in=14.0, note="solid")
    job = edits.delivery(job, "wire-48", AT, BY, packs=1, loose=20.0)
    return edits.photo(job, "rock.jpg", AT, BY, line="back", station_ft=83.0, caption="ledge")


class Seen:
    """What a screen shows that it must not."""

    def __init__(self, app: LinewalkApp, units: Units) -> None:
        self.app, self.units, self.found = app, units, set[str]()

    def look(self, name: str, own: list[str]) -> None:
        for line in shown(self.app).splitlines():
            told = BEARING.sub("", line)
            for words in own:
                told = told.replace(words, "")
            if WRONG[self.units].search(told) and not any(one in line for one in STAYS):
                self.found.add(f"{name}: {' '.join(line.split())}")

    async def leaf(self, name: str, own: list[str], turn: Callable[[], Awaitable[None]], looks: int = 3) -> None:
        """So many looks, and between two of them always the same keys."""
        self.look(name, own)
        for _ in range(1, looks):
            await turn()
            self.look(name, own)


@pytest.mark.parametrize("units", [METRES, FEET_INCHES])
async def test_no_screen_shows_other_units_than_the_job(tmp_path: Path, units: Units) -> None:
    job = in_its(begun(), units)
    path = new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        seen, own = Seen(app, units), own_words(job)
        for number, stage in enumerate(STAGES, 1):
            await keys(pilot, f"alt+{number}")
            await seen.leaf(f"{stage}, page", own, lambda: keys(pilot, "tab"), PAGES)
            await keys(pilot, "escape", *["down"] * 3)
            for picture in range(5):
                seen.look(f"{stage}, picture {picture}", own)
                await keys(pilot, "v")
        await keys(pilot, "alt+3")
        for name, pressed in BOXES.items():
            walked = app.screen
            await keys(pilot, *pressed)
            await seen.leaf(name, own, lambda: keys(pilot, "pagedown"))
            for _ in range(4):
                if app.screen is not walked:
                    await keys(pilot, "escape")
        await keys(pilot, "e", "home")
        for form in FORMS:
            await keys(pilot, "enter")
            await seen.leaf(f"form {form.kind}", own, lambda: burst(pilot, "\t" * 6))
            await keys(pilot, "escape", "down")
    assert sorted(seen.found) == []
