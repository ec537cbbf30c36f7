"""What one job file tells of the time its work took, and what of it is kept on this machine."""

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal, NamedTuple

from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import JobTimes, work_times
from engine.calc.frozen import dataclass
from engine.job.file.disk import digest
from engine.job.file.from_bytes import Document, read_job
from engine.job.model.job import Job
from engine.job.model.log_entries import SignedEntry

State = Literal["finished", "touched", "in work"]


class SignedJob(NamedTuple):
    """Which job a finished file is of, told by its first signature; the moment of its last one, in seconds; and its seal."""

    first: str = ""
    last_s: float = 0.0
    seal: str = ""


@dataclass(frozen=True)
class FinishedFile:
    """A file that is signed off and holds its seal, with its times; one changed since, or one in work, with none."""

    state: State
    signed: SignedJob = SignedJob()
    times: JobTimes = JobTimes({}, {})


def mark_of(raw: bytes, pause_min: float) -> str:
    """What is kept is kept under the hash of the file and the rule it was read by."""
    return f"{digest(raw)} {pause_min:g}"


def finished_file(path: Path, raw: bytes, pause_min: float) -> FinishedFile:
    """What a file tells. Raises: as `read_job`."""
    return told_by(read_job(path, raw), pause_min)


def told_by(document: Document, pause_min: float) -> FinishedFile:
    """What a file that was read tells."""
    if not document.seal_holds:
        return FinishedFile("in work" if document.seal_holds is None else "touched")
    found = work_times(document.job, pause_min)
    return FinishedFile("finished", _signed(document.job), JobTimes(found.pieces_s, found.left_out))


def _signed(job: Job) -> SignedJob:
    seal = job.record.digest if job.record else ""
    signatures = [entry for entry in job.log if isinstance(entry, SignedEntry)]
    if not signatures:
        return SignedJob(seal, 0.0, seal)
    first = signatures[0]
    return SignedJob(f"{first.id} {first.at.isoformat()} {first.by} {first.accepted_by}", signatures[-1].at.timestamp(), seal)


def kept_row(file: FinishedFile) -> list[Any]:
    """A file as it is kept."""
    pieces = {"|".join(kind): list(seconds) for kind, seconds in file.times.pieces_s.items()}
    left = {"|".join(kind): count for kind, count in file.times.left_out.items()}
    return [file.state, *file.signed, pieces, left]


def file_kept(row: object) -> FinishedFile | None:
    """The file of a row that was kept; None where it is no such row."""
    match row:
        case ["finished" | "touched" | "in work" as state, str(first), float(last_s), str(seal), dict(pieces), dict(left)]:
            if not all("|" in kind for kind in (*pieces, *left)) or not _are_counts(left) or not all(map(_are_seconds, pieces.values())):
                return None
            return FinishedFile(state, SignedJob(first, last_s, seal), _job_times(pieces, left))
    return None


def _are_counts(left: Mapping[str, object]) -> bool:
    return {type(count) for count in left.values()} <= {int}


def _are_seconds(seconds: object) -> bool:
    return isinstance(seconds, list) and bool(seconds) and {type(each) for each in seconds} <= {int, float}


def _job_times(pieces: Mapping[str, list[float]], left: Mapping[str, int]) -> JobTimes:
    return JobTimes({_kind(said): tuple(seconds) for said, seconds in pieces.items()}, {_kind(said): count for said, count in left.items()})


@lru_cache(maxsize=256)
def _kind(said: str) -> WorkKind:
    stage, _, name = said.partition("|")
    return WorkKind(stage, name)
