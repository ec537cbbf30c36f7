"""The lock held for the moment of a save. A stale one is set aside; none ever keeps a crew out of their own job."""

import json
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from engine.job.file.disk import Disk, beside, patiently, remove, write_new
from engine.job.file.systems import in_use

POLL_S = 0.005
PATIENCE_S = 2.5
LONGEST_S = 15.0


@contextmanager
def locked(disk: Disk, real: Path, now: datetime) -> Iterator[None]:
    """Hold the lock of a file while the block runs.

    Saves take moments, so a lock that says the same for 2.5 s is stale whatever its clock or machine, unless a program of Windows has it
    open all the while; one whose process is gone from this machine is stale at once. A lock that somebody else took over meanwhile is
    left to them.

    Raises: TimeoutError where others kept saving for 15 s; OSError where the folder can't be written.
    """
    lock = beside(real, "lock")
    mine = json.dumps({"host": disk.host, "pid": disk.pid, "at": now.isoformat(), "mark": secrets.token_hex(8)}).encode()
    _wait_for_lock(disk, lock, mine)
    try:
        yield
    finally:
        if _holder(disk, lock) == mine:
            remove(disk, lock)


def _wait_for_lock(disk: Disk, lock: Path, mine: bytes) -> None:
    seen: bytes | None = None
    same_s = all_s = 0.0
    while not _make(disk, lock, mine):
        holder = _holder(disk, lock)
        same_s = same_s + POLL_S if holder == seen else 0.0
        seen = holder
        if holder is not None and (same_s >= PATIENCE_S or _gone(disk, holder)) and _set_aside(disk, lock, holder):
            continue
        if all_s >= LONGEST_S:
            raise TimeoutError("others kept saving")
        disk.sleep(POLL_S)
        all_s += POLL_S


def _make(disk: Disk, lock: Path, mine: bytes) -> bool:
    try:
        fd = patiently(disk, lambda: disk.open_excl(lock, 0o666))
    except FileExistsError:
        return False
    try:
        try:
            disk.write(fd, mine)
        finally:
            disk.close(fd)
    except OSError:
        remove(disk, lock)
        raise
    return True


def _holder(disk: Disk, lock: Path) -> bytes | None:
    """What the lock says; None where it is gone or can't be read just now."""
    try:
        return disk.read(lock)
    except OSError:
        return None


def _gone(disk: Disk, holder: bytes) -> bool:
    try:
        says = json.loads(holder)
        return bool(says["host"] == disk.host and not disk.alive(int(says["pid"])))
    except (ValueError, KeyError, TypeError, RecursionError, OverflowError):
        return False


def _set_aside(disk: Disk, lock: Path, stale: bytes) -> bool:
    """Take a stale lock away; False where a program of Windows has it open, be it that somebody looks at it or is still at work on it.
    Whoever moved a fresh one in the same instant by mistake puts it back."""
    aside = lock.with_name(f"{lock.name}-{secrets.token_hex(4)}")
    try:
        disk.replace(lock, aside)
    except FileNotFoundError:
        return True
    except OSError as error:
        if in_use(error):
            return False
        raise
    if _holder(disk, aside) != stale:
        _put_back(disk, aside, lock)
    remove(disk, aside)
    return True


def _put_back(disk: Disk, aside: Path, lock: Path) -> None:
    """A memory stick knows no second name for a file: there it is written again, unless somebody holds the lock by now."""
    try:
        disk.link(aside, lock)
    except FileExistsError:
        return
    except OSError:
        if (holder := _holder(disk, aside)) is not None:
            with suppress(FileExistsError):
                write_new(disk, lock, holder)
