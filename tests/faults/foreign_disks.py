"""Disks that keep the rules of other operating systems, for machines that aren't here: what Windows and macOS refuse or spell anew."""

import errno
import os
import threading
import time
import unicodedata
from collections import Counter
from dataclasses import replace
from functools import partial
from pathlib import Path

from engine.job.file.disk import Disk
from engine.job.file.systems import MACOS, WINDOWS, alive, fsync_folder, real_path

FASTER = 20
"""Waiting goes by so many times as fast."""


def _refused(winerror: int) -> PermissionError:
    error = PermissionError(errno.EACCES, "refused")
    error.winerror = winerror  # type: ignore[attr-defined]  # there only on Windows
    return error


class WindowsDisk:
    """One disk for many programs: what one has open, none renames over or takes away (32); what was just taken away can't be made at once
    (5); a stick knows no second name for a file; no folder is opened, no process asked."""

    def __init__(self, *, stick: bool = False) -> None:
        self.stick, self.refused = stick, 0
        self._opened: Counter[Path] = Counter()
        self._by_fd: dict[int, Path] = {}
        self._going: set[Path] = set()
        self._turn = threading.RLock()

    def disk(self, pid: int) -> Disk:
        """The disk as one program sees it."""
        return replace(
            Disk(), read=self._read, open_excl=self._open_excl, close=self._close, replace=self._replace, unlink=self._unlink,
            link=self._link, fsync_dir=partial(fsync_folder, on=WINDOWS), alive=partial(alive, on=WINDOWS),
            realpath=partial(real_path, on=WINDOWS), sleep=lambda seconds: time.sleep(seconds / FASTER), pid=pid,
        )  # fmt: skip

    def _free(self, *paths: Path) -> None:
        if any(self._opened[path] for path in paths):
            self.refused += 1
            raise _refused(32)

    def _read(self, path: Path) -> bytes:
        with self._turn:
            data = Disk().read(path)
            self._opened[path] += 1
        time.sleep(0.0005)
        with self._turn:
            self._opened[path] -= 1
        return data

    def _open_excl(self, path: Path, mode: int) -> int:
        with self._turn:
            if path in self._going:
                self._going.discard(path)
                self.refused += 1
                raise _refused(5)
            fd = Disk().open_excl(path, mode)
            self._by_fd[fd] = path
            self._opened[path] += 1
            return fd

    def _close(self, fd: int) -> None:
        with self._turn:
            self._opened[self._by_fd.pop(fd)] -= 1
            os.close(fd)

    def _replace(self, old: Path, new: Path) -> None:
        with self._turn:
            self._free(old, new)
            os.replace(old, new)

    def _unlink(self, path: Path) -> None:
        with self._turn:
            self._free(path)
            os.unlink(path)
            self._going.add(path)

    def _link(self, old: Path, new: Path) -> None:
        if self.stick:
            raise OSError(errno.EPERM, "no second names here")
        with self._turn:
            os.link(old, new)


def mac_disk(folder: Path) -> Disk:
    """A disk on which, in one folder, a name spelled in other letters is the same file, and names are listed with their accents apart."""

    def fold(name: str) -> str:
        return unicodedata.normalize("NFC", name).casefold()

    def there(path: Path) -> Path:
        if path.parent != folder:
            return path
        return next(
            (one for one in folder.iterdir() if fold(one.name) == fold(path.name)), folder / unicodedata.normalize("NFD", path.name)
        )

    on = Disk()
    return replace(
        on, stat=lambda path: on.stat(there(path)), read=lambda path: on.read(there(path)),
        open_excl=lambda path, mode: on.open_excl(there(path), mode), unlink=lambda path: on.unlink(there(path)),
        chmod=lambda path, mode: on.chmod(there(path), mode), link=lambda old, new: on.link(there(old), there(new)),
        replace=lambda old, new: on.replace(there(old), there(new)), realpath=partial(real_path, on=MACOS),
    )  # fmt: skip
