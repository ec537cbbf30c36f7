"""The plan: what it draws, and a crew working it with keys and mouse."""

from dataclasses import replace

import pytest

from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Circle, Drawing, Mark, Role, Stroke, Words
from engine.walk import walk
from tests.drawing.drawn_jobs import JOBS
from tests.tui.widgets.one_view import OneView
from tests.tui.widgets.pictures import MOVED, PLAN
from tui.base.plain_characters import INSTEAD
from tui.base.theme import DUSK
from tui.canvas.viewport import Viewport, fit
from tui.widgets.plan_view import PlanView, paint_plan, plan_bounds


def _rows(picture: Drawing, chosen: str | None = None, plain: bool = False, size: tuple[int, int] = (40, 12)) -> list[str]:
    rows = paint_plan(picture, fit(plan_bounds(picture), *size), chosen, plain)
    return ["".join(text for text, _ in row) for row in rows]


def _roles(chosen: str) -> dict[str | None, str]:
    """All text drawn in each role."""
    roles: dict[str | None, str] = {}
    for row in paint_plan(PLAN, fit(plan_bounds(PLAN), 80, 24), chosen):
        for text, role in row:
            roles[role] = roles.get(role, "") + text
    return roles


def test_a_small_plan_names_every_thing_once() -> None:
    text = "\n".join(_rows(PLAN))
    for name in ("P1✓", "P2X", "P3✓", "P4", "G1", "oak", "tank", "20 ft", "N", "↑", "●", "♣"):
        assert text.count(name) == 1, name
    assert "[bold]" in "\n".join(_rows(PLAN, size=(80, 24)))


def test_in_plain_characters_the_plan_is_ascii() -> None:
    text = "\n".join(_rows(PLAN, plain=True)).translate(INSTEAD)
    assert text.isascii()
    for name in ("P1v", "P2X", "oak", "###", "|", "-"):
        assert name in text, name


@pytest.mark.parametrize(("role", "sign", "plain"), [("old sleeve", "⊗", "%"), ("known place", "×", "x")])
def test_a_sleeve_left_in_the_ground_and_a_known_place_have_signs_of_their_own(role: Role, sign: str, plain: str) -> None:
    there = PLAN.of(Circle, "tree")[0].centre
    left = replace(PLAN, shapes=(*PLAN.shapes, Mark(role, there, rank=-1), Words(role, there, "K7", rank=-1)))
    assert ["\n".join(_rows(left)).count(seen) for seen in (sign, "K7")] == [1, 1]
    assert "\n".join(_rows(left, plain=True)).count(plain) == 1


def test_the_chosen_post_stands_in_brackets_and_is_not_named_twice() -> None:
    roles = _roles("P3")
    assert roles["chosen"] == "[P3]●" or roles["chosen"] == "●[P3]"
    assert "P3" not in roles["label"]


def test_a_loop_chosen_by_its_group_lights_all_its_bays() -> None:
    lit = {group: len(_roles(group)["chosen-line"]) for group in ("L1", "L2", "P2-P3")}
    assert lit["L1"] > lit["P2-P3"] > 0
    assert lit["L2"] > 0
    assert _roles("L1")["chosen"] == "[L1]"


def _dots(kind: str, plain: bool = False) -> str:
    """A flat fence as far as `kind` says, all of it that is drawn."""
    run = Drawing((Stroke("fence", ((0, 15), (60, 15)), kind=kind),))
    rows = paint_plan(run, fit(plan_bounds(run), 80, 24), plain=plain)
    return "".join(text for row in rows for text, role in row if role == "fence")


def test_the_fence_shows_how_far_the_work_is() -> None:
    counts = [sum((ord(char) - 0x2800).bit_count() for char in _dots(kind)) for kind in ("planned", "cabled", "posts in", "hung")]
    assert counts == sorted(counts)
    assert counts[3] == 3 * counts[1] > 400
    assert 2.5 * counts[0] < counts[3]
    assert {kind: "".join(sorted(set(_dots(kind, plain=True)))) for kind in ("planned", "posts in", "cabled", "hung")} == {
        **{"planned": ".", "posts in": "-", "cabled": "-", "hung": "="},
    }
    assert (len(_dots("cabled", plain=True)), len(_dots("posts in", plain=True))) == (73, 35)


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("size", [(33, 12), (76, 20), (140, 44)])
def test_no_name_of_a_plan_lies_on_another_on_a_mark_or_on_a_line(name: str, size: tuple[int, int]) -> None:
    """As the cells show it: every name that is written stands whole, and the lines without any names have no dot in its cells."""
    drawing = plan_shapes(JOBS[name], walk(JOBS[name]))
    view = fit(plan_bounds(drawing), *size)
    bare = replace(drawing, shapes=tuple(shape for shape in drawing.shapes if not isinstance(shape, Words)))
    named = ["".join(text for text, _ in row) for row in paint_plan(drawing, view)]
    empty = ["".join(text for text, _ in row) for row in paint_plan(bare, view)]
    written = [
        (down, start, stop) for down, (row, before) in enumerate(zip(named, empty, strict=True)) for start, stop in _changed(row, before)
    ]
    assert written or not drawing.of(Words)
    for down, start, stop in written:
        below = empty[down][start:stop]
        assert not [char for char in below if "⠀" < char < "⣿" and (ord(char) - 0x2800).bit_count() > 3], (named[down], below)
        assert not set(below) & set("○●CEGTSY♣▨⊗×"), (named[down], below)


