"""The gate in elevation."""

import pytest
from textual.app import App, ComposeResult

from engine.drawing.shapes import Drawing, Words
from tests.tui.widgets.pictures import GATE
from tui.base.theme import install
from tui.canvas.viewport import fit
from tui.widgets.elevation_view import ElevationView, paint_gate


def _text(picture: Drawing, plain: bool = False) -> str:
    rows = paint_gate(picture, fit((-1, -1, 7, 7), 80, 24), plain)
    return "\n".join("".join(text for text, _ in row) for row in rows)


def test_hinges_latch_size_and_hinge_side_are_named() -> None:
    text = _text(GATE)
    assert (text.count("H"), text.count("L")) == (2, 1)
    assert "5' 0\"" in text
    assert text.count("hinge side") == 1


@pytest.mark.parametrize(("side", "column"), [("left", 27), ("right", 38)])
def test_the_hinge_side_is_written_by_the_hinged_edge(side: str, column: int) -> None:
    edge, far = (0.1, 5.1) if side == "left" else (5.1, 0.1)
    words = Words("hinge side", (edge, 2.65), "hinge side", along=((edge, 2.65), (far, 2.65)))
    shapes = (*(shape for shape in GATE.shapes if shape.role != "hinge side"), words)
    row = next(row for row in _text(Drawing(shapes)).splitlines() if "hinge side" in row)
    assert row.index("hinge side") == column


def test_in_plain_characters_the_gate_is_ascii() -> None:
    text = _text(GATE, plain=True)
    assert text.isascii()
    assert "|" in text


async def test_a_click_on_the_frame_chooses_the_gate() -> None:
    class Gate(App[None]):
        CSS = "ElevationView { border: none; }"

        def compose(self) -> ComposeResult:
            yield ElevationView(GATE)

        def on_mount(self) -> None:
            install(self)

    app = Gate()
    async with app.run_test(size=(60, 20)) as pilot:
        view = app.query_one(ElevationView)
        assert view.viewport is not None
        column, row = view.viewport.to_cell((5.1, 4.5))
        await pilot.click(ElevationView, offset=(int(column), int(row)))
        assert view.chosen == "G1"


def test_both_diagonals_are_dotted_from_corner_to_corner() -> None:
    kept = tuple(shape for shape in GATE.shapes if shape.role in ("ground", "pole", "diagonal", "leaf"))
    rows = _text(Drawing(kept)).splitlines()
    framed = [row for row in rows if row.strip()]
    quarter = framed[len(framed) // 4]
    left, right = len(quarter) - len(quarter.lstrip()), len(quarter.rstrip())
    inside = quarter[left + 3 : right - 3]
    assert len(inside.split()) == 2
