"""Photos by real keys: one in the log, one beside a tick and off again, the page with them, what is missing said, and the signature."""

import hashlib
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import edits
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import PhotoEntry
from tests.demo import AT, accepted
from tests.paper.photos.pictures import picture, put
from tests.tui.driving import Patience, burst, keys, on_disk, reach, shown, typed, until_saved, until_shown
from tui.app import LinewalkApp
from tui.boxes.pages import HelpDialog
from tui.screens.log_page import LogPage
from tui.screens.walk_screen import WalkScreen

FLAG, DEPTH = item_key("layout.P4.flag"), item_key("posts.P4.driven_depth")


@pytest.fixture
def job() -> Job:
    return edits.tick(edits.tick(accepted(), FLAG, AT, "Mo"), DEPTH, AT, "Mo", reading_in=30.0)


async def until_told(pilot: Pilot[int], words: str) -> None:
    """Wait until these words are told."""
    patience = Patience()
    while words not in (told := " ".join(notice.message for notice in pilot.app._notifications)):
        assert patience.lasts, told
        await pilot.pause(0.01)


@pytest.fixture
def folder(path: Path) -> Path:
    """Beside the job: an older picture, the newest one, and one in a folder."""
    put(path.parent, "older.jpg", picture(), at=1_776_000_000.0)
    put(path.parent, "newest.jpg", picture(hue=5), at=1_776_100_000.0)
    put(path.parent, "photos/inside.png", picture(form="PNG"), at=1_775_000_000.0)
    return path.parent


@pytest.mark.usefixtures("folder")
async def test_the_newest_photo_of_the_chosen_post_is_logged_by_four_keys_and_its_caption(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2")
        screen.chosen = "P6"
        await keys(pilot, "l")
        assert "photo      a picture file beside the job" in shown(app)
        await keys(pilot, "p")
        await until_shown(pilot, "older.jpg")
        assert "newest.jpg: Apr " in shown(app)
        await keys(pilot, "tab")
        await typed(pilot, "ledge beside it")
        await keys(pilot, "enter")
        entry = on_disk(path).log[-1]
        assert isinstance(entry, PhotoEntry)
        assert (entry.file, entry.about, entry.caption, entry.line, entry.by) == ("newest.jpg", "P6", "ledge beside it", None, "Mo")
        await until_told(pilot, "Photo newest.jpg of P6: ledge beside it. u takes that back.")
        await keys(pilot, "l", "p")
        await until_shown(pilot, "newest.jpg  Apr ")
        assert "older.jpg: Apr " in shown(app)
        await keys(pilot, "escape", "u")
        assert [one.kind for one in on_disk(path).log if one.struck_at is None] == ["planned"]


@pytest.mark.usefixtures("folder")
async def test_a_photo_at_a_station_and_one_whose_name_is_typed_before_it_is_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "l", "p")
        await until_shown(pilot, "older.jpg")
        await typed(pilot, "photos")  # over the name that stands there
        await keys(pilot, "down", "tab", "tab", "ctrl+u", "tab", "tab")
        await typed(pilot, "12' 6\"")
        await keys(pilot, "enter")
        entry = on_disk(path).log[-1]
        assert isinstance(entry, PhotoEntry)
        assert (entry.file, entry.about, entry.line, entry.station_ft) == ("photos/inside.png", "", "back", 12.5)
        assert entry.place is not None

        await keys(pilot, "l", "p")
        await until_shown(pilot, "older.jpg")
        await keys(pilot, "ctrl+u")
        await typed(pilot, "../elsewhere.jpg")
        await keys(pilot, "enter")
        assert '"../elsewhere.jpg" isn\'t a file beside the job.' in " ".join(shown(app).split())
        await keys(pilot, "ctrl+u")
        await typed(pilot, "later.jpg")
        assert "later.jpg isn't beside the job yet." in shown(app)
        await keys(pilot, "enter")
        assert on_disk(path).log[-1].file == "later.jpg"  # type: ignore[union-attr]  # a photo

        put(path.parent, "letter.jpg", b"a text")
        await keys(pilot, "l", "p")
        await until_shown(pilot, "newest.jpg: Apr ")
        await keys(pilot, "ctrl+u")
        await typed(pilot, "letter.jpg")
        assert "is no JPEG, PNG or WEBP picture." in shown(app), shown(app)


