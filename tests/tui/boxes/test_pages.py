"""Pages to read, by real keys at 80x24: searched, written from, and left by keys that their last line names."""

from pathlib import Path
from re import findall

import pytest

from engine.job.file.store import load
from tests.demo import FOLDER
from tests.tui.driving import burst, keys, shown, typed
from tui.app import LinewalkApp
from tui.boxes.pages import RecordScreen, ShowScreen
from tui.screens.walk_screen import WalkScreen
from tui.widgets.figures import FiguresPane

SEAL_LETTERS = 64


async def test_the_record_is_searched_and_written_beside_the_job(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b", "slash")
        await typed(pilot, "L3")
        await keys(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, RecordScreen)
        row = screen.query_one(FiguresPane).cursor
        assert row is not None
        assert "L3" in row.cells
        await keys(pilot, "c", "c")
    written = sorted(file.name for file in path.parent.glob("*.html"))
    assert written == ["yard-record-2.html", "yard-record.html"]
    assert "P10" in (path.parent / written[0]).read_text(encoding="utf-8")


async def test_the_record_ends_with_the_sheets_and_finds_in_them_though_both_are_typed_at_once(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b", "end")
        assert app.screen.query_one(FiguresPane).figures[-1].title == "Punch list: closing walk"
        assert "Care notes given" in shown(app)
        await keys(pilot, "escape")
        await burst(pilot, "b/Offcuts\r")
        row = app.screen.query_one(FiguresPane).cursor
        assert row is not None
        assert row.cells[:2] == ("open", "Punch list: Offcuts and rings picked up, ground swept with a magnet"), (
            "it is told as left open first"
        )
        await burst(pilot, "/Offcuts\r")
        row = app.screen.query_one(FiguresPane).cursor
        assert row is not None
        assert row.cells[0] == "Offcuts and rings picked up, ground swept with a magnet"


async def test_the_whole_record_is_read_at_80_columns_by_leafing_through_it_and_no_word_or_length_is_parted(path: Path) -> None:
    path.write_bytes((FOLDER / "alder_row.toml").read_bytes())
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b")
        pane, seen = app.screen.query_one(FiguresPane), list[str]()
        while seen[-1:] != [page := shown(app)]:
            seen.append(page)
            await keys(pilot, "pagedown")
        read = "\n".join(seen)
        cells = [cell for table in pane.figures for row in table.rows for cell in row.cells]
        wanted = {word for cell in cells for word in cell.split()} | {one for cell in cells for one in findall(r"\d+' \d+ \d+/\d+\"", cell)}
        assert {one for one in wanted if one not in read} == set()
        assert "38' 0 5/8\"" in wanted
        assert any(len(word) == SEAL_LETTERS for word in wanted)


async def test_crew_sheets_are_written_beside_the_job_and_none_of_a_signed_one(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b")
        assert "s crew sheets" in shown(app).splitlines()[-1]
        await keys(pilot, "s", "s")
    written = sorted(file.name for file in path.parent.glob("*.html"))
    assert written == ["yard-sheets-2.html", "yard-sheets.html"]
    text = (path.parent / written[1]).read_text(encoding="utf-8")
    assert f"from revision {load(path).heading.revision}<" in text
    signed = path.with_name("signed.toml")
    signed.write_bytes((FOLDER / "alder_row.toml").read_bytes())
    app = LinewalkApp(loaded=load(signed), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b", "s")
        assert "is signed off, so nothing is left to work by" in " ".join(notice.message for notice in app._notifications)
    assert list(path.parent.glob("signed-*")) == []


async def test_the_client_s_copy_is_written_beside_the_job_and_says_how_to_name_the_firm_once(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b")
        assert "k client" in shown(app).splitlines()[-1]
        await keys(pilot, "k", "k")
        told = [notice.message for notice in app._notifications]
    written = sorted(file.name for file in path.parent.glob("*.html"))
    assert written == ["yard-client-2.html", "yard-client.html"]
    text = (path.parent / "yard-client.html").read_text(encoding="utf-8")
    assert "Not signed yet." in text
    assert "<td>side</td>" in text
    assert sum(said.startswith("No firm.toml beside yard.toml") for said in told) == 1


async def test_a_firm_that_is_wrong_is_told_and_nothing_is_written(path: Path) -> None:
    (path.parent / "firm.toml").write_text('name = "Our firm"\nfone = "555-0100"\n', encoding="utf-8")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "b", "k", "c")
        told = [notice.message for notice in app._notifications]
    assert told == ['firm.toml: line 2, column 1, fone: there is no fone here. Did you mean "phone"?'] * 2
    assert list(path.parent.glob("*.html")) == []


@pytest.mark.parametrize(("key", "named"), [("b", "c as a page"), ("t", "c as CSV"), ("h", "/ find")])
async def test_a_page_names_its_keys_and_the_way_out(path: Path, key: str, named: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, key)
        assert isinstance(app.screen, ShowScreen)
        last = shown(app).splitlines()[-1]
        assert named in last
        assert "Esc back" in last
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)


async def test_how_to_is_searched(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "5", "h", "slash")
        await typed(pilot, "tail")
        await keys(pilot, "enter")
        assert "tail" in shown(app)
        await keys(pilot, "slash", "ctrl+u")
        await typed(pilot, "xyzzy")
        await keys(pilot, "enter")
        assert "Nothing here holds xyzzy." in " ".join(notice.message for notice in app._notifications)
