"""The file layer: every single thing a job file needs of a disk, as one value, so that a test can hand in a disk that fails."""

import errno
import hashlib
import os
import platform
import stat
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from engine.job.errors import UnreadableFile, shown
from engine.job.file.file_text import MOST_BYTES
from engine.job.file.systems import alive, fsync_folder, hold, in_use, real_path

SHARING_PATIENCE_S = 2.5
T = TypeVar("T")


def _read(path: Path) -> bytes:
    with open(path, "rb") as file:
        return file.read(MOST_BYTES + 1)


def _read_part(path: Path, most: int) -> bytes:
    with open(path, "rb") as file:
        return file.read(most)


def _open_excl(path: Path, mode: int) -> int:
    return os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0), mode)


def _write(fd: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(fd, rest) :]


def _make_folder(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)


def _writable(folder: Path) -> bool:
    return os.access(folder, os.W_OK)


def _nobodys(_: Path) -> Callable[[], None]:
    return lambda: None


@dataclass(frozen=True, slots=True)
class Disk:
    """The operations of one machine's disk. Each does one thing and raises OSError where that fails."""

    realpath: Callable[[Path], Path] = real_path
    stat: Callable[[Path], os.stat_result] = os.stat
    read: Callable[[Path], bytes] = _read
    read_part: Callable[[Path, int], bytes] = _read_part
    names: Callable[[Path], list[str]] = os.listdir
    writable: Callable[[Path], bool] = _writable
    make_folder: Callable[[Path], None] = _make_folder
    remove_folder: Callable[[Path], None] = os.rmdir
    open_excl: Callable[[Path, int], int] = _open_excl
    write: Callable[[int, bytes], None] = _write
    fsync: Callable[[int], None] = os.fsync
    close: Callable[[int], None] = os.close
    chmod: Callable[[Path, int], None] = os.chmod
    link: Callable[[Path, Path], None] = os.link
    replace: Callable[[Path, Path], None] = os.replace
    unlink: Callable[[Path], None] = os.unlink
    fsync_dir: Callable[[Path], None] = fsync_folder
    alive: Callable[[int], bool] = alive
    hold: Callable[[Path], Callable[[], None]] = hold
    sleep: Callable[[float], None] = time.sleep
    claim: Callable[[Path], Callable[[], None]] = _nobodys
    """What a program does with a rescue copy of its own that is begun, before anything stands in it; what is given lets go of it again."""
    host: str = field(default_factory=platform.node)
    pid: int = field(default_factory=os.getpid)


def digest(data: bytes) -> str:
    """The hash a version of a job file is known by: SHA-256 in hexadecimal. Source: FIPS 180-4."""
    return hashlib.sha256(data).hexdigest()


def read_whole(disk: Disk, path: Path) -> bytes:
    """All bytes of a job file. Raises: UnreadableFile, one sentence each, where it is missing, a folder or device, too large, or can't be
    read."""
    try:
        found = disk.stat(path)
        if stat.S_ISDIR(found.st_mode):
            raise UnreadableFile(path, "is a folder, not a job file. Open a file in it.")
        if not stat.S_ISREG(found.st_mode):
            raise UnreadableFile(path, "isn't an ordinary file, so it can't be a job. Open another one.")
        if found.st_size > MOST_BYTES:
            raise UnreadableFile(path, f"is over {MOST_BYTES // 1_000_000} MB, far bigger than any job. It must be something else.")
        return patiently(disk, lambda: disk.read(path))
    except FileNotFoundError as error:
        raise UnreadableFile(path, f"there is no such file in {shown(str(path.absolute().parent), 200)}. Check the name.") from error
    except (OSError, ValueError) as error:
        raise UnreadableFile(path, f"can't be read: {why(error)} Put that right, or take another one.") from error


def write_new(disk: Disk, path: Path, data: bytes, mode: int = 0o666, claim: Callable[[Path], Callable[[], None]] = _nobodys) -> None:
    """Put bytes into a file that isn't there yet, and onto the disk; on an error the begun file is taken away again. `claim` is called
    while it is empty. Raises: OSError."""
    fd = disk.open_excl(path, mode)
    let_go = claim(path)
    try:
        try:
            disk.write(fd, data)
            disk.fsync(fd)
        finally:
            disk.close(fd)
    except OSError:
        remove(disk, path)
        let_go()
        raise


def remove(disk: Disk, path: Path) -> bool:
    """Take a file of our own away; whether that worked."""
    try:
        patiently(disk, lambda: disk.unlink(path))
    except OSError:
        return False
    return True


def patiently(disk: Disk, do: Callable[[], T]) -> T:
    """Do something, again for up to 2.5 s while Windows says that another program has the file open. Raises: OSError, the last one."""
    waited_s, pause_s = 0.0, 0.02
    while True:
        try:
            return do()
        except OSError as error:
            if not in_use(error) or waited_s >= SHARING_PATIENCE_S:
                raise
        disk.sleep(pause_s)
        waited_s, pause_s = waited_s + pause_s, min(2 * pause_s, 0.5)


def beside(real: Path, ending: str) -> Path:
    """A hidden name in the folder of a file, for a file of ours that belongs to it."""
    name = real.name if len(os.fsencode(real.name)) <= 180 else digest(os.fsencode(real.name))[:32]
    return real.with_name(f".{name}.{ending}")


_WHY = {
    errno.ENOSPC: "the disk is full.",
    errno.EDQUOT: "the disk is full.",
    errno.EACCES: "you don't have permission to do that here.",
    errno.EPERM: "you don't have permission to do that here.",
    errno.EROFS: "the disk is read-only.",
    errno.EIO: "the disk reports a fault.",
    errno.EEXIST: "something of that name is there already.",
    errno.ENOENT: "there is no such folder.",
    errno.ENOTDIR: "that is no folder.",
    errno.ENAMETOOLONG: "its name is too long.",
    errno.ELOOP: "its link leads in a circle.",
}
_INSTEAD = {
    errno.ENOSPC: "Make room on it, or choose another place.",
    errno.EDQUOT: "Make room on it, or choose another place.",
    errno.ENAMETOOLONG: "Give a shorter one.",
}


def not_put(error: Exception, path: Path) -> str:
    """Why a file couldn't be put under a new name, and what to do."""
    number = error.errno if isinstance(error, OSError) else None
    folder = shown(str(path.parent), 400)
    if number == errno.ENOENT:
        return f"there is no folder {folder} to put it in. Make it, or choose another place."
    if number == errno.ENOTDIR:
        return f"{folder} is no folder. Choose another place."
    return f"{why(error)} {_INSTEAD.get(number or 0, 'Choose another place.')}"


def why(error: Exception, *, was_there: bool = False) -> str:
    """An operating system's error as a sentence; `was_there` where the folder it is about was seen before."""
    if was_there and isinstance(error, FileNotFoundError):
        return "its folder isn't there any more."
    if isinstance(error, TimeoutError):
        return "another program keeps saving the same file."
    number = error.errno if isinstance(error, OSError) else None
    text = (error.strerror if isinstance(error, OSError) else None) or str(error)
    return _WHY.get(number or 0, f"{shown(text, 120)}.")
