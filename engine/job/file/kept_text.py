"""The signed file that a repair keeps whole: its lines, the job they hold, and whether its seal holds still."""

from pathlib import Path

from engine.job.file.file_text import decode
from engine.job.file.from_bytes import Document, read_job
from engine.job.model.signed_record import RepairOf


def lines_of(path: Path, raw: bytes) -> tuple[str, ...]:
    """The lines of a job file, as a repair keeps them."""
    return tuple(decode(path, raw).split("\n"))


def kept_job(repair_of: RepairOf) -> Document:
    """The old job as its kept lines hold it, `seal_holds` worked out of these very lines. Raises: BadContent, NewerFormat."""
    return read_job(Path(repair_of.file or "the signed file"), "\n".join(repair_of.text).encode())
