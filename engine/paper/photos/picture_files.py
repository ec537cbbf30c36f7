"""Picture files beside a job: which there are, and what is wrong with one that is named, told without decoding it."""

import hashlib
import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from engine.job.errors import JobError, shown
from engine.job.file.disk import Disk, why
from engine.job.file.store import Loaded

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
NO_PICTURE = "is no JPEG, PNG or WEBP picture"
MISSING = "isn't beside the job"
MOST_BYTES = 40_000_000
"""A picture file over this isn't read: no phone writes such a JPEG. From memory."""
MOST_LISTED = 2_000
HEAD_BYTES = 12


class PictureBeside(NamedTuple):
    """A picture file beside a job: when it was written, whether the job names it, and what is wrong with it, as `trouble` says it."""

    name: str
    at_s: float
    named: bool
    wrong: str = ""


class NotShown(JobError):
    """Why a picture isn't shown, to be said behind its name: `isn't beside the job`."""


def folder_of(loaded: Loaded, disk: Disk) -> Path:
    """The folder of a job file: photos are named from there."""
    return disk.realpath(loaded.path).parent


def picture_bytes(folder: Path, name: str, disk: Disk, most: int = MOST_BYTES) -> bytes:
    """A picture file's bytes, the first of them where there are more than `most`. Raises: NotShown where it is missing, no picture by its
    first bytes, too large or unreadable."""
    path = folder.joinpath(*name.split("/"))
    try:
        found = disk.stat(path)
        if not stat.S_ISREG(found.st_mode):
            raise NotShown("isn't a picture file")
        if found.st_size > MOST_BYTES:
            raise NotShown(f"is {found.st_size / 1e6:,.0f} MB large; over {MOST_BYTES / 1e6:.0f} MB none is read")
        data = disk.read_part(path, most)
    except (FileNotFoundError, NotADirectoryError) as error:
        raise NotShown(MISSING) from error
    except (OSError, ValueError) as error:
        raise NotShown(f"can't be read: {why(error).rstrip('.')}") from error
    if not is_picture(data):
        raise NotShown(NO_PICTURE if data else "is empty")
    return data


def is_picture(data: bytes) -> bool:
    """Whether bytes start as a picture of a kind that is shown does.

    Source: ISO/IEC 10918-1 (start of image and the marker after it), PNG specification (W3C), RFC 9649 for WEBP; from memory.
    """
    return data.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n")) or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")


def trouble(folder: Path, name: str, disk: Disk) -> str:
    """What is wrong with a picture file, to be said behind its name; empty where it can be shown as far as its first bytes tell."""
    try:
        picture_bytes(folder, name, disk, HEAD_BYTES)
    except NotShown as error:
        return str(error)
    return ""


def digests(folder: Path, names: Iterable[str], disk: Disk) -> dict[str, str]:
    """The SHA-256 of every picture file that can be read, by its name. Source: FIPS 180-4."""
    found = {}
    for name in names:
        try:
            found[name] = hashlib.sha256(picture_bytes(folder, name, disk)).hexdigest()
        except NotShown:
            continue
    return found


def pictures_beside(folder: Path, named: Iterable[str], disk: Disk) -> tuple[PictureBeside, ...]:
    """The picture files beside a job and one folder down: those that nothing names yet first, of each kind the newest, and last those that
    can't be shown."""
    known = set(named)
    found = (PictureBeside(name, at_s, name in known, trouble(folder, name, disk)) for at_s, name in _dated(folder, disk))
    return tuple(sorted(found, key=lambda one: (one.wrong != "", one.named, -one.at_s, one.name)))


def _dated(folder: Path, disk: Disk) -> Iterator[tuple[float, str]]:
    names, folders = _names(folder, "", disk), []
    for name in names:
        found = _stat(folder, name, disk)
        if found is not None and stat.S_ISDIR(found.st_mode):
            folders.append(name)
        elif found is not None and name.lower().endswith(ENDINGS):
            yield found.st_mtime, name
    for under in folders:
        for name in _names(folder, f"{under}/", disk):
            found = _stat(folder, name, disk) if name.lower().endswith(ENDINGS) else None
            if found is not None and stat.S_ISREG(found.st_mode):
                yield found.st_mtime, name


def _names(folder: Path, under: str, disk: Disk) -> list[str]:
    try:
        found = disk.names(folder / under)
    except OSError:
        return []
    return [f"{under}{name}" for name in found[:MOST_LISTED] if not name.startswith(".") and name == shown(name, len(name))]


def _stat(folder: Path, name: str, disk: Disk) -> os.stat_result | None:
    try:
        return disk.stat(folder / name)
    except OSError:
        return None
