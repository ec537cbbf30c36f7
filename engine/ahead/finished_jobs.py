"""A folder of finished jobs: how long the work of each took, worked out once and then remembered under the hash of its file.

Finished is what is signed off and holds its seal. A file that can't be read, or was changed since it was signed, is left out and named.
A job tells once: of copies of it one is taken, and of a job that was opened again and signed again the newest record.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import field
from pathlib import Path
from typing import Any

from engine.ahead.finished_file import FinishedFile, file_kept, finished_file, kept_row, mark_of, told_by
from engine.ahead.work_times import JobTimes
from engine.calc.frozen import dataclass
from engine.folder.kept_by_hash import keep_rows, kept_rows
from engine.folder.listing import AlsoTold, names_of
from engine.folder.whole_folder import ToldHowFar
from engine.job.errors import JobError, shown
from engine.job.file.disk import Disk, read_whole
from engine.job.file.from_bytes import Document
from engine.job.file.store import state_folder
from engine.job.model.rules import HourRules

NAME = "work_times.z"
TOUCHED = "It was changed since it was signed off."


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
    told: ToldHowFar | None = None,
    disk: Disk | None = None,
    state: Path | None = None,
) -> FinishedJobs:
    """All finished jobs of a folder, folders in it aside. `but` is a file that isn't asked: the job that is planned. `told` hears which
    file it is, of how many, and says whether to go on; what was read until then is kept. Raises: UnreadableFile where the folder can't
    be listed."""
    disk, state = disk or Disk(), state or state_folder()
    names, kept = names_of(folder, disk=disk), kept_rows(disk, state, NAME)
    not_this = None if but is None or disk.realpath(but.parent) != disk.realpath(folder) else disk.realpath(but).name
    asked = [name for name in names if name != not_this]
    files: dict[str, FinishedFile] = {}
    why: dict[str, str] = {}
    fresh: dict[str, Any] = {}
    for number, name in enumerate(asked, 1):
        path = folder / name
        if told is not None and not told(number, len(asked)):
            break
        try:
            raw = read_whole(disk, path)
            mark = mark_of(raw, pause_min)
            file = file_kept(kept.get(mark) or fresh.get(mark))
            if file is None:
                file = finished_file(path, raw, pause_min)
                fresh[mark] = kept_row(file)
        except JobError as error:
            why[name] = error.brief
            continue
        files[name] = file
    keep_rows(disk, state, NAME, kept, fresh)
    in_work = sum(file.state == "in work" for file in files.values())
    finished = {name: file for name, file in files.items() if file.state == "finished"}
    why |= {name: TOUCHED for name, file in files.items() if file.state == "touched"} | dict(_told_already(finished))
    return FinishedJobs(
        folder, {name: file.times for name, file in finished.items() if name not in why}, in_work, dict(sorted(why.items()))
    )


@contextmanager
def keeping_times(disk: Disk | None = None, state: Path | None = None) -> Iterator[AlsoTold]:
    """For whoever reads a folder for something else: what hears of every file and keeps its times too, by the rules as they are unless a
    job says otherwise. So a folder that was looked at tells its hours without being read again."""
    pause_min, fresh = HourRules().pause_min, dict[str, Any]()

    def heard(raw: bytes, document: Document) -> None:
        fresh[mark_of(raw, pause_min)] = kept_row(told_by(document, pause_min))

    try:
        yield heard
    finally:
        if fresh:
            disk, state = disk or Disk(), state or state_folder()
            keep_rows(disk, state, NAME, kept_rows(disk, state, NAME), fresh)


def _told_already(finished: Mapping[str, FinishedFile]) -> Iterator[tuple[str, str]]:
    """Files whose job another file tells of, with which that is: the newest record, under its shortest name."""
    of_job: dict[str, list[str]] = defaultdict(list)
    for name, file in finished.items():
        of_job[file.signed.first].append(name)
    for names in of_job.values():
        used = min(names, key=lambda name: (-finished[name].signed.last_s, len(name), name))
        for name in names:
            copied = finished[name].signed.seal == finished[used].signed.seal
            if name != used:
                yield name, f"A copy of {shown(used, 60)}." if copied else f"{shown(used, 60)} holds a later record of this job."
