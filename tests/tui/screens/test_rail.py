"""Where the names of the stages stand."""

from tui.screens.rail import lined_up

RIDGE = (
    "1 survey ✓", "2 layout 3", "3 sleeves and posts 48", "4 bracing 45!", "5 cable loops 45!",
    "6 wire and mesh 66", "7 staking 46!", "8 gate 16X", "9 punch list 6X",
)  # fmt: skip


def test_the_margin_goes_where_that_saves_the_sheet_a_line() -> None:
    assert [line for line, _ in lined_up(RIDGE, 80)] == [0, 0, 0, 0, 0, 1, 1, 1, 1]
    assert lined_up(RIDGE, 80)[4] == (0, 63)


def test_elsewhere_there_is_a_margin() -> None:
    assert lined_up(RIDGE, 120)[0] == (0, 1)
    assert lined_up(RIDGE[:2], 80) == [(0, 1), (0, 13)]
