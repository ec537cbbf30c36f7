"""What the operating systems of a crew's laptops do differently with files: told apart here and nowhere else."""

import os
import sys
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class System:
    """What one of them does: whether a folder can be put onto the disk, whether a process can be asked if it lives without ending it,
    whether `Yard.toml` and `yard.toml` are one file, and whether a file can be held that others may go on reading."""

    syncs_folders: bool
    asks_processes: bool
    folds_names: bool
    holds_files: bool


LINUX = System(syncs_folders=True, asks_processes=True, folds_names=False, holds_files=True)
MACOS = System(syncs_folders=True, asks_processes=True, folds_names=True, holds_files=True)
WINDOWS = System(syncs_folders=False, asks_processes=False, folds_names=True, holds_files=False)


def system(platform: str = sys.platform) -> System:
    """The one of that name, as Python calls it; any other is taken for a Linux."""
    return {"darwin": MACOS, "win32": WINDOWS, "cygwin": WINDOWS}.get(platform, LINUX)


HERE = system()


def fsync_folder(folder: Path, on: System = HERE) -> None:
    """Put a rename in a folder onto the disk. Windows can't open a folder; there the rename itself is all there is."""
    if not on.syncs_folders:
        return
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)


def alive(pid: int, on: System = HERE) -> bool:
    """Whether a process runs on this machine; on Windows, where asking could end it, always yes."""
    if not on.asks_processes or pid <= 0:
        return True
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def hold(path: Path, on: System = HERE) -> Callable[[], None]:
    """Hold a file until what is given is called, once or more, or this process is gone, however it ends; where none can be held that does
    nothing. Raises: BlockingIOError where it is held already; OSError."""
    if not on.holds_files:
        return lambda: None
    import fcntl

    file = open(path, "rb")  # noqa: SIM115  # open for as long as it is held
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        file.close()
        raise
    return file.close


def real_path(path: Path, on: System = HERE, names: Callable[[Path], list[str]] = os.listdir) -> Path:
    """The file behind any links, under the one name that its folder lists, however it was spelled."""
    real = Path(os.path.realpath(path))
    if not on.folds_names:
        return real
    found = Path(real.anchor)
    for name in real.parts[1:]:
        found /= _listed(found, name, names)
    return found


def _listed(folder: Path, name: str, names: Callable[[Path], list[str]]) -> str:
    try:
        there = names(folder)
    except OSError:
        return name
    return name if name in there else next((one for one in there if _folded(one) == _folded(name)), name)


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


SHARING_ERRORS = (5, 32, 33)
"""Windows' numbers for a file that another program has open, or that is on its way out."""


def in_use(error: OSError) -> bool:
    """Whether Windows says that another program has the file open just now."""
    return getattr(error, "winerror", None) in SHARING_ERRORS
