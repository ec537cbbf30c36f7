"""A folder of jobs: listed with what is left, unreadable ones with the reason, opened and left by keys."""

import asyncio
import shutil
from pathlib import Path
from threading import enumerate as enumerate_threads

import pytest

from engine.ahead.finished_jobs import finished_jobs
from engine.folder.job_order import HEADS
from engine.folder.listing_memory import recall
from engine.job.file.disk import Disk
from engine.job.file.store import load, state_folder
from engine.job.model.log_entries import ReopenedEntry
from engine.paper.record_office import CHANGED
from engine.walk import walk
from tests.repair.finished import finished, signed_file
from tests.tui.driving import keys, shown, typed, until_saved, until_shown
from tui.app import LinewalkApp
from tui.screens.job_table import JobTable, columns_of
from tui.screens.jobs import JobsScreen
from tui.screens.walk_screen import WalkScreen

DEMOS = Path(__file__).parents[3] / "demo_jobs"
OPEN = sum(len(checklist.lines) for checklist in walk(load(DEMOS / "willow_bend.toml").job).checklists.values())
"""Items of a job in which nothing is ticked yet."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for name in ("alder_row", "willow_bend"):
        shutil.copy(DEMOS / f"{name}.toml", jobs)
    (jobs / "broken.toml").write_text("format = 1\n[job\n")
    return jobs


def row_of(app: LinewalkApp, words: str) -> str:
    """The line of the table that holds these words."""
    return next(line for line in shown(app).splitlines()[1:-3] if words in line)


async def test_every_job_is_listed_and_a_broken_one_says_why(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(120, 36)) as pilot:
        await until_saved(pilot)
        lines = shown(app).splitlines()
    assert lines[1].split() == ["number", "title", "client", "planned-", "stage", "open", "worst", "short", "sealed"]
    assert [line.split() for line in lines[2:5]] == [
        ["!", "2611", "Willow", "Bend", "back", "yard", "Client", "as", "on", "the…", "4/14/2026", "1", "survey", str(OPEN), "fix"],
        ["2588", "Alder", "Row", "small", "yard", "Client", "as", "on", "the…", "3/9/2026", "0", "sealed"],
        lines[4].split(),
    ]
    assert "X broken.toml  line 2" in lines[4]
    assert "3 jobs, 1 can't be read" in lines[0]


async def test_a_folder_that_was_looked_at_tells_its_hours_without_being_read_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
    monkeypatch.delattr("engine.ahead.finished_jobs.finished_file")
    (folder / "broken.toml").unlink()
    assert list(finished_jobs(folder, 20.0).times) == ["alder_row.toml"]


async def test_columns_without_room_stand_in_words_below(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        lines = shown(app).splitlines()
        await keys(pilot, "s")
        assert shown(app).splitlines()[0].rstrip().endswith(" 3 jobs, 1 can't be read, by stage")
        await keys(pilot, "S")
        assert shown(app).splitlines()[0].rstrip().endswith(", by stage, backwards")
    assert lines[1].split() == ["number", "title", "planned-", "open", "worst", "short", "sealed"]
    assert lines[-3].rstrip() == " Willow Bend back yard, willow_bend.toml. Client as on the work order. 1 survey"


async def test_enter_opens_a_job_and_q_comes_back_with_the_row_read_again(folder: Path) -> None:
    app = LinewalkApp(folder=folder, by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "enter")
        assert isinstance(app.screen, WalkScreen)
        await keys(pilot, "1", "space", "q")
        assert isinstance(app.screen, JobsScreen)
        assert f" {OPEN - 1} " in row_of(app, "Willow")
    assert len(load(folder / "willow_bend.toml").job.checks) == 1


async def test_a_broken_job_is_not_opened_nor_touched(folder: Path) -> None:
    before = (folder / "broken.toml").read_bytes()
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await keys(pilot, "end", "enter")
        assert isinstance(app.screen, JobsScreen)
    assert (folder / "broken.toml").read_bytes() == before


async def test_a_new_job_is_made_from_its_heading_and_never_over_another(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "n")
        await typed(pilot, "Hill lane")
        await keys(pilot, "tab")
        await typed(pilot, "2701")
        await keys(pilot, "tab", "tab", "tab")
        await typed(pilot, "4/31")
        await keys(pilot, "enter")
        assert "Planned for: " in shown(app)
        await keys(pilot, "end", "backspace", "0", "enter")
        assert isinstance(app.screen, WalkScreen)
        who = load(folder / "hill_lane.toml").job.job
        assert (who.title, who.number, who.planned_for and (who.planned_for.month, who.planned_for.day)) == ("Hill lane", "2701", (4, 30))
        await keys(pilot, "q")
        before = (folder / "alder_row.toml").read_bytes()
        await keys(pilot, "n")
        await typed(pilot, "Alder Row")
        await keys(pilot, "enter")
        assert "! File: alder_row.toml: is there already" in " ".join(shown(app).split())
        await keys(pilot, "end", "2", "enter", "q")
        assert load(folder / "alder_row2.toml").job.job.title == "Alder Row"
    assert (folder / "alder_row.toml").read_bytes() == before


async def test_heads_sort_by_key_and_by_click_and_words_find(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(120, 36)) as pilot:
        await until_saved(pilot)
        await keys(pilot, *(["s"] * (len(HEADS) - HEADS.index("planned"))))
        assert [line[2:6] for line in shown(app).splitlines()[2:4]] == ["2588", "2611"]
        await keys(pilot, "S")
        assert [line[2:6] for line in shown(app).splitlines()[2:4]] == ["2611", "2588"]
        await pilot.click(JobTable, offset=(4, 0))
        assert [line[2:6] for line in shown(app).splitlines()[2:4]] == ["2588", "2611"]
        await keys(pilot, "slash")
        await typed(pilot, "bend")
        await keys(pilot, "enter")
        assert '1 of 3 jobs: "bend"' in shown(app).splitlines()[0]
        assert app.screen.query_one(JobTable).current.name == "willow_bend.toml"
        await keys(pilot, "escape")
        assert len(app.screen.query_one(JobTable).rows) == 3


async def test_only_those_signed_off_or_those_of_one_week_are_shown(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        table = app.screen.query_one(JobTable)
        for wanted in (["willow_bend.toml"], ["alder_row.toml"], ["broken.toml"]):
            await keys(pilot, "f")
            assert [row.name for row in table.rows] == wanted
        assert shown(app).splitlines()[0].rstrip().endswith(" 1 of 3 jobs: can't be read")
        await keys(pilot, "f", "home", "w")
        assert [row.name for row in table.rows] == ["willow_bend.toml"]
        assert "week of 4/14/2026" in shown(app).splitlines()[0]
        await keys(pilot, "w")
        assert len(table.rows) == 3


async def test_a_folder_in_the_folder_is_entered_and_left(folder: Path) -> None:
    (folder / "2025").mkdir()
    shutil.copy(DEMOS / "ridge_ring.toml", folder / "2025" / "old.toml")
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        table = app.screen.query_one(JobTable)
        assert table.rows[0] == "2025"
        await keys(pilot, "home", "enter")
        assert [row.name for row in table.rows] == ["old.toml"]
        await keys(pilot, "backspace")
        assert len(table.rows) == 4
        assert table.current == "2025"
        await keys(pilot, "backspace")
        assert app.screen.folder == folder


async def test_a_click_chooses_a_job_and_a_second_one_opens_it(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await pilot.click(JobTable, offset=(10, 2))
        assert app.screen.query_one(JobTable).current.name == "alder_row.toml"
        await pilot.click(JobTable, offset=(30, 2))
        await until_saved(pilot)
        assert isinstance(app.screen, WalkScreen)


async def test_a_sealed_job_that_was_changed_is_marked(folder: Path) -> None:
    path = folder / "alder_row.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('title = "Alder Row', 'title = "Elder Row'), encoding="utf-8")
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        assert row_of(app, "Elder Row").startswith("X ")
        assert row_of(app, "Elder Row").rstrip().endswith("CHANGED")


async def test_a_file_that_has_gone_is_gone_from_the_list_when_it_is_read_again(folder: Path) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        (folder / "broken.toml").unlink()
        await keys(pilot, "r")
        assert "broken" not in shown(app)
        assert "2 jobs" in shown(app).splitlines()[0]


async def test_five_hundred_jobs_are_on_the_screen_within_moments_and_keys_answer_while_they_are_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
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
        assert "Yard 499 back yard, yard_499.toml" in shown(app)
        assert isinstance(app.screen, JobsScreen)
        reading = app.screen._reading
        await pilot.press("slash", *"499", "enter")
        await until_shown(pilot, '1 of 500 jobs: "499"')
        assert app.screen._reading is reading, "behind a box it is read on"
    while any(thread.name == "folder" for thread in enumerate_threads()):
        await asyncio.sleep(0.02)
    assert 0 < len(recall(Disk(), state_folder())) < 500


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


async def test_a_sealed_job_that_is_changed_while_it_is_open_names_what_was_changed(folder: Path) -> None:
    sealed = signed_file(folder / "sealed.toml", finished("willow_bend"))
    app = LinewalkApp(loaded=load(sealed.path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_shown(pilot, "signed off, sealed")
        text = sealed.path.read_text(encoding="utf-8").replace("[dogs.pepper]", "[dogs.mint]").replace("loaded = 16", "loaded = 12")
        sealed.path.write_text(text, encoding="utf-8")
        await until_shown(pilot, "sealed, but CHANGED")
        await until_shown(pilot, "This isn't what was signed any more. Dog pepper was taken out. And 2 more:")
        await keys(pilot, "b")
        page = shown(app)
        assert page.index(CHANGED) < page.index("Dog pepper was taken out.") < page.index("Dog mint was put in.")
        assert "2 stock rows were changed: round steel post 1 5/8 in, 8 ft and steel sleeve 30 in." in " ".join(page.split())
        await keys(pilot, "k", "escape", "s", *"deer", "enter")
        asked = " ".join(shown(app).replace("┃", " ").split())
        assert "Reopened: deer. The file had been changed after it was signed. Dog pepper was taken out." in asked
        await keys(pilot, "enter")
        await until_saved(pilot)
    entry = load(sealed.path).job.log[-1]
    assert isinstance(entry, ReopenedEntry)
    assert entry.why == (
        "deer. The file had been changed after it was signed. Dog pepper was taken out. Dog mint was put in. "
        "2 stock rows were changed: round steel post 1 5/8 in, 8 ft and steel sleeve 30 in."
    )
    said = " ".join((folder / "sealed-client.html").read_text(encoding="utf-8").split())
    assert (
        "Dog pepper was taken out. Dog mint was put in. 2 stock rows were changed: round steel post 1 5/8 in, 8 ft and steel sleeve 30 in."
        in said
    )


@pytest.mark.parametrize(("width", "title", "client"), [(80, 22, 0), (120, 22, 17), (160, 49, 30), (200, 79, 40)])
def test_a_wide_list_has_room_for_clients_too(width: int, title: int, client: int) -> None:
    columns = columns_of(width)
    sizes = {head: size for head, _, size in columns}
    assert (sizes["title"], sizes.get("client", 0)) == (title, client)
    assert sum(size + 2 for size in sizes.values()) == width
