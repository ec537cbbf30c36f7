"""A job signed on one machine, and what it and another say of its file."""

from pathlib import Path

from engine.calc.units import FEET_INCHES, in_units
from engine.job.edit import edits
from engine.job.file.store import Loaded, load
from engine.paper.seal_check import touched
from engine.walk import walk
from tests.demo import AT, BY
from tests.repair.finished import finished, signed_file


class Signed:
    """A job signed on this machine, with what it says, and the state folders of this machine and of another."""

    def __init__(self, folder: Path) -> None:
        job = edits.note(finished("willow_bend"), "Gate code at the office.", AT, BY)
        self.loaded: Loaded = signed_file(folder / "yard.toml", edits.note(job, "Clay.", AT, BY))
        self.text = self.loaded.path.read_text(encoding="utf-8")
        self.walk = walk(self.loaded.job)
        self.own, self.other = folder / "state", folder / "other"


def told_by(sealed: Signed, text: str, state: Path) -> tuple[str, ...]:
    """What a machine says of the sealed file where its text is another one."""
    sealed.loaded.path.write_text(text, encoding="utf-8", newline="")
    try:
        with in_units(FEET_INCHES):
            return touched(load(sealed.loaded.path), sealed.walk, state=state)
    finally:
        sealed.loaded.path.write_text(sealed.text, encoding="utf-8", newline="")
