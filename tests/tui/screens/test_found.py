"""What was found is chosen and has the cursor, in any stage: a reading typed then is of that thing, and the file says so."""

from pathlib import Path

import pytest

from engine.findings import STAGES
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.demo import accepted, demo, others
from tests.tui.driving import at, keys, on_disk, typed
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.stages import find

SIZES = [(80, 24), (120, 36)]


def unticked(job: Job) -> Job:
    return job.model_copy(update={"checks": {}, "record": None})


def ring() -> Job:
    return unticked(others()["ridge_ring"])


@pytest.mark.parametrize("size", SIZES)
async def test_a_reading_after_finding_a_bay_is_of_that_bay(path: Path, size: tuple[int, int]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=size) as pilot:
        await keys(pilot, "2", "home", "home", "slash")
        await typed(pilot, "P9-P10")
        await keys(pilot, "enter", "enter")
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.chosen == "P9-P10"
        await typed(pilot, "18' 4\"")
        await keys(pilot, "enter")
    assert [*on_disk(path).checks] == [item_key("layout.P9-P10.taped")]


@pytest.mark.parametrize("size", SIZES)
async def test_a_tick_after_finding_a_gate_is_of_that_gate(path: Path, size: tuple[int, int]) -> None:
    save(load(path), ring())
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=size) as pilot:
        await keys(pilot, "8", "slash")
        await typed(pilot, "middle, gate")
        await keys(pilot, "enter", "enter")
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.chosen == "middle"
        await keys(pilot, "down", "down", "down", "space")
        assert app.screen.chosen == "middle"
        ticked = [*on_disk(path).checks]
        assert [key.subject for key in ticked] == ["middle"]
        await keys(pilot, "left")
        assert app.screen.chosen == "upper"


async def test_a_bay_chosen_on_the_plan_has_the_cursor(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "2", "home", "home")
        assert isinstance(app.screen, WalkScreen)
        app.screen.chosen = "P9-P10"
        await typed(pilot, "18' 4\"")
        await keys(pilot, "enter")
    assert [*on_disk(path).checks] == [item_key("layout.P9-P10.taped")]


@pytest.mark.parametrize("job", [demo(), accepted(), ring(), *others().values()])
def test_whatever_is_found_by_name_has_a_row_or_a_cell(job: Job) -> None:
    walked = walk(job)
    for support_or_bay in (*walked.layout.supports, *walked.layout.bays, *walked.cables.loops, *walked.gate.gates):
        for hit in find(job, walked, support_or_bay):
            if hit.entry or hit.finding is not None:
                continue
            rows = [*sheet_of(hit.stage, job, walked).rows()]
            about = {row.subject for row in rows} | {cell.line.item.subject for row in rows for cell in row.cells if cell.line is not None}
            assert hit.subject in about, hit


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("P9 driven", "posts.P9.driven_depth"),
        ("l2  SAG", "cables.L2.sag"),
        ("side hung", "gate.side.hung"),
        ("P9 a solid", "bracing.P9.solid_a"),
    ],
)
async def test_the_cell_of_a_row_and_a_column_is_found_by_their_words_from_any_stage_and_chosen(path: Path, words: str, key: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2", "slash")
        await typed(pilot, words)
        await keys(pilot, "enter", "enter")
        assert at(app) == item_key(key)


@pytest.mark.parametrize("job", [demo(), accepted(), ring(), *others().values()])
def test_every_cell_that_asks_is_among_the_first_found_by_its_row_and_column(job: Job) -> None:
    walked = walk(job)
    for stage in STAGES:
        for part in sheet_of(stage, job, walked).parts:
            asked = [(row, at) for row in part.rows[:2] for at, cell in enumerate(row.cells) if cell.line is not None]
            for row, column in asked:
                line = row.cells[column].line
                assert line is not None
                words = f"{row.name} {part.columns[column].head}"
                assert line.item.key in [hit.key for hit in find(job, walked, words)][: len(STAGES)], words
