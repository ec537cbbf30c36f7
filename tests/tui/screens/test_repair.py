"""A repair years later by keyboard alone at 80x24: from the signed record to a signed record of its own, every fact read from the file."""

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from engine.job.edit import edits
from engine.job.file.kept_text import kept_job
from engine.job.file.store import load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, DropEntry, RerouteEntry
from engine.paper.record_office import office_tables
from engine.walk import walk
from tests.demo import BY, FOLDER
from tests.repair.finished import SIGNED as SIGNED_AT
from tests.repair.finished import YEARS, finished
from tests.repair.test_left_open import DEPTH, WAITS, half_done, signed_off
from tests.repair.test_what_stands import lines, needed, open_keys, repair_of
from tests.test_done_means_done import all_ticked
from tests.tui.driving import keys, on_disk, reach, shown, typed, until_saved, until_shown
from tests.tui.screens.test_whole_job import tick_all
from tui.app import LinewalkApp
from tui.boxes.pages import RecordScreen, TablesScreen
from tui.cli import main
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)
SIGNED = "alder_row.toml"
LOOP = ("cut_length", "closed", "sag", "tail")
BENT = ("foot_a", "solid_a", "band_a", "footed", "pinned", "plumb")
"""What the post asks that the new way turns at."""


@pytest.fixture
def signed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo that an earlier version signed."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = tmp_path / SIGNED
    path.write_bytes((FOLDER / SIGNED).read_bytes())
    return path


async def begin(pilot: Pilot[int], signed: Path) -> Path:
    """`r` on the signed record: a name that is taken is asked again, the next one is the job that is open then, with nothing to do."""
    was = signed.read_bytes()
    await keys(pilot, "b")
    assert "r repair" in shown(pilot.app).splitlines()[-1]  # type: ignore[arg-type]  # ours
    await keys(pilot, "r", "ctrl+u")
    await typed(pilot, "alder row")
    await keys(pilot, "enter")
    await until_shown(pilot, "is there already and was left alone")
    await keys(pilot, "ctrl+u")
    await typed(pilot, "car damage")
    await keys(pilot, "enter")
    await until_shown(pilot, "2588-R1 Repair: Alder Row small yard")
    await until_saved(pilot)
    mend = signed.with_name("car_damage.toml")
    assert signed.read_bytes() == was
    assert open_keys(walk(on_disk(mend))) == set()
    assert not any(needed(walk(on_disk(mend))).values())
    return mend


async def log_what_broke(pilot: Pilot[int], mend: Path) -> None:
    """P6 is out, a post stands beside it, and the side past P7 goes round a new point: each shown before it is accepted."""
    await keys(pilot, "e", "b")
    await typed(pilot, "offset K1 C2 19 F2 4 left")
    await keys(pilot, "enter", "escape", "escape", "escape")
    await reach(pilot, item_key("posts.P6.plumb"))
    await keys(pilot, "l", "d", "enter")
    await typed(pilot, "a car leaned it over")
    await keys(pilot, "enter")
    await until_shown(pilot, "P6's old sleeve stays in the ground: cut it off and fill it.")
    await keys(pilot, "enter", "l", "a")
    await typed(pilot, "62")
    await keys(pilot, "tab", "tab")
    await typed(pilot, "clear of the bent sleeve")
    await keys(pilot, "enter")
    await until_shown(pilot, "P10 added on yard")
    await keys(pilot, "enter")
    dropped, added = on_disk(mend).log[-2:]
    assert isinstance(dropped, DropEntry)
    assert isinstance(added, AddEntry)
    assert (dropped.post, dropped.why, added.post, added.station_ft) == ("P6", "a car leaned it over", "P10", 62.0)

    await reach(pilot, item_key("posts.P7.plumb"))
    await keys(pilot, "l", "w")
    for answer in ("p9", "k1"):
        await typed(pilot, answer)
        await keys(pilot, "enter")
    await until_shown(pilot, "Cut loop L4, P7 to P9")
    await keys(pilot, "enter")
    await typed(pilot, "round the new bin store")
    await keys(pilot, "enter")
    way = on_disk(mend).log[-1]
    assert isinstance(way, RerouteEntry)
    assert (way.out, way.left, way.loops) == (("P8",), ("P8",), ("L4",))


