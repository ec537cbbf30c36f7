"""Somebody who has read nothing, at 80x24: from an empty folder to a signed job, by keys alone, then by mouse alone."""

from collections.abc import Callable
from pathlib import Path

import pytest

from engine.job.file.store import load, new, starter
from engine.job.model.job import Job
from engine.job.model.log_entries import MoveEntry, ObstacleEntry
from tests.tui.driving import shown, until_saved
from tests.tui.hands import Hands
from tui.app import LinewalkApp
from tui.boxes.sign import SignDialog
from tui.entry.forms import FORMS
from tui.screens.jobs import JobsScreen
from tui.stages import PURPOSES

SIZE = (80, 24)
SHOTS = ("tie T1 A 60 B 72 1 3/8 left", "72 1 3/8, 60", "tie T3 63 3, 63 3", "tape T1 T2 40", "tape T1 T3 20", "tape T2 T3 20")
LEVELS = ("level fence 0, 0", "80, 0", "160, 0")
KINDS = [form.kind for form in FORMS]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "jobs").mkdir()
    return tmp_path / "jobs"


def stands(path: Path) -> Job:
    """What both jobs have come to in the file."""
    loaded = load(path)
    job = loaded.job
    assert list(job.points) == ["A", "B"]
    assert [shot.method for shot in job.shots.values()] == ["tie"] * 3 + ["tape"] * 3 + ["level"] * 3
    assert job.lines["fence"].points == ("A", "T1", "T3", "T2", "B")
    assert (job.gates["side"].line, job.gates["side"].station_ft) == ("fence", 70.0)
    assert len(job.posts) == 11
    driven = {str(key): tick.reading_in for key, tick in job.checks.items() if key.subject in ("P1", "P2", "P3")}
    assert {key: reading for key, reading in driven.items() if reading is not None} == {f"posts.P{n}.driven_depth": 30.0 for n in (1, 2, 3)}
    assert sorted(driven) == sorted(f"posts.P{n}.{what}" for n in (1, 2, 3) for what in ("driven_depth", "solid", "plumb", "eyes"))
    moved, rock = (next(entry for entry in job.log if isinstance(entry, kind)) for kind in (MoveEntry, ObstacleEntry))
    assert (moved.post, moved.along_ft, moved.why) == ("P8", 1.0, "root")
    assert (rock.what, rock.line, rock.station_ft, rock.text) == ("rock", "fence", 120.0, "at 8 in")
    assert job.record is not None
    assert job.record.accepted_by == "Ann"
    assert loaded.seal_holds is True
    return job


async def open_forms(hands: Hands, kind: str, at: str) -> None:
    """From one kind of record down to another, and into its form."""
    await hands.press(*["down"] * (KINDS.index(kind) - KINDS.index(at)), "enter")


async def survey(hands: Hands) -> None:
    """Two house corners, nine shots, a line and a gate."""
    assert "Press e to enter" in shown(hands.app)
    await hands.press("e")
    await open_forms(hands, "points", KINDS[0])
    for name, east in (("A", "0"), ("B", "40")):
        for text in (name, east, "0"):
            await hands.write(text)
            await hands.press("enter" if text == "0" and hands.app.focused and hands.app.focused.id == "in-north_ft" else "tab")
    await hands.press("escape", "b")
    await shoot(hands, *SHOTS)
    await hands.press("escape", "home")
    await open_forms(hands, "lines", KINDS[0])
    await hands.write("fence")
    await hands.press("tab")
    await hands.write("A T1 T3 T2 B")
    await hands.press("enter", "escape")
    await open_forms(hands, "gates", "lines")
    await hands.write("side")
    await hands.press("tab", "tab")
    await hands.write("70")
    await hands.press("enter", "escape", "b")
    await shoot(hands, *LEVELS)
    await hands.press("escape", "escape")


async def shoot(hands: Hands, *shots: str) -> None:
    """Shots in the field book's row."""
    for shot in shots:
        await hands.write(shot)
        await hands.press("enter")


async def set_out(hands: Hands) -> None:
    """The plan accepted under a name, three posts driven, solid, plumb, with their eyes."""
    await hands.press("n")
    assert "Press a to accept" in shown(hands.app)
    await hands.press("a")
    await hands.write("Mo")
    await hands.press("enter", "n")
    for _ in range(3):
        await hands.write("30")
        await hands.press("enter")
    await hands.press("up", "right", "f", "f", "f")


async def log(hands: Hands) -> None:
    """P8 moved a foot on for a root, and a rock at P9, which stays for now."""
    await hands.press(*["down"] * 4, "l", "m")
    await hands.write("1")
    await hands.press("enter", "enter")
    await hands.write("root")
    await hands.press("enter")
    await hands.press("down", "l", "o", *["tab"] * 5)
    await hands.write("at 8 in")
    await hands.press("enter", "enter", "escape")


async def sign(hands: Hands) -> None:
    """A reason for each thing left open, then who accepts."""
    await hands.press("alt+9")
    assert "Press s to sign off." in shown(hands.app)
    await hands.press("s")
    for box in boxes(hands):
        await hands.write({"told": "Mo", "accepted": "Ann"}.get(box, "later"))
        await hands.press("enter")
    await hands.press("q")


