"""The corner and the loop card: picked from the walk of the demo, and found by keys at 80x24."""

from pathlib import Path

import pytest

from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Stroke
from engine.job.file.store import load, new
from engine.walk import walk
from tests.demo import AT, demo
from tests.tui.driving import keys, shown
from tui.app import LinewalkApp
from tui.screens.pictures import picture_of
from tui.stages.cables import card
from tui.widgets.card_view import card_lines
from tui.widgets.profile_view import frame_profile, paint_profile, profile_bounds


def test_the_card_of_a_loop_adds_up_and_says_all() -> None:
    walked = walk(demo())
    shown_card = card(demo(), walked, "L2")
    assert shown_card is not None
    lines = [line.plain for line in card_lines(shown_card, 76)]
    assert lines[0] == "L2: P3 to P5, 44' 11 1/4\" of line back"
    assert lines[1].startswith("Stand out of line with a cable being pulled.")
    assert lines[3] == "cut       97' 4\": bays 89' 10 1/2\", uprights 5' 11 1/2\","
    assert lines[4] == '          sag under 1/16", tail 6", lock and pull 12"'
    assert lines[6] == "pull to   50 lb; safe 24 to 100 lb that day"
    assert max(map(len, lines)) <= 76
    narrow = [line.plain for line in card_lines(shown_card, 44)]
    assert max(map(len, narrow)) <= 44
    assert narrow[5:7] == ["cut       97' 4\": bays 89' 10 1/2\", uprights", "          5' 11 1/2\","]
    assert 'weight    2 lb hung in the longest bay: 2 1/2" to 2 7/8" deep at 50 lb' in lines
    assert len(lines) <= 28
    assert card(demo(), walked, "L99") is None


@pytest.mark.closed_form
def test_the_parts_of_a_cut_make_its_length() -> None:
    for loop in walk(demo()).cables.loops.values():
        parts = loop.parts
        assert parts.bays_ft + parts.sag_ft + parts.sides_ft + parts.tail_ft + parts.lock_ft == pytest.approx(loop.cut_ft, abs=1e-12)
        assert parts.bays_ft == pytest.approx(2 * loop.run_ft, abs=0.002)
        assert 0 <= parts.sag_ft < 0.01


def test_sag_is_drawn_so_that_it_shows_and_the_picture_says_how_much() -> None:
    """The deepest sag of line back is about a quarter inch: 50 times that is under a foot and a quarter."""
    picture = profile_shapes(walk(demo()), "back", deep_sag=True)
    assert picture is not None
    cable = next(cable for cable in picture.of(Stroke, "cable") if cable.id == "P3-P4")
    middle, ends = cable.points[4][1], (cable.points[0][1] + cable.points[-1][1]) / 2
    assert ends - middle == pytest.approx(50 * walk(demo()).cables.bays["P3-P4"].sag_in / 12)
    view = frame_profile(profile_bounds(picture), 78, 16)
    assert picture.says[0] in "".join(text for text, _ in paint_profile(picture, view)[0])


@pytest.mark.parametrize("kind", ["plan", "corner", "profile", "apron", "elevation"])
@pytest.mark.parametrize("chosen", ["", "P9", "L3", "P3-P4", "side", "gone"])
def test_every_picture_follows_anything_chosen(kind: str, chosen: str) -> None:
    walked = walk(demo())
    picture = picture_of(kind, demo(), walked, chosen)
    assert picture.drawing is not None
    assert picture.title


async def test_the_corner_is_the_first_picture_of_the_bracing_and_the_card_follows_the_loop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = new(tmp_path / "yard.toml", demo(), AT, state=tmp_path / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "4", "tab", "right_square_bracket", "right_square_bracket")
        assert "P9-b 5' 0\"" in shown(app)
        await keys(pilot, "5", "tab")
        assert "L1: P1 to P2" in shown(app)
        assert "Forces are guidance" in shown(app)
