"""A folder of jobs: listed with what is left, unreadable ones with the reason, opened and left by keys."""

import shutil
from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.paper.record_office import CHANGED
from tests.tui.driving import keys, shown, typed, until_saved
from tui.app import LinewalkApp
from tui.screens.jobs import JobsScreen
from tui.screens.walk_screen import WalkScreen

DEMOS = Path(__file__).parents[3] / "demo_jobs"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for name in ("alder_row", "willow_bend"):
        shutil.copy(DEMOS / f"{name}.toml", jobs)
    (jobs / "broken.toml").write_text("format = 1\n[job\n")
    return jobs


async def test_every_job_is_listed_and_a_broken_one_says_why(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        lines = shown(app).splitlines()
    row = {name: next(line for line in lines if name in line) for name in ("alder_row", "broken", "willow_bend")}
    assert "sealed, verified" in row["alder_row"]
    assert "3 jobs, 1 can't be read" in lines[0]
    assert "0 of 2" in row["willow_bend"]
    assert "2026-04-14" in row["willow_bend"]
    assert "line 2" in row["broken"]


async def test_enter_opens_a_job_and_q_comes_back_with_the_row_read_again(folder: Path) -> None:
    app = LinewalkApp(folder=folder, by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await keys(pilot, "end", "enter")
        assert isinstance(app.screen, WalkScreen)
        await keys(pilot, "1", "space", "q")
        assert isinstance(app.screen, JobsScreen)
        assert "1 of 2" in next(line for line in shown(app).splitlines() if "willow_bend" in line)
    assert len(load(folder / "willow_bend.toml").job.checks) == 1


async def test_a_broken_job_is_not_opened_nor_touched(folder: Path) -> None:
    before = (folder / "broken.toml").read_bytes()
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "down", "enter")
        assert isinstance(app.screen, JobsScreen)
    assert (folder / "broken.toml").read_bytes() == before


async def test_a_new_job_is_made_and_never_over_another(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "n")
        await typed(pilot, "hill_lane")
        await keys(pilot, "enter")
        assert load(folder / "hill_lane.toml").job.job.title == "hill_lane"
        before = (folder / "alder_row.toml").read_bytes()
        await keys(pilot, "n")
        await typed(pilot, "alder_row")
        await keys(pilot, "enter")
        assert "! alder_row.toml: is there already" in " ".join(shown(app).split())
        await keys(pilot, "end", "2", "enter")
        assert load(folder / "alder_row2.toml").job.job.title == "alder_row2"
    assert (folder / "alder_row.toml").read_bytes() == before


async def test_a_sealed_job_that_was_changed_is_marked(folder: Path) -> None:
    path = folder / "alder_row.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('title = "Alder Row', 'title = "Elder Row'), encoding="utf-8")
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        assert "X sealed, changed" in next(line for line in shown(app).splitlines() if "alder_row" in line)


async def test_a_file_that_has_gone_is_gone_from_the_list_when_it_is_read_again(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        (folder / "broken.toml").unlink()
        await keys(pilot, "r")
        assert "broken" not in shown(app)
        assert "2 jobs" in shown(app).splitlines()[0]


async def test_five_hundred_jobs_are_on_the_screen_within_moments_and_keys_answer_while_they_are_worked_out(tmp_path: Path) -> None:
    text = (DEMOS / "willow_bend.toml").read_text(encoding="utf-8")
    for number in range(500):
        (tmp_path / f"yard_{number:03}.toml").write_text(text.replace("Willow Bend", f"Yard {number}"), encoding="utf-8")
    app = LinewalkApp(folder=tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        while "500 jobs" not in shown(app):
            await pilot.pause(0.02)
        assert "still to work out" in shown(app)
        await pilot.press("end")
        await pilot.pause(0.1)
        assert "yard_499.toml" in shown(app)
        assert "Yard 499 back yard" in shown(app)


async def test_a_sealed_job_that_was_changed_says_what_was_changed_when_it_is_opened(folder: Path) -> None:
    path = folder / "alder_row.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('title = "Alder Row', 'title = "Elder Row'), encoding="utf-8")
    app = LinewalkApp(loaded=load(path))
    async with app.run_test(size=(80, 24)) as pilot:
        while "This isn't what was signed any more." not in shown(app):
            await pilot.pause(0.02)
        assert "sealed, but CHANGED" in shown(app).splitlines()[0]
        await keys(pilot, "b")
        assert CHANGED in shown(app)
        assert "The version that was signed isn't kept on this machine." in " ".join(shown(app).split())
