"""The jobs of a folder that are planned in one week, read whole; what else has to be known of the folder then."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from engine.folder.job_order import same_week
from engine.folder.listing import Listed, glance, names_of
from engine.folder.listing_memory import ESTIMATE, ListedFacts, recall
from engine.folder.same_job import JobFile, LeftCopy, left_copies
from engine.folder.whole_folder import ToldHowFar, nobody
from engine.job.errors import JobError
from engine.job.file.disk import Disk, digest, read_whole
from engine.job.file.from_bytes import Document, read_job
from engine.walk import Walk, walk

SUNDAY = 6


@dataclass(frozen=True)
class PlannedJob:
    """One job file whose planned day is in the week, and everything worked out from it; None of a signed one, which needs nothing."""

    file: str
    document: Document
    walk: Walk | None


@dataclass(frozen=True)
class PlannedWeek:
    """Jobs planned in the week by day, then by file, each once; files that can't be read with the reason, as any of them may be of this
    week; jobs in work without a planned day, by file; and files planned in the week whose job another file holds, which counts instead.
    `whole` is whether all of the folder was looked at."""

    monday: date
    jobs: tuple[PlannedJob, ...]
    unreadable: Mapping[str, str]
    unplanned: Mapping[str, ListedFacts]
    copies: tuple[LeftCopy, ...] = ()
    whole: bool = True

    @property
    def sunday(self) -> date:
        """Its last day."""
        return date.fromordinal(min(self.monday.toordinal() + SUNDAY, date.max.toordinal()))


def planned_week(folder: Path, day: date, state: Path, *, told: ToldHowFar = nobody, disk: Disk | None = None) -> PlannedWeek:
    """What is planned in the week, Monday to Sunday, of a day. A file is read whole where its heading names a day of that week, or can't be
    told from the rest at a glance, or is called as a job of that week: a copy of that may be planned for another day by now. `told` hears
    which file it is, of how many. Raises: UnreadableFile where the folder can't be listed."""
    disk = disk or Disk()
    names, memory = names_of(folder, disk=disk), recall(disk, state)
    files: list[JobFile] = []
    elsewhere: dict[str, ListedFacts] = {}
    unreadable: dict[str, str] = {}
    whole = True
    for number, name in enumerate(names, 1):
        whole = told(number, len(names))
        if not whole:
            break
        row = glance(folder / name, memory, disk)
        if row.error:
            unreadable[name] = row.error
        elif row.kept is not None and _told(row, row.kept) and not (row.kept.day and same_week(row.kept.day, f"{day}")):
            elsewhere[name] = row.kept
        else:
            _read(folder / name, disk, files, unreadable)
    called = {_called(one) for one in files if _of_week(one, day)}
    for name, kept in elsewhere.items():
        if (kept.number, kept.title) in called:
            _read(folder / name, disk, files, {})
    copies = tuple(copy for copy in left_copies(files) if _of_week(copy.left, day))
    left = {copy.left.file for copy in copies}
    jobs = (PlannedJob(one.file, one.document, _walked(one)) for one in files if _of_week(one, day) and one.file not in left)
    ordered = sorted(jobs, key=lambda one: (one.document.job.job.planned_for or day, one.file))
    unplanned = {name: kept for name, kept in elsewhere.items() if not kept.day and kept.seal in ("", ESTIMATE)}
    unplanned |= {one.file: ListedFacts(*_called(one)) for one in files if one.file not in elsewhere and _without_day(one)}
    return PlannedWeek(day - timedelta(day.weekday()), tuple(ordered), unreadable, dict(sorted(unplanned.items())), copies, whole)


def _told(row: Listed, kept: ListedFacts) -> bool:
    """Whether the planned day is known, or that there is none: a heading of which nothing was told at a glance may be written otherwise."""
    return row.whole or any((kept.number, kept.title, kept.client, kept.day))


def _read(path: Path, disk: Disk, files: list[JobFile], unreadable: dict[str, str]) -> None:
    try:
        raw = read_whole(disk, path)
        files.append(JobFile(path.name, digest(raw), read_job(path, raw)))
    except JobError as error:
        unreadable[path.name] = error.brief


def _called(one: JobFile) -> tuple[str, str]:
    return one.document.job.job.number, one.document.job.job.title


def _of_week(one: JobFile, day: date) -> bool:
    planned_for = one.document.job.job.planned_for
    return planned_for is not None and same_week(f"{planned_for}", f"{day}")


def _without_day(one: JobFile) -> bool:
    return one.document.job.job.planned_for is None and one.document.seal_holds is None


def _walked(one: JobFile) -> Walk | None:
    return None if one.document.seal_holds is not None else walk(one.document.job)