def _changed(row: str, before: str) -> list[tuple[int, int]]:
    """Where a row differs from another, run by run."""
    at = [place for place in range(len(row)) if row[place] != before[place]]
    starts = [place for place in at if place - 1 not in at]
    return [(start, next(place for place in range(start, len(row) + 1) if place not in at)) for start in starts]


def test_what_is_left_out_for_want_of_room_comes_back_closer_by() -> None:
    drawing = plan_shapes(JOBS["ridge_ring"], walk(JOBS["ridge_ring"]))
    view = fit(plan_bounds(drawing), 60, 18)
    far = "\n".join("".join(text for text, _ in row) for row in paint_plan(drawing, view))
    assert "24' 9\"" not in far
    post = next(mark.pos for mark in drawing.of(Mark, "post") if mark.id == "P24")
    near = Viewport(60, 18, post, view.feet_per_cell / 4)
    assert "24' 9\"" in "\n".join("".join(text for text, _ in row) for row in paint_plan(drawing, near))


def test_what_stops_the_work_has_its_own_colour_as_well_as_its_sign() -> None:
    roles = _roles("")
    assert sorted(roles["stop"]) == sorted("CP2X")
    assert "✓" in roles["label"]


def test_a_move_shows_the_old_and_the_new_spot() -> None:
    text = "\n".join(_rows(MOVED, size=(80, 24)))
    assert (text.count("◇"), text.count("◆"), text.count("P3")) == (1, 1, 1)


def test_a_tree_too_thick_for_one_cell_is_a_ring() -> None:
    tree = Drawing((Circle("tree", (0, 0), 3.0),))
    drawn = {role for row in paint_plan(tree, fit(plan_bounds(tree), 80, 24)) for text, role in row if "⠀" < text[0] < "⣿"}
    assert drawn == {"tree"}


async def test_keys_pan_zoom_and_fit() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        app.view.focus()
        whole = app.view.viewport
        assert whole is not None
        await pilot.press("plus", "right", "down")
        near = app.view.viewport
        assert near is not None
        assert near.feet_per_cell == whole.feet_per_cell / 1.25
        assert near.centre[0] > whole.centre[0]
        assert near.centre[1] < whole.centre[1]
        await pilot.press("0")
        assert app.view.viewport == whole


async def test_a_click_chooses_the_nearest_thing_and_says_so() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        view = app.view.viewport
        assert view is not None
        column, row = view.to_cell((50, 60))
        await pilot.click(PlanView, offset=(int(column) + 1, int(row)))
        assert (app.view.chosen, app.heard) == ("P3", ["P3"])
        column, row = view.to_cell((0, 30))
        await pilot.click(PlanView, offset=(int(column), int(row)))
        assert app.heard == ["P3", "P1-P2"]
        column, row = view.to_cell((80, 30))
        await pilot.click(PlanView, offset=(int(column), int(row)))
        assert app.heard == ["P3", "P1-P2"]


async def test_a_drag_pans_and_chooses_nothing() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        whole = app.view.viewport
        assert whole is not None
        column, row = (int(part) for part in whole.to_cell((50, 60)))
        await pilot.mouse_down(PlanView, offset=(column, row))
        await pilot.hover(PlanView, offset=(column + 6, row + 2))
        await pilot.mouse_up(PlanView, offset=(column + 6, row + 2))
        await pilot.pause()
        view = app.view.viewport
        assert view is not None
        assert [int(part) for part in view.to_cell((50, 60))] == [column + 6, row + 2]
        assert app.heard == []


async def test_brackets_step_through_the_things_by_keyboard() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        app.view.focus()
        await pilot.press("right_square_bracket", "right_square_bracket", "left_square_bracket", "left_square_bracket")
        await pilot.pause()
        assert app.heard == ["P1", "P2", "P1", "tank"]


