"""Whatever a folder that is kept alike puts in the place of a file, older or newer, while it is open or not: no work of either is lost."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.file.disk import Disk
from engine.job.file.store import load, new, starter
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import live
from engine.job.versions.ancestors import came_from
from engine.job.versions.unsaved import unsaved
from tests.demo import AT
from tui.working import working_copy as in_hand
from tui.working.saver import stored
from tui.working.working_copy import Edit, Working, landed, looked, open_working, sending, taken_up

NAMES = ("here", "there")
DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["note", "note", "strike", "tick", "untick", "look", "look", "open", "sync", "sync", "older"]),
        st.sampled_from(NAMES),
        st.integers(0, 9),
    ),
    min_size=4,
    max_size=24,
)


class Laptop:
    """One that has a copy of its own of the shared file; `does` is what it wrote of its own: which notes stand, and its tick."""

    def __init__(self, folder: Path, name: str, clock: Callable[[], datetime]) -> None:
        self.name, self.clock = name, clock
        self.path, self.state = folder / name / "yard.toml", folder / name / "state"
        self.path.parent.mkdir()
        self.key = item_key(f"survey.asked.{'dogs' if name == 'here' else 'mower'}")
        self.notes: list[str] = []
        self.ticked = False

    def opens(self) -> None:
        """The file, and whatever this machine kept of it that isn't in there."""
        loaded = load(self.path, state=self.state)
        self.working = open_working(loaded, self.name, self.clock)
        while (found := unsaved(loaded, state=self.state)) is not None:
            self.working = self.saved(taken_up(self.working, found))
            found.copy.path.unlink(missing_ok=True)
            loaded = self.working.loaded

    def saved(self, working: Working) -> Working:
        while not working.saved:
            sent = sending(working)
            assert sent.sent is not None
            working = landed(sent, stored(sent.sent, Disk(), self.state))
            assert (working.trouble, working.conflicts) == ("", ())
        return working

    def looks(self) -> None:
        there = load(self.path, state=self.state)
        if there.digest != self.working.loaded.digest:
            self.working = self.saved(looked(self.working, there, apart=came_from(there, self.working.loaded) is False))

    def edits(self, edit: Edit) -> None:
        self.working = self.saved(in_hand.edited(self.working, "edit", edit))

    def does(self, deed: str, number: int) -> None:
        own = [entry for entry in live(self.working.job.log) if entry.kind == "note" and entry.text in self.notes]
        if deed == "note":
            self.notes.append(f"{self.name} {number} {self.clock():%H:%M}")
            self.edits(lambda job, at, by: edits.note(job, self.notes[-1], at, by))
        elif deed == "strike" and own:
            entry = own[number % len(own)]
            self.notes.remove(entry.text)
            self.edits(lambda job, at, by: strike(job, entry.id, at, by))
        elif deed == "tick" and not self.ticked:
            self.ticked = True
            self.edits(lambda job, at, by: edits.tick(job, self.key, at, by))
        elif deed == "untick" and self.ticked and self.key in self.working.job.checks:
            self.ticked = False
            self.edits(lambda job, at, by: edits.untick(job, self.key, at, by))
        elif deed == "look":
            self.looks()
        elif deed == "open":
            self.opens()

    @property
    def holds(self) -> tuple[list[str], set[str]]:
        job = load(self.path, state=self.state).job
        return sorted(entry.text for entry in live(job.log) if entry.kind == "note"), {str(key) for key in job.checks}


@given(DEEDS)
@settings(max_examples=40, deadline=None)
def test_all_that_either_did_is_in_the_file_at_the_end(deeds: list[tuple[str, str, int]]) -> None:
    with TemporaryDirectory() as folder:
        minutes = iter(range(10_000))
        laptops = {name: Laptop(Path(folder), name, lambda: AT + timedelta(minutes=next(minutes))) for name in NAMES}
        here, there = laptops.values()
        new(here.path, starter("Yard"), AT, state=here.state)
        there.path.write_bytes(here.path.read_bytes())
        versions = [here.path.read_bytes()]
        for one in (here, there):
            one.opens()
        for deed, name, number in deeds:
            one, other = (here, there) if name == "here" else (there, here)
            if deed == "sync":
                one.path.write_bytes(other.path.read_bytes())
            elif deed == "older":
                one.path.write_bytes(versions[number % len(versions)])
            else:
                one.does(deed, number)
            versions.append(one.path.read_bytes())
        for one, other in ((here, there), (there, here), (here, there)):
            one.looks()
            one.opens()
            other.path.write_bytes(one.path.read_bytes())
            other.looks()
        did = sorted([*here.notes, *there.notes]), {str(one.key) for one in (here, there) if one.ticked}
        assert (here.holds, there.holds) == (did, did)
