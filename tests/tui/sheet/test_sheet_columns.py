"""Columns in the room there is: what is asked never gives way, and what gives way is said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.sheets.sheet import Cell, Column, Row, SheetPart
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.demo import others
from tui.sheet.sheet_columns import GAP, SIGN, fit, full_width, in_cells

WORDS = st.text("abcdefgh ", min_size=1, max_size=20)


@st.composite
def parts(draw: st.DrawFn) -> SheetPart:
    count = draw(st.integers(1, 12))
    columns = tuple(Column(draw(WORDS), draw(st.integers(0, 4)) if at else 0, long=draw(st.booleans())) for at in range(count))
    rows = tuple(Row("x", tuple(Cell(figure=draw(WORDS)) for _ in range(count))) for _ in range(draw(st.integers(1, 4))))
    return SheetPart(columns, rows)


@given(parts(), st.integers(30, 200), st.integers(0, 11))
def test_what_shows_fits_and_the_column_under_the_cursor_and_the_name_show(part: SheetPart, room: int, cursor: int) -> None:
    fits = fit(part, room, cursor)
    assert fits.shown[0] == 0
    needs = SIGN + sum(width + GAP for width in fits.widths) - GAP
    assert needs <= room or len(fits.shown) <= 2
    if cursor < len(part.columns) and part.columns[cursor].drops == 0:
        assert cursor in fits.shown
    for at in fits.dropped:
        assert part.columns[at].drops > 0
    kept = [part.columns[at].drops for at in fits.shown if not fits.more]
    assert not fits.dropped or fits.more or max(kept) <= min(part.columns[at].drops for at in fits.dropped)


@given(parts())
def test_with_room_for_all_nothing_gives_way(part: SheetPart) -> None:
    fits = fit(part, full_width(part), 0)
    assert (fits.dropped, fits.more, len(fits.shown)) == ((), False, len(part.columns))


@pytest.mark.parametrize(
    ("words", "right", "expected"), [('30"', True, '   30"'), ('30"', False, '30"   '), ('at least 6"', False, "at le…")]
)
def test_words_stand_in_so_many_cells(words: str, right: bool, expected: str) -> None:
    assert in_cells(words, 6, right) == expected


@pytest.mark.parametrize("room", [72, 80])
def test_of_a_post_s_two_tapes_both_show_beside_the_picture_too(room: int) -> None:
    job = others()["ridge_ring"]
    part = sheet_of("layout", job, walk(job)).parts[0]
    fits = fit(part, room, 0)
    assert [part.columns[at].head for at in fits.shown].count("tape") == 2
    assert not fits.more
