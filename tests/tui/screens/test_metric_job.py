"""A job in metres by real keys, from an empty folder to posts in the ground; then the file read, and the units gone to and fro."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from tests.tui.driving import keys, shown, until_saved
from tests.tui.hands import Hands
from tui.app import LinewalkApp
from tui.entry.forms import FORMS

SIZE = (80, 24)
SHOTS = ("tie T1 A 18 B 21.633 left", "21.633, 18", "tie T3 18.974, 18.974", "tape T1 T2 12", "tape T1 T3 6", "tape T2 T3 6")
LEVELS = ("level fence 0, 0", "24, 0", "48, 0.25")
KINDS = [form.kind for form in FORMS]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "jobs").mkdir()
    return tmp_path / "jobs"


async def open_forms(hands: Hands, kind: str, at: str = KINDS[0]) -> None:
    """From one kind of record down to another, and into its form."""
    await hands.press(*["down"] * (KINDS.index(kind) - KINDS.index(at)), "enter")


async def survey(hands: Hands) -> None:
    """Two house corners 12 m apart, nine shots, a line and a gate."""
    await hands.press("e")
    await open_forms(hands, "points")
    for name, east in (("A", "0"), ("B", "12")):
        for text, key in ((name, "tab"), (east, "tab"), ("0", "enter")):
            await hands.write(text)
            await hands.press(key)
    await hands.press("escape", "b")
    for shot in SHOTS:
        await hands.write(shot)
        await hands.press("enter")
    assert "fits to 3 mm. Ctrl+Z" in " ".join(shown(hands.app).split())
    await hands.press("escape", "home")
    await open_forms(hands, "lines")
    await hands.write("fence")
    await hands.press("tab")
    await hands.write("A T1 T3 T2 B")
    await hands.press("enter", "escape")
    await open_forms(hands, "gates", "lines")
    await hands.write("side")
    await hands.press("tab", "tab")
    await hands.write("21")
    assert "= 21.00 m" in shown(hands.app)
    await hands.press("enter", "escape", "b")
    for level in LEVELS:
        await hands.write(level)
        await hands.press("enter")
    await hands.press("escape", "escape")


async def set_out(hands: Hands) -> None:
    """The plan accepted, one post driven to a depth in centimetres and one to a depth in inches."""
    await hands.press("n", "a")
    await hands.write("Mo")
    await hands.press("enter", "n")
    await hands.write("74,5")
    assert "= 74.5 cm" in shown(hands.app)
    await hands.press("enter")
    await hands.write('29 1/2"')
    await hands.press("enter")


def stands(job: Job) -> None:
    """What the file holds: feet and inches, as every file does, of what was typed in metres."""
    assert job.job.units == "metres"
    assert job.stock["sleeve-30"].name == "steel sleeve 75 cm"
    assert job.points["B"].east_ft == 39.3701
    assert [shot.method for shot in job.shots.values()] == ["tie"] * 3 + ["tape"] * 3 + ["level"] * 3
    assert [getattr(shot, "tape_a_ft", None) for shot in list(job.shots.values())[:3]] == [59.0551, 70.9744, 62.2507]
    assert getattr(list(job.shots.values())[-1], "level_ft", None) == 0.8202
    assert job.gates["side"].station_ft == 68.8976
    depths = [tick.reading_in for key, tick in job.checks.items() if key.what == "driven_depth"]
    assert depths == [29.33071, 29.5]


async def test_a_job_in_metres_from_an_empty_folder_to_posts_in_the_ground(folder: Path) -> None:
    app = LinewalkApp(folder=folder, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        hands = Hands(pilot)
        await hands.press("n")
        await hands.write("hill")
        await hands.press(*["tab"] * 5)
        await hands.press("m")
        await hands.press("enter")
        for part in (survey, set_out):
            await part(hands)
        lines = shown(app)
        assert "74.5 cm" in lines
        assert "37.5 to 75 cm" in lines
        await hands.press("q")
    stands(load(folder / "hill.toml").job)
    text = (folder / "hill.toml").read_text(encoding="utf-8")
    for line in ('east_ft = "12 m"', 'tape_a_ft = "18.974 m"', 'station_ft = "21 m"', 'level_ft = "0.25 m"', 'reading_in = "74.5 cm"'):
        assert f"{line}\n" in text
    assert "reading_in = 29.5\n" in text


async def test_going_to_feet_and_back_in_the_job_s_heading_changes_what_is_shown_and_nothing_else(folder: Path) -> None:
    await test_a_job_in_metres_from_an_empty_folder_to_posts_in_the_ground(folder)
    path = folder / "hill.toml"
    before = load(path).job
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "alt+3")
        assert "74.5 cm" in shown(app)
        for units in ("feet-inches", "metres"):
            await keys(pilot, "e", "enter", *["tab"] * 5)
            await keys(pilot, *["backspace"] * 12, *("f", "e", "e", "t", "minus", "i", "n", "c", "h", "e", "s")[: 11 * (units != "metres")])
            await keys(pilot, *("m", "e", "t", "r", "e", "s")[: 6 * (units == "metres")], "enter", "escape", "escape")
            assert load(path).job.job.units == units
            assert ('29 3/8"' in shown(app)) == (units != "metres")
            assert ("74.5 cm" in shown(app)) == (units == "metres")
    assert load(path).job == before
