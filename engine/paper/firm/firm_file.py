"""The firm's own file, firm.toml: beside the job, or else in this machine's own folder; refused in a sentence; its logo made small."""

import stat
from pathlib import Path

from engine.job.errors import FileError, Problem, shown
from engine.job.file.disk import Disk, read_whole, why
from engine.job.file.facts_file import read_facts, wrong_there
from engine.job.file.store import Loaded, state_folder
from engine.job.file_names import FIRM_FILE
from engine.paper.firm.firm_facts import Firm, FirmOnPage
from engine.paper.photos.picture_files import MISSING, NotShown, folder_of, picture_bytes
from engine.paper.photos.small_pictures import small_picture

MOST_LOGO_BYTES = 5_000_000
"""A larger picture is no logo; what stands in a page is made small all the same."""
MOST_BYTES = 100_000
"""A larger file isn't read."""
IN_ITS_PLACE = 'Put a text file with name = "..." and phone = "..." in its place, or take it away.'
EMPTY = 'line 1: the file is empty. Write name = "..." and phone = "..." in it, or take it away.'


class FirmRefused(FileError):
    """A firm's file that can't be used; one sentence with the line and the field."""


def firm_path(loaded: Loaded, disk: Disk, state: Path) -> Path | None:
    """Where the firm's file is: the one beside the job before the one in this machine's own folder; None where there is none."""
    for path in (folder_of(loaded, disk) / FIRM_FILE, state / FIRM_FILE):
        try:
            disk.stat(path)
        except (FileNotFoundError, NotADirectoryError):
            continue
        except OSError:
            return path  # whoever reads it says what is wrong
        return path
    return None


def firm_on_page(loaded: Loaded, *, disk: Disk | None = None, state: Path | None = None) -> FirmOnPage | None:
    """Who prints the pages of an opened job, None where nobody says. Raises: FirmRefused."""
    disk, state = disk or Disk(), state or state_folder()
    path = firm_path(loaded, disk, state)
    if path is None:
        return None
    where = f"in {shown(str(path.parent), 400)}, " if path.parent == state else ""
    try:
        raw = _raw(path, disk)
        firm = read_facts(path, raw, Firm)
        return FirmOnPage(firm, _logo(path, raw, firm.logo, disk) if firm.logo else b"")
    except FileError as error:
        raise FirmRefused(path, f"{where}{error.brief}") from error


def _raw(path: Path, disk: Disk) -> bytes:
    """The bytes of a firm's file. Raises: FileError where it isn't a file of some lines."""
    try:
        found = disk.stat(path)
    except OSError as error:
        raise FirmRefused(path, f"can't be read: {why(error)}") from error
    if not stat.S_ISREG(found.st_mode):
        what = "a folder" if stat.S_ISDIR(found.st_mode) else "a pipe or device"
        raise FirmRefused(path, f"there is {what} of that name, not the firm's own words. {IN_ITS_PLACE}")
    if found.st_size > MOST_BYTES:
        raise FirmRefused(path, f"is over {MOST_BYTES / 1e3:.0f} KB, far more than a firm says of itself. {IN_ITS_PLACE}")
    raw = read_whole(disk, path)
    if not raw.strip():
        raise FirmRefused(path, EMPTY)
    return raw


def _logo(path: Path, raw: bytes, name: str, disk: Disk) -> bytes:
    """The firm's picture as a small JPEG. Raises: BadContent at its line."""
    try:
        data = picture_bytes(path.parent, name, disk, MOST_LOGO_BYTES + 1)
        if len(data) > MOST_LOGO_BYTES:
            raise NotShown(f"is over {MOST_LOGO_BYTES / 1e6:.0f} MB large")
        return small_picture(data)
    except NotShown as error:
        says = f"isn't beside {FIRM_FILE}" if str(error) == MISSING else str(error)
        problem = Problem(("logo",), f"{shown(name)} {says}. Put a small JPEG, PNG or WEBP picture there, or take the line out.")
        raise wrong_there(path, raw, [problem]) from error


def no_firm_words(loaded: Loaded, *, disk: Disk | None = None, state: Path | None = None) -> str:
    """That no firm is named on the pages of a job, and how to name one; empty where one is."""
    disk, state = disk or Disk(), state or state_folder()
    if firm_path(loaded, disk, state) is not None:
        return ""
    return (
        f"No {FIRM_FILE} beside {shown(loaded.path.name, 120)} or in {shown(str(state), 400)}: the firm's place is left to write by hand. "
        f'Make one with name = "..." and phone = "..." in it; address, licence, call, warranty and logo = "picture.png" may follow.'
    )
