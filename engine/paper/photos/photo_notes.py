"""What is to be told of a job's photos before anybody prints them: those that are missing, can't be shown or aren't what was signed."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from engine.calc.phrases import first_few, listed, plural
from engine.job.errors import shown
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded
from engine.job.model.signed_record import Record
from engine.paper.photos.named_photos import by_file
from engine.paper.photos.picture_files import MISSING, digests, folder_of, trouble

REPLACED = "isn't the picture that was there when the job was signed"
TWO_OF_A_NAME = "Give one of them another name, and say so in its entry: strike that and log it anew, or i on the tick."
CAME_LATER = "wasn't beside the job when it was signed"
DO = {
    MISSING: "Put the picture there under that name, or take its name out: strike the entry, or i on the tick.",
    REPLACED: "Ask who replaced it; the page says so, too.",
    CAME_LATER: "Ask who put it there; the page says so, too.",
}


def photo_troubles(loaded: Loaded, disk: Disk | None = None) -> dict[str, str]:
    """What is wrong with the picture files that an opened job names, each to be said behind its name."""
    named = tuple(by_file(loaded.job))
    if not named:
        return {}
    disk = disk or Disk()
    folder, record = folder_of(loaded, disk), loaded.job.record
    wrong = {name: says for name in named if (says := trouble(folder, name, disk))}
    found = {**wrong, **(_since_signed(record, folder, [name for name in named if name not in wrong], disk) if record else {})}
    return {name: found[name] for name in named if name in found}


def _since_signed(record: Record, folder: Path, there: Sequence[str], disk: Disk) -> dict[str, str]:
    """What became of pictures since the job was signed, as far as its record tells which were there."""
    now = digests(folder, (name for name in there if name in record.photos), disk)
    later = (name for name in there if record.tells_photos and name not in record.photos)
    return {**{name: REPLACED for name, digest in now.items() if digest != record.photos[name]}, **dict.fromkeys(later, CAME_LATER)}


def photo_notes(loaded: Loaded, disk: Disk | None = None) -> tuple[tuple[str, str], ...]:
    """What is so and what to do, of each kind of trouble once; nothing where every named picture is there and can be shown."""
    return tuple(_notes(photo_troubles(loaded, disk)))


def joined_notes(ours: Loaded, theirs: Loaded, joined: Loaded, disk: Disk | None = None) -> tuple[tuple[str, str], ...]:
    """What is so and what to do of the pictures of two jobs that are one now: names under which each has another picture, and pictures that
    aren't beside the new file."""
    disk = disk or Disk()
    both = [name for name in by_file(ours.job) if name in by_file(theirs.job)]
    here, there = (digests(folder_of(one, disk), both, disk) for one in (ours, theirs))
    from_both = listed(sorted(shown(str(one.path), 400) for one in (ours, theirs)))
    differ = [name for name in both if name in here and name in there and here[name] != there[name]]
    notes = [(f"{name} isn't one and the same picture beside {from_both}.", TWO_OF_A_NAME) for name in differ]
    away = [name for name, says in photo_troubles(joined, disk).items() if says == MISSING]
    return (*notes, *([away_note(away, "", f"{from_both} lie", "the record")] if away else []))


def away_note(names: Sequence[str], whose: str, lie: str, shows: str) -> tuple[str, str]:
    """Which pictures aren't beside a new file, and what to do: from where to copy them, and what shows them then."""
    away = plural(len(names), "isn't beside this file", "aren't beside this file")
    them = plural(len(names), "it", "them")
    return f"{first_few(names)}{whose} {away}.", f"Copy {them} here from where {lie}, so that {shows} shows {them}."


def _notes(wrong: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for says in dict.fromkeys(wrong.values()):
        names = [name for name, trouble in wrong.items() if trouble == says]
        do = DO.get(says, "Save it as a JPEG of a few megabytes under that name, or take its name out: strike the entry, or i on the tick.")
        yield f"{first_few(names)}: each {says}." if len(names) > 1 else f"{names[0]} {says}.", do
