"""The materials screen by real keys: what is needed and what came, the load list, and the CSV beside the job file."""

import csv
from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from tests.demo import demo
from tests.tui.driving import keys, shown, typed, until_shown
from tui.app import LinewalkApp
from tui.boxes.materials import MaterialsScreen
from tui.entry.entry import EntryScreen


@pytest.fixture
def job() -> Job:
    return demo()


@pytest.mark.parametrize("stage", ["1", "5", "9"])
async def test_one_key_from_any_stage_shows_it_on_the_smallest_screen(path: Path, stage: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, stage, "t")
        assert isinstance(app.screen, MaterialsScreen)
        words = shown(app)
        for head in ("needed", "packs", "loaded", "came", "used", "short"):
            assert head in words
        assert [name in words for name in ("round steel post 1 5/8 in, 8 ft ", "gate frame tube 1 3/8 in, ")] == [True, True]
        assert "round steel post 1 5/8 in, 8 ft: load 12 posts; 16 loaded" in words
        await keys(pilot, *["down"] * 7)
        assert "screw eye for trees and solid wood: load 10 eyes in 1 pack of 10; 8 needed" in shown(app)
        await keys(pilot, "t")
        await pilot.pause()
        assert "gate frame tube 1 3/8 in, 10 1/2 ft: load 21 ft in 2 lengths of 10' 6\"" in shown(app)
        await keys(pilot, "t")
        assert "round steel post 1 5/8 in, 8 ft: load 12 posts; 16 loaded" in shown(app)
        await keys(pilot, "escape")
        assert not isinstance(app.screen, MaterialsScreen)


async def test_names_go_on_below_where_there_is_no_room(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 40)) as pilot:
        await keys(pilot, "t")
        lines = shown(app).splitlines()
        at = next(at for at, line in enumerate(lines) if line.startswith(" gate frame tube 1 3/8 in,"))
        assert (lines[at].split()[-4:], lines[at + 1].split()) == (["21", "ft", "2", "3"], ["10", "1/2", "ft"])
        await pilot.resize_terminal(120, 40)
        await until_shown(pilot, "gate frame tube 1 3/8 in, 10 1/2 ft   21 ft")


async def test_a_delivery_shows_in_the_list_and_c_writes_it_beside_the_job(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "l", "i")
        await typed(pilot, "post-8")
        await keys(pilot, "tab")
        await typed(pilot, "3")
        await keys(pilot, "enter", "enter")
        await keys(pilot, "t", "c", "c")
    written = sorted(path.parent.glob("*.csv"))
    assert [file.name for file in written] == ["yard-load-2-offcuts.csv", "yard-load-2.csv", "yard-load-offcuts.csv", "yard-load.csv"]
    with written[3].open(newline="", encoding="utf-8-sig") as file:
        rows = {row["stock"]: row for row in csv.DictReader(file)}
    assert (rows["post-8"]["packs"], rows["post-8"]["loaded_packs"], rows["post-8"]["delivered_packs"]) == ("12", "16", "3")


async def test_the_same_key_shows_it_while_records_are_entered(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", "t")
        assert isinstance(app.screen, MaterialsScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, EntryScreen)
