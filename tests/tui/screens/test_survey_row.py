"""Shots typed below the survey's sheet, by real keys, and the file read afterwards."""

import shutil
from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import burst, keys, on_disk, shown, typed, until_saved
from tui.app import LinewalkApp
from tui.entry.shot_row import CalledInput
from tui.sheet.sheet_view import SheetView

DEMOS = Path(__file__).parents[3] / "demo_jobs"
SIZE = (80, 24)


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return Path(shutil.copy(DEMOS / "willow_bend.toml", tmp_path))


async def test_down_from_the_last_row_leads_into_it_and_a_shot_that_misfits_says_so_at_once(job: Path) -> None:
    app = LinewalkApp(loaded=load(job), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "end", "end", "down")
        assert isinstance(app.focused, CalledInput)
        await typed(pilot, "tape A B 104 2")
        assert "tape  A  B  104' 2\"" in shown(app)
        await keys(pilot, "enter")
        words = " ".join(shown(app).split())
        assert "! tape-B-A A B 104' 2\" 4' 0\" short" in words
        assert "! The tape from B to A reads 4' 0\" short." in words
        assert isinstance(app.focused, CalledInput)
        await keys(pilot, "escape")
        assert isinstance(app.focused, SheetView)
        assert app.focused.cursor.subject == "tape-B-A"
    assert on_disk(job).shots["tape-B-A"].length_ft == pytest.approx(104 + 2 / 12, abs=1e-3)


async def test_enter_on_a_shot_puts_it_right_and_tab_finishes_a_name(job: Path) -> None:
    app = LinewalkApp(loaded=load(job), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "end", "end", *["up"] * 13, "enter")
        assert app.focused.value == "tape N2 N1 169' 11 7/8\""
        await keys(pilot, *["backspace"] * 4)
        await typed(pilot, '3/4"')
        await keys(pilot, "enter", "escape", "c")
        await typed(pilot, "off")
        await keys(pilot, "tab")
        assert app.focused.value.startswith("offset")
        await keys(pilot, "escape", "y")
        assert isinstance(app.focused, SheetView)
    assert on_disk(job).shots["tape-N1-N2"].length_ft == pytest.approx(169 + 11.75 / 12, abs=1e-3)


async def test_several_shots_in_one_burst_are_all_entered_and_u_takes_back_the_last(job: Path) -> None:
    app = LinewalkApp(loaded=load(job), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "c")
        await burst(pilot, "tape A B 108 2\rtape B H 66 1\r\x1b")
        await until_saved(pilot)
        await keys(pilot, "u")
    shots = on_disk(job).shots
    assert "tape-B-A" in shots
    assert "tape-H-B" not in shots


async def test_a_click_leads_into_it_and_it_is_there_in_the_survey_alone(job: Path) -> None:
    app = LinewalkApp(loaded=load(job), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot)
        row = next(y for y, line in enumerate(shown(app).splitlines()) if line.startswith("the next shot"))
        await pilot.click(offset=(4, row))
        assert isinstance(app.focused, CalledInput)
        await keys(pilot, "escape", "2")
        assert "the next shot" not in shown(app)
        await keys(pilot, "c")
        assert isinstance(app.focused, SheetView)


async def test_a_sealed_job_has_no_row_to_type_into(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = Path(shutil.copy(DEMOS / "alder_row.toml", tmp_path))
    before = path.read_bytes()
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "alt+1", "c")
        assert "the next shot" not in shown(app)
    assert path.read_bytes() == before
