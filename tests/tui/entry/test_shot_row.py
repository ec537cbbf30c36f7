"""The field book's row by real keys, then the file read: as it is called out, what repeats left out, a burst with its Enter, slips."""

from pathlib import Path

import pytest
from textual.events import Paste

from engine.job.file.store import load, starter
from engine.job.model.fence import FenceLine
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, LevelShot, Point, TapeShot, TieShot
from tests.tui.driving import burst, keys, on_disk, shown, typed, until_saved
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.entry.shot_row import CalledInput

SIZE = (80, 24)


@pytest.fixture
def job() -> Job:
    """Four house corners, 40 by 30 ft, and nothing shot yet."""
    corners = {"A": (0.0, 0.0), "B": (40.0, 0.0), "C": (40.0, -30.0), "D": (0.0, -30.0)}
    points = {name: Point(east_ft=east, north_ft=north) for name, (east, north) in corners.items()}
    return starter("maple").model_copy(update={"points": points, "lines": {"wall": FenceLine(points=("A", "B"))}})


def flat(app: LinewalkApp) -> str:
    return " ".join(shown(app).split())


async def test_shots_are_typed_as_they_are_called_out_and_what_repeats_is_filled_in(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await typed(pilot, "tie T1 a 60 b 72' 1 3/8\"")
        assert "tie T1 A 60' 0\" B 72' 1 3/8\" [Side]" in flat(app)
        await keys(pilot, "enter")
        assert "Side is needed." in shown(app)
        await typed(pilot, " l")
        await keys(pilot, "enter")
        assert "T1 is good to ±" in shown(app)
        assert "nothing to check it" in shown(app) or "Nothing checks it yet." in shown(app)
        await typed(pilot, "72 1 3/8, 60")
        assert "tie T2 A 72' 1 3/8\" B 60' 0\" left" in flat(app)
        await keys(pilot, "enter")
        await typed(pilot, "tape T2 T1 40")
        await keys(pilot, "enter")
        assert 'The tape from T1 to T2 fits to 1/8".' in flat(app) or 'The tape from T2 to T1 fits to 1/8".' in flat(app)
    shots = on_disk(path).shots
    assert list(shots) == ["tie-T1", "tie-T2", "tape-T1-T2"]
    assert shots["tie-T2"] == TieShot(method="tie", point="T2", from_a="A", from_b="B", tape_a_ft=72.1146, tape_b_ft=60.0, side="left")
    assert shots["tape-T1-T2"] == TapeShot(method="tape", from_point="T1", to_point="T2", length_ft=40.0)


async def test_only_the_last_edit_is_said_to_be_taken_back_by_the_key(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "down", "down", "down", "a")
        await typed(pilot, "E")
        await keys(pilot, "tab")
        await typed(pilot, "10")
        await keys(pilot, "tab")
        await typed(pilot, "10")
        await keys(pilot, "enter", "escape")
        assert "Entered: known point E." in flat(app)
        await keys(pilot, "b")
        await typed(pilot, "tie T1 a 60 b 72' 1 3/8\" l")
        await keys(pilot, "enter")
        assert "known point E." not in flat(app)
        assert flat(app).count("takes that back") == 1
        await keys(pilot, "ctrl+z")
        await until_saved(pilot)
    job = on_disk(path)
    assert (list(job.shots), list(job.points)) == ([], ["A", "B", "C", "D", "E"])


async def test_a_burst_with_its_enters_is_what_is_saved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await burst(pilot, "tie T1 A 60 B 72 1 3/8 left\r72 1 3/8, 60\rleg T3 T1 N 45 30 E 20\rN 46 E 21\r")
        await until_saved(pilot)
    shots = on_disk(path).shots
    assert list(shots) == ["tie-T1", "tie-T2", "leg-T1-T3", "leg-T3-T4"]
    assert shots["leg-T3-T4"] == LegShot(method="leg", from_point="T3", to_point="T4", azimuth_deg=46.0, length_ft=21.0)


async def test_what_is_pasted_is_a_shot_a_line_and_the_first_that_can_t_be_stays(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        app.focused.post_message(Paste("tie T1 A 60 B 72 1 3/8 left\ntie T2 Q 4 B 60 left\ntie T3 A 63 3 B 63 3\n"))  # type: ignore[union-attr]
        await until_saved(pilot)
        assert list(on_disk(path).shots) == ["tie-T1"]
        assert isinstance(app.focused, CalledInput)
        assert app.focused.value == "tie T2 Q 4 B 60 left"
        assert "There is no point Q. 1 more pasted line is not entered." in flat(app)


async def test_esc_asks_only_where_something_stands_and_a_kept_line_is_still_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b", "escape")
        assert not isinstance(app.focused, CalledInput)
        await keys(pilot, "b")
        await typed(pilot, "tie T1 A 60")
        await keys(pilot, "escape")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "n")
        assert isinstance(app.focused, CalledInput)
        assert app.focused.value == "tie T1 A 60"
        await keys(pilot, "escape", "y")
        assert not isinstance(app.focused, CalledInput)
    assert on_disk(path).shots == {}


async def test_names_and_kinds_are_finished_by_tab_and_take_turns(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await burst(pilot, "tie Gate1 A 60 B 72 1 3/8 left\rtie Gate2 A 72 1 3/8 B 60\r")
        await typed(pilot, "ta")
        await keys(pilot, "tab")
        await typed(pilot, " g")
        assert "Tab: Gate1 Gate2" in flat(app)
        await keys(pilot, "tab", "tab")
        await typed(pilot, " gate1 40")
        await keys(pilot, "enter")
    assert on_disk(path).shots["tape-Gate1-Gate2"] == TapeShot(method="tape", from_point="Gate1", to_point="Gate2", length_ft=40.0)


async def test_a_foot_misread_is_blamed_on_its_tape_with_its_size_as_soon_as_a_second_check_tells(path: Path) -> None:
    """T1 stands at 0, 60. A to T1 is called out as 61 for 60; the tapes from C and D are right."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await burst(pilot, "tie T1 A 61 B 72 1 3/8 left\r")
        assert "Nothing checks it yet." in flat(app) or "nothing to check it" in flat(app)
        await burst(pilot, "tape T1 C 98 5 7/8\r")
        assert "The tape from A to T1 reads 1' 0\" long, or " in flat(app)
        assert "the shots can't tell which." in flat(app)
        await burst(pilot, "tape T1 D 90\r")
        assert "The tape from A to T1 reads 1' 0\" long. Measure tie-T1 again." in flat(app)


async def test_a_shot_is_put_right_in_the_row_and_keeps_what_the_row_doesn_t_say(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await burst(pilot, "tie T1 A 61.36 B 72 1 3/8 left\r")
        await keys(pilot, "escape", "right", "b")
        assert isinstance(app.focused, CalledInput)
        assert app.focused.value == "tie T1 A 61' 4 5/16\" B 72' 1 3/8\" left"
        await keys(pilot, *["backspace"] * 4)
        await typed(pilot, "right")
        await keys(pilot, "enter")
    shot = on_disk(path).shots["tie-T1"]
    assert isinstance(shot, TieShot)
    assert (shot.side, shot.tape_a_ft) == ("right", 61.36)


async def test_levels_step_on_and_a_point_is_a_station(path: Path) -> None:
    loaded = load(path)
    app = LinewalkApp(loaded=loaded, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await burst(pilot, "level wall 0, 0\r10, -0 6\r-1\rB -2\rA 5\r")
        assert 'Level 5\' 0" at 0" on line wall' in flat(app)
    levels = [shot for shot in on_disk(path).shots.values() if isinstance(shot, LevelShot)]
    assert [(shot.station_ft, shot.level_ft) for shot in levels] == [(0, 0), (10, -0.5), (20, -1), (40, -2), (0, 5)]
