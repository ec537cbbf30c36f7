"""A disk that does harm at its n-th operation: kill, power cut, torn write, full, faulty, forbidden."""

import errno
import os
from collections.abc import Callable
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from engine.job.file.disk import Disk

ERRORS = {"full": errno.ENOSPC, "faulty": errno.EIO, "forbidden": errno.EACCES}
QUIET = ("alive", "claim", "sleep", "host", "pid")
TORN = {"torn": 0.5, "torn early": 0.0, "torn late": 1.0}
HARMS = ("kill", *TORN, "power", "power undoes rename", *ERRORS, *(f"{name} from then on" for name in ERRORS))


class Killed(BaseException):
    """The process ends here; nothing it would have done afterwards happens."""


class FailingDisk:
    """Counts the operations of a real disk and does `harm` at operation `at`, the first being 0.

    A killed process has nothing open and does nothing more, so every operation after a kill ends it again. A power cut also loses half of
    every file that wasn't synced, and may undo a rename whose folder wasn't.
    """

    def __init__(self, harm: str, at: int) -> None:
        self.harm, self.at, self.count, self.dead = harm, at, 0, False
        self.open_paths: dict[int, Path] = {}
        self.unsynced: set[Path] = set()
        self.renamed: dict[Path, bytes | None] = {}

    def disk(self, pid: int) -> Disk:
        """The disk to hand in, as process `pid` sees it; no process but itself is alive."""
        real = Disk()
        names = [field.name for field in fields(Disk) if field.name not in QUIET]
        wrapped: dict[str, Any] = {name: self._wrap(name, getattr(real, name)) for name in names}
        return replace(real, **wrapped, sleep=lambda _: None, pid=pid, alive=lambda other: other == pid)

    def _wrap(self, name: str, do: Callable[..., Any]) -> Callable[..., Any]:
        def operation(*args: Any) -> Any:
            number, self.count = self.count, self.count + 1
            if self.dead or number == self.at or (number > self.at and self.harm.endswith("from then on")):
                self._do_harm(name, args)
            return getattr(self, f"_{name}", do)(*args)

        return operation

    def _do_harm(self, name: str, args: tuple[Any, ...]) -> None:
        error = ERRORS.get(self.harm.removesuffix(" from then on"))
        if name == "write" and not self.dead and self.harm != "kill":
            os.write(args[0], args[1][: max(1, round(len(args[1]) * TORN.get(self.harm, 0.5)) - 1)])
        if name == "close":
            self._close(args[0])
        if error is not None:
            raise OSError(error, os.strerror(error))
        if self.harm.startswith("power") and not self.dead:
            self._lose_what_was_not_synced()
        for fd in [*self.open_paths]:
            self._close(fd)
        self.dead = True
        raise Killed

    def _lose_what_was_not_synced(self) -> None:
        for path in self.unsynced:
            if path.exists():
                os.truncate(path, path.stat().st_size // 2)
        for path, before in self.renamed.items() if self.harm == "power undoes rename" else ():
            if before is None:
                path.unlink()
            else:
                path.write_bytes(before)

    def _open_excl(self, path: Path, mode: int) -> int:
        fd = Disk().open_excl(path, mode)
        self.open_paths[fd] = path
        return fd

    def _close(self, fd: int) -> None:
        if self.open_paths.pop(fd, None) is not None:
            os.close(fd)

    def _write(self, fd: int, data: bytes) -> None:
        self.unsynced.add(self.open_paths[fd])
        os.write(fd, data)

    def _fsync(self, fd: int) -> None:
        self.unsynced.discard(self.open_paths[fd])

    def _replace(self, old: Path, new: Path) -> None:
        before = new.read_bytes() if new.exists() else None
        os.replace(old, new)
        self.renamed[new] = before
        if old in self.unsynced:
            self.unsynced.add(new)

    def _fsync_dir(self, folder: Path) -> None:
        self.renamed = {path: before for path, before in self.renamed.items() if path.parent != folder}