async def test_a_thing_chosen_elsewhere_comes_into_view() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        app.view.focus()
        await pilot.press(*["plus"] * 8)
        assert not app.view.viewport.shows((0, 0))
        app.view.chosen = "P1"
        assert app.view.viewport.shows((0, 0))


async def test_rows_are_drawn_again_only_when_something_changed() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        first = app.view.render_line(3)
        assert app.view.render_line(3) is first
        for change in (
            lambda: setattr(app.view, "chosen", "P1"),
            lambda: setattr(app, "theme", DUSK),
            lambda: setattr(app.view, "picture", MOVED),
            lambda: setattr(app.view, "plain", True),
        ):
            change()
            await pilot.pause()
            again = app.view.render_line(3)
            assert again is not first
            first = again


async def test_without_a_picture_it_says_why_and_takes_keys() -> None:
    app = OneView(PlanView(None))
    async with app.run_test(size=(40, 12)) as pilot:
        app.view.focus()
        await pilot.press("plus", "left", "right_square_bracket", "0")
        await pilot.click(PlanView, offset=(5, 5))
        assert app.view.render_line(0).text.rstrip() == "No points measured yet."
        assert app.view.render_line(11).text == " " * 40


async def test_with_room_the_signs_are_told_below_the_plan_and_a_key_brings_and_takes_them() -> None:
    for size, unasked in (((120, 40), True), ((60, 20), False)):
        app = OneView(PlanView(PLAN))
        async with app.run_test(size=size) as pilot:
            app.view.focus()
            for told in (unasked, not unasked, unasked):
                text = "\n".join(app.view.render_line(row).text for row in range(size[1]))
                assert ("line post" in text) is told
                assert app.view.viewport is not None
                assert (app.view.viewport.height < size[1]) is told
                await pilot.press("k")
                await pilot.pause()


async def test_a_plan_that_is_about_a_part_opens_on_it_and_can_still_be_seen_whole() -> None:
    app = OneView(PlanView(replace(PLAN, opens_on=((40, 50), (60, 60)))))
    async with app.run_test(size=(60, 20)) as pilot:
        app.view.focus()
        assert app.view.viewport is not None
        assert not app.view.viewport.shows((0, 0))
        near = app.view.viewport.feet_per_cell
        await pilot.press(*["minus"] * 9)
        assert app.view.viewport.shows((0, 0))
        await pilot.press("0")
        assert app.view.viewport.feet_per_cell == near


def test_a_loop_of_which_only_the_end_is_in_view_is_named_there() -> None:
    for group, middle in (("L1", (48, 60)), ("L1", (0, 10)), ("L2", (80, 60))):
        view = Viewport(60, 14, middle, 0.25)
        text = "\n".join("".join(text for text, _ in row) for row in paint_plan(PLAN, view, group))
        inside = any(view.shows(words.pos) for words in PLAN.of(Words, "bay length") if words.group == group)
        assert (f"[{group}]" in text) is inside


def test_what_is_chosen_is_named_whatever_else_is_named_there_and_the_rest_stays_where_it_was() -> None:
    drawing = plan_shapes(JOBS["ridge_ring"], walk(JOBS["ridge_ring"]))
    view = fit(plan_bounds(drawing), 56, 15)
    still = ["".join(text for text, _ in row) for row in paint_plan(drawing, view)]
    for post in drawing.of(Mark, "post"):
        rows = ["".join(text for text, _ in row) for row in paint_plan(drawing, view, post.id)]
        (row,) = (row for row in range(15) if f"[{post.id}]" in rows[row])
        own = round(view.to_cell(post.pos)[1])
        others = [at for at in range(15) if at != row and abs(at - own) > 1 and rows[at] != still[at]]
        assert len(others) <= 1, (post.id, others)


async def test_z_zooms_to_the_chosen_thing_and_plus_keeps_it_in_view() -> None:
    app = OneView(PlanView(PLAN))
    async with app.run_test(size=(80, 24)) as pilot:
        app.view.focus()
        await pilot.press("z")
        whole = app.view.viewport
        assert whole is not None
        app.view.chosen = "P1"
        await pilot.press(*["plus"] * 12)
        assert app.view.viewport.shows((0, 0))
        assert app.view.viewport.to_cell((0, 0)) == pytest.approx(whole.to_cell((0, 0)))
        await pilot.press("0")
        assert app.view.viewport == whole
        await pilot.press("z")
        near = app.view.viewport
        assert near.centre == (0, 0)
        assert near.feet_per_cell < whole.feet_per_cell
        app.view.chosen = "P2-P3"
        await pilot.press("z")
        assert app.view.viewport.centre == (25, 60)
        assert all(app.view.viewport.shows(end) for end in ((0, 60), (50, 60)))
