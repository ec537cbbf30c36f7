"""What is entered while another laptop enters something else under the same counted name: both are in the file, and undo takes its own."""

from pathlib import Path

import pytest

from engine.job.edit import entering
from engine.job.file.store import load, save
from engine.job.model.shots import LevelShot
from tests.demo import AT
from tests.tui.driving import burst, keys, on_disk, shown, until, until_saved
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.working import saver as saving

MINE, YOURS = (52.0, -1.25), (131.0, -2.5)


@pytest.fixture
def looking_seldom(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 1e9)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


def levels(path: Path) -> dict[str, tuple[float, float | None]]:
    shots = on_disk(path).shots.items()
    return {name: (shot.station_ft, shot.level_ft) for name, shot in shots if isinstance(shot, LevelShot) and "level-back" in name}


@pytest.mark.usefixtures("looking_seldom")
async def test_two_levels_of_one_name_are_both_in_the_file_and_undo_takes_the_own_one(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await keys(pilot, "e", "b")
        there = load(path)
        fields = {"method": "level", "line": "back", "station_ft": YOURS[0], "level_ft": YOURS[1]}
        save(there, entering.add(there.job, "shots", "level-back-1", fields), AT)
        await burst(pilot, "level back 52, -1 3\r")
        await until(pilot, lambda: len(levels(path)) == 2)
        assert levels(path) == {"level-back-1": YOURS, "level-back-2": MINE}
        assert "yours is called level-back-2 now" in " ".join(shown(app).split())
        await keys(pilot, "escape", "ctrl+z")
        await until_saved(pilot)
        assert levels(path) == {"level-back-1": YOURS}
