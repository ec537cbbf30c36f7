"""A move typed in words, by real keys."""

from pathlib import Path

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import MoveEntry
from tests.tui.driving import keys, on_disk, reach, shown, typed
from tui.app import LinewalkApp


async def test_a_move_is_typed_in_the_words_that_it_is_told_in(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "m")
        await typed(pilot, "1 back")
        await keys(pilot, "enter")
        await typed(pilot, "-3 in left")
        await keys(pilot, "enter")
        assert "A minus and left together may be read two ways" in " ".join(shown(app).split())
        await keys(pilot, "home", "delete", "enter")
        assert 'P6 moves 1\' 0" back along the line and 3" to the left.' in " ".join(shown(app).split())
        await typed(pilot, "root")
        await keys(pilot, "enter")
    moved = on_disk(path).log[-1]
    assert isinstance(moved, MoveEntry)
    assert (moved.post, moved.along_ft, moved.out_ft) == ("P6", -1.0, -0.25)
