"""Whatever a window meets on its way to the disk, work that waits in it is offered to no second one before it is closed, and then it is."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from time import sleep
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.file.disk import Disk
from engine.job.file.store import load, new, save, starter
from engine.job.merge.asked import Keep
from engine.job.versions.unsaved import unsaved
from tests.demo import AT
from tests.tui.driving import Patience
from tests.tui.in_hand import Clock, noted, notes, titled
from tui.working import saver as saving
from tui.working.saver import Saver
from tui.working.working_copy import edited, open_working

DEEDS = st.lists(st.sampled_from(["note", "title", "answer here", "answer there", "other", "copy", "full", "room"]), min_size=2, max_size=7)
STEPS = ("open_excl", "write", "close", "unlink")


class Looked:
    """A disk, and a second window that opens the file before and after each thing the first one does to it; `full` makes every save an
    error, and a copy not."""

    def __init__(self, path: Path, state: Path) -> None:
        self.path, self.state, self.full = path, state, False
        self.offered: list[str] = []

    def disk(self) -> Disk:
        """What the first window is handed."""
        return replace(Disk(), **{name: self._looked_at(name, getattr(Disk(), name)) for name in STEPS})

    def look(self, when: str) -> None:
        """The second window opens."""
        if (found := unsaved(load(self.path, state=self.state), state=self.state)) is not None:
            self.offered.append(f"{when}: {notes(found.copy.job)}")

    def _looked_at(self, name: str, do: Callable[..., Any]) -> Callable[..., Any]:
        def step(*args: Any) -> Any:
            self.look(f"before {name}")
            if self.full and name == "open_excl" and args[0].parent == self.path.parent:
                raise OSError(28, "No space left on device")
            done = do(*args)
            self.look(f"after {name}")
            return done

        return step


def settled(saver: Saver) -> None:
    patience = Patience()
    while not saver.at_rest:
        assert patience.lasts
        saver.land()
        sleep(0.001)


@settings(max_examples=15, deadline=None)
@given(DEEDS)
def test_what_waits_in_a_window_is_offered_to_a_second_one_at_no_moment_until_it_is_closed(deeds: list[str]) -> None:
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        begun: list[Thread] = []
        patch.setattr(saving, "Thread", lambda **named: begun.append(Thread(**named)) or begun[-1])
        patch.setattr(saving, "PAUSE_S", 0.0)
        at, path, state = AT, Path(folder) / "yard.toml", Path(folder) / "state"
        new(path, starter("Yard"), AT, state=state)
        looked = Looked(path, state)
        saver = Saver(open_working(load(path, state=state), "Mo", Clock()), looked.disk(), state)
        for number, deed in enumerate(deeds):
            looked.full = {"full": True, "room": False}.get(deed, looked.full)
            if deed == "note":
                saver.change(edited(saver.working, deed, noted(f"note {number}")))
            elif deed == "title":
                saver.change(edited(saver.working, deed, titled(f"Yard here {number}")))
            elif deed.startswith("answer") and saver.working.conflicts:
                saver.send(Keep(otherwise="ours" if deed == "answer here" else "theirs"))
            elif deed == "other":
                at += timedelta(seconds=1)
                there = load(path, state=state)
                save(there, titled(f"Yard there {number}")(there.job, at, "Teal"), at, state=state)
            elif deed == "copy":
                saver._box.put(saver._keep_a_copy())
            settled(saver)
        for thread in begun:
            thread.join()
        assert looked.offered == []
        mine = saver.working.job
        saver.let_go()
        if not saver.working.saved:
            found = unsaved(load(path, state=state), state=state)
            assert found is not None
            assert notes(found.copy.job) == notes(mine)
