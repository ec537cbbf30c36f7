"""The load list of a week by keys from the folder: shown, searched, written, left; what isn't in it said."""

import csv
import shutil
from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest

from engine.job.edit.edits import note
from engine.job.file.store import load, save
from tests.demo import AT
from tests.folder.test_planned_week import put
from tests.tui.driving import keys, shown, typed, until_saved, until_shown
from tui.app import LinewalkApp
from tui.screens import week_load_page
from tui.screens.jobs import JobsScreen
from tui.screens.week_load_page import WeekLoadPage

SIZE = (80, 24)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    put(jobs, "willow", "2026-12-01")
    put(jobs, "ridge", "2026-12-03", "ridge_ring")
    put(jobs, "later", "2026-12-08")
    (jobs / "broken.toml").write_text("format = 1\n[job\n", encoding="utf-8")
    return jobs


@pytest.fixture
def read_on(monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """The week is read only once somebody says so."""
    go, read = Event(), week_load_page.planned_week

    def waiting(*args: object, **named: object) -> object:
        assert go.wait(20)
        return read(*args, **named)  # type: ignore[arg-type]  # handed on

    monkeypatch.setattr(week_load_page, "planned_week", waiting)
    yield go
    go.set()


async def test_the_week_of_the_job_under_the_cursor_is_shown_searched_written_and_left(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "down", "t")
        assert isinstance(app.screen, WeekLoadPage)
        lines = shown(app).splitlines()
        assert lines[0].rstrip() == " Week of Mon 11/30/2026 to Sun 12/6/2026: 2 jobs, 1 not in this list"
        assert [line.split()[:3] for line in lines[3:8] if "/2026" in line] == [["Tue", "12/1/2026", "2611"], ["Thu", "12/3/2026", "2619"]]
        assert "broken.toml  can't be read, and may be of this week" in shown(app)
        assert "Willow Bend back yard, Tue 12/1/2026: its layout isn't accepted yet" in " ".join(shown(app).split())
        await keys(pilot, "t")
        assert "Load list, first in at the top" in shown(app).splitlines()[1]
        assert "gate frame tube 1 3/8 in, 10 1/2 ft: 63 ft in 6 lengths of 10' 6\"" in shown(app)
        await keys(pilot, "slash")
        await typed(pilot, "one-way")
        await keys(pilot, "enter")
        says = "one-way cable lock: 25 locks in 1 pack of 25; 17 needed (1 pack loaded, nothing left to load) 2611: 6 locks; 2619: 11 locks"
        assert says in " ".join(shown(app).split())
        await keys(pilot, "c", "c", "escape")
        assert isinstance(app.screen, JobsScreen)
    written = sorted(path.name for path in folder.glob("*.csv"))
    assert [name.removeprefix("week-2026-11-30-load") for name in written] == [
        *("-2-jobs.csv", "-2-offcuts.csv", "-2.csv", "-jobs.csv", "-offcuts.csv", ".csv"),
    ]
    text = (folder / written[5]).read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(text.splitlines()))
    (post,) = (row for row in rows if row["stock"] == "post-8")
    assert (post["packs"], post["to_load_packs"], post["each_job_takes"]) == ("35", "8", "2611: 12 posts; 2619: 23 posts")
    assert any(row["what"].startswith("NOT IN THIS LIST: broken.toml") for row in rows)
    assert (folder / written[2]).read_bytes() == (folder / written[5]).read_bytes()


async def test_the_week_that_is_shown_is_loaded_for_and_a_job_without_a_day_has_none(folder: Path) -> None:
    put(folder, "undated", "")
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "w", "t")
        await until_shown(pilot, "Week of Mon 12/7/2026")
        await keys(pilot, "escape", "w", "end", "t")
        assert isinstance(app.screen, JobsScreen)
        assert [note.message for note in app._notifications] == ["No day is planned for that one."]


async def test_a_copy_of_a_job_is_loaded_for_once_and_named(folder: Path) -> None:
    path = folder / "willow (Teal's conflicted copy).toml"
    shutil.copy(folder / "willow.toml", path)
    save(load(path), note(load(path).job, "the gate is stiff", AT, "Teal"))
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "down", "t")
        assert shown(app).splitlines()[0].rstrip() == " Week of Mon 11/30/2026 to Sun 12/6/2026: 2 jobs, 2 not in this list"
        await keys(pilot, "down", "down", "down")
        says = f"willow.toml: is a copy of {path.name}, which was saved later and counts alone: linewalk merge joins the two."
        assert says in " ".join(shown(app).split())
        await keys(pilot, "c", "escape")
    (out,) = folder.glob("*-load.csv")
    (post,) = (row for row in csv.DictReader(out.read_text(encoding="utf-8-sig").splitlines()) if row["stock"] == "post-8")
    assert (post["jobs"], post["needed_units"], post["loaded_packs"]) == ("2611; 2619", "35", "16")


async def test_a_week_in_which_all_is_signed_needs_nothing(folder: Path) -> None:
    for path in folder.iterdir():
        path.unlink()
    shutil.copy(Path(__file__).parents[3] / "demo_jobs" / "alder_row.toml", folder)
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "t")
        assert "Nothing is to be loaded" in shown(app)
        assert "2588  is signed off: nothing is to be loaded." in shown(app)


async def test_a_page_that_is_left_while_it_reads_ends_the_reading_and_nothing_is_written_before(folder: Path, read_on: Event) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await pilot.press("home", "down", "t")
        await until_shown(pilot, "Reading the jobs ...")
        await pilot.press("c")
        await pilot.pause()
        assert [note.message for note in app._notifications] == ["Still reading the jobs."]
        await pilot.press("escape")
        read_on.set()
        await until_saved(pilot)
        assert isinstance(app.screen, JobsScreen)
        assert list(folder.glob("*.csv")) == []


async def test_a_folder_that_is_gone_is_said(folder: Path, read_on: Event) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await pilot.press("home", "down", "t")
        await until_shown(pilot, "Reading the jobs ...")
        shutil.rmtree(folder)
        read_on.set()
        await until_shown(pilot, "jobs: there is no such folder in ")
