"""The signed file that a repair keeps whole: its text, the job it holds, and whether its seal holds still."""

from pathlib import Path
from typing import Any

from engine.job.file.file_text import decode
from engine.job.file.from_bytes import Document, read_job
from engine.job.file.packed_text import keeping, kept_bytes
from engine.job.model.signed_record import RepairOf


def keeping_file(path: Path, raw: bytes) -> dict[str, Any]:
    """What a repair holds of a job file, so as to keep it whole."""
    return keeping(decode(path, raw))


def kept_job(repair_of: RepairOf) -> Document:
    """The old job as its kept text holds it, `seal_holds` worked out of that very text. Raises: BadContent, NewerFormat."""
    path = Path(repair_of.file or "the signed file")
    return read_job(path, kept_bytes(repair_of, path))
