"""What stands beneath a plan struck from the log page by real keys: the preview says what becomes of the plan, and the file holds it."""

from datetime import timedelta
from pathlib import Path

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, accepted
from tests.tui.driving import keys, on_disk, shown
from tui.app import LinewalkApp
from tui.boxes.change.preview import ChangeDialog

WEEK, DEPTH = timedelta(days=7), item_key("posts.P9.driven_depth")


def kinds_struck(path: Path) -> list[str]:
    return [entry.kind for entry in on_disk(path).log if entry.struck_at is not None]


def told(app: LinewalkApp) -> str:
    """What is shown, a line that goes on below it in one."""
    return " ".join(shown(app).replace("┃", " ").split())


class TestUnderNewWay:
    """Moves from before a new way: one of a post that it left standing, one of a post that came out with it."""

    @pytest.fixture
    def job(self) -> Job:
        """P6 stands on another stretch of its line than the new way, which takes out the last line post of the same."""
        moved = edits.move_post(accepted(), "P6", AT + WEEK, "Teal", along_ft=2.0)
        row = walk(moved).layout.lines["back"].supports
        moved = edits.move_post(moved, row[-3], AT + WEEK, "Teal", along_ft=1.0)
        before = walk(moved)
        return with_new_way(moved, before, given_up(moved, before, NewWay(row[-4], row[-2]), AT + 2 * WEEK), AT + 2 * WEEK, "Mo")

    async def test_both_are_struck_with_their_preview_and_the_new_way_stands(self, path: Path, job: Job) -> None:
        (reroute,) = (entry for entry in job.log if entry.kind == "reroute")
        out = reroute.out[0]
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            stands = path.read_bytes()
            await keys(pilot, "g", "down", "s")
            assert isinstance(app.screen, ChangeDialog)
            assert f"{out} came out with the new way of back on Apr 28: only the log changes." in told(app)
            assert path.read_bytes() == stands
            await keys(pilot, "enter")
            assert on_disk(path).posts == job.posts

            await keys(pilot, "down", "s")
            assert "P6 goes back to where it stood." in told(app)
            await keys(pilot, "enter")
            after = on_disk(path)
            assert after.posts["P6"] == accepted().posts["P6"]
            assert [(entry.kind, entry.struck_by) for entry in after.log[1:]] == [("move", "Teal"), ("move", "Teal"), ("reroute", "")]

            await keys(pilot, "u")
            assert on_disk(path).posts == job.posts
            await keys(pilot, "r", "home", "s", "enter")
        assert on_disk(path).posts == accepted().posts
        assert walk(on_disk(path)).layout.supports == walk(accepted()).layout.supports


class TestOlderPlan:
    """A plan that an older program accepted: what stood before it isn't kept."""

    @pytest.fixture
    def job(self) -> Job:
        """Without what the entry of the plan keeps today, and with a move since."""
        bare = accepted().model_copy(update={"log": tuple(one.model_copy(update={"before": None}) for one in accepted().log)})
        return edits.move_post(bare, "P6", AT + WEEK, "Teal", along_ft=2.0)

    async def test_its_entry_is_struck_and_the_plan_stays_as_the_preview_says(self, path: Path, job: Job) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g", "down", "s")
            assert "The plan stays as it stands: only the log changes." in told(app)
            await keys(pilot, "enter")
        after = on_disk(path)
        assert kinds_struck(path) == ["planned"]
        assert after.posts == job.posts
        assert walk(after).layout.supports == walk(job).layout.supports


class TestMoreThanOneEntry:
    """What is struck with an entry, or goes into the log for it, is in its preview."""

    @pytest.fixture
    def job(self) -> Job:
        """P17 added and moved; a depth read and read anew."""
        job = edits.tick(accepted(), DEPTH, AT + WEEK, "Mo", reading_in=24)
        job = edits.tick(job, DEPTH, AT + WEEK, "Ana", reading_in=22)
        job = edits.add_post(job, "back", 200, AT + 2 * WEEK, "Mo")
        return edits.move_post(job, "P17", AT + 3 * WEEK, "Mo", along_ft=1.0)

    async def test_the_move_goes_with_the_adding_and_the_first_reading_comes_back(self, path: Path) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            await keys(pilot, "g", "down", "s")
            assert "Struck with it: the move of P17 on May 5." in told(app)
            await keys(pilot, "enter")
            assert kinds_struck(path) == ["add", "move"]
            await keys(pilot, "down", "s")
            assert 'P9 driven depth: 22", ticked on Apr 21 by Ana, counts no more.' in told(app)
            await keys(pilot, "enter")
        after = on_disk(path)
        assert (after.checks[DEPTH].reading_in, after.checks[DEPTH].by) == (24.0, "Mo")
        readings = [(entry.reading_in, entry.struck_by) for entry in after.log if entry.kind == "superseded"]
        assert readings == [(24.0, "Teal"), (22.0, "")]


class TestPlanBeneathPlans:
    """The first plan, with two moves, a fresh layout and a new way on it."""

    @pytest.fixture
    def job(self) -> Job:
        moved = edits.move_post(accepted(), "P6", AT + WEEK, "Ana", along_ft=2.0)
        moved = edits.move_post(moved, "P7", AT + WEEK, "Ana", along_ft=1.0)
        again = accepted_again(moved, fresh_layout(moved, walk(moved)), AT + 2 * WEEK, "Mo")
        before = walk(again)
        row = before.layout.lines["back"].supports
        return with_new_way(again, before, given_up(again, before, NewWay(row[-4], row[-2]), AT + 3 * WEEK), AT + 3 * WEEK, "Mo")

    async def test_it_is_struck_with_all_that_stands_on_it_and_one_key_brings_that_back(self, path: Path, job: Job) -> None:
        app = LinewalkApp(loaded=load(path), by="Teal")
        async with app.run_test(size=(80, 24)) as pilot:
            stands = path.read_bytes()
            await keys(pilot, "g", "end")
            assert "s strikes it." in told(app)
            await keys(pilot, "s")
            with_it = "the move of P6 on Apr 21, the move of P7 on Apr 21, the plan accepted on Apr 28 and the new way of back on May 5."
            assert f"Struck with it: {with_it}" in told(app)
            assert path.read_bytes() == stands
            await keys(pilot, "enter")
            assert [note.message for note in app._notifications][-1].endswith(" 4 more entries went with it. u takes that back.")
            after = on_disk(path)
            assert {entry.struck_by for entry in after.log} == {"Teal"}
            assert (after.posts, after.lines) == ({}, accepted().lines)
            await keys(pilot, "u")
        assert on_disk(path).posts == job.posts
        assert kinds_struck(path) == []
