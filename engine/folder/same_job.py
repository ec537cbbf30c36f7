"""Files of a folder that hold one and the same job, and which of them counts: a synced folder or a hand leaves copies beside a file."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from engine.job.file.from_bytes import Document
from engine.job.file.heading import SHORT, marks_of, runs_of
from engine.job.model.log_entries import SignedEntry

NEVER = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True)
class JobFile:
    """A job file by its name, the hash of what it holds, and the job in it."""

    file: str
    digest: str
    document: Document


@dataclass(frozen=True)
class LeftCopy:
    """A file that isn't counted, because another one holds its job and counts instead."""

    left: JobFile
    of: JobFile


def left_copies(files: Iterable[JobFile]) -> tuple[LeftCopy, ...]:
    """All but one of the files of each job, by file. The one that holds more signatures counts, as a signed job stands as it was signed;
    then the one saved last by its own heading; of two that are alike the shorter name."""
    counting: dict[str, JobFile] = {}
    gone_through: list[JobFile] = []
    left: list[LeftCopy] = []
    for one in sorted(files, key=_last_first):
        of = next((counting[other.file] for other in gone_through if same_job(one, other)), one)
        left += [] if of is one else [LeftCopy(one, of)]
        counting[one.file] = of
        gone_through.append(one)
    return tuple(sorted(left, key=lambda copy: copy.left.file))


def same_job(one: JobFile, other: JobFile) -> bool:
    """Whether two files hold one job: called alike, a repair of the same job or of none, and with something of their past in common."""
    return _called(one) == _called(other) and bool(_past(one) & _past(other))


def _called(one: JobFile) -> tuple[str, ...]:
    """A number tells whose job it is; without one the client has to be the same too."""
    who, before = one.document.job.job, one.document.job.repair_of
    return who.number, who.title, "" if who.number else who.client, before.digest if before else ""


def _past(one: JobFile) -> set[Hashable]:
    """What two jobs that were made apart never share: versions the file came from, log entries, and ticks made at one moment."""
    job, heading = one.document.job, one.document.heading
    versions = {one.digest[:SHORT], *marks_of([heading.parent]).split(), *heading.earlier.split()}
    return {
        *versions,
        *runs_of(heading),
        *((entry.id, entry.at) for entry in job.log),
        *((key, tick.at) for key, tick in job.checks.items()),
    }


def saved_at(one: JobFile) -> datetime:
    """When the file was saved, by its own heading."""
    return one.document.heading.saved_at or NEVER


def _last_first(one: JobFile) -> tuple[int, float, int, int, str]:
    signatures = sum(isinstance(entry, SignedEntry) for entry in one.document.job.log)
    seconds = (saved_at(one) - NEVER).total_seconds()
    return -signatures, -seconds, -one.document.heading.revision, len(one.file), one.file
