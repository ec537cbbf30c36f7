"""A new way for a stretch, by real keys: what comes out is read first, the file holds it, and it is taken back."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from textual.widgets import Input

from engine.job.edit import edits, entering
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.tui.driving import burst, keys, on_disk, shown, typed
from tui.app import LinewalkApp
from tui.boxes.change import new_way_box
from tui.boxes.change.new_way_box import NewWayDialog
from tui.widgets.plan_view import PlanView

SIZE = (80, 24)


def built() -> Job:
    """The demo with P5 to P8 up: sleeves of P6 and P8 driven, loop L3 closed and hung; K1 surveyed beside it."""
    job = accepted()
    for post in ("P6", "P8"):
        job = edits.tick(job, item_key(f"posts.{post}.driven_depth"), datetime.now(UTC) - timedelta(days=9, hours=1), BY, reading_in=22)
    job = edits.tick(job, item_key("cables.L3.closed"), AT, BY, of="P5-P8")
    job = edits.tick(job, item_key("fabric.L3.wire_hung"), AT, BY)
    beside = {"method": "offset", "point": "K1", "base_from": "M", "base_to": "C", "along_ft": 20, "offset_ft": 5, "side": "right"}
    return entering.add(job, "shots", "K1", beside)


@pytest.fixture
def job() -> Job:
    return built()


@pytest.mark.pinned
async def test_what_comes_out_is_read_before_it_is_accepted_and_can_be_taken_back(path: Path) -> None:
    before = on_disk(path)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        for answer in ("p5", "p9", "k1"):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        seen = " ".join(shown(app).split())
        assert "Cut loop L3, P5 to P8, 111' 4 1/2\" of cable" in seen
        assert "The sleeve of P6 (9 days old) stays: fill and seed it." in seen
        assert "A cut cable springs back" in seen
        assert app.screen.query_one("#stays", Input).value == "P6 P8"
        await keys(pilot, *["pagedown"] * 5)
        assert "figures change" in shown(app)
        assert on_disk(path) == before

        await keys(pilot, "enter")
        await typed(pilot, "pond")
        await keys(pilot, "enter")

        after = on_disk(path)
        entry = after.log[-1]
        assert isinstance(entry, RerouteEntry)
        assert (entry.from_post, entry.to_post, entry.through, entry.why) == ("P5", "P9", ("K1",), "pond")
        assert (entry.out, entry.left, entry.loops) == (("P6", "P7", "P8"), ("P6", "P8"), ("L3",))
        assert after.lines["back"].points == ("F1", "M", "K1", "C", "F2")
        assert list(after.posts) == ["P1", "P2", "P3", "P4", "P5", "P17", "P18", "P19", "P9", *(f"P{n}" for n in range(10, 17))]
        assert item_key("cables.L3.closed") not in after.checks
        assert after.checks[item_key("posts.P6.driven_depth")].reading_in == 22

        await keys(pilot, "u")
        assert str(list(app._notifications)[-1].message).startswith("Taken back: new way from P5 to P9. 4 items count again")
        undone = on_disk(path)
        assert (undone.lines, undone.posts, undone.shots, undone.checks) == (before.lines, before.posts, before.shots, before.checks)
        assert undone.log[-1].struck_by == "Mo"


async def test_a_way_is_worked_out_once_its_key_is_painted_and_once_for_all_that_came_in_a_burst(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app, did = LinewalkApp(loaded=load(path), by="Mo"), list[str]()
    for name in ("with_new_way", "walk"):
        work = getattr(new_way_box, name)
        monkeypatch.setattr(
            new_way_box, name, lambda *given, _name=name, _work=work, **named: (did.append(_name), _work(*given, **named))[1]
        )
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        await typed(pilot, "P5")
        await keys(pilot, "enter")
        await typed(pilot, "P")
        assert did == []
        await typed(pilot, "9")
        assert did == ["with_new_way", "walk"]
        await keys(pilot, "enter", "enter", "enter")
        await typed(pilot, "pond")
        assert did == ["with_new_way", "walk"]
        await keys(pilot, "shift+tab", "shift+tab", "shift+tab", "ctrl+u")
        did.clear()
        await burst(pilot, "p9\r\r\r")
        assert did == ["with_new_way", "walk"]


async def test_a_way_that_cannot_be_says_why_and_takes_nothing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        before = on_disk(path)
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        for answer in ("P1", "P5"):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        assert isinstance(app.screen, NewWayDialog)
        assert "To: Gate side stands in that stretch." in shown(app)
        assert app.focused is not None
        assert app.focused.id == "to"
        for answer in ("P99", "P5 P6", "", "zz"):
            await keys(pilot, "ctrl+u")
            await typed(pilot, answer)
            await keys(pilot, "enter")
            assert app.focused.id == "to"
        assert "To: zz is not in the accepted plan." in shown(app)
        await keys(pilot, "escape")
        assert on_disk(path) == before


async def test_a_box_says_that_it_scrolls_where_there_is_more_than_is_seen(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(100, 36)) as pilot:
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        assert "Esc leaves." in shown(app)
        assert "PgDn scrolls down." not in shown(app)
        for answer in ("p5", "p9"):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        assert "PgDn scrolls down." in shown(app)


async def test_a_name_that_is_but_begun_is_not_called_wrong_before_its_enter(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        await typed(pilot, "P5")
        await keys(pilot, "enter")
        await typed(pilot, "p")
        assert "Name the support where the fence leaves its line" in shown(app)
        assert "not in the accepted plan" not in shown(app)
        await keys(pilot, "enter")
        assert "To: p is not in the accepted plan." in shown(app)
        await typed(pilot, "x")
        assert "To: px is not in the accepted plan." in shown(app)


async def test_answers_typed_at_once_are_all_taken(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P5"  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        await burst(pilot, "lwp9\rk1\r\rpond\r")
    entry = on_disk(path).log[-1]
    assert isinstance(entry, RerouteEntry)
    assert (entry.from_post, entry.to_post, entry.through, entry.why) == ("P5", "P9", ("K1",), "pond")
    assert (entry.out, entry.left) == (("P6", "P7", "P8"), ("P6", "P8"))


async def test_what_is_told_and_drawn_is_of_the_answers_that_stand_there(path: Path) -> None:
    """One support erased, or one named that can't be: nothing of the way of before is left on the screen."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 40)) as pilot:
        await keys(pilot, "l", "w", "shift+tab", "ctrl+u")
        for answer in ("p5", "p9"):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        plan = app.screen.query_one(PlanView)
        await pilot.pause()
        assert "Cut loop L3" in shown(app)
        assert plan.display
        stood = walk(built()).layout.supports
        assert {stood[name].xy for name in ("P5", "P6", "P7", "P8", "P9")} <= {*plan.picture.opens_on}
        assert not {stood[name].xy for name in ("P1", "P16")} & {*plan.picture.opens_on}
        for answer, told in (("", "name the one support where the fence joins it again"), ("p5", "aren't two supports of one line")):
            app.screen.query_one("#to", Input).focus()
            await keys(pilot, "ctrl+u")
            if answer:
                await typed(pilot, answer)
            await keys(pilot, "enter")
            await pilot.pause()
            seen = " ".join(shown(app).split())
            assert told in seen
            assert "Cut loop L3" not in seen
            assert not plan.display
