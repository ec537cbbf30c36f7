"""The punch stage by real keys: ways out and what is left to do lead to their places, and sign-off wants a reason for each."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from engine.job.edit import edits
from engine.job.edit.edits import tick
from engine.job.file.store import load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.stages.punch.closing_list import NOT_CLOSED, UNTICKED, LeftOpen, PunchLine, closing_lines, left_open
from engine.stages.punch.reasons import reasons_told
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted, demo
from tests.repair.finished import finished
from tests.stages import yards
from tests.tui.driving import at, keys, on_disk, shown, typed, until
from tui.app import LinewalkApp
from tui.boxes.materials import MaterialsScreen
from tui.screens.walk_screen import WalkScreen


def leaky() -> Job:
    """Two posts 9 and 6 in off a wall that holds no eyes, and a dip under the wire; the dog is small and digs."""
    tables: dict[str, Any] = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"] = {**tables["dogs"]["rex"], "shoulder_in": 10.0, "digs": True}
    tables["shots"].update(yards.levels("fence", ((0, 0), (5, -1.75), (10, 0), (160, 0))))
    return yards.build(tables)


def lines_of(walked: Walk) -> tuple[PunchLine, ...]:
    """The closing list of a walk."""
    return closing_lines(walked.punch, walked.stage_findings, walked.checklists)


@pytest.fixture
def job() -> Job:
    return leaky()


async def reasons_typed(pilot: Pilot[int], count: int) -> None:
    """A reason for each thing left open, and who told the client."""
    for words in (*(f"r{number}" for number in range(count)), "Mo, at the gate"):
        await typed(pilot, words)
        await keys(pilot, "enter")


def asked_of(screen: WalkScreen) -> tuple[LeftOpen, ...]:
    """What has to have a reason at sign-off."""
    return left_open(screen.hand.walk.punch, screen.hand.walk.stage_findings, screen.hand.walk.checklists)


def told_reasons(path: Path, asked: Sequence[LeftOpen]) -> dict[str, str]:
    """The reasons that the record holds for these."""
    record = load(path).job.record
    assert record is not None
    return {str(left.key): record.left_open[str(left.key)] for left in asked}


async def test_a_way_out_is_listed_with_its_place_and_enter_goes_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "9", *["left"] * 4, "home", "home")
        words = shown(app)
        assert words.index("between P") < words.index("under the wire")
        number, under = next((n, way) for n, way in enumerate(screen.hand.walk.punch.ways_out) if way.kind == "under")
        await keys(pilot, *["down"] * number)
        says = " ".join(shown(app).split())
        assert under.closes_with in says
        assert under.place.partition(",")[0] in says
        assert "mallest dog: digs" in says
        assert under.on_truck in says
        await keys(pilot, "enter")
        assert (screen.stage, screen.chosen, screen.page) == ("fabric", under.subject, "sheet")


async def test_a_line_of_the_punch_list_leads_to_its_item_its_finding_or_the_materials(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "9", *["left"] * 4, "home", "home", *["down"] * len(screen.hand.walk.punch.ways_out), "enter")
        first = lines_of(screen.hand.walk)[0]
        assert first.jump is not None
        assert (screen.stage, screen.chosen) == (first.jump.stage, first.jump.subject)

        await keys(pilot, "alt+9", "home", "home")
        rows = [row for _, row in screen.sheet.cursor.rows()]
        number, row = next((n, row) for n, row in reversed(list(enumerate(rows))) if row.jump is not None and row.jump.item is not None)
        await keys(pilot, *["down"] * number, "enter")
        assert row.jump is not None
        assert (screen.stage, screen.page) == (row.jump.stage, "sheet")
        assert at(app) == row.jump.item


async def test_the_punch_list_opens_on_the_worst_of_what_is_left(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "alt+9")
        first, cursor = screen.hand.walk.punch.ways_out[0], screen.sheet.cursor
        assert (cursor.at, cursor.column, cursor.subject) == (1, 0, first.subject)
        assert first.where in shown(app)
        await keys(pilot, "o")
        assert (cursor.at, cursor.subject) == (1, first.subject)
        await keys(pilot, "end", "end", "space")
        assert [str(key) for key in on_disk(path).checks if key.stage == "punch"] == ["punch.job.client_accepts"]


async def test_reasons_typed_while_something_came_in_stand_when_it_is_signed_again(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        asked = asked_of(screen)
        await keys(pilot, "s")
        await reasons_typed(pilot, len(asked))
        theirs = load(path)
        save(theirs, edits.note(theirs.job, "the dog is called Rex", AT, "Teal"))
        await until(pilot, lambda: screen.hand.job.log)
        await typed(pilot, "client")
        await keys(pilot, "enter")
        assert [notice.message for notice in app._notifications][-1] == (
            "Something came in from another laptop meanwhile. Look at it, then sign."
        )
        assert load(path).job.record is None

        await keys(pilot, "s")
        assert [box.value for box in app.screen.query(Input)] == [*(f"r{number}" for number in range(len(asked))), "Mo, at the gate", ""]
        await keys(pilot, "enter")
        await typed(pilot, "client")
        await keys(pilot, "enter")
        await app.workers.wait_for_complete()
        await pilot.pause(0.3)
    record = load(path).job.record
    assert record is not None
    assert record.accepted_by == "client"
    assert told_reasons(path, asked) == {str(left.key): f"r{n}" for n, left in enumerate(asked)}


async def test_a_reason_for_all_unticked_items_is_asked_anew_where_another_laptop_opened_more_meanwhile(path: Path) -> None:
    """One item is left; a post that the other laptop moves opens what was done at it, and nobody gave a reason for that."""
    loaded = load(path)
    save(loaded, edits.untick(finished("willow_bend"), item_key("punch.job.care_notes"), AT, BY))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        given = [f"r{number}" for number in range(len(asked_of(screen)))]
        await keys(pilot, "s")
        await reasons_typed(pilot, len(given))
        theirs = load(path)
        save(theirs, edits.move_post(theirs.job, "P10", AT, "Teal", along_ft=1.0))
        await until(pilot, lambda: len(screen.hand.job.log) > len(theirs.job.log))
        await typed(pilot, "client")
        await keys(pilot, "enter", "s")
        assert load(path).job.record is None
        reasons = {str(left.key): box.value for left, box in zip(asked_of(screen), app.screen.query(Input), strict=False)}
        assert app.screen.query_one("#told", Input).value == "", "nobody told the client of the notes that came with it"
    assert reasons.pop(str(UNTICKED)) == ""
    assert reasons.pop(str(NOT_CLOSED)) == ""
    assert [*reasons.values()] == given[:-1]


async def test_reasons_of_a_signed_job_are_offered_again_once_it_is_reopened(path: Path) -> None:
    loaded = load(path)
    walked = walk(loaded.job)
    asked = left_open(walked.punch, walked.stage_findings, walked.checklists)
    given = {str(left.key): f"r{number}" for number, left in enumerate(asked)}
    record = build_record(loaded.job, walked, AT, BY, "client", reasons_told(walked.punch, given))
    save(loaded, edits.sign(loaded.job, record, AT, BY, "client"))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "s")
        await typed(pilot, "a name was wrong")
        await keys(pilot, "enter", "enter")
        await until(pilot, lambda: on_disk(path).record is None)
        await keys(pilot, "s")
        assert [box.value for box in app.screen.query(Input)] == [*given.values(), "", ""]
        await keys(pilot, *["enter"] * len(asked))
        await typed(pilot, "Mo")
        await keys(pilot, "enter")
        await typed(pilot, "client")
        await keys(pilot, "enter")
        await until(pilot, lambda: on_disk(path).record is not None)
    assert told_reasons(path, asked) == given


async def test_sign_off_shows_the_ways_out_and_wants_a_reason_for_each_thing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        asked = asked_of(screen)
        await keys(pilot, "s")
        assert f"{len(screen.hand.walk.punch.ways_out)} ways out for a dog" in shown(app)
        await keys(pilot, *["enter"] * 3)
        assert load(path).job.record is None
        await reasons_typed(pilot, len(asked))
        assert load(path).job.record is None
        await typed(pilot, "client")
        await keys(pilot, "enter")
        await app.workers.wait_for_complete()
        await pilot.pause(0.3)
    record = load(path).job.record
    assert record is not None
    assert record.told_by == "Mo, at the gate"
    assert told_reasons(path, asked) == {str(left.key): f"r{n}" for n, left in enumerate(asked)}
    told = next(reason for key, reason in record.left_open.items() if key.startswith("punch_ways_out"))
    assert told.startswith("between P")


async def test_a_row_of_materials_leads_to_the_materials(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    data = demo().model_dump(exclude_none=True)
    data["stock"]["post-8"] = {**data["stock"].get("post-8", {}), "loaded": 3}
    path = new(tmp_path / "short.toml", Job.model_validate(data), AT, state=tmp_path / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "9", *["left"] * 4, "home", "home")
        rows = [row for _, row in screen.sheet.cursor.rows()]
        await keys(
            pilot,
            *["down"] * next(number for number, row in enumerate(rows) if any("short of" in cell.words for cell in row.cells)),
            "enter",
        )
        assert isinstance(app.screen, MaterialsScreen)


def test_everything_unfinished_and_every_finding_is_on_the_list_once() -> None:
    job = tick(accepted(), item_key("posts.P3.driven_depth"), AT, BY, reading_in=9.0, note="rock")
    walked = walk(job)
    lines = lines_of(walked)
    assert len({line.key for line in lines}) == len(lines)
    opened = {line.item.key for checklist in walked.checklists.values() for line in checklist.lines if line.state == "open"}
    assert {line.jump.item for line in lines if line.key.about == "item" and line.jump} == opened
    found = {f.key for f in walked.findings if f.level != "note" and not f.code.startswith("punch_")}
    assert {line.key.of for line in lines if line.key.about == "finding"} == found


def test_a_reading_out_of_range_leads_to_its_item() -> None:
    gate = next(iter(walk(accepted()).gate.gates))
    job = tick(accepted(), item_key(f"gate.{gate}.bottom_gap"), AT, BY, reading_in=3.5, note="high")
    (line,) = (line for line in lines_of(walk(job)) if str(line.key).startswith("finding:reading_out_of_range"))
    assert line.jump is not None
    assert (line.group, line.jump.stage, line.jump.item) == ("fix", "gate", item_key(f"gate.{gate}.bottom_gap"))


def test_reasons_of_ways_out_stand_beside_the_finding_that_tells_them() -> None:
    walked = walk(leaky())
    first = walked.punch.ways_out[0]
    told = reasons_told(walked.punch, {str(first.key): "mason comes on Monday"})
    (key,) = (key for key in told if key.startswith("punch_ways_out"))
    assert told[key] == f"{first.where}: mason comes on Monday"
    assert reasons_told(walked.punch, {}) == {}
