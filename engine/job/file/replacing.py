"""Putting a new version of a job file on disk: whole or not at all, and never over somebody else's work."""

import secrets
import stat
from datetime import datetime
from pathlib import Path

from engine.job.errors import AlreadyThere, ChangedOnDisk, NotMade, NotSaved, UnreadableFile, shown
from engine.job.file.backups import keep, rescue
from engine.job.file.disk import Disk, beside, digest, not_put, patiently, read_whole, remove, why, write_new
from engine.job.file.lock import locked

TRIES = 2
_TEMP = "saving"


def save(disk: Disk, path: Path, new: bytes, expected: str | None, state: Path, now: datetime) -> tuple[str, ...]:
    """Put a new version of a file in place of the one that was read.

    In order: the file behind any links; lock; what stands there must be what was read; keep it as a backup; a temp file in the
    same folder, onto the disk; look again; replace; the folder onto the disk. A file that has gone is written anew.

    Returns: sentences on what didn't go as it should, though the save was made.
    Raises: ChangedOnDisk or AlreadyThere where something else stands there; NotSaved, or NotMade of a new file, where the disk failed. In
    each case what stood there stands there still.
    """
    real = path
    try:
        real = disk.realpath(path)
        with locked(disk, real, now):
            return _save_locked(disk, real, new, expected, state, now)
    except OSError as error:
        kept = rescue(disk, state, real, new, now)
        raise (
            NotMade(path, not_put(error, path), kept) if expected is None else NotSaved(path, why(error, was_there=True), kept)
        ) from error
    except UnreadableFile as error:
        raise NotSaved(path, f"what is there can't be read ({error}).", rescue(disk, state, real, new, now)) from error


def _save_locked(disk: Disk, real: Path, new: bytes, expected: str | None, state: Path, now: datetime) -> tuple[str, ...]:
    _sweep(disk, real)
    old = as_expected(disk, real, expected)
    notes = []
    if old is None and expected is not None:
        kept = rescue(disk, state, real, new, now)  # where a stick was pulled out, the name may lead to another disk now
        copy = f" A copy is kept in {shown(str(kept.parent), 400)}." if kept else ""
        notes.append(f"{shown(real.name, 120)} had gone from the disk and was written again.{copy}")
    if old is not None:
        try:
            keep(disk, state, real, old, now)
        except OSError as error:
            notes.append(f"Saved, but the version before couldn't be kept as a backup: {why(error)}")
    temp = _temp(disk, real, new)
    try:
        as_expected(disk, real, expected)
        confirmed = _rename_over(disk, temp, real, new)
    except BaseException:
        remove(disk, temp)
        raise
    if not confirmed:
        notes.append("Saved, but the disk didn't confirm it. Don't switch off yet; the next save asks again.")
    return tuple(notes)


def as_expected(disk: Disk, real: Path, expected: str | None) -> bytes | None:
    """What stands on disk, once it is what was read; None where nothing stands there."""
    try:
        found = disk.stat(real)
    except FileNotFoundError:
        return None
    if expected is None:
        raise AlreadyThere(real, "is there already and was left alone. Open it, or choose another name.")
    if not stat.S_ISREG(found.st_mode):
        raise UnreadableFile(real, "isn't a file any more.")
    theirs = read_whole(disk, real)
    if digest(theirs) != expected:
        raise ChangedOnDisk(real)
    return theirs


def _temp(disk: Disk, real: Path, new: bytes) -> Path:
    """A whole new file beside the old one, on the disk, with the old one's permissions. After a failed fsync: another one."""
    mode = _mode(disk, real)
    for left in reversed(range(TRIES)):
        temp = beside(real, f"{secrets.token_hex(4)}.{_TEMP}")
        try:
            write_new(disk, temp, new, 0o666 if mode is None else mode)
            break
        except OSError:
            if not left:
                raise
    if mode is not None:
        _allow(disk, temp, mode)
    return temp


def _mode(disk: Disk, real: Path) -> int | None:
    try:
        return stat.S_IMODE(disk.stat(real).st_mode)
    except FileNotFoundError:
        return None


def _allow(disk: Disk, temp: Path, mode: int) -> None:
    """Some disks know no permissions; that is no reason not to save."""
    try:
        disk.chmod(temp, mode)
    except OSError:
        return


def _rename_over(disk: Disk, temp: Path, real: Path, new: bytes) -> bool:
    """Rename the new file over the old one; whether the disk confirmed it. An error after the rename doesn't undo it."""
    try:
        patiently(disk, lambda: disk.replace(temp, real))
    except OSError:
        if _bytes_on_disk(disk, real) != new:
            raise
        return False
    try:
        disk.fsync_dir(real.parent)
    except OSError:
        return False
    return True


def _bytes_on_disk(disk: Disk, real: Path) -> bytes | None:
    try:
        return disk.read(real)
    except OSError:
        return None


def _sweep(disk: Disk, real: Path) -> None:
    """Take away temp files and old locks that an interrupted save left behind."""
    start = beside(real, "").name
    for name in disk.names(real.parent):
        if name.startswith(f"{start}lock-") or (name.startswith(start) and name.endswith(f".{_TEMP}")):
            remove(disk, real.with_name(name))
