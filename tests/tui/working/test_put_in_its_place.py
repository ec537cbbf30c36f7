"""A file put in the place of the one that was saved, as a folder kept alike on two laptops puts it there: nothing that was saved goes."""

import os
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.edit import edits, entering
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from tests.demo import AT, accepted
from tests.faults.hanging_disk import HangingDisk
from tests.tui.driving import keys, on_disk, reach, shown, typed, until, until_saved, until_shown
from tests.tui.in_hand import FLAG, OTHER, noted, notes, signed, titled
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.choice import Choice
from tui.working import saver as saving

DEPTH, HOUR = item_key("posts.P4.driven_depth"), timedelta(hours=1)
REPLACED = "This file was replaced by one that somebody made from an older version. What was saved in it before is in it again."


@pytest.fixture
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)


@pytest.fixture
def looking_never(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 1e9)


@pytest.fixture(autouse=True)
def rested(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


@pytest.fixture
def copy(path: Path, tmp_path: Path) -> Path:
    """The file as another laptop copied it before anything was done here."""
    (tmp_path / "other laptop").mkdir()
    return Path(shutil.copy(path, tmp_path / "other laptop" / path.name))


def put(copy: Path, path: Path, tmp_path: Path, change: Callable[[Job], Job]) -> None:
    """The other laptop saves in its copy, and that is put where the file stands here."""
    there = load(copy)
    save(there, change(there.job), AT + HOUR, state=tmp_path / "state of the other")
    os.replace(copy, path)


def ticked(job: Job) -> Job:
    return edits.tick(job, OTHER, AT + HOUR, "Teal")


async def a_morning(pilot: object, app: LinewalkApp) -> None:
    """A note, a flag and a depth, each saved."""
    await keys(pilot, "l", "n")  # type: ignore[arg-type]  # a pilot
    await typed(pilot, "soft ground")  # type: ignore[arg-type]  # a pilot
    await keys(pilot, "enter")  # type: ignore[arg-type]  # a pilot
    await until_saved(pilot)  # type: ignore[arg-type]  # a pilot
    for key, reading in ((FLAG, {}), (DEPTH, {"reading_in": 30.0})):
        app.screen.edit("tick", lambda job, at, by, key=key, reading=reading: edits.tick(job, key, at, by, **reading))  # type: ignore[attr-defined]
        await until_saved(pilot)  # type: ignore[arg-type]  # a pilot


def held(path: Path) -> tuple[list[str], set[str]]:
    job = on_disk(path)
    return notes(job), {str(key) for key in job.checks}


ALL = (["soft ground"], {str(FLAG), str(OTHER), str(DEPTH)})


@pytest.mark.usefixtures("looking_often")
async def test_who_only_looks_is_told_and_both_are_in_the_file(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        put(copy, path, tmp_path, ticked)
        await until(pilot, lambda: OTHER in app.screen.hand.job.checks and app.screen.hand.working.saved)  # type: ignore[attr-defined]
        await pilot.pause()
        assert [str(one.message) for one in app._notifications] == [f"{REPLACED} Teal ticked P5 flag."]
        assert held(path) == ALL
        await keys(pilot, "u")
        await until_saved(pilot)
        assert held(path) == (ALL[0], {str(FLAG), str(OTHER)})


@pytest.mark.usefixtures("looking_never")
async def test_what_is_entered_as_it_is_put_there_is_in_too(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        put(copy, path, tmp_path, ticked)
        await reach(pilot, item_key("layout.P6.flag"))
        await keys(pilot, "space")
        await until_saved(pilot)
        assert held(path) == (ALL[0], {*ALL[1], "layout.P6.flag"})
        assert [str(one.message) for one in app._notifications][-1].startswith(REPLACED)


@pytest.mark.usefixtures("looking_often")
async def test_what_both_changed_is_asked(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        put(copy, path, tmp_path, lambda job: edits.tick(job, DEPTH, AT + HOUR, "Teal", reading_in=28))
        await until(pilot, lambda: bool(app.screen_stack[1].hand.working.conflicts))  # type: ignore[attr-defined]
        (asked,) = app.screen_stack[1].hand.working.conflicts  # type: ignore[attr-defined]
        assert ('30"' in asked.ours, '28"' in asked.theirs) == (True, True)


@pytest.mark.usefixtures("looking_never")
async def test_it_is_offered_at_the_next_opening_where_nobody_looked(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
    put(copy, path, tmp_path, ticked)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, Choice))
        await until(pilot, lambda: "another version was put in its place or signed since" in " ".join(shown(app).replace("┃", " ").split()))
        await keys(pilot, "enter")
        await until_saved(pilot)
    assert held(path) == ALL
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.5)
        assert not isinstance(app.screen, Choice)


@pytest.mark.usefixtures("looking_never")
async def test_not_now_keeps_it_though_the_file_is_saved_again(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
    put(copy, path, tmp_path, ticked)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, Choice))
        await keys(pilot, "escape")
        app.screen.edit("note", noted("dry here"))  # type: ignore[attr-defined]
        await until_saved(pilot)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, Choice))
        await keys(pilot, "enter")
        await until_saved(pilot)
    assert (set(notes(on_disk(path))), held(path)[1]) == ({"soft ground", "dry here"}, ALL[1])


