"""Pages that are open while another laptop saves, by real keys: they show the job as it is now, and what is written from them is that."""

import csv
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from engine.ahead.finished_jobs import FinishedJobs
from engine.job.edit import edits
from engine.job.file.store import load, new, save
from engine.job.model.job import Job
from engine.job.model.rules import HourRules
from tests.ahead import crews
from tests.demo import AT
from tests.tui.driving import keys, on_disk, shown, until, until_saved, until_shown
from tests.tui.in_hand import signed, titled
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.folder import hours
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving

HTML = "{http://www.w3.org/1999/xhtml}"


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


def first_rows(path: Path) -> list[dict[str, str]]:
    """The first rows of the load list and of what its cut plans leave."""
    files = (path.with_name(f"yard-load{part}.csv").read_text(encoding="utf-8-sig") for part in ("", "-offcuts"))
    return [next(csv.DictReader(text.splitlines())) for text in files]


def without_p5(job: Job) -> Job:
    return edits.drop_post(titled("front yard")(job, AT, "Teal"), "P5", AT, "Teal")


def from_elsewhere(path: Path, job: Job) -> None:
    save(load(path), job, AT, state=path.parent / "other")


def state(page: Path) -> str:
    """How a page says the job stands."""
    sections = ET.fromstring(page.read_text(encoding="utf-8")).iter(f"{HTML}section")
    return next(" ".join(" ".join(one.itertext()).split()) for one in sections if "state" in one.get("class", ""))


async def test_the_record_is_the_one_another_laptop_signed_meanwhile(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b")
        assert "not signed off" in shown(app)
        from_elsewhere(path, signed(without_p5(on_disk(path)), AT, "Teal"))
        await until(pilot, lambda: "front yard" in shown(app))
        top, *_, last = shown(app).splitlines()
        assert "signed off 2026-04-14 09:30 by Teal, accepted by the client" in shown(app)
        assert top.rstrip().endswith("signed off, sealed")
        assert "r repair" in last
        await keys(pilot, "k", "c")
    client, record = path.with_name("yard-client.html"), path.with_name("yard-record.html")
    said = "Signed 2026-04-14 09:30 by Teal, accepted by the client. Nothing in the file has changed since."
    assert state(client) == f'{said} 1 thing that stops the job was open when it was accepted. "What was accepted" tells.'
    assert state(record).startswith("Signed off 2026-04-14 09:30 by Teal, accepted by the client.")
    assert [len(re.findall(r'data-post="P5"', page.read_text(encoding="utf-8"))) for page in (client, record)] == [0, 0]


async def test_the_materials_are_those_of_the_job_as_it_is_now(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "t")
        assert "load 12 posts" in shown(app)
        from_elsewhere(path, without_p5(on_disk(path)))
        await until(pilot, lambda: "load 11 posts" in shown(app))
        await keys(pilot, "c")
    with path.with_name("yard-load.csv").open(newline="", encoding="utf-8-sig") as file:
        rows = {row["stock"]: row for row in csv.DictReader(file)}
    assert rows["post-8"]["packs"] == "11"
    assert [row["stock"] == "" for row in first_rows(path)] == [False, False]


async def test_layouts_side_by_side_are_worked_out_anew(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(100, 40)) as pilot:
        await keys(pilot, "j")
        await until_shown(pilot, "12 driven")
        from_elsewhere(path, without_p5(on_disk(path)))
        await until_shown(pilot, "11 driven")


async def test_the_hours_are_those_of_the_job_as_it_is_now(path: Path) -> None:
    for seed in range(5):
        new(path.parent / f"done_{seed}.toml", crews.signed(crews.worked(seed, uneven=0.0)), AT, state=path.parent / "state")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 80)) as pilot:
        await keys(pilot, "t", "h")
        assert left_of(app, "bay taped") == "14"
        from_elsewhere(path, without_p5(on_disk(path)))
        await until(pilot, lambda: left_of(app, "bay taped") == "13")
        assert shown(app).splitlines()[0].rstrip().endswith("saved")


async def test_the_hours_of_a_job_that_changes_while_its_folder_is_read_are_of_what_it_is_then(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read, heard, go = hours.finished_jobs, list[float](), Event()

    def slow(folder: Path, pause_min: float, **named: Any) -> FinishedJobs:
        heard.append(pause_min)
        assert go.wait(20)
        return read(folder, pause_min, **named)

    monkeypatch.setattr(hours, "finished_jobs", slow)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("t", "h")
        await until(pilot, lambda: heard == [20.0])
        job = on_disk(path)
        from_elsewhere(path, job.model_copy(update={"rules": job.rules.model_copy(update={"hours": HourRules(pause_min=30.0)})}))
        hand = app.screen.hand  # type: ignore[attr-defined]  # of the page of hours
        await until(pilot, lambda: hand.job.rules.hours.pause_min == 30.0)
        go.set()
        await until(pilot, lambda: app.at_rest)
    assert heard == [20.0, 30.0]


def left_of(app: LinewalkApp, kind: str) -> str:
    """How many of a kind of work are left, by the page of hours."""
    return next((line.split(kind)[1].split()[0] for line in shown(app).splitlines() if kind in line), "")


# What isn't saved


async def pages_of_what_isnt_saved(path: Path, *, sign: bool) -> tuple[str, str]:
    """What both pages say of a job whose title another laptop changed too, in hand signed off maybe."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        walked = app.screen
        assert isinstance(walked, WalkScreen)
        from_elsewhere(path, titled("theirs")(on_disk(path), AT, "Teal"))
        walked.edit("title", titled("mine"))
        if sign:
            walked.edit("signed off", signed)
        await until_saved(pilot)
        await keys(pilot, "escape", "b")
        assert shown(app).splitlines()[0].rstrip().endswith("NOT SAVED: both changed it")
        await keys(pilot, "k", "c", "escape", "t", "c")
    assert (on_disk(path).job.title, on_disk(path).record) == ("theirs", None)
    return state(path.with_name("yard-client.html")), state(path.with_name("yard-record.html"))


async def test_a_page_of_what_isnt_saved_says_so(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 1e9)
    client, record = await pages_of_what_isnt_saved(path, sign=False)
    unsaved = "Not saved yet. Some of what is printed here isn't in the job's file yet, which may say otherwise."
    assert client == f"{unsaved} Ask us for a later copy before you rely on this one."
    assert record == f"{unsaved} Not signed off."
    assert [(row["job"], row["what"], row["stock"]) for row in first_rows(path)] == [("2611", unsaved, "")] * 2


async def test_a_page_of_a_signature_that_isnt_saved_says_so(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 1e9)
    client, record = await pages_of_what_isnt_saved(path, sign=True)
    unsaved = "The signature isn't in the job's file yet, which may say otherwise."
    assert re.fullmatch(rf"Not saved yet\. Signed .* by Mo, accepted by the client\. {unsaved} Ask us for a later copy .*", client)
    assert [row["what"] for row in first_rows(path)] == [f"Not saved yet. {unsaved}"] * 2
    assert re.match(rf"Not saved yet\. {unsaved} Signed off .* by Mo, accepted by the client\.$", record)
