"""A second laptop on one file, by real keys: what it saves is here within seconds, told once in words, and undo keeps it."""

import asyncio
import sys
from datetime import timedelta
from itertools import product
from pathlib import Path

import pytest

import engine
from engine.job.edit import edits, entering
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import MoveEntry, live
from engine.walk import walk
from tests.demo import AT
from tests.tui.driving import Patience, go_to, keys, on_disk, reach, shown, typed, until_saved
from tests.tui.in_hand import FLAG, OTHER, notes, titled
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.from_elsewhere import news_words, told_words
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving
from tui.working.working_copy import looked, open_working


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


def other_laptop(path: Path) -> None:
    """Teal ticks P5's flag and logs a note."""
    there = load(path)
    job = edits.note(edits.tick(there.job, OTHER, AT, "Teal"), "the dog is out", AT, "Teal")
    save(there, job, AT)


async def until_here(pilot: object, screen: WalkScreen) -> None:
    patience = Patience()
    while OTHER not in screen.hand.job.checks:
        assert patience.lasts, "it never came in"
        await pilot.pause(0.05)  # type: ignore[attr-defined]  # a pilot


async def test_who_only_looks_sees_it_within_seconds_and_is_told_once(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert "2 laptops" not in shown(app)
        other_laptop(path)
        stands = path.read_bytes()
        await until_here(pilot, screen)
        await pilot.pause()
        assert screen.hand.working.saved
        assert path.read_bytes() == stands
        assert [str(one.message) for one in app._notifications] == ["Logged, by Teal: the dog is out. Teal ticked P5 flag."]
        assert "2 laptops  saved" in shown(app).splitlines()[0]
        app.clear_notifications()
        await pilot.pause(1.2)
        assert len(app._notifications) == 0


ANOTHER = """
import sys
from datetime import datetime
from pathlib import Path
from engine.job.edit import edits, entering
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.job.model.item_key import item_key
path, at = Path(sys.argv[1]), datetime.fromisoformat("2026-11-25T14:05:00-05:00")
for turn in sys.argv[2:]:
    there = load(path)
    job = there.job
    for key in turn.split():
        job = edits.note(job, key[1:], at, "Teal") if key.startswith("!") else edits.tick(job, item_key(key), at, "Teal")
    save(there, job, at)
"""


def test_what_its_work_opens_here_is_told_behind_the_first_line(path: Path) -> None:
    """Teal sets the fence lower, and says so in a note; P4's eyes stand at the old height."""
    eyes = next(item for item in walk(load(path).job).posts.items if str(item.key) == "posts.P4.eyes")
    here = open_working(save(load(path), edits.tick(load(path).job, eyes.key, AT, "Mo", of=eyes.of), AT), "Mo")
    there = load(path)
    lower = there.job.model_copy(update={"fence": there.job.fence.model_copy(update={"height_ft": 5.0})})
    save(there, edits.note(lower, "the client wants it lower", AT, "Teal"), AT)

    told = looked(here, load(path)).news
    assert told == (
        "Logged, by Teal: the client wants it lower",
        "1 item opens again (P4: eyes at 2' 0\" and 4' 11 3/4\" over the ground).",
        "The fence's height was changed.",
    )


async def test_another_process_saves_again_and_again_and_one_message_tells_it_in_words(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        for turn in ("survey.job.photos_taken layout.P4.flag", "!soft", "layout.P5.flag layout.P6.flag layout.P8.flag layout.P9.flag"):
            count = len(screen.hand.job.checks) + len(screen.hand.job.log)
            done = await asyncio.create_subprocess_exec(
                sys.executable, "-c", ANOTHER, str(path), turn, cwd=Path(engine.__file__).parents[1]
            )
            assert await done.wait() == 0
            patience = Patience()
            while len(screen.hand.job.checks) + len(screen.hand.job.log) == count:
                assert patience.lasts, "it never came in"
                await pilot.pause(0.05)
        await pilot.pause(0.1)
        (told,) = (str(one.message) for one in app._notifications)
        assert told == "Teal ticked P5 flag, P6 flag, P8 flag and 1 more. Logged, by Teal: soft. Teal ticked photos taken and P4 flag."
        assert shown(app).count("▌") == 2
        await pilot.press("l")
        await pilot.pause()
        assert "What happened" in shown(app)


def test_what_came_in_is_three_sentences_at_most_and_takes_as_few_lines_over_the_work_as_may_be() -> None:
    assert news_words(("a.", "b.", "c.")) == "a.\nb.\nc."
    assert told_words(("a.", "b", "c.", "d.", "e.")) == "a. b. And 3 more."


async def test_what_was_done_here_before_is_taken_back_alone(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "l", "n")
        await typed(pilot, "soft ground")
        await keys(pilot, "enter")
        other_laptop(path)
        await until_here(pilot, screen)
        await keys(pilot, "u")
        assert (notes(on_disk(path)), list(on_disk(path).checks)) == (["the dog is out"], [OTHER])
        await keys(pilot, "ctrl+r")
        await until_saved(pilot)
        assert OTHER in on_disk(path).checks


async def test_one_reading_read_on_both_is_asked_with_both_shown(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        save(there, edits.tick(there.job, FLAG, AT, "Teal", needed=False), AT)
        screen.edit("flag", lambda job, at, by: edits.tick(job, FLAG, at, by))
        await until_saved(pilot)
        await pilot.pause()
        said = words(app)
        assert "Both laptops changed this ━" in said
        assert "P4 flag. Which is right?" in said
        assert "t this laptop: done, by Mo on" in said
        assert "o the other one: not needed, by Teal on" in said
        assert on_disk(path).checks[FLAG].by == "Teal"
        await keys(pilot, "enter")
        assert (on_disk(path).checks[FLAG].by, on_disk(path).checks[FLAG].state) == ("Mo", "done")


def words(app: LinewalkApp) -> str:
    return " ".join(shown(app).replace("┃", " ").split())


def both_changed(path: Path, screen: WalkScreen) -> None:
    """P4's flag, the job's title and where P6 goes, each by both laptops."""
    there = load(path)
    job = edits.tick(there.job, FLAG, AT, "Teal", needed=False)
    job = edits.move_post(job, "P6", AT, "Teal", along_ft=1.0)
    save(there, titled("theirs")(job, AT, "Teal"), AT)
    screen.edit("flag", lambda job, at, by: edits.tick(job, FLAG, at, by))
    screen.edit("move", lambda job, at, by: edits.move_post(job, "P6", at, by, along_ft=-1.0))
    screen.edit("title", titled("ours"))


def outcome(path: Path) -> tuple[str, list[float], str]:
    """Who ticked the flag, where P6 went, what the job is called."""
    job = on_disk(path)
    return job.checks[FLAG].by, [entry.along_ft for entry in live(job.log) if isinstance(entry, MoveEntry)], job.job.title


@pytest.mark.parametrize("answers", list(product("to", repeat=3)))
async def test_questions_are_asked_one_by_one_and_each_answer_is_in_the_file(path: Path, answers: tuple[str, ...]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        both_changed(path, screen)
        await until_saved(pilot)
        for number, (answer, about) in enumerate(zip(answers, ("P6.", "P4 flag.", "The job's title."), strict=True), 1):
            assert f", question {number} of 3" in words(app)
            assert f"{about} Which is right?" in words(app)
            await keys(pilot, answer)
        assert isinstance(app.screen, WalkScreen)
        assert screen.hand.working.saved
    both = (([-1.0], [1.0]), ("Mo", "Teal"), ("ours", "theirs"))
    move, flag, title = (pair["to".index(answer)] for pair, answer in zip(both, answers, strict=True))
    assert outcome(path) == (flag, move, title)
    assert len([entry for entry in on_disk(path).log if entry.kind == "move"]) == 2


async def test_leaving_in_the_middle_leaves_all_as_it_was_and_a_click_answers(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        both_changed(path, screen)
        await until_saved(pilot)
        stands, job = path.read_bytes(), screen.hand.job
        await keys(pilot, "o", "escape")
        assert (path.read_bytes(), screen.hand.job) == (stands, job)
        assert "NOT SAVED" in shown(app)
        await keys(pilot, "ctrl+s")
        assert "question 1 of 3" in words(app)
        for row in (0, 1, 1):
            await pilot.click("#choices", offset=(6, row))
            await until_saved(pilot)
    assert outcome(path) == ("Teal", [-1.0], "theirs")


async def test_an_answer_that_leads_to_another_question_is_asked_on(path: Path) -> None:
    """What was answered stays answered when the other laptop has saved something else meanwhile."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        both_changed(path, screen)
        screen.edit("client", lambda job, _at, _by: job.model_copy(update={"job": job.job.model_copy(update={"client": "ours"})}))
        await until_saved(pilot)
        there = load(path)
        save(there, there.job.model_copy(update={"job": there.job.job.model_copy(update={"client": "theirs"})}), AT)
        await keys(pilot, "t", "o", "o")
        assert "question 4 of 4" in words(app)
        assert "The job's client. Which is right?" in words(app)
        await keys(pilot, "t")
    assert outcome(path) == ("Teal", [-1.0], "theirs")
    assert on_disk(path).job.client == "ours"


@pytest.mark.parametrize(("answer", "read_in"), [("t", 28.0), ("m", 29.0)])
async def test_a_reading_that_comes_in_while_one_is_typed_is_asked_about_with_both_shown(path: Path, answer: str, read_in: float) -> None:
    depth = item_key("posts.P4.driven_depth")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await reach(pilot, depth)
        await typed(pilot, "29")
        there = load(path)
        save(there, edits.tick(edits.tick(there.job, OTHER, AT, "Teal"), depth, AT, "Teal", reading_in=28), AT)
        await until_here(pilot, screen)
        await keys(pilot, "enter")
        assert '28", Teal,' in shown(app)
        assert '29", as typed here' in shown(app)
        assert on_disk(path).checks[depth].reading_in == 28.0
        await keys(pilot, answer)
    assert on_disk(path).checks[depth].reading_in == read_in


async def test_a_reading_whose_bay_goes_while_it_is_typed_is_kept_for_what_stood_and_that_is_told(path: Path) -> None:
    taped = item_key("layout.P4-P5.taped")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await reach(pilot, taped)
        of = screen.hand.walk.checklists["layout"].by_key[taped].item.of
        await typed(pilot, "22")
        there = load(path)
        save(there, edits.drop_post(edits.tick(there.job, OTHER, AT, "Teal"), "P4", AT, "Teal"), AT)
        await until_here(pilot, screen)
        await keys(pilot, "enter")
        assert "P4 to P5: taped: what came in meanwhile changed what that is about." in " ".join(shown(app).replace("▌", " ").split())
    kept = on_disk(path).checks[taped]
    assert (kept.reading_ft, kept.of) == (22.0, of)


@pytest.mark.parametrize("read_there", [None, 5.0])
async def test_a_reading_goes_to_its_gate_under_the_name_that_it_was_given_while_it_was_typed(path: Path, read_there: float | None) -> None:
    opening, called = item_key("gate.side.opening"), item_key("gate.lower.opening")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await reach(pilot, opening)
        await typed(pilot, "5'2")
        there = load(path)
        job = entering.rename(edits.tick(there.job, OTHER, AT, "Teal"), "gates", "side", "lower")
        save(there, job if read_there is None else edits.tick(job, called, AT, "Teal", reading_ft=read_there), AT)
        await until_here(pilot, screen)
        await pilot.pause()
        assert screen.sheet.not_kept.startswith("lower: ")
        await keys(pilot, "enter")
        if read_there is not None:
            assert "It was read twice. Which stands?" in words(app)
            await keys(pilot, "m")
        assert "changed what that is about" not in words(app)
        assert screen.hand.walk.checklists["gate"].by_key[called].state == "done"
    ticks = on_disk(path).checks
    assert (ticks[called].reading_ft, ticks[called].by) == (pytest.approx(5 + 2 / 12, abs=1e-3), "Mo")
    assert opening not in ticks


async def test_a_reading_goes_to_its_own_post_where_both_laptops_gave_one_number(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 1e9)
    monkeypatch.setattr(saving, "PAUSE_S", 1e9)
    monkeypatch.setattr(saving, "LONGEST_PAUSE_S", 1e9)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        job = edits.add_post(there.job, "back", 20, AT, "Teal")
        theirs = job.log[-1].post  # type: ignore[union-attr]
        save(there, job, AT)
        screen.edit("add", lambda job, _at, by: edits.add_post(job, "back", 90, AT + timedelta(minutes=1), by))
        mine = screen.hand.job.log[-1].post  # type: ignore[union-attr]
        assert mine == theirs
        await go_to(pilot, item_key(f"posts.{mine}.driven_depth"))
        await pilot.press("2", "9")
        screen.hand.send()
        await until_saved(pilot)
        called = screen.hand.job.log[-1].post  # type: ignore[union-attr]
        assert called != theirs
        assert screen.sheet.not_kept.startswith(f"{called}: ")
        await pilot.press("enter")
        screen.hand.send()
        await until_saved(pilot)
    ticks = on_disk(path).checks
    assert ticks[item_key(f"posts.{called}.driven_depth")].reading_in == 29.0
    assert item_key(f"posts.{theirs}.driven_depth") not in ticks


def test_another_name_from_another_laptop_is_told_in_one_sentence(path: Path) -> None:
    working = open_working(load(path), "Mo")
    there = load(path)
    save(there, entering.rename(there.job, "gates", next(iter(there.job.gates)), "lower"), AT)
    now_there = looked(working, load(path))
    assert now_there.news == (f"Gate {next(iter(working.job.gates))} is called lower now.",)
