"""Copies the demo jobs to where they can be written, never over work that is there."""

import os
from importlib.resources import as_file, files
from pathlib import Path

from engine.job.errors import NotWritten, UnreadableFile, shown
from engine.job.file.disk import Disk, not_put, write_new

MAIN = "willow_bend.toml"


def copy_demos(folder: Path) -> tuple[Path, int]:
    """Put the demo jobs into `folder` (made if need be); files that are there stay. Gives the folder and how many were copied."""
    there = [one for one in (folder, Path.home() / folder.name) if os.path.exists(one)]
    folder = _writable(folder)
    copied = 0
    with as_file(files("demo_jobs")) as demos:
        for source in sorted(demos.glob("*.toml")):
            target = folder / source.name
            if not target.exists():
                try:
                    _copy(source, target)
                except NotWritten:
                    if folder not in there and not copied:
                        folder.rmdir()
                    raise
                copied += 1
    return folder, copied


def _copy(source: Path, target: Path) -> None:
    """Whole or not at all. Raises: NotWritten."""
    try:
        write_new(Disk(), target, source.read_bytes())
    except OSError as error:
        raise NotWritten(target, f"couldn't be written: {not_put(error, target)}") from error


def _writable(folder: Path) -> Path:
    """The folder itself where it can be written, else one of ours in the home folder. Raises UnreadableFile where a file is in the way."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise UnreadableFile(folder, "is a file, and the demo jobs go into a folder. Give it another name.") from error
    except NotADirectoryError as error:
        file = next((above.name for above in folder.parents if above.is_file()), folder.parent.name)
        raise UnreadableFile(folder, f"{shown(file, 120)} is a file, so no folder can be made in it. Give another one.") from error
    except OSError:
        return _at_home(folder.name)
    return folder if os.access(folder, os.W_OK) else _at_home(folder.name)


def _at_home(name: str) -> Path:
    folder = Path.home() / name
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NotWritten(folder, f"can't be made: {not_put(error, folder)}") from error
    return folder
