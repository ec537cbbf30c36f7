"""The signs below a plan: every sign that is drawn, with its words, in rows that fit."""

import pytest

from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.plan_signs import meanings
from engine.drawing.shapes import Drawing
from engine.walk import walk
from tests.drawing.drawn_jobs import JOBS
from tui.canvas.plan_legend import MORE, legend

NOT_ON_SCREEN = {"known place, tapes start here", "planned place", "wall"}


def _plan(name: str) -> Drawing:
    return plan_shapes(JOBS[name], walk(JOBS[name]))


def _text(name: str, width: int, rows: int = 99, plain: bool = False) -> list[str]:
    return ["".join(text for text, _ in row) for row in legend(_plan(name), width, rows, plain)]


@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize("name", JOBS)
def test_every_sign_that_a_plan_draws_is_told_once_and_no_row_is_too_wide(name: str, plain: bool) -> None:
    rows = _text(name, 60, plain=plain)
    assert max(map(len, rows), default=0) <= 60
    told = "\n".join(rows)
    for meaning in meanings(_plan(name)):
        assert (f" {meaning.says}" in told) or meaning.says in NOT_ON_SCREEN, meaning
    assert not plain or told.isascii()


def test_signs_are_drawn_as_the_plan_draws_them() -> None:
    told = "\n".join(_text("demo", 60))
    for sign in ("○  line post", "C  corner post", "♣  tree", "███ house, shed", "▒▒▒ deck", "▨  nothing driven here"):
        assert sign in told, sign
    assert "g" in told.split("gas line")[0][-5:]
    assert ":::g:: gas line" in "\n".join(_text("demo", 60, plain=True))


def test_where_rows_are_few_it_says_that_there_are_more() -> None:
    rows = _text("demo", 40, rows=3)
    assert len(rows) == 3
    assert rows[-1] == MORE
    assert _text("demo", 40, rows=0) == [MORE]
