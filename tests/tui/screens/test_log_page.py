"""The log page by real keys: newest first, struck once its consequences were seen, Enter to the place; what can't be struck says why."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.file.store import load, new, save
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.job.model.words.log_sentences import sentence
from engine.paper.as_built import build_record
from engine.paper.plan.plan_json import plan
from engine.walk import walk
from tests.demo import AT, accepted
from tests.tui.driving import burst, keys, on_disk, shown, typed, until
from tui.app import LinewalkApp
from tui.boxes.change.preview import ChangeDialog
from tui.screens.log_page import LogPage
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving

WEEK = timedelta(days=7)


@pytest.fixture
def job() -> Job:
    """The plan, a move a week later, another week on a note and a delivery."""
    moved = edits.move_post(accepted(), "P6", AT + WEEK, "Teal", along_ft=2.0)
    noted = edits.note(moved, "soft ground", AT + 2 * WEEK, "Mo", about="P9")
    return edits.delivery(noted, "sleeve-30", AT + 2 * WEEK, "Mo", packs=2, loose=None)


def kinds_struck(path: Path) -> list[str]:
    return [entry.kind for entry in on_disk(path).log if entry.struck_at is not None]


async def test_the_newest_stands_first_with_day_time_and_who(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 24)) as pilot:
        await pilot.pause()
        assert "g logged" in shown(app)
        await keys(pilot, "g")
        assert isinstance(app.screen, LogPage)
        rows = [line.strip() for line in shown(app).splitlines() if "09:30" in line]
        said = [sentence(entry) for entry in reversed(on_disk(path).log)]
        assert rows == [
            f"Apr 28  09:30  Mo       {said[0]}",
            f"Apr 28  09:30  Mo       {said[1]}",
            f"Apr 21  09:30  Teal     {said[2]}",
            f"Apr 14  09:30  Mo Teal  {said[3]}",
        ]
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)


async def test_a_move_of_last_week_is_struck_once_its_consequences_were_seen(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        stands = path.read_bytes()
        await keys(pilot, "l", "s", "down", "down", "s")
        assert isinstance(app.screen, ChangeDialog)
        assert sentence(on_disk(path).log[1]) in shown(app)
        await keys(pilot, "escape")
        assert path.read_bytes() == stands

        await keys(pilot, "s", "enter")
        move = next(entry for entry in on_disk(path).log if entry.kind == "move")
        assert (move.struck_by, screen.hand.walk.layout.supports["P6"].moved) == ("Mo", False)
        assert "(struck" in shown(app)
        told = [note.message for note in app._notifications]
        assert told == ["Struck: P6 moved 2' 0\" forward along the line. u takes that back."]
        await keys(pilot, "s")
        assert isinstance(app.screen, LogPage)
        await keys(pilot, "u")
        assert screen.hand.walk.layout.supports["P6"].moved
        assert kinds_struck(path) == []


@pytest.mark.parametrize(("down", "kind"), [(0, "delivery"), (1, "note"), (2, "move")])
async def test_each_kind_that_stands_by_itself_is_struck(path: Path, down: int, kind: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "g", *["down"] * down, "s", "enter")
    assert kinds_struck(path) == [kind]


@pytest.mark.parametrize(("down", "stage", "chosen"), [(0, "punch", "sleeve-30"), (1, "layout", "P9"), (2, "layout", "P6")])
async def test_enter_goes_to_the_place_of_an_entry(path: Path, down: int, stage: str, chosen: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "g", *["down"] * down)
        assert f"Enter goes to {'the punch list' if stage == 'punch' else chosen}." in shown(app)
        await keys(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert (screen.stage, screen.chosen) == (stage, chosen)


async def test_a_click_chooses_and_a_click_on_the_chosen_goes_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "g")
        await pilot.click("#entries", offset=(30, 2))
        assert "Enter goes to P6." in shown(app)
        await pilot.click("#entries", offset=(30, 2))
        await keys(pilot)
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.chosen == "P6"


async def test_slash_finds_the_next_entry_that_says_so(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "g", "slash")
        await typed(pilot, "teal")
        await keys(pilot, "enter")
        assert "goes to P6" in shown(app)
        await burst(pilot, "/goat\r")
        assert [note.message for note in app._notifications][-1] == "Nothing in the log says goat."


async def test_an_entry_that_the_job_is_searched_for_is_shown_on_its_page(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await burst(pilot, "/P6 moved\r")
        await keys(pilot, "enter")
        assert isinstance(app.screen, LogPage)
        assert "Enter goes to P6." in shown(app)
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.chosen == "P6"


LOGGED: dict[str, Callable[[Job], Job]] = {
    "obstacle": lambda job: edits.obstacle(job, "rock", "back", 83, AT, "Mo"),
    "move": lambda job: edits.move_post(job, "P6", AT, "Mo", along_ft=2),
    "swap": lambda job: edits.swap_to_tree(job, "P5", "oak", AT, "Mo"),
    "add": lambda job: edits.add_post(job, "back", 200, AT, "Mo"),
    "drop": lambda job: edits.drop_post(job, "P6", AT, "Mo"),
    "planned": lambda job: edits.accept_layout(job, {name: post for name, post in job.posts.items() if name != "P6"}, AT, "Mo"),
    "delivery": lambda job: edits.delivery(job, "sleeve-30", AT, "Mo", packs=2, loose=None),
    "sleeve_left": lambda job: edits.sleeve_left(job, "P6", (3.0, 4.0), AT, "Mo"),
    "note": lambda job: edits.note(job, "soft", AT, "Mo"),
}


class TestEveryKind:
    """Each kind by the same keys: the preview, the file as it was before it is accepted, and the walk as before the entry once it is."""

    @pytest.fixture(params=list(LOGGED))
    def kind(self, request: pytest.FixtureRequest) -> str:
        return str(request.param)

    @pytest.fixture
    def job(self, kind: str) -> Job:
        """The plan accepted, and one entry of the kind."""
        return LOGGED[kind](accepted())

    async def test_it_is_struck_by_the_same_keys(self, path: Path, kind: str) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            stands = path.read_bytes()
            await keys(pilot, "g", "s")
            assert isinstance(app.screen, ChangeDialog)
            assert path.read_bytes() == stands
            await keys(pilot, "enter")
        after = on_disk(path)
        assert [(entry.kind, entry.struck_by) for entry in after.log] == [("planned", ""), (kind, "Teal")]
        assert plan(walk(after)) == plan(walk(accepted()))


class TestLong:
    """A log longer than the screen."""

    @pytest.fixture
    def job(self) -> Job:
        """Forty notes, an hour apart."""
        job = accepted()
        for n in range(40):
            job = edits.note(job, f"words {n}", AT + timedelta(hours=n + 1), "Mo")
        return job

    async def test_it_is_paged_through_and_the_cursor_stays_in_sight(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Mo")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g")
            assert "words 39" in shown(app)
            assert "words 12" not in shown(app)
            await keys(pilot, "pagedown", "pagedown")
            assert "words 12" in shown(app)
            await keys(pilot, "end")
            assert "Plan accepted: 16 supports." in shown(app)
            await keys(pilot, "pageup", "home")
            assert "words 39" in shown(app)


class TestPlans:
    """A fresh layout and a new way, of another day: struck with their preview, what stood before comes back in the file."""

    @pytest.fixture
    def job(self) -> Job:
        """A rock, a fresh layout clear of it, and a new way since."""
        found = edits.obstacle(accepted(), "rock", "back", 83, AT + WEEK, "Mo", radius_ft=3.0)
        again = accepted_again(found, fresh_layout(found, walk(found)), AT + WEEK, "Mo")
        before = walk(again)
        row = before.layout.lines["back"].supports
        way = given_up(again, before, NewWay(row[-4], row[-2]), AT + 2 * WEEK)
        return with_new_way(again, before, way, AT + 2 * WEEK, "Mo")

    async def test_the_new_way_and_then_the_plan_are_struck(self, path: Path, job: Job) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            stands = path.read_bytes()
            await keys(pilot, "g", "down", "s")
            assert isinstance(app.screen, ChangeDialog)
            assert "Struck with it: the new way of back on" in shown(app)
            await keys(pilot, "escape")
            assert path.read_bytes() == stands

            await keys(pilot, "home", "s")
            assert isinstance(app.screen, ChangeDialog)
            assert "back takes a new way" in shown(app)
            await keys(pilot, "escape")
            assert path.read_bytes() == stands

            await keys(pilot, "s", "enter")
            assert on_disk(path).lines == accepted().lines
            assert on_disk(path).shots == accepted().shots
            await keys(pilot, "down", "s")
            assert isinstance(app.screen, ChangeDialog)
            assert "Plan accepted" in shown(app)
            await keys(pilot, "enter")
            assert on_disk(path).posts == accepted().posts
            assert kinds_struck(path) == ["planned", "reroute"]

            await keys(pilot, "u", "u")
        assert on_disk(path).posts == job.posts
        assert on_disk(path).lines == job.lines

    async def test_a_rock_from_before_both_is_struck_and_the_plans_stand(self, path: Path, job: Job) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g", "down", "down", "s", "enter")
        assert kinds_struck(path) == ["obstacle"]
        assert on_disk(path).posts == job.posts

    async def test_the_first_plan_is_struck_last(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g", "s", "enter", "down", "s", "enter", "end", "s", "enter")
        after = on_disk(path)
        assert after.posts == {}
        assert kinds_struck(path) == ["planned", "planned", "reroute"]

    async def test_a_reading_that_was_taken_back_comes_back(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        key = ItemKey("posts", "P9", "driven_depth")
        async with app.run_test(size=(80, 24)) as pilot:
            screen = app.screen
            assert isinstance(screen, WalkScreen)
            screen.edit("read", lambda job, at, by: edits.tick(job, key, at, by, reading_in=24))
            screen.edit("opened", lambda job, at, by: edits.untick(job, key, at, by))
            await keys(pilot, "g")
            assert "P9 driven depth" in shown(app)
            await keys(pilot, "s", "enter")
        assert on_disk(path).checks[key].reading_in == 24.0
        assert kinds_struck(path) == ["superseded"]


@pytest.fixture
def sealed(job: Job) -> Job:
    """The job signed off."""
    at = AT + 3 * WEEK
    return edits.sign(job, build_record(job, walk(job), at, "Mo", "the client", {}), at, "Mo", "the client")


class TestSealed:
    """A job that is signed off: only its signature can be struck, and that reopens it."""

    @pytest.fixture
    def path(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Job) -> Path:
        """The signed job in a file of its own."""
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
        return new(tmp_path / "yard.toml", sealed, AT, state=tmp_path / "state").path

    async def test_striking_the_signature_reopens_with_a_reason(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Mo")
        async with app.run_test(size=(80, 24)) as pilot:
            stands = path.read_bytes()
            await keys(pilot, "g", "down", "s")
            assert "sealed" in shown(app)
            assert path.read_bytes() == stands
            await keys(pilot, "home", "s")
            await typed(pilot, "deer came")
            await keys(pilot, "enter")
            assert isinstance(app.screen, ChangeDialog)
            assert path.read_bytes() == stands
            await keys(pilot, "enter")
            assert "deer came" in shown(app)
        after = on_disk(path)
        assert after.record is None
        assert [(entry.kind, entry.struck_by) for entry in after.log][-2:] == [("signed", "Mo"), ("reopened", "")]
        assert live(after.log)[-1].why == "deer came"

    async def test_a_reopening_stays(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Mo")
        async with app.run_test(size=(80, 24)) as pilot:
            await burst(pilot, "sdeer came\r\r")
            stands = path.read_bytes()
            await keys(pilot, "g", "s")
            assert isinstance(app.screen, LogPage)
            assert path.read_bytes() == stands

    async def test_a_signature_that_seals_nothing_is_struck_like_another_entry(
        self, tmp_path: Path, sealed: Job, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Somebody cut the record out of the file: the signature stands in the log alone."""
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
        cut_out = new(tmp_path / "cut.toml", sealed.model_copy(update={"record": None}), AT, state=tmp_path / "state").path
        app = LinewalkApp(loaded=load(cut_out), by="Mo")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g", "s", "enter")
        assert kinds_struck(cut_out) == ["signed"]


async def test_a_strike_that_news_comes_before_is_to_be_struck_again(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 24), notifications=True) as pilot:
        await keys(pilot, "g", "s")
        there = load(path)
        save(there, edits.note(there.job, "wet", AT, "Teal"), AT)
        hand = app.screen_stack[1].hand  # type: ignore[attr-defined]  # the walk screen
        await until(pilot, lambda: hand.job.log[-1].kind == "note" and hand.job.log[-1].text == "wet")
        await keys(pilot, "enter")
        said = [str(one.message) for one in app._notifications]
        assert "Something came in from another laptop meanwhile. Look at it, then strike it again." in said
    assert kinds_struck(path) == []