@pytest.mark.usefixtures("folder")
async def test_a_photo_stands_beside_a_tick_and_its_name_again_takes_it_off(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ana")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, DEPTH)
        await keys(pilot, "i")
        await until_shown(pilot, "newest.jpg: Apr ")
        await keys(pilot, "enter")
        tick = on_disk(path).checks[DEPTH]
        assert (tick.photos, tick.by, tick.reading_in) == (("newest.jpg",), "Mo", 30.0)
        assert "1 photo." in " ".join(shown(app).split())
        await keys(pilot, "i")
        await until_shown(pilot, "older.jpg: Apr ")
        assert "Named: newest.jpg. The name of one takes it off." in " ".join(shown(app).replace("┃", " ").split())
        await keys(pilot, "enter")
        assert on_disk(path).checks[DEPTH].photos == ("newest.jpg", "older.jpg")
        assert "2 photos." in " ".join(shown(app).split())
        await keys(pilot, "i")
        await until_shown(pilot, "photos/inside.png: Mar ")
        await keys(pilot, "ctrl+u")
        await typed(pilot, "newest.jpg")
        await keys(pilot, "enter")
        assert on_disk(path).checks[DEPTH].photos == ("older.jpg",)
        await keys(pilot, "u", "u")
        assert on_disk(path).checks[DEPTH].photos == ("newest.jpg",)


async def test_an_open_cell_and_a_name_take_no_photo_and_the_help_names_the_key(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, item_key("posts.P5.driven_depth"))
        await keys(pilot, "i")
        await until_told(pilot, "It isn't ticked yet.")
        await keys(pilot, *["left"] * 12, "i")
        await until_told(pilot, "A photo stands beside a tick")
        assert on_disk(path) == load(path).job
        await keys(pilot, "question_mark")
        assert isinstance(app.screen, HelpDialog)
        assert ("i", "Name a picture file beside the tick under the cursor, or take one off it again.") in [
            (command.said, command.sentence) for _, commands in app.screen.groups for command in commands
        ]


async def test_without_any_picture_a_burst_still_says_what_is_missing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, DEPTH)
        await burst(pilot, "i\r")
        await until_shown(pilot, "There is no picture file beside the job yet.")
        assert "name the picture file, or pick one with Down." in shown(app)
        await burst(pilot, "tape.jpg\r")
        assert on_disk(path).checks[DEPTH].photos == ("tape.jpg",)


async def test_the_log_page_says_which_photo_is_missing(folder: Path, path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        for name in ("gone.jpg", "newest.jpg"):
            screen.edit("photo", lambda job, at, by, name=name: edits.photo(job, name, at, by, about="P6"))  # type: ignore[misc]  # the name as it is now
        await until_saved(pilot)
        await keys(pilot, "g")
        assert isinstance(app.screen, LogPage)
        await until_shown(pilot, "gone.jpg isn't beside the job.")
        assert "newest.jpg isn't" not in shown(app)
        await keys(pilot, "s", "enter")
        assert [one.kind for one in on_disk(path).log if one.struck_at is not None] == ["photo"]
    assert (folder / "newest.jpg").exists()


async def test_the_page_with_its_photos_is_written_beside_the_keys_and_told(folder: Path, path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.edit("photo", lambda job, at, by: edits.photo(job, "newest.jpg", at, by, about="P6"))
        await until_saved(pilot)
        await keys(pilot, "b", "c", "escape")
        await until_told(pilot, "Written:")
        (page,) = folder.glob("*-record.html")
        assert page.read_text(encoding="utf-8").count("data:image/jpeg;base64,") == 1


async def test_the_signature_holds_the_digest_of_every_picture_that_is_there(folder: Path, path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        for name in ("gone.jpg", "newest.jpg"):
            screen.edit("photo", lambda job, at, by, name=name: edits.photo(job, name, at, by, about="P6"))  # type: ignore[misc]  # the name as it is now
        await until_saved(pilot)
        await keys(pilot, "s")
        for _ in range(400):
            if on_disk(path).record is not None:
                break
            await typed(pilot, "left so")
            await keys(pilot, "enter")
        record = on_disk(path).record
        assert record is not None
        assert record.photos == {"newest.jpg": hashlib.sha256((folder / "newest.jpg").read_bytes()).hexdigest()}
        assert load(path).seal_holds
        put(folder, "newest.jpg", picture(hue=9))
        await keys(pilot, "g")
        await until_shown(pilot, "newest.jpg isn't the picture that was there when the")
