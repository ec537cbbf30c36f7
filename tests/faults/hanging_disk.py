"""A disk that hangs, fails and comes back: what is written into one folder waits for a word, or ends in an error."""

import os
from dataclasses import replace
from pathlib import Path
from threading import Event

from engine.job.file.disk import Disk

PATIENCE_S = 20.0


class HangingDisk:
    """A real disk, but for one folder: `hang` makes writing there wait until `go`, `fail` makes it an error until `go`."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.error = folder, 0
        self._free = Event()
        self._free.set()

    def disk(self) -> Disk:
        """The disk to hand in."""
        return replace(Disk(), open_excl=self._open_excl)

    def hang(self) -> None:
        """From now on nothing comes back."""
        self._free.clear()

    def fail(self, error: int) -> None:
        """From now on this is what comes back."""
        self.error = error

    def go(self) -> None:
        """All is well again."""
        self.error = 0
        self._free.set()

    def _open_excl(self, path: Path, mode: int) -> int:
        if path.parent == self.folder:
            if not self._free.wait(PATIENCE_S):
                raise TimeoutError("the test forgot to let the disk go")
            if self.error:
                raise OSError(self.error, os.strerror(self.error))
        return Disk().open_excl(path, mode)
