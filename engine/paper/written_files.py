"""Files that are written for people: whole, and never over one that is there already unless somebody said so."""

import stat
from collections.abc import Mapping, Sequence
from os.path import islink
from pathlib import Path

from engine.job.errors import NotWritten
from engine.job.file.disk import Disk, beside, not_put, patiently, remove, write_new
from engine.job.file_names import ENDING
from engine.job.model.job import Job
from engine.paper.tables.csv_text import marked

FIRST_WORDS = b"format = "
"""What every job file begins with."""
NOT_SAVED = "Not saved yet."
IS_THERE = "is there already. Nothing was overwritten; give another name, or say --replace."


def unsaved_words(job: Job) -> str:
    """What of a job that holds more than its file isn't in that yet, to be said in what is written of it."""
    return f"{'The signature' if job.record else 'Some of what is printed here'} isn't in the job's file yet, which may say otherwise."


def write_files(disk: Disk, texts: Mapping[Path, str], *, replacing: bool = False) -> tuple[Path, ...]:
    """Write every text, in UTF-8, or none where a file stands in the way of one and nobody said that it may be replaced.

    Raises: NotWritten, one sentence with the file.
    """
    for path in texts:
        there = _mode(disk, path)
        if there is not None and not stat.S_ISREG(there):
            raise NotWritten(path, "isn't an ordinary file, so nothing is put in its place. Give another name.")
        if (there is not None or replacing) and is_job(disk, path):
            raise NotWritten(path, "is a job file, which is never written over. Give another name.")
        if there is not None and not replacing:
            raise NotWritten(path, IS_THERE)
    fresh, made = {path for path in texts if _mode(disk, path) is None}, list[Path]()
    for path, text in texts.items():
        try:
            (_put_over if replacing else _put_new)(disk, path, text.encode("utf-8"))
        except NotWritten:
            for begun in fresh.intersection(made):
                remove(disk, begun)
            raise
        made.append(path)
    return tuple(made)


def write_into_folder(disk: Disk, folder: Path, texts: Mapping[Path, str], *, replacing: bool = False) -> tuple[Path, ...]:
    """The same into a folder, made where there is none; none is left behind where its files couldn't be written. Raises: NotWritten."""
    fresh = [above for above in (folder, *folder.parents) if _mode(disk, above) is None]
    try:
        disk.make_folder(folder)
        return write_files(disk, texts, replacing=replacing)
    except (OSError, NotWritten) as error:
        for begun in fresh:
            _take_away(disk, begun)
        if isinstance(error, NotWritten):
            raise
        raise NotWritten(folder, f"can't be made: {not_put(error, folder)}") from error


def is_job(disk: Disk, path: Path) -> bool:
    """Whether a job stands under that name, behind any links: by its own name or by how a job begins."""
    try:
        real = disk.realpath(path)
        return real.suffix.lower() == ENDING or disk.read_part(real, len(FIRST_WORDS)) == FIRST_WORDS
    except (OSError, ValueError):
        return False


def write_csv(disk: Disk, out: Path, texts: Mapping[str, str], what: str, *, replacing: bool = False) -> tuple[Path, ...]:
    """Write CSV texts, marked as such, the first into a file that is called so, others beside it under its name and their own:
    `load.csv`, `load-offcuts.csv`. All of them or none. Raises: NotWritten, one sentence with the file."""
    if out.suffix.lower() != ".csv":
        raise NotWritten(out, f"{what} is a CSV file: give it a name that ends in .csv.")
    return write_files(disk, {part_of(out, part): marked(text) for part, text in texts.items()}, replacing=replacing)


def part_of(path: Path, part: str) -> Path:
    """A file's name for a part of what is written: `load-offcuts.csv` of `load.csv`; its own for the part without a name."""
    return path.with_name(f"{path.stem}-{part}{path.suffix}") if part else path


def _mode(disk: Disk, path: Path) -> int | None:
    """What kind of thing stands there; None where nothing does."""
    try:
        return disk.stat(path).st_mode
    except (OSError, ValueError):
        return None


def _take_away(disk: Disk, folder: Path) -> None:
    """A folder of ours, which stays where something is in it."""
    try:
        disk.remove_folder(folder)
    except OSError:
        return


def _put_new(disk: Disk, path: Path, data: bytes) -> None:
    try:
        write_new(disk, path, data)
    except FileExistsError as error:
        raise NotWritten(path, IS_THERE) from error
    except OSError as error:
        raise NotWritten(path, f"couldn't be written: {not_put(error, path)}") from error


def _put_over(disk: Disk, path: Path, data: bytes) -> None:
    """A temp file in the same folder, then over the old one; on any error what stood there stands there still."""
    real = disk.realpath(path)
    temp = beside(real, f"{disk.pid}.new")
    try:
        remove(disk, temp)
        write_new(disk, temp, data)
        patiently(disk, lambda: disk.replace(temp, real))
        disk.fsync_dir(real.parent)
    except OSError as error:
        remove(disk, temp)
        raise NotWritten(path, f"couldn't be written: {not_put(error, real if islink(path) else path)}") from error


def free_beside(job_file: Path, what: str, ending: str, parts: Sequence[str] = ("",)) -> Path:
    """The first name beside a job file for something of it that is free with all of its parts: `yard-load.csv`, `yard-load-2.csv` and so
    on."""
    names = (job_file.with_name(f"{job_file.stem}-{what}{'' if number == 1 else f'-{number}'}{ending}") for number in range(1, 10_000))
    free = (name for name in names if not any(part_of(name, part).exists() for part in parts))
    return next(free, job_file.with_name(f"{job_file.stem}-{what}{ending}"))
