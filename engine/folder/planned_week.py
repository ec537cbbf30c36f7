"""The jobs of a folder that are planned in one week, read whole; what else has to be known of the folder then."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from engine.folder.job_order import same_week
from engine.folder.listing import Listed, glance, names_of
from engine.folder.listing_memory import ESTIMATE, ListedFacts, recall
from engine.folder.whole_folder import ToldHowFar, nobody
from engine.job.errors import JobError
from engine.job.file.disk import Disk, read_whole
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
    """Jobs planned in the week by day, then by file; files that can't be read with the reason, as any of them may be of this week; and jobs
    in work without a planned day, by file. `whole` is whether all of the folder was looked at."""

    monday: date
    jobs: tuple[PlannedJob, ...]
    unreadable: Mapping[str, str]
    unplanned: Mapping[str, ListedFacts]
    whole: bool = True

    @property
    def sunday(self) -> date:
        """Its last day."""
        return date.fromordinal(min(self.monday.toordinal() + SUNDAY, date.max.toordinal()))


def planned_week(folder: Path, day: date, state: Path, *, told: ToldHowFar = nobody, disk: Disk | None = None) -> PlannedWeek:
    """What is planned in the week, Monday to Sunday, of a day. A file is read whole where its heading names a day of that week, or can't be
    told from the rest at a glance. `told` hears which file it is, of how many. Raises: UnreadableFile where the folder can't be listed."""
    disk = disk or Disk()
    names, memory = names_of(folder, disk=disk), recall(disk, state)
    jobs: list[PlannedJob] = []
    unreadable: dict[str, str] = {}
    unplanned: dict[str, ListedFacts] = {}
    whole = True
    for number, name in enumerate(names, 1):
        whole = told(number, len(names))
        if not whole:
            break
        row = glance(folder / name, memory, disk)
        if row.error:
            unreadable[name] = row.error
        elif row.kept is not None and _told(row, row.kept):
            if not row.kept.day:
                unplanned |= {name: row.kept} if row.kept.seal in ("", ESTIMATE) else {}
            elif same_week(row.kept.day, f"{day}"):
                _read(folder / name, day, disk, jobs, unreadable, unplanned)
        else:
            _read(folder / name, day, disk, jobs, unreadable, unplanned)
    ordered = sorted(jobs, key=lambda one: (one.document.job.job.planned_for or day, one.file))
    return PlannedWeek(day - timedelta(day.weekday()), tuple(ordered), unreadable, unplanned, whole)


def _told(row: Listed, kept: ListedFacts) -> bool:
    """Whether the planned day is known, or that there is none: a heading of which nothing was told at a glance may be written otherwise."""
    return row.whole or any((kept.number, kept.title, kept.client, kept.day))


def _read(path: Path, day: date, disk: Disk, jobs: list[PlannedJob], unreadable: dict[str, str], unplanned: dict[str, ListedFacts]) -> None:
    try:
        document = read_job(path, read_whole(disk, path))
    except JobError as error:
        unreadable[path.name] = error.brief
        return
    who, signed = document.job.job, document.seal_holds is not None
    if who.planned_for is None:
        unplanned |= {} if signed else {path.name: ListedFacts(who.number, who.title)}
    elif same_week(f"{who.planned_for}", f"{day}"):
        jobs.append(PlannedJob(path.name, document, None if signed else walk(document.job)))
