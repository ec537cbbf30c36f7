"""Files that are written for people: whole, and never over one that is there already unless somebody said so."""

from collections.abc import Mapping
from pathlib import Path

from engine.job.errors import NotWritten
from engine.job.file.disk import Disk, beside, patiently, remove, why, write_new
from engine.job.file_names import ENDING
from engine.paper.tables.csv_text import marked

FIRST_WORDS = b"format = "
"""What every job file begins with."""
IS_THERE = "is there already. Nothing was overwritten; give another name, or say --replace."


def write_files(disk: Disk, texts: Mapping[Path, str], *, replacing: bool = False) -> tuple[Path, ...]:
    """Write every text, in UTF-8, or none where a file stands in the way of one and nobody said that it may be replaced.

    Raises: NotWritten, one sentence with the file.
    """
    for path in texts:
        if not replacing and _is_there(disk, path):
            raise NotWritten(path, IS_THERE)
        if replacing and is_job(disk, path):
            raise NotWritten(path, "is a job file, which is never written over. Give another name.")
    made: list[Path] = []
    for path, text in texts.items():
        try:
            (_put_over if replacing else _put_new)(disk, path, text.encode("utf-8"))
        except NotWritten:
            for begun in () if replacing else made:
                remove(disk, begun)
            raise
        made.append(path)
    return tuple(made)


def is_job(disk: Disk, path: Path) -> bool:
    """Whether a job stands under that name, behind any links: by its own name or by how a job begins."""
    try:
        real = disk.realpath(path)
        return real.suffix.lower() == ENDING or disk.read_part(real, len(FIRST_WORDS)) == FIRST_WORDS
    except (OSError, ValueError):
        return False


def write_csv(disk: Disk, out: Path, text: str, what: str, *, replacing: bool = False) -> Path:
    """Write a CSV text, marked as one, into a file that is called so. Raises: NotWritten, one sentence with the file."""
    if out.suffix.lower() != ".csv":
        raise NotWritten(out, f"{what} is a CSV file: give it a name that ends in .csv.")
    return write_files(disk, {out: marked(text)}, replacing=replacing)[0]


def _is_there(disk: Disk, path: Path) -> bool:
    try:
        disk.stat(path)
    except (OSError, ValueError):
        return False
    return True


def _put_new(disk: Disk, path: Path, data: bytes) -> None:
    try:
        write_new(disk, path, data)
    except FileExistsError as error:
        raise NotWritten(path, IS_THERE) from error
    except OSError as error:
        raise NotWritten(path, f"couldn't be written: {why(error)}") from error


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
        raise NotWritten(path, f"couldn't be written: {why(error)}") from error


def free_beside(job_file: Path, what: str, ending: str) -> Path:
    """The first free name beside a job file for something of it: `yard-load.csv`, `yard-load-2.csv` and so on."""
    names = (job_file.with_name(f"{job_file.stem}-{what}{'' if number == 1 else f'-{number}'}{ending}") for number in range(1, 10_000))
    return next((name for name in names if not name.exists()), job_file.with_name(f"{job_file.stem}-{what}{ending}"))
