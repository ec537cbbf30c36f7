"""Tables inside a width: nothing is wider, nothing is lost, and a length is never torn apart."""

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.paper.built_tables import Table
from engine.paper.plan.text_columns import table_lines, wrapped

CELL = st.text(alphabet="ab 1'", max_size=60)
TABLES = st.integers(1, 6).flatmap(
    lambda wide: st.lists(st.tuples(*[CELL] * wide), min_size=1, max_size=5).map(
        lambda rows: Table("", tuple(f"head{at}" for at in range(wide)), tuple(rows))
    )
)


@settings(max_examples=100, deadline=None)
@given(TABLES, st.integers(20, 120))
def test_no_line_is_wider_and_no_letter_is_lost(table: Table, width: int) -> None:
    lines = list(table_lines(table, width))
    assert max(map(len, lines)) <= width
    said = "".join(lines)
    for row in table.rows:
        if any(cell.strip() for cell in row[1:]):
            assert all(said.count(letter) >= "".join(row).count(letter) for letter in "ab1'")


def test_what_has_no_room_beside_stands_below_under_the_same_names() -> None:
    table = Table("", ("post", "one", "other"), (("P1", "x" * 30, "y" * 30), ("P2", "", "z")))
    assert list(table_lines(table, 60)) == ["post  one", f"P1    {'x' * 30}", "", "post  other", f"P1    {'y' * 30}", "P2    z"]


def test_a_long_cell_goes_on_below_and_a_length_stays_whole() -> None:
    table = Table("", ("bay", "stakes at"), (("P1-P2", '0", 12\' 3 1/2", 24\' 0"'),))
    assert list(table_lines(table, 20)) == ["bay    stakes at", 'P1-P2  0",', "       12' 3 1/2\",", "       24' 0\""]
    assert list(wrapped(["up to 12' 3 1/2\" high"], 2, 12)) == ["up to", "  12' 3 1/2\"", "  high"]


def test_a_column_and_a_row_that_say_nothing_are_left_out() -> None:
    table = Table("", ("post", "kind", "note"), (("P1", "line", ""), ("P2", "", "")))
    assert list(table_lines(table)) == ["post  kind", "P1    line"]
