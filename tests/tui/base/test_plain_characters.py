"""On a terminal that has only plain characters every screen is painted in them."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import keys, shown
from tui.app import LinewalkApp
from tui.base.plain_characters import INSTEAD


def test_every_sign_stands_for_one_of_its_own_width() -> None:
    assert all(len(instead) == 1 and instead.isascii() for instead in INSTEAD.values())


@pytest.mark.parametrize("pressed", [(), ("tab",), ("l",), ("t",), ("question_mark",), ("l", "n")])
async def test_screens_and_boxes_are_painted_plain(path: Path, monkeypatch: pytest.MonkeyPatch, pressed: tuple[str, ...]) -> None:
    monkeypatch.setenv("LINEWALK_PLAIN", "1")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, *pressed)
        assert [sign for sign in shown(app) if not sign.isascii() and sign != "°"] == []
