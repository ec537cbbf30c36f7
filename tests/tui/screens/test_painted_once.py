"""What a key repaints: only what it changes, all of it at once."""

from pathlib import Path

import pytest
from rich.console import RenderableType
from textual._compositor import CompositorUpdate
from textual.app import App
from textual.screen import Screen

from engine.job.file.store import load
from tests.tui.driving import keys
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.widgets.apron_view import ApronView


@pytest.fixture
def painted(monkeypatch: pytest.MonkeyPatch) -> list[set[str]]:
    """The ids of what is drawn anew, a set each time that the walk screen is painted."""
    found: list[set[str]] = []
    paint = WalkScreen._compositor_refresh

    def noted(screen: WalkScreen) -> None:
        found.append({widget.id or type(widget).__name__ for widget in screen._dirty_widgets})
        paint(screen)

    monkeypatch.setattr(WalkScreen, "_compositor_refresh", noted)
    return found


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The bytes that each painting would write to a terminal."""
    found: list[int] = []
    display = App._display

    def noted(app: App[int], screen: Screen[None], update: RenderableType | None) -> None:
        if isinstance(update, CompositorUpdate):
            found.append(len(update.render_segments(app.console).encode()))
        display(app, screen, update)

    monkeypatch.setattr(App, "_display", noted)
    return found


async def test_along_a_row_only_the_sheet_and_its_strip_are_painted_and_once(path: Path, painted: list[set[str]]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "3")
        await pilot.pause(0.3)
        painted.clear()
        await keys(pilot, "left")
        await pilot.pause(0.1)
    assert painted == [{"sheet", "strip"}]


async def test_another_stage_is_painted_once_with_another_picture(path: Path, written: list[int]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause(0.3)
        for stage in "878":
            written.clear()
            await keys(pilot, f"alt+{stage}")
            await pilot.pause(0.1)
            assert len(written) == 1


@pytest.mark.parametrize("key", ["t", "b", "question_mark"])
async def test_what_opens_is_painted_once_with_its_scroll_bars(path: Path, written: list[int], key: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause(0.3)
        written.clear()
        await keys(pilot, key)
        await pilot.pause(0.1)
    assert len(written) == 1


async def test_a_tick_on_a_new_bay_takes_less_than_4_kb_of_the_line(path: Path, written: list[int]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "7")
        await pilot.pause(0.3)
        written.clear()
        await keys(pilot, "space")
        await pilot.pause(0.1)
    assert 1_000 < sum(written) < 4_000


async def test_a_tick_that_steps_to_another_bay_draws_the_picture_and_the_card_of_that_bay_alone(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "7")
        await pilot.pause(0.3)
        apron, shown = app.screen.query_one("#apron", ApronView), list[str]()
        show = apron.show
        apron.show = lambda picture, chosen: shown.append(f"{chosen}") or show(picture, chosen)  # type: ignore[method-assign,func-returns-value]  # noted on its way
        await keys(pilot, "space")
        assert shown == [apron.chosen]
        assert isinstance(app.screen, WalkScreen)
        assert apron.chosen == app.screen.sheet.cursor.subject


async def test_a_change_that_moves_no_cursor_is_told_in_the_strip(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "7", "space", "up")
        assert isinstance(app.screen, WalkScreen)
        strip, cell = app.screen.strip, app.screen.sheet.cursor.at
        assert "Done, Mo" in f"{strip.content}"
        await keys(pilot, "u")
        assert app.screen.sheet.cursor.at == cell
        assert "Done, Mo" not in f"{strip.content}"


async def test_down_a_row_the_plan_repaints_the_rows_of_two_posts(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "3", "home", "home")
        plan = app.screen.query_one("#plan")
        await pilot.pause(0.3)
        regions = []
        refresh = plan.refresh
        plan.refresh = lambda *rows, **how: regions.extend(rows) or refresh(*rows, **how)  # type: ignore[method-assign,assignment,func-returns-value]  # noted on its way
        await keys(pilot, "down")
        assert 0 < len(regions) < plan.size.height // 2
    assert {region.height for region in regions} == {1}
