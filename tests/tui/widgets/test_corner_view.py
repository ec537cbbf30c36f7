"""A corner from above: arms, braces, the pull as an arrow and in letters, keep-outs."""

import pytest

from engine.drawing.shapes import Area, Drawing, Mark, Stroke, Words
from tui.widgets.corner_view import arrow, frame_corner, paint_corner

CORNER = Drawing(
    shapes=(
        Area("frame", ((-7, -7), (7, -7), (7, 7), (-7, 7))),
        Area("keepout", ((-1.0, -6.0), (2.0, -6.0), (2.0, -4.0), (-1.0, -4.0)), "rock", "rock"),
        Words("keepout", (0.5, -5.0), "rock", "rock", kind="rock", rank=11),
        Stroke("fence", ((0.0, 0.0), (-7.0, 0.0))),
        Words("arm", (-7.0, 0.0), "to P4", rank=4),
        Stroke("fence", ((0.0, 0.0), (0.0, -7.0))),
        Words("arm", (0.0, -7.0), "to P6", rank=4),
        Stroke("brace", ((0.0, 0.0), (-5.0, 0.0))),
        Mark("foot", (-5.0, 0.0), rank=1),
        Words("brace", (-5.0, 0.0), "P5-a 5' 0\"", rank=1),
        Stroke("brace", ((0.0, 0.0), (0.0, -5.0))),
        Mark("foot", (0.0, -5.0), kind="blocked", rank=1),
        Words("brace", (0.0, -5.0), "P5-b 5' 0\"", kind="blocked", rank=1),
        Stroke("pull", ((0.0, 0.0), (-2.5, -2.5))),
        Mark("pull", (-2.5, -2.5), rank=2),
        Words("pull", (-2.5, -2.5), "141 lb SW", rank=2),
        Mark("post", (0.0, 0.0), "P5"),
        Words("post", (0.0, 0.0), "P5", rank=3),
    ),
    says=("P5: both cables pull 141 lb", "turns 90°: braces toward P4 and P6"),
    id="P5",
)


def drawn(width: int, height: int, plain: bool = False) -> list[str]:
    return ["".join(text for text, _ in row) for row in paint_corner(CORNER, frame_corner(CORNER, width, height), plain)]


@pytest.mark.parametrize(("plain", "sign"), [(False, "↙"), (True, "<")])
@pytest.mark.parametrize(("width", "height"), [(78, 16), (50, 13), (100, 30)])
def test_all_that_matters_is_written_at_any_size(width: int, height: int, plain: bool, sign: str) -> None:
    rows = drawn(width, height, plain)
    text = "\n".join(rows)
    assert rows[0].startswith(CORNER.says[0])
    for words in ("P5-a 5' 0\"", "P5-b 5' 0\"", "141 lb SW", "to P4", "to P6", sign, "rock"):
        assert words in text
    assert all(len(row) == width for row in rows)


def test_a_foot_that_is_not_clear_has_its_own_sign() -> None:
    text = "\n".join(drawn(78, 16))
    assert text.count("!") == 1
    assert "x" in text


def test_long_words_go_on_below() -> None:
    rows = drawn(30, 13)
    assert (rows[0][:27], rows[1][:15]) == (CORNER.says[0], CORNER.says[1][:15])


@pytest.mark.parametrize(
    ("tip", "sign", "plain"),
    [((0, 1), "↑", "^"), ((1, 1), "↗", ">"), ((3, 0.1), "→", ">"), ((1, -1.1), "↘", "v"), ((-1, 0.1), "←", "<"), ((-1, 1.2), "↖", "^")],
)
def test_arrows_of_eight_ways(tip: tuple[float, float], sign: str, plain: str) -> None:
    assert (arrow((0, 0), tip), arrow((0, 0), tip, plain=True)) == (sign, plain)


def test_a_deck_beside_a_corner_is_solid_and_named() -> None:
    deck = ((1.0, 2.0), (6.0, 2.0), (6.0, 6.0), (1.0, 6.0))
    near = Drawing((*CORNER.shapes, Area("deck", deck, "deck", "deck"), Words("deck", (3.5, 4.0), "deck", "deck", rank=11)))
    rows = paint_corner(near, frame_corner(near, 78, 20), plain=False)
    roles = {role for row in rows for _, role in row}
    assert "deck" in roles
    assert "deck" in "\n".join("".join(text for text, _ in row) for row in rows)
