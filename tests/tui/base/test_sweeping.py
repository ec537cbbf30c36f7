"""While nobody types what is thrown away is swept up, amid keys only where it grows too much; what a first key would wait for is done."""

import gc
from collections.abc import Iterator
from pathlib import Path
from time import monotonic

import pytest

from engine.job.file.store import load
from engine.job.model.base import Feet, Part
from tests.tui.driving import keys
from tui.app import LinewalkApp
from tui.base import sweeping
from tui.base.sweeping import Sweeping


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    """Thresholds of the process as they were. What stands stays out of all sweeps, as every screen's test leaves it."""
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)


@pytest.fixture
def swept(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The generation of each sweep that was asked for."""
    found: list[int] = []
    collect = gc.collect

    def noted(generation: int = 2) -> int:
        found.append(generation)
        return collect(generation)

    monkeypatch.setattr(sweeping.gc, "collect", noted)
    return found


def begun(monkeypatch: pytest.MonkeyPatch, rested_s: float) -> Sweeping:
    """Sweeping begun, the last key so long ago."""
    one = Sweeping()
    one.begin()
    one.touched()
    now = monotonic() + rested_s
    monkeypatch.setattr(sweeping, "monotonic", lambda: now)
    return one


def test_nothing_is_swept_amid_keys_and_what_is_new_once_the_hand_rests(monkeypatch: pytest.MonkeyPatch, swept: list[int]) -> None:
    gc.collect()
    swept.clear()
    amid, resting = begun(monkeypatch, 0.1), begun(monkeypatch, 0.6)
    new = [[number] for number in range(6_000)]
    monkeypatch.setattr(sweeping, "monotonic", lambda: amid._touched + 0.1)
    amid.sweep_at_rest()
    assert swept == []
    monkeypatch.setattr(sweeping, "monotonic", lambda: resting._touched + 0.6)
    resting.sweep_at_rest()
    resting.sweep_at_rest()
    assert swept == [1]
    assert len(new) == 6_000


def test_after_ten_sweeps_of_what_is_new_all_is_swept_once_the_hand_rests_long(monkeypatch: pytest.MonkeyPatch, swept: list[int]) -> None:
    gc.collect()
    one = begun(monkeypatch, 6.0)
    for _ in range(10):
        gc.collect(1)
    swept.clear()
    one.sweep_at_rest()
    one.sweep_at_rest()
    assert swept == [2]


async def test_keys_and_boxes_are_worked_off_without_a_sweep_and_what_they_left_is_swept_after(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sweeping, "RESTED_S", 60.0)  # however slow the machine
    app = LinewalkApp(loaded=load(path), by="Mo")
    sweeps: list[int] = []

    def noted(phase: str, info: dict[str, int]) -> None:
        if phase == "start":
            sweeps.append(info["generation"])

    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause(0.3)
        gc.collect()
        gc.callbacks.append(noted)
        try:
            for key in ("7", "space", "question_mark", "escape", "m", "escape"):
                await keys(pilot, key)
            assert sweeps == []
            monkeypatch.setattr(sweeping, "RESTED_S", 0.0)
            end = monotonic() + 20
            while not sweeps and monotonic() < end:
                await pilot.pause(0.1)
            assert set(sweeps) == {1}
        finally:
            gc.callbacks.remove(noted)


async def test_while_nobody_types_it_is_worked_out_how_each_part_of_a_job_is_read(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Late(Part):
        """Not read by anybody yet."""

        length_ft: Feet

    monkeypatch.setattr(sweeping, "RESTED_S", 60.0)
    async with LinewalkApp(loaded=load(path), by="Mo").run_test(size=(120, 36)) as pilot:
        await pilot.pause(1.5)
        assert not Late.__pydantic_complete__
        monkeypatch.setattr(sweeping, "RESTED_S", 0.0)
        end = monotonic() + 20
        while not Late.__pydantic_complete__ and monotonic() < end:
            await pilot.pause(0.1)
    assert Late.__pydantic_complete__
