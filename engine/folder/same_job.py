"""Files of a folder that hold one and the same job, and which of them counts: a synced folder or a hand leaves copies beside a file."""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from engine.calc.dates import format_date
from engine.calc.phrases import listed
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

    @property
    def says(self) -> str:
        """Which file counts instead and why that one, what else has to be known of it, and what to do."""
        left, of = self.left.document, self.of.document
        if self.left.digest == self.of.digest:
            return f"is {self.of.file} once more: take one of the two away."
        signed = of.seal_holds is not None
        later = ["is signed off"] if signed else ["was saved later"] if saved_at(self.of) > saved_at(self.left) else []
        day, other = left.job.job.planned_for, of.job.job.planned_for
        moved = [f"is planned for {other:%a} {format_date(other)}" if other else "has no day planned"] if other != day else []
        do = "look at both before one is taken away" if signed or left.seal_holds is not None else "linewalk merge joins the two"
        return f"is a copy of {self.of.file}, which {listed((*later, *moved, 'counts alone'))}: {do}."


def left_copies(files: Iterable[JobFile]) -> tuple[LeftCopy, ...]:
    """All but one of the files of each job, by file. Two hold one job that are called alike, repairs of the same job or of none, and have
    something of their past in common. The one that holds more signatures counts, as a signed job stands as it was signed;
    then the one saved last by its own heading; of two that are alike the shorter name."""
    first: dict[Hashable, int] = {}
    counting: list[JobFile] = []
    left: list[LeftCopy] = []
    for place, one in enumerate(sorted(files, key=_last_first)):
        past = [(_called(one), mark) for mark in _past(one)]
        known = [first[mark] for mark in past if mark in first]
        of = counting[min(known)] if known else one
        left += [LeftCopy(one, of)] if known else []
        counting.append(of)
        for mark in past:
            first.setdefault(mark, place)
    return tuple(sorted(left, key=lambda copy: copy.left.file))


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
