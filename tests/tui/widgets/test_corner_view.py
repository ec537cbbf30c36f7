"""A corner from above: arms, braces, the pull as an arrow and in letters, keep-outs."""

import pytest

from tui.widgets.corner_view import CornerArm, CornerBrace, CornerPicture, arrow, paint_corner
from tui.widgets.picture import HatchedArea
from tui.widgets.viewport import fit

CORNER = CornerPicture(
    id="P5",
    bounds=(-7, -7, 7, 7),
    post=(0.0, 0.0),
    arms=(CornerArm((-7.0, 0.0), "P4"), CornerArm((0.0, -7.0), "P6")),
    braces=(CornerBrace((-5.0, 0.0), "P5-a 5' 0\""), CornerBrace((0.0, -5.0), "P5-b 5' 0\"", clear=False)),
    pull=(-2.5, -2.5),
    pull_says="141 lb SW",
    says=("P5: both cables pull 141 lb", "turns 90°: braces toward P4 and P6"),
    keep_outs=(HatchedArea("rock", ((-1.0, -6.0), (2.0, -6.0), (2.0, -4.0), (-1.0, -4.0))),),
)


def drawn(width: int, height: int, plain: bool = False) -> list[str]:
    return ["".join(text for text, _ in row) for row in paint_corner(CORNER, fit(CORNER.bounds, width, height, (2, 1.5)), plain)]


@pytest.mark.parametrize(("plain", "sign"), [(False, "↙"), (True, "<")])
@pytest.mark.parametrize(("width", "height"), [(78, 16), (50, 13), (100, 30)])
def test_all_that_matters_is_written_at_any_size(width: int, height: int, plain: bool, sign: str) -> None:
    rows = drawn(width, height, plain)
    text = "\n".join(rows)
    assert rows[0].startswith("P5: both cables pull 141 lb")
    for words in ("P5-a 5' 0\"", "P5-b 5' 0\"", "141 lb SW", "to P4", "to P6", sign, "rock"):
        assert words in text
    assert all(len(row) == width for row in rows)


def test_a_foot_that_is_not_clear_has_its_own_sign() -> None:
    text = "\n".join(drawn(78, 16))
    assert text.count("!") == 1
    assert "x" in text


def test_long_words_go_on_below() -> None:
    rows = drawn(30, 13)
    assert (rows[0][:27], rows[1][:15]) == ("P5: both cables pull 141 lb", "turns 90°: brac")


@pytest.mark.parametrize(
    ("tip", "sign", "plain"),
    [((0, 1), "↑", "^"), ((1, 1), "↗", ">"), ((3, 0.1), "→", ">"), ((1, -1.1), "↘", "v"), ((-1, 0.1), "←", "<"), ((-1, 1.2), "↖", "^")],
)
def test_arrows_of_eight_ways(tip: tuple[float, float], sign: str, plain: str) -> None:
    assert (arrow((0, 0), tip), arrow((0, 0), tip, plain=True)) == (sign, plain)