def boxes(hands: Hands) -> list[str]:
    """The boxes of the sign-off, from the top."""
    assert isinstance(hands.app.screen, SignDialog)
    return [box.id or "" for box in hands.app.screen.query("Input")]


async def test_a_newcomer_s_first_job_by_keys(folder: Path, record_property: Callable[[str, object], None]) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        hands = Hands(pilot)
        assert "Press n to make one." in shown(app)
        await hands.press("n")
        await hands.write("hill")
        await hands.press("enter")
        for part in (survey, set_out, log, sign):
            await part(hands)
        assert isinstance(app.screen, JobsScreen)
    stands(folder / "hill.toml")
    record_property("counted", f"A newcomer's job by keys: {hands.told}.")
    assert hands.commands <= 110


async def test_a_stage_with_nothing_in_it_says_what_it_is_for_and_what_comes_first(folder: Path) -> None:
    app = LinewalkApp(loaded=new(folder / "hill.toml", starter("hill")), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await Hands(pilot).press("alt+2")
        words = " ".join(shown(app).split())
    assert f"Nothing to tick here yet. {PURPOSES['layout']} Press e to enter" in words


async def fill(hands: Hands, **texts: str) -> None:
    """Boxes of a form, each clicked behind its label and written into, then saved by a click."""
    for label, text in texts.items():
        y = next(y for y, line in enumerate(shown(hands.app).splitlines()) if line[:24].strip() == label)
        await hands.click_at(30, y)
        await hands.write(text)
    await hands.click("Enter save")


async def survey_by_mouse(hands: Hands) -> None:
    """The same survey: kinds clicked, their forms opened, boxes clicked, all but names and numbers by clicks."""
    await hands.click("e to enter")
    await hands.click("Known points")
    await hands.click("a new")
    await fill(hands, Name="A", East="0", North="0")
    await fill(hands, Name="B", East="40", North="0")
    await hands.click("Esc back")
    await shoot_by_mouse(hands, *SHOTS)
    await hands.click("Lines  ")
    await hands.click("a new")
    await fill(hands, Name="fence", Points="A T1 T3 T2 B")
    await hands.click("Esc back")
    await hands.click_at(5, next(y for y, line in enumerate(shown(hands.app).splitlines()) if line.startswith(" Gates")))
    await hands.click("a new")
    await fill(hands, Name="side", Station="70")
    await hands.click("Esc back")
    await shoot_by_mouse(hands, *LEVELS)
    await hands.click("Esc back")


async def shoot_by_mouse(hands: Hands, *shots: str) -> None:
    await hands.click("b book")
    for shot in shots:
        await hands.write(shot)
        await hands.click("Enter save")
    await hands.click("Esc leave")


async def set_out_by_mouse(hands: Hands) -> None:
    """The plan accepted by the words in the strip; readings typed in clicked cells, ticks by a second click and by `f fill`."""
    await hands.click("2 layout")
    await hands.click("a to accept")
    await hands.write("Mo")
    await hands.click("Enter takes")
    await hands.click("3 sleeves")
    for _ in range(3):
        await hands.write("30")
        await hands.click("Enter keeps")
    for column in ("solid", "plumb", "eyes"):
        x, y = cell(hands, "P1", column)
        await hands.click_at(x, y)
        await hands.click_at(x, y)
        await hands.click_at(x, y + 2)
        await hands.click("f fill")


def cell(hands: Hands, row: str, column: str) -> tuple[int, int]:
    """Where a cell of the sheet is shown."""
    lines = shown(hands.app).splitlines()
    y = next(y for y, line in enumerate(lines) if line.startswith(f"  {row} "))
    return next(line for line in lines if "plumb" in line).index(column), y


async def log_by_mouse(hands: Hands) -> None:
    """The move and the rock: kinds are rows to click, Enter and Esc words to click."""
    await hands.click_at(*cell(hands, "P8", "solid"))
    await hands.click("l log")
    await hands.click("m  move")
    await hands.write("1")
    await hands.click("Enter goes on")
    await hands.click("Enter goes on")
    await hands.write("root")
    await hands.click("Enter accepts")
    await hands.click_at(*cell(hands, "P9", "solid"))
    await hands.click("l log")
    await hands.click("o  obstacle")
    await hands.click("what you found")
    await hands.write("at 8 in")
    await hands.click("Enter", last=True)
    await hands.click("Enter accepts")
    await hands.click("Esc leaves")


async def sign_by_mouse(hands: Hands) -> None:
    """Signed off by the words in the strip; a click on Enter goes on from box to box."""
    await hands.click("9 punch list")
    await hands.click("s to sign off")
    for box in boxes(hands):
        await hands.write({"told": "Mo", "accepted": "Ann"}.get(box, "later"))
        await hands.click("Enter goes on")
    await hands.click("q quit")


async def test_the_same_job_by_mouse_but_for_names_and_numbers(folder: Path, record_property: Callable[[str, object], None]) -> None:
    app = LinewalkApp(folder=folder)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        hands = Hands(pilot)
        await hands.click("n new job")
        await hands.write("hill")
        await hands.click("Enter makes it")
        for part in (survey_by_mouse, set_out_by_mouse, log_by_mouse, sign_by_mouse):
            await part(hands)
        assert isinstance(app.screen, JobsScreen)
    stands(folder / "hill.toml")
    record_property("counted", f"The same by mouse: {hands.told}.")
    assert hands.commands == 0
