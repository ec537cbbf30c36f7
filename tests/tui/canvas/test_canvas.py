"""Lines, shapes, marks and labels on a grid of cells, without a terminal."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tui.canvas.canvas import Canvas, Tinted
from tui.canvas.viewport import Viewport


def _canvas(width: int = 10, height: int = 4, plain: bool = False) -> Canvas:
    """One foot a cell across, two feet down, the origin in the bottom left corner."""
    return Canvas(Viewport(width, height, (width / 2, float(height)), 1.0), plain)


def _text(canvas: Canvas) -> list[str]:
    return ["".join(text for text, _ in row).rstrip() for row in canvas.rows()]


def test_a_level_line_sets_one_dot_row() -> None:
    canvas = _canvas(4, 1)
    canvas.line((0, 1.75), (3.9, 1.75), "fence")
    assert canvas.rows() == [[("⠉⠉⠉⠉", "fence")]]


def test_an_upright_line_sets_one_dot_column_in_every_row() -> None:
    canvas = _canvas(2, 2)
    canvas.line((0.6, 0), (0.6, 4), "post")
    assert canvas.rows() == [[("⢸", "post"), (" ", None)], [("⢸", "post"), (" ", None)]]


def test_a_weight_of_two_fills_the_column_it_stands_in() -> None:
    canvas = _canvas(3, 1)
    canvas.line((1.6, 0), (1.6, 2), "post", weight=2)
    assert canvas.rows() == [[(" ", None), ("⣿", "post"), (" ", None)]]


def test_a_dash_leaves_dots_out() -> None:
    canvas = _canvas(4, 1)
    canvas.line((0, 1.75), (3.9, 1.75), "boundary", dash=2)
    assert _text(canvas) == ["⠉ ⠉"]


def test_a_line_far_outside_is_clipped_not_traced() -> None:
    canvas = _canvas()
    canvas.line((-1e9, 4), (1e9, 4), "fence")
    canvas.line((-50, 900), (50, 900), "fence")
    assert [bool(row.strip()) for row in _text(canvas)] == [False, False, True, False]


@given(ends=st.lists(st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)), min_size=2, max_size=4), plain=st.booleans())
@settings(max_examples=80)
def test_rows_are_always_as_wide_and_high_as_the_view(ends: list[tuple[float, float]], plain: bool) -> None:
    canvas = _canvas(12, 5, plain)
    canvas.polyline(ends, "fence", weight=3, closed=True)
    canvas.hatch(ends, "keepout")
    canvas.arc(ends[0], ends[1], ends[-1], "gate")
    canvas.text(ends[0], "P1", "label")
    assert [sum(len(text) for text, _ in row) for row in canvas.rows()] == [12] * 5


@pytest.mark.parametrize(
    ("a", "b", "shape"),
    [
        ((0, 1), (5, 1), ["", "------"]),
        ((2, 0), (2, 4), ["  |", "  |"]),
        ((0.5, 0.5), (3.5, 3.5), ["  //", "//"]),
        ((0.5, 3.5), (3.5, 0.5), ["\\\\", "  \\\\"]),
    ],
)
def test_plain_lines_take_the_character_of_their_slope(a: tuple[float, float], b: tuple[float, float], shape: list[str]) -> None:
    canvas = _canvas(6, 2, plain=True)
    canvas.line(a, b, "fence")
    assert _text(canvas) == shape


def test_plain_lines_that_cross_make_a_plus_and_dashes_are_dots() -> None:
    canvas = _canvas(5, 3, plain=True)
    canvas.line((0, 3), (4.9, 3), "fence")
    canvas.line((2, 0), (2, 6), "fence")
    canvas.line((0, 1), (4.9, 1), "boundary", dash=1)
    assert _text(canvas) == ["  |", "--+--", ". | ."]


def test_a_plain_wall_is_drawn_with_number_signs() -> None:
    canvas = _canvas(4, 1, plain=True)
    canvas.line((0, 1), (3.9, 1), "wall")
    assert _text(canvas) == ["####"]


def test_hatch_stays_inside_the_polygon() -> None:
    canvas = _canvas(12, 4)
    canvas.hatch([(2, 2), (6, 2), (6, 6), (2, 6)], "septic")
    rows = _text(canvas)
    assert (rows[0], rows[3]) == ("", "")
    assert all(row[:2] == "  " and 2 < len(row) <= 6 for row in rows[1:3])


def test_an_arc_goes_the_shorter_way_round() -> None:
    canvas = _canvas(10, 5)
    canvas.arc((5, 5), (8, 5), (5, 8), "gate")
    below_or_left = [row[:4] for row in _text(canvas)] + _text(canvas)[3:]
    assert any(_text(canvas))
    assert all(not text.strip() for text in below_or_left)


def test_a_mark_lies_over_dots_and_the_first_keeps_its_cell() -> None:
    canvas = _canvas(5, 1)
    canvas.line((0, 1), (5, 1), "fence")
    assert canvas.mark((2, 1), "C", "post") is True
    assert canvas.mark((2.4, 1), "o", "post") is False
    assert canvas.mark((99, 1), "o", "post") is False
    assert _text(canvas)[0][2] == "C"


def test_a_label_keeps_a_cell_from_its_mark_and_off_lines() -> None:
    canvas = _canvas(12, 3)
    canvas.line((0, 3), (12, 3), "fence")
    canvas.mark((5, 3), "o", "post")
    assert canvas.text((5, 3), "P12", "label") is True
    assert _text(canvas)[0] == "    P12"


def test_labels_never_overwrite_each_other() -> None:
    canvas = _canvas(6, 1)
    assert canvas.text((0, 1), "P1", "label") is True
    assert canvas.text((0.5, 1), "P2", "label") is False
    assert _text(canvas) == ["  P1"]
    assert canvas.text((0, 1), "[P3]", "chosen", must=True) is True
    assert "[P3]" in _text(canvas)[0]


def test_a_centred_label_stands_on_its_place() -> None:
    canvas = _canvas(9, 1)
    canvas.text((4.5, 1), "yard", "yard", centred=True)
    assert canvas.rows() == [[("  ", None), ("yard", "yard"), ("   ", None)]]


def test_a_centred_label_stays_on_its_place_over_a_hatch() -> None:
    canvas = _canvas(12, 3)
    canvas.hatch([(2, 0), (10, 0), (10, 6), (2, 6)], "septic", every=2)
    canvas.text((6.5, 3), "tank", "keepout", centred=True)
    assert _text(canvas)[1][4:8] == "tank"


def test_hostile_and_wide_text_keeps_the_width_of_the_row() -> None:
    canvas = _canvas(12, 1)
    canvas.put(0, 0, "\x1b[2Jé庭\u202eB", "label")
    ((text, role), (rest, _)) = canvas.rows()[0]
    assert (text, role) == ("?[2Jé庭B", "label")
    assert len(rest) == 4


def test_text_is_cut_at_the_edge() -> None:
    canvas = _canvas(4, 1)
    canvas.put(2, 0, "abcdef", "label")
    assert _text(canvas) == ["  ab"]


def test_a_fill_is_solid_to_a_quarter_of_a_cell_and_hides_what_was_drawn_before() -> None:
    canvas = _canvas(6, 2)
    canvas.line((0, 3), (6, 3), "gas")
    canvas.fill([(1, 2), (4.5, 2), (4.5, 4), (1, 4)], "wall")
    assert _text(canvas) == ["⠤███⠤⠤", ""]
    assert canvas.rows()[0][1] == ("███", "wall")
    assert canvas.is_solid(1, 0, 3)
    assert not canvas.is_solid(1, 0, 4)
    assert not canvas.is_solid(-1, 0, 2)


def test_a_fill_of_a_character_takes_the_cells_that_are_half_inside() -> None:
    canvas = _canvas(6, 2, plain=True)
    canvas.fill([(1, 0), (4.2, 0), (4.2, 2), (1, 2)], "deck", "=")
    canvas.line((0, 1), (2.9, 1), "fence")
    assert _text(canvas) == ["", "---="]


def test_what_stands_on_a_tint_says_so() -> None:
    canvas = _canvas(4, 1)
    canvas.tint([(1, 0), (3, 0), (3, 2), (1, 2)], "yard-tint")
    canvas.mark((1.5, 1), "o", "post")
    assert canvas.rows() == [[(" ", None), ("o", Tinted("post", "yard-tint")), (" ", Tinted(None, "yard-tint")), (" ", None)]]


def test_beads_stand_in_a_line_at_even_distances_where_nothing_else_does() -> None:
    canvas = _canvas(20, 1)
    canvas.line((0, 1), (19.9, 1), "gas")
    canvas.mark((12.5, 1), "o", "post")
    canvas.beads([(0, 1), (19.9, 1)], "g", "gas", every=5)
    assert [place for place, char in enumerate(_text(canvas)[0]) if char == "g"] == [2, 7, 17]


def test_a_pattern_of_dashes_goes_on_along_the_line() -> None:
    canvas = _canvas(8, 1)
    canvas.line((0, 1.75), (7.9, 1.75), "boundary", dash=(4, 2, 1, 1))
    assert _text(canvas) == ["⠉⠉ ⠁⠉⠉ ⠁"]


def test_what_is_wiped_shows_what_was_below() -> None:
    canvas = _canvas(5, 1)
    canvas.line((0, 1), (4.9, 1), "fence")
    canvas.put(1, 0, "P1", "label")
    canvas.wipe(1, 0, 2)
    assert canvas.rows() == [[("⠤⠤⠤⠤⠤", "fence")]]


def test_a_small_round_thing_is_a_pair_of_brackets_in_plain_characters() -> None:
    canvas = _canvas(5, 1, plain=True)
    canvas.circle((2.5, 1), 1.0, "tree", "()")
    canvas.mark((2.5, 1), "Y", "tree")
    assert _text(canvas) == [" (Y)"]
