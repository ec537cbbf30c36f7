"""The ground profile: its scale, its ruler, and choosing in it."""

from itertools import pairwise

import pytest

from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Drawing
from engine.walk import walk
from tests.drawing.drawn_jobs import there
from tests.stages.yards import build
from tests.tui.widgets.one_view import OneView
from tests.tui.widgets.pictures import PROFILE
from tui.base.plain_characters import INSTEAD
from tui.canvas.viewport import Viewport
from tui.widgets.profile_view import ProfileView, frame_profile, paint_profile, profile_bounds, ruler


def _text(chosen: str | None = None, plain: bool = False, size: tuple[int, int] = (80, 24)) -> list[str]:
    rows = paint_profile(PROFILE, frame_profile(profile_bounds(PROFILE), *size), chosen, plain)
    return ["".join(text for text, _ in row) for row in rows]


def test_bounds_reach_from_the_driven_foot_to_the_highest_top() -> None:
    assert profile_bounds(PROFILE) == (0, -2, 100, 7)
    assert profile_bounds(Drawing(())) == (-2, -2, 2, 2)


@pytest.mark.closed_form
def test_the_exaggeration_is_the_largest_round_one_that_fits() -> None:
    view = frame_profile((0, -2, 100, 7), 80, 24)
    assert view.feet_per_cell == pytest.approx(100 / 72)
    assert view.exaggeration == 5.0  # 2 * (100 / 72) * 18 rows / 9 ft = 5.6
    assert frame_profile((0, 0, 10, 40), 80, 24).exaggeration == 1.0


def test_everything_is_named_and_the_exaggeration_is_stated() -> None:
    text = "\n".join(_text())
    for name in ("heights drawn 5x", "P1✓", "P2X", "oak", "G1", "0 ft", "80 ft"):
        assert text.count(name) >= 1, name
    assert len(_text()) == 24
    assert {len(row) for row in _text()} == {80}


def test_posts_of_other_lines_are_drawn_with_theirs() -> None:
    assert "P9" not in "\n".join(_text())


def test_in_plain_characters_the_profile_is_ascii() -> None:
    assert "\n".join(_text(plain=True)).translate(INSTEAD).isascii()


@pytest.mark.parametrize("chosen", ["P2", "G1", "P1-P2"])
def test_the_chosen_thing_stands_in_brackets_once(chosen: str) -> None:
    assert "\n".join(_text(chosen)).count(f"[{chosen}]") == 1


def test_the_ruler_marks_round_stations_in_feet() -> None:
    line, numbers = ("".join(text for text, _ in row) for row in ruler(Viewport(60, 2, (50.0, 0.0), 2.0)))
    assert line.count("┬") == 6
    assert numbers.split() == ["0", "ft", "20", "ft", "40", "ft", "60", "ft", "80", "ft", "100", "ft"]
    places = [at for at, char in enumerate(line) if char == "┬"]
    assert [b - a for a, b in pairwise(places)] == [10] * 5


@pytest.mark.closed_form
@pytest.mark.parametrize("high_ft", [4.0, 6.0, 8.0])
def test_a_gate_from_the_side_is_painted_as_high_as_it_is(high_ft: float) -> None:
    job = build(gates={"G1": {"line": "fence", "station_ft": 75, "height_ft": high_ft}})
    picture = there(profile_shapes(walk(job), "fence", deep_sag=True))
    view = frame_profile(profile_bounds(picture), 160, 60)
    rows = paint_profile(picture, view)
    top = min(row for row, runs in enumerate(rows) if any(role == "gate" and text.strip("⠀ ") for text, role in runs))
    assert view.to_cell((77.5, high_ft))[1] == pytest.approx(top + 0.5, abs=0.75)


async def test_zooming_in_states_the_new_exaggeration_and_keeps_heights_in_view() -> None:
    app = OneView(ProfileView(PROFILE))
    async with app.run_test(size=(80, 24)) as pilot:
        app.view.focus()
        await pilot.press("plus", "plus", "plus")
        view = app.view.viewport
        assert view is not None
        assert view.exaggeration == 2.0
        assert app.view.render_line(0).text.startswith("heights drawn 2x")
        assert all(0 <= view.to_cell((50, level))[1] <= view.height for level in (-2, 7))
        await pilot.press("0")
        assert app.view.render_line(0).text.startswith("heights drawn 5x")


async def test_a_click_on_a_post_chooses_it_and_one_on_a_cable_its_bay() -> None:
    app = OneView(ProfileView(PROFILE))
    async with app.run_test(size=(80, 24)) as pilot:
        view = app.view.viewport
        assert view is not None
        column, row = view.to_cell((50, 5))
        await pilot.click(ProfileView, offset=(int(column), int(row)))
        column, row = view.to_cell((25, 6.2))
        await pilot.click(ProfileView, offset=(int(column), int(row)))
        assert app.heard == ["P2", "P1-P2"]


@pytest.mark.parametrize("size", [(1, 1), (6, 2), (12, 4), (200, 50)])
async def test_any_size_draws_full_rows(size: tuple[int, int]) -> None:
    app = OneView(ProfileView(PROFILE))
    async with app.run_test(size=size):
        assert {app.view.render_line(y).cell_length for y in range(size[1])} == {size[0]}
