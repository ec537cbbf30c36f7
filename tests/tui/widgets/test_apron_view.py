"""The apron of a bay: its figures, infill and stakes under the picture."""

import pytest

from engine.drawing.shapes import Drawing, Mark, Stroke, Words
from tui.widgets.apron_view import FOOT_ROWS, frame_apron, paint_apron
from tui.widgets.profile_view import RULER_ROWS

BAY = Drawing(
    shapes=(
        Stroke("ground", ((0.0, 0.0), (10.0, -1.2), (20.0, 0.0))),
        Stroke("cable", ((0.0, 3.0), (10.0, 2.98), (20.0, 3.0))),
        Stroke("hem", ((0.0, 0.0), (10.0, -1.0), (20.0, 0.0))),
        Stroke("pole", ((0.0, 0.0), (0.0, 3.0))),
        Stroke("pole", ((20.0, 0.0), (20.0, 3.0))),
        *(Words("apron", (float(foot), 0.0), "12", rank=2) for foot in range(21) if foot != 10),
        Words("apron", (10.0, -1.2), "-2", kind="hole"),
        Stroke("infill", ((4.0, -1.2), (16.0, -1.2)), "I1"),
        Stroke("infill", ((18.0, -1.2), (18.5, -1.2)), "I2"),
        *(Mark("stake", (station, -1.2)) for station in (0.0, 20.0)),
        Mark("fastened", (10.0, -1.2)),
    ),
    id="P1-P2",
    steps=("P1-P2", "P2-P3"),
)


def text(size: tuple[int, int] = (78, 18), plain: bool = False) -> list[str]:
    rows = paint_apron(BAY, frame_apron(BAY, *size), plain)
    return ["".join(part for part, _ in row) for row in rows]


@pytest.mark.parametrize("size", [(78, 18), (60, 12), (150, 30)])
def test_it_fills_the_space(size: tuple[int, int]) -> None:
    rows = text(size)

    assert len(rows) == size[1]
    assert {len(row) for row in rows} == {size[0]}


def test_each_row_below_the_ruler_says_its_own() -> None:
    apron, infill, stakes = text()[-FOOT_ROWS:]

    assert apron.split()[0] == "apron"
    assert apron.count("12") >= 15
    assert infill.split() == ["infill", infill.split()[1], "I2"]
    assert infill.split()[1].strip("[=]") == "I1"
    assert (stakes.split()[0], stakes.count("v"), stakes.count("#")) == ("stakes", 2, 1)


def test_the_hole_is_written_first_and_stands_under_the_dip_and_over_its_fastening() -> None:
    rows = text((40, 14))

    assert "-2" in rows[-3]
    assert abs(rows[-3].index("-2") + 1 - rows[-1].index("#")) <= 1


def test_the_ruler_and_the_scale_are_there_and_plain_text_is_ascii() -> None:
    rows = text()

    assert "heights drawn" in rows[0]
    assert rows[-FOOT_ROWS - RULER_ROWS + 1].split()[:2] == ["-2", "ft"] or "0 ft" in rows[-FOOT_ROWS - 1]
    assert "\n".join(text(plain=True)).isascii()