@pytest.mark.usefixtures("looking_often")
async def test_a_signed_job_is_signed_again_in_its_file_where_an_older_one_was_put_there(path: Path, copy: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        app.screen.edit("signed", signed)  # type: ignore[attr-defined]
        await until_saved(pilot)
        record = on_disk(path).record
        os.replace(copy, path)
        await until(pilot, lambda: on_disk(path).record is not None)
        await until_saved(pilot)
        assert REPLACED in app.screen.elsewhere._told[0]  # type: ignore[attr-defined]
    assert (on_disk(path).record, load(path).seal_holds, held(path)) == (record, True, (["soft ground"], {str(FLAG), str(DEPTH)}))


@pytest.mark.usefixtures("looking_often")
async def test_a_signature_that_an_older_version_with_work_in_it_was_put_over_does_not_hold(path: Path, copy: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        app.screen.edit("signed", signed)  # type: ignore[attr-defined]
        await until_saved(pilot)
        put(copy, path, tmp_path, ticked)
        await until(pilot, lambda: isinstance(app.screen, Choice))
        await until_shown(pilot, "the signature doesn't hold")
        assert on_disk(path).record is None
        await keys(pilot, "t")
    assert (on_disk(path).record, held(path)) == (None, (["soft ground"], {str(FLAG), str(DEPTH), str(OTHER)}))


@pytest.mark.usefixtures("looking_often")
async def test_another_job_under_its_name_is_left_alone_and_this_one_kept(path: Path, tmp_path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await a_morning(pilot, app)
        mine = path.read_bytes()
        other = new(tmp_path / "other.toml", load(Path("demo_jobs/alder_row.toml")).job, AT, state=tmp_path / "state of the other").path
        os.replace(other, path)
        theirs = path.read_bytes()
        working = lambda: app.screen.hand.working  # type: ignore[attr-defined]  # noqa: E731
        await until(pilot, lambda: "another job was put in its place" in working().trouble)
        assert path.read_bytes() == theirs
        assert notes(working().job) == ["soft ground"]
        assert load(working().rescue).job == working().job
        path.write_bytes(mine)
        app.screen.hand.send()  # type: ignore[attr-defined]
        await until_saved(pilot)
        assert working().trouble == ""
    assert held(path) == (["soft ground"], {str(FLAG), str(DEPTH)})


@pytest.mark.usefixtures("looking_never")
async def test_what_was_kept_while_the_folder_was_away_undoes_nothing_of_the_other_laptop(tmp_path: Path) -> None:
    """Teal opens what Mo saved, the folder goes, Teal logs a note; Mo opens a flag again, takes a tree out and gives another title."""
    share, state = tmp_path / "share", tmp_path / "state of the other"
    share.mkdir()
    start = edits.tick(edits.tick(accepted(), FLAG, AT, "Mo"), OTHER, AT, "Mo")
    path = save(new(share / "yard.toml", start, AT, state=state), edits.note(start, "first", AT, "Mo"), AT, state=state).path
    app = LinewalkApp(loaded=load(path), by="Teal")
    async with app.run_test(size=(80, 24)) as pilot:
        os.rename(share, tmp_path / "gone")
        app.screen.edit("note", noted("sprinkler at P9"))  # type: ignore[attr-defined]
        await until(pilot, lambda: app.screen.hand.working.rescue is not None)  # type: ignore[attr-defined]
    os.rename(tmp_path / "gone", share)
    there = load(path)
    job = entering.remove(edits.untick(there.job, OTHER, AT + HOUR, "Mo"), "trees", "dogwood")
    save(there, titled("The bend")(job, AT, "Mo"), AT + HOUR, state=state)

    app = LinewalkApp(loaded=load(path), by="Teal")
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: isinstance(app.screen, Choice))
        await keys(pilot, "enter")
        await until_saved(pilot)
        assert app.screen.hand.working.conflicts == ()  # type: ignore[attr-defined]
    after = on_disk(path)
    assert (notes(after), OTHER in after.checks, "dogwood" in after.trees) == (["first", "sprinkler at P9"], False, False)
    assert after.job.title == "The bend"


def read_again(job: Job) -> Job:
    return edits.tick(job, DEPTH, AT + HOUR, "Teal", reading_in=30)


def photo_off(job: Job) -> Job:
    return edits.photos_of_tick(job, DEPTH, ("a.jpg",))


def logged_and_struck(job: Job) -> Job:
    job = edits.note(job, "key next door", AT, "Teal")
    return job.model_copy(update={"log": (*job.log[:-1], job.log[-1].model_copy(update={"struck_at": AT, "struck_by": "Teal"}))})


def as_read_of(job: Job) -> tuple[object, ...]:
    """What became of the reading, and the log."""
    tick = job.checks[DEPTH]
    return tick.reading_in, tick.by, tick.photos, [(entry.id, entry.struck_by) for entry in job.log]


class TestUntold:
    """What another laptop changed that no sentence tells of, saved just before two edits here of which the first is on its way."""

    @pytest.fixture
    def path(self, tmp_path: Path) -> Path:
        job = edits.tick(accepted(), DEPTH, AT, "Ana", reading_in=30)
        job = edits.photos_of_tick(job, DEPTH, ("a.jpg", "other_job.jpg"))
        (tmp_path / "jobs").mkdir()
        return new(tmp_path / "jobs" / "yard.toml", job, AT).path

    @pytest.mark.parametrize("change", [read_again, photo_off, logged_and_struck])
    @pytest.mark.usefixtures("looking_never")
    async def test_it_stands(self, path: Path, change: Callable[[Job], Job]) -> None:
        disk = HangingDisk(path.parent)
        app = LinewalkApp(loaded=load(path), by="Mo", disk=disk.disk())
        async with app.run_test(size=(80, 24)) as pilot:
            there: Loaded = load(path)
            theirs = save(there, change(there.job), AT + HOUR).job
            disk.hang()
            await reach(pilot, FLAG)
            await pilot.press("space")
            app.screen.hand.send()  # type: ignore[attr-defined]
            await pilot.pause(0.3)
            app.screen.edit("flag", lambda job, at, by: edits.tick(job, OTHER, at, by))  # type: ignore[attr-defined]
            disk.go()
            await until_saved(pilot)
        after = on_disk(path)
        assert {FLAG, OTHER} <= set(after.checks)
        assert as_read_of(after) == as_read_of(theirs)