def only_new(job: Job) -> None:
    """What is asked is about what is new, or what the new run of the line and every visit ask; what is loaded is the same."""
    asked = {str(key) for key in open_keys(walk(job))}
    posts = {f"posts.{post}.{what}" for post in ("P10", "P11") for what in ("driven_depth", "solid", "plumb", "eyes")}
    assert {key for key in asked if key.startswith("posts.") and not key.endswith("old_sleeve")} == posts
    assert {key.split(".")[1] for key in asked if key.startswith("staking.")} == {"P5-P10", "P10-P7", "P7-P11", "P11-P9"}
    assert {key for key in asked if key.startswith("cables.")} == {
        "cables.L3.sag",
        "cables.job.round_again",
        *(f"cables.L4.{what}" for what in LOOP),
    }
    assert {key.split(".")[1] for key in asked if key.startswith("fabric.")} == {"L3", "L4"}
    assert {key for key in asked if key.startswith("bracing.")} == {f"bracing.P11.{what}" for what in BENT} | {
        "bracing.P7.foot_b", "bracing.P7.solid_b", "bracing.P7.band_b", "bracing.P7.footed", "bracing.P7.plumb",
    }  # fmt: skip
    assert {key for key in asked if key.startswith(("survey.", "gate.", "punch."))} == {
        "survey.job.marks_called", "survey.job.marks_seen", "survey.job.client_walked", "survey.job.photos_taken",
        "survey.C2-F2.measured_twice",
        "survey.yard.levels_shot", "punch.yard.walked", "punch.job.offcuts_picked_up", "punch.job.care_notes",
        "punch.job.client_accepts", "punch.job.house_closed",
    }  # fmt: skip
    row, loops = needed(walk(job)), walk(job).cables.loops
    assert [row[stock] for stock in ("post-8", "sleeve-30", "cap", "eye", "brace-8", "lock")] == [2, 2, 2, 4, 2, 1]
    assert row["cable-3-32"] == loops["L4"].cut_ft
    assert row["wire-36"] == pytest.approx(loops["L3"].run_ft + loops["L4"].run_ft + 2 * 0.5, abs=0.01)
    assert not {"gate-tube", "hinge", "latch"} & row.keys()


async def read_what_stood(pilot: Pilot[int], mend: Path) -> None:
    """The record of the old job in the new one's: to read, and nothing is written from there."""
    was, files = mend.read_bytes(), sorted(mend.parent.iterdir())
    await keys(pilot, "b")
    assert isinstance(pilot.app.screen, RecordScreen)
    assert "o old record" in shown(pilot.app).splitlines()[-1]  # type: ignore[arg-type]  # ours
    await keys(pilot, "o")
    await until_shown(pilot, "Record before this repair: 2588 Alder Row small yard")
    await until_shown(pilot, "signed off 2026-03-09 17:46 by Teal, accepted by the client")
    assert "60' 0\" on yard" in shown(pilot.app)  # type: ignore[arg-type]  # ours
    await keys(pilot, "c", "s", "r", "space", "x")
    assert isinstance(pilot.app.screen, TablesScreen)
    assert not isinstance(pilot.app.screen, RecordScreen)
    assert (mend.read_bytes(), sorted(mend.parent.iterdir())) == (was, files)
    await keys(pilot, "escape", "escape")


async def sign_off(pilot: Pilot[int]) -> None:
    """All that is asked ticked, and the repair signed off with a reason for what is left."""
    app = pilot.app
    assert isinstance(app, LinewalkApp)
    for number in "123456789":
        await keys(pilot, f"alt+{number}")
        await tick_all(pilot, app)
    await keys(pilot, "s")
    for _ in app.screen.query("Input"):
        await typed(pilot, "seen and agreed")
        await keys(pilot, "enter")
    await until_shown(pilot, "sealed")


