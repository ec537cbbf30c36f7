"""Every picture file a job names, with what it is of, its caption, and when and by whom: out of the log and the ticks."""

from collections.abc import Iterator
from typing import NamedTuple

from engine.calc.lengths import format_ft_in
from engine.calc.units import in_its_units
from engine.job.model.job import Job
from engine.job.model.log_entries import PhotoEntry, SupersededEntry, live
from engine.job.model.words.key_words import item_words, said_words
from engine.paper.built_tables import TIMES, Table
from engine.paper.tables.told_cells import ToldCell

TITLE = "Photos"


class NamedPhoto(NamedTuple):
    """One mention of a picture file. `of` is what it is of; `line` and `station` are empty where it wasn't said where it was taken."""

    file: str
    of: str
    line: str
    station: str
    caption: str
    when: str
    who: str

    @property
    def place(self) -> str:
        """What it is of and where it was taken, in a few words."""
        spot = f"{self.station} on {self.line}" if self.line else ""
        return ", ".join(part for part in (self.of, spot) if part)


@in_its_units
def named_photos(job: Job) -> tuple[NamedPhoto, ...]:
    """Every mention, by day and time; of a tick that doesn't stand any more only what nothing else names."""
    stand = sorted((*_logged(job), *_ticked(job)), key=lambda photo: photo.when)
    named = {photo.file for photo in stand}
    return tuple(sorted((*stand, *(photo for photo in _past(job) if photo.file not in named)), key=lambda photo: photo.when))


def by_file(job: Job) -> dict[str, tuple[NamedPhoto, ...]]:
    """The mentions of each picture file, by the day and time of the first."""
    found: dict[str, tuple[NamedPhoto, ...]] = {}
    for photo in named_photos(job):
        found[photo.file] = (*found.get(photo.file, ()), photo)
    return found


def photo_table(job: Job) -> Table:
    """Every mention as a row."""
    columns = ("photo", "of", "line", "station", "caption", "when", "who")
    figures = (("station", ("station_ft", "east_ft", "north_ft")),)
    return Table(TITLE, columns, tuple(map(tuple, named_photos(job))), keys=2, figures=figures)


def _logged(job: Job) -> Iterator[NamedPhoto]:
    for entry in live(job.log):
        if isinstance(entry, PhotoEntry):
            there = entry.place or (None, None)
            station = "" if entry.station_ft is None else ToldCell(format_ft_in(entry.station_ft), entry.station_ft, *there)
            yield NamedPhoto(entry.file, entry.about, entry.line or "", station, entry.caption, f"{entry.at:{TIMES}}", entry.by)


def _ticked(job: Job) -> Iterator[NamedPhoto]:
    for key, tick in job.checks.items():
        for name in tick.photos:
            caption = ", ".join(part for part in (said_words(tick), tick.note) if part)
            yield NamedPhoto(name, item_words(key), "", "", caption, f"{tick.at:{TIMES}}", tick.by)


def _past(job: Job) -> Iterator[NamedPhoto]:
    for entry in (entry for entry in live(job.log) if isinstance(entry, SupersededEntry)):
        caption = f"{said_words(entry.tick)}, which no longer stands"
        for name in entry.photos:
            yield NamedPhoto(name, item_words(entry.item), "", "", caption, f"{entry.done_at:{TIMES}}", entry.done_by)
