"""A folder of finished jobs: how long the work of each took, worked out once and then remembered under the hash of its file.

Finished is what is signed off and holds its seal. A file that can't be read, or was changed since it was signed, is left out and named.
"""

from collections.abc import Callable, Mapping
from dataclasses import field
from functools import lru_cache
from pathlib import Path
from typing import Any

from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import JobTimes, work_times
from engine.calc.frozen import dataclass
from engine.folder.kept_by_hash import keep_rows, kept_rows
from engine.folder.listing import names_of
from engine.job.errors import JobError
from engine.job.file.disk import Disk, digest, read_whole
from engine.job.file.from_bytes import read_job
from engine.job.file.store import state_folder

NAME = "work_times.z"
TOUCHED = "It was changed since it was signed off."
Told = Callable[[int, int], bool]


@dataclass(frozen=True)
class FinishedJobs:
    """The finished jobs of a folder by the names of their files, how many others were in work, and files left out with the reason."""

    folder: Path
    times: Mapping[str, JobTimes]
    in_work: int = 0
    left_out: Mapping[str, str] = field(default_factory=dict)


def finished_jobs(
    folder: Path,
    pause_min: float,
    *,
    but: Path | None = None,
    told: Told | None = None,
    disk: Disk | None = None,
    state: Path | None = None,
) -> FinishedJobs:
    """All finished jobs of a folder, folders in it aside. `but` is a file that isn't asked: the job that is planned. `told` hears which
    file it is, of how many, and says whether to go on; what was read until then is kept. Raises: UnreadableFile where the folder can't
    be listed."""
    disk, state = disk or Disk(), state or state_folder()
    names, kept = names_of(folder, disk=disk), kept_rows(disk, state, NAME)
    not_this = None if but is None or disk.realpath(but.parent) != disk.realpath(folder) else disk.realpath(but).name
    times: dict[str, JobTimes] = {}
    why: dict[str, str] = {}
    fresh: dict[str, Any] = {}
    in_work = 0
    for number, name in enumerate(names, 1):
        path = folder / name
        if told is not None and not told(number, len(names)):
            break
        if name == not_this:
            continue
        try:
            raw = read_whole(disk, path)
            mark = mark_of(raw, pause_min)
            if mark not in kept or not _is_row(kept[mark]):
                kept[mark] = fresh[mark] = file_row(path, raw, pause_min)
        except JobError as error:
            why[name] = error.brief
            continue
        row = kept[mark]
        if row["state"] == "finished":
            times[name] = _job_times(row["pieces"], row["left"])
        elif row["state"] == "touched":
            why[name] = TOUCHED
        else:
            in_work += 1
    keep_rows(disk, state, NAME, kept, fresh)
    return FinishedJobs(folder, times, in_work, why)


def mark_of(raw: bytes, pause_min: float) -> str:
    """What is kept is kept under the hash of the file and the rule it was read by."""
    return f"{digest(raw)} {pause_min:g}"


def file_row(path: Path, raw: bytes, pause_min: float) -> dict[str, Any]:
    """What is kept of a file: whether it is finished, its pieces' seconds and how many were left out, by kind. Raises: as `read_job`."""
    document = read_job(path, raw)
    if not document.seal_holds:
        return {"state": "in work" if document.seal_holds is None else "touched", "pieces": {}, "left": {}}
    found = work_times(document.job, pause_min)
    return {
        "state": "finished",
        "pieces": {"|".join(kind): list(seconds) for kind, seconds in found.pieces_s.items()},
        "left": {"|".join(kind): count for kind, count in found.left_out.items()},
    }


def _is_row(row: object) -> bool:
    if not isinstance(row, dict) or not isinstance(row.get("state"), str):
        return False
    pieces, left = row.get("pieces"), row.get("left")
    if not isinstance(pieces, dict) or not isinstance(left, dict) or not all("|" in kind for kind in (*pieces, *left)):
        return False
    return {type(count) for count in left.values()} <= {int} and all(
        isinstance(seconds, list) and seconds and {type(each) for each in seconds} <= {int, float} for seconds in pieces.values()
    )


def _job_times(pieces: Mapping[str, list[float]], left: Mapping[str, int]) -> JobTimes:
    return JobTimes({_kind(said): tuple(seconds) for said, seconds in pieces.items()}, {_kind(said): count for said, count in left.items()})


@lru_cache(maxsize=256)
def _kind(said: str) -> WorkKind:
    stage, _, name = said.partition("|")
    return WorkKind(stage, name)