async def test_a_car_leans_a_post_over_years_later(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    app = LinewalkApp(loaded=load(signed), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        mend = await begin(pilot, signed)
        assert isinstance(app.screen, WalkScreen)
        await keys(pilot, "alt+9")
        assert "Space on what is broken opens it to be done anew" in shown(app)
        await keys(pilot, "t")
        assert "Nothing is needed: what stands is not loaded again." in shown(app)
        await keys(pilot, "escape")
        await log_what_broke(pilot, mend)
        only_new(on_disk(mend))
        await keys(pilot, "t")
        assert "round steel post 1 5/8 in, 8 ft: load 2 posts" in shown(app)
        assert "steel sleeve" in shown(app)
        await keys(pilot, "escape")
        await read_what_stood(pilot, mend)
        await sign_off(pilot)
        await keys(pilot, "q")

    done = load(mend)
    record = done.job.record
    assert (done.seal_holds, record is not None) == (True, True)
    assert record is not None
    assert list(record.supports) == ["P1", "P2", "P3", "P4", "P5", "P10", "P7", "P11", "P9"]
    assert set(record.sleeves_left) == {"P6", "P8"}
    assert (record.quantities["post-8"], record.quantities["sleeve-30"]) == (2, 2)
    assert done.job.repair_of is not None
    assert kept_job(done.job.repair_of).seal_holds is True

    repaired = next(table for table in office_tables(done.job, walk(done.job)) if table.title == "Repair of")
    assert ("file", SIGNED) in repaired.rows
    capsys.readouterr()
    assert main(["record", str(signed)]) == 0
    old = capsys.readouterr().out
    assert main(["record", str(mend), "--before"]) == 0
    assert capsys.readouterr().out == old


async def test_the_name_that_is_proposed_is_free_and_is_the_file_s(signed: Path) -> None:
    for named in ("alder_row-repair.toml", "alder_row-repair-2.toml"):
        app = LinewalkApp(loaded=load(signed), by="Mo")
        async with app.run_test(size=SIZE) as pilot:
            await until_saved(pilot)
            await keys(pilot, "b", "r")
            assert named in shown(app)
            await keys(pilot, "enter")
            await until_shown(pilot, "2588-R1 Repair: Alder Row small yard")
            await until_saved(pilot)
        assert on_disk(signed.with_name(named)).repair_of is not None


async def test_a_sleeve_that_was_left_open_says_why_and_wants_the_marks_before_and_after_it_is_driven(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    job = half_done()
    save(new(tmp_path / "old.toml", job), signed_off(job))
    mend = tmp_path / "mend.toml"
    assert main(["repair", str(tmp_path / "old.toml"), "-o", str(mend)]) == 0
    app = LinewalkApp(loaded=load(mend), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await reach(pilot, DEPTH)
        assert "Left open before this repair: the paving comes first" in " ".join(shown(app).split())
        await typed(pilot, "30")
        await keys(pilot, "enter")
        assert (on_disk(mend).checks[DEPTH].state, on_disk(mend).checks[DEPTH].reading_in) == ("done", 30.0)
        await keys(pilot, "alt+9", "home", "home")
        assert "No call to the one-call centre is entered." in shown(app)
        await keys(pilot, "s")
        assert "23 were left open before this repair." in shown(app)
    assert [finding.code for finding in walk(on_disk(mend)).findings if finding.level == "stop"] == ["notice_not_called"]


async def test_the_reason_that_was_given_then_stands_in_the_box_at_sign_off(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    job = edits.untick(finished("willow_bend"), item_key("layout.P10.flag"), SIGNED_AT, "Mo")
    save(new(tmp_path / "old.toml", job), signed_off(job))
    mend = tmp_path / "mend.toml"
    assert main(["repair", str(tmp_path / "old.toml"), "-o", str(mend)]) == 0
    job = load(mend).job
    for key in open_keys(walk(job)) - {item_key("layout.P10.flag")}:
        job = edits.tick(job, key, YEARS, "Mo", of=lines(walk(job))[key].item.of)
    save(load(mend), job)
    app = LinewalkApp(loaded=load(mend), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "s")
        assert app.screen.query_one("#why-0", Input).value == WAITS
        await keys(pilot, "enter")
        for words in ("Mo", "the client"):
            await typed(pilot, words)
            await keys(pilot, "enter")
        await until_shown(pilot, "sealed")
    record = load(mend).job.record
    assert record is not None
    assert record.left_open == {"punch_unfinished:job": WAITS}
    assert list(record.items_open) == ["layout.P10.flag"]


async def test_a_lock_that_is_opened_leaves_its_loop_s_name_and_all_that_hangs_on_the_cable(tmp_path: Path) -> None:
    """A post came out while the first job was built, so its loops go past a gap: L1, L7, L8, L4 to L6."""
    built = edits.move_post(edits.drop_post(finished("willow_bend"), "P5", SIGNED_AT, BY), "P6", SIGNED_AT, BY, along_ft=-6.0)
    loaded = new(tmp_path / "mend.toml", repair_of(all_ticked(built)), state=tmp_path)
    loops, began = list(walk(loaded.job).cables.loops), set(loaded.job.checks)
    assert loops == ["L1", "L7", "L8", "L4", "L5", "L6"]
    key = item_key("cables.L8.closed")
    app = LinewalkApp(loaded=loaded, by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, key)
        await keys(pilot, "space")
        opened = on_disk(loaded.path)
        hangs = {item_key(f"cables.L8.{what}") for what in ("closed", "sag", "tail")}
        assert began - set(opened.checks) == hangs | {item_key("cables.job.round_again")}
        assert list(walk(opened).cables.loops) == loops
        assert {one for one in open_keys(walk(opened)) if one.subject == "L8"} == hangs
