"""What a client said by real keys on the smallest screen: through the new-job form into the file, then on every screen as an estimate."""

from pathlib import Path
from threading import Event

import pytest

from engine.ahead import estimate as estimating
from engine.job.file.store import load, new
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from tests.ahead.first_talks import PHONE, said, taped
from tests.tui.driving import keys, shown, typed, until_shown
from tui.app import LinewalkApp
from tui.boxes.materials import MaterialsScreen
from tui.screens.walk_screen import WalkScreen


def words(app: LinewalkApp) -> str:
    """What stands on the screen, on one line."""
    return " ".join(shown(app).split())


async def test_a_phone_call_goes_through_the_form_into_the_file(tmp_path: Path) -> None:
    app = LinewalkApp(folder=tmp_path, by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "n")
        await typed(pilot, "Maple")
        for answer, steps in (("about 14x", 7), ("", 0)):
            await keys(pilot, *["tab"] * steps)
            await typed(pilot, answer)
        await keys(pilot, "enter")
        assert "! Length: 14x is not a length" in words(app)
        await keys(pilot, "backspace", "0")
        for answer, steps in (("house", 5), ("1", 1), ("5 ft", 1), ("5", 1), ("two beagles", 1)):
            await keys(pilot, *["tab"] * steps)
            await typed(pilot, answer)
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
        assert load(tmp_path / "maple.toml").job.rough == PHONE
        assert load(tmp_path / "maple.toml").job.fence.height_ft == 5.0
        assert shown(app).lstrip().startswith("ESTIMATE: Maple")
        await keys(pilot, "tab", "tab", "tab", "tab")
        await until_shown(pilot, "Tried: ")
        assert "length, ft 126 140 154 posts 7 7 8" in words(app)
        assert "Dogs: two beagles." in words(app)
        await keys(pilot, "t")
        assert isinstance(app.screen, MaterialsScreen)
        assert "ESTIMATE by what was said what needed to packs likely to" in words(app)
        await keys(pilot, "down", "down", "down")
        assert "apron stakes 12 in: 1 to 2 packs of 50; 48 to 55 needed." in words(app)
        await keys(pilot, "c")
        await keys(pilot, "escape", "j")
        assert "ESTIMATE: layouts side by side" in words(app)
        await keys(pilot, "escape", "q")
        await pilot.pause()
        assert "maple" in words(app).lower()
        assert "estimate" in words(app)
    assert (tmp_path / "maple-load.csv").read_text(encoding="utf-8-sig").startswith("job,rests_on,place,")


async def test_the_likely_figure_is_there_before_low_and_high(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing stands under low and high that isn't known."""
    go_on, whole = Event(), estimating.estimate

    def slow(job: Job) -> estimating.Estimate | None:
        assert go_on.wait(20)
        return whole(job)

    monkeypatch.setattr(estimating, "estimate", slow)
    app = LinewalkApp(loaded=new(tmp_path / "maple.toml", said(PHONE)), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "tab", "tab", "tab", "tab")
        assert "length, ft 126 140 154 posts ... 7 ... braces ... 4 ... cable loops ... 3 ..." in words(app)
        assert "Low and high are being worked out. The length as it was said, 10 % either way" in words(app)
        go_on.set()
        await until_shown(pilot, "Tried: ")
        assert "length, ft 126 140 154 posts 7 7 8 braces 4 4 4 cable loops 3 3 3" in words(app)


async def test_paces_alone_are_enough(tmp_path: Path) -> None:
    app = LinewalkApp(folder=tmp_path, by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "n")
        await typed(pilot, "Oak")
        for answer, steps in (("30 28", 9), ("100", 1), ("41 40 42", 1)):
            await keys(pilot, *["tab"] * steps)
            await typed(pilot, answer)
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    assert load(tmp_path / "oak.toml").job.rough == Rough(paces=(30, 28), step_over_ft=100, step_counts=(41, 40, 42))


@pytest.mark.parametrize("stage", ["1", "2"])
async def test_the_survey_stands_beside_the_estimate(tmp_path: Path, stage: str) -> None:
    job = taped(PHONE, 152.0).model_copy(update={"rough": PHONE})
    app = LinewalkApp(loaded=new(tmp_path / "maple.toml", job), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, stage, "tab", "tab", "tab", "tab")
        assert "estimate 140 ft (126 to 154); surveyed 152' 0\", inside the spread; 1 post more." in words(app)
        assert "ESTIMATE" not in shown(app)


async def test_what_was_said_can_be_put_right_where_everything_is_entered(tmp_path: Path) -> None:
    app = LinewalkApp(loaded=new(tmp_path / "maple.toml", said(PHONE)), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", "down", "enter", "tab")
        await typed(pilot, "5")
        await keys(pilot, "enter")
        await pilot.pause()
    rough = load(tmp_path / "maple.toml").job.rough
    assert rough is not None
    assert (rough.length_ft, rough.spread_pct) == (140.0, 5.0)
    assert rough.gates_ft == (5.0,)


async def test_a_gate_stands_in_the_form_as_a_crew_writes_it(tmp_path: Path) -> None:
    app = LinewalkApp(loaded=new(tmp_path / "maple.toml", said(PHONE)), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", "down", "enter")
        assert "Gate widths 5' 0\"" in words(app)
        await keys(pilot, *["tab"] * 9, "end")
        await typed(pilot, ", 16")
        await keys(pilot, "enter")
        assert "Gate widths 5' 0\", 16' 0\"" in words(app)
    rough = load(tmp_path / "maple.toml").job.rough
    assert rough is not None
    assert rough.gates_ft == (5.0, 16.0)


async def test_what_was_said_can_be_taken_out_again(tmp_path: Path) -> None:
    app = LinewalkApp(loaded=new(tmp_path / "maple.toml", said(PHONE)), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await keys(pilot, "e", "x")
        await until_shown(pilot, "There is always one: correct it.")
        await keys(pilot, "down", "x")
        assert "First talk is out. u takes that back." in words(app)
        assert load(tmp_path / "maple.toml").job.rough is None
        await keys(pilot, "x")
        await until_shown(pilot, "There is no first talk.")
        await keys(pilot, "u")
        assert load(tmp_path / "maple.toml").job.rough == PHONE
