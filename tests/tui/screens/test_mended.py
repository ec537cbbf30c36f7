"""What was broken is mended by keyboard alone at 80x24, in a repair: opened where it stands, and done anew or not."""

from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.file.store import new, save
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry, live
from engine.paper.repair_work import mended
from engine.repair.repair_file import write_repair
from engine.walk import walk
from tests.demo import AT
from tests.repair.finished import finished, opened, signed
from tests.tui.driving import keys, on_disk, reach, shown, typed, until_saved, until_shown
from tests.tui.screens.test_whole_job import tick_all
from tui.app import LinewalkApp
from tui.cli import main

SIZE = (80, 24)
BY = "Mo"
HUNG = item_key("gate.side.hung")
SLIPS = ("fabric.L1.wire_hung", "cables.L1.closed", "gate.side.hung")


@pytest.fixture
def mend(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    job = finished("willow_bend")
    save(new(tmp_path / "old.toml", job), signed(job, AT + timedelta(days=30)))
    return write_repair(tmp_path / "old.toml", tmp_path / "mend.toml").path


def used(job: Job) -> dict[str, float]:
    return {row.stock: row.used for row in walk(job).takeoff.rows if row.used}


def told(job: Job) -> list[ItemKey]:
    return [entry.item for entry in live(job.log) if isinstance(entry, SupersededEntry) and entry.opened]


async def test_a_slip_on_what_stands_is_no_work(mend: Path) -> None:
    before = on_disk(mend)
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        for slip in SLIPS:
            await reach(pilot, item_key(slip))
            await keys(pilot, "space", "space")
            await until_shown(pilot, "opened by mistake")
            assert item_key(slip) not in on_disk(mend).checks
            await keys(pilot, "enter")
    job = on_disk(mend)
    assert job.checks == before.checks
    assert used(job) == {}
    assert told(job) == []


async def test_a_gate_that_was_hung_anew_is_told_and_asks_what_hangs_on_it(mend: Path) -> None:
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "alt+9")
        assert "Space on what is broken opens it to be done anew" in shown(app)
        await reach(pilot, HUNG)
        await keys(pilot, "space")
        gone = set(opened(mend).job.checks)
        await keys(pilot, "space")
        await until_shown(pilot, "yes, done anew")
        await keys(pilot, "y")
        await until_saved(pilot)
        job = on_disk(mend)
        assert set(job.checks) - gone == {HUNG}, "only what was said to be done"
        assert job.checks[HUNG].by == BY
        assert used(job)["latch"] == 1
        await keys(pilot, "alt+9")
        assert "Press s to sign off." in shown(app)
    asked = {line.item.key.what for line in walk(job).checklists["gate"].lines if line.tick is None}
    assert {"latch_holds", "swing_clear", "diagonal_a", "diagonal_b", "bottom_gap"} <= asked
    assert "opening" not in asked
    assert HUNG in told(job)


async def test_what_was_done_in_between_tells_that_it_is_no_slip(mend: Path) -> None:
    latch = item_key("gate.side.latch_holds")
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, latch)
        await keys(pilot, "space", "l", "n")
        await typed(pilot, "bent by a mower")
        await keys(pilot, "enter")
        await until_saved(pilot)
        await reach(pilot, latch)
        await keys(pilot, "space")
    assert on_disk(mend).checks[latch].by == BY


async def test_a_reading_typed_by_mistake_over_what_was_opened_last_is_asked_of_too(mend: Path) -> None:
    sag = item_key("cables.L1.sag")
    before = on_disk(mend)
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, sag)
        await keys(pilot, "space", "o")
        await typed(pilot, "1/8")
        await keys(pilot, "enter")
        await until_shown(pilot, "opened by mistake")
        await keys(pilot, "n")
    assert on_disk(mend).checks == before.checks


@pytest.mark.parametrize("tick", [("f",), (*["left"] * 7, "space"), ("enter",)])
async def test_a_row_or_a_column_ticked_over_what_was_opened_last_is_asked_of_too(mend: Path, tick: tuple[str, ...]) -> None:
    before = on_disk(mend)
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, item_key("posts.P2.solid"))
        await keys(pilot, "space", *tick)
        await until_shown(pilot, "opened by mistake")
        await keys(pilot, "n")
        assert on_disk(mend).checks == before.checks
        await reach(pilot, item_key("posts.P2.solid"))
        await keys(pilot, "space", *tick)
        await until_shown(pilot, "opened by mistake")
        await keys(pilot, "y")
    job = on_disk(mend)
    assert {key for key, done in job.checks.items() if done != before.checks[key]} == {item_key("posts.P2.solid")}
    assert job.checks[item_key("posts.P2.solid")].by == BY


async def test_in_a_job_that_is_no_repair_nothing_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = tmp_path / "first.toml"
    new(path, finished("willow_bend"), state=tmp_path / "state")
    app = LinewalkApp(loaded=opened(path), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, HUNG)
        await keys(pilot, "space", "space")
    assert on_disk(path).checks[HUNG].by == BY


async def test_what_was_mended_is_in_the_signed_record_and_on_the_client_s_page(
    mend: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, HUNG)
        await keys(pilot, "space", "s")
        await until_shown(pilot, "Sign off: X the yard is open, 1 item of what closes it")
        assert "no way out" not in shown(app)
        await keys(pilot, "escape", "space")
        await until_shown(pilot, "yes, done anew")
        await keys(pilot, "y")
        for number in "89":
            await keys(pilot, f"alt+{number}")
            await tick_all(pilot, app)
        await keys(pilot, "s")
        await until_shown(pilot, "the figures show no way out for a dog")
        for _ in app.screen.query("Input"):
            await typed(pilot, "seen and agreed")
            await keys(pilot, "enter")
        await until_shown(pilot, "sealed")
    job = on_disk(mend)
    assert job.record is not None
    assert job.checks[item_key("punch.back.walked")].by == BY
    assert (job.record.quantities["latch"], "cable-3-32" in job.record.quantities) == (1, False)
    capsys.readouterr()
    assert main(["record", str(mend)]) == 0
    record = " ".join(capsys.readouterr().out.split())
    assert "Done in this repair" in record
    assert "gate side done anew first diagonal, other diagonal, " in record
    assert "built as planned" not in record
    assert main(["record", str(mend), "--for", "client", "-o", str(tmp_path / "client.html")]) == 0
    assert "In this repair: 1 gate mended." in (tmp_path / "client.html").read_text()


async def test_what_is_done_by_a_clock_behind_that_of_the_signature_counts_and_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    job = finished("willow_bend")
    save(new(tmp_path / "old.toml", job), signed(job, AT + timedelta(days=36_500)))
    mend = write_repair(tmp_path / "old.toml", tmp_path / "mend.toml").path
    marks, latch = item_key("survey.job.marks_called"), item_key("gate.side.latch_holds")
    app = LinewalkApp(loaded=opened(mend), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        assert "Set the clock." in " ".join(notice.message for notice in app._notifications)
        await reach(pilot, latch)
        await keys(pilot, "space", "space", "y")
        await reach(pilot, item_key("posts.P4.driven_depth"))
        await keys(pilot, "space", "o", "alt+1")
        await reach(pilot, marks)
        await keys(pilot, "space")
    repair = on_disk(mend)
    done = walk(repair).checklists
    assert [done[key.stage].by_key[key].state for key in (marks, latch)] == ["done", "done"]
    assert [row.of for row in mended(repair, walk(repair))] == ["job", "side"]
