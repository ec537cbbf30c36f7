"""What is to be told of a job's photos before anybody prints them: those that are missing, can't be shown or aren't what was signed."""

from collections.abc import Iterator, Mapping

from engine.calc.phrases import first_few
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded
from engine.paper.photos.named_photos import by_file
from engine.paper.photos.picture_files import MISSING, digests, folder_of, trouble

REPLACED = "isn't the picture that was there when the job was signed"
DO = {
    MISSING: "Put the picture there under that name, or take its name out: strike the entry, or i on the tick.",
    REPLACED: "Ask who replaced it; the page says so, too.",
}


def photo_troubles(loaded: Loaded, disk: Disk | None = None) -> dict[str, str]:
    """What is wrong with the picture files that an opened job names, each to be said behind its name."""
    named = tuple(by_file(loaded.job))
    if not named:
        return {}
    disk = disk or Disk()
    folder, signed = folder_of(loaded, disk), loaded.job.record.photos if loaded.job.record else {}
    wrong = {name: says for name in named if (says := trouble(folder, name, disk))}
    now = digests(folder, (name for name in named if name in signed and name not in wrong), disk)
    replaced = {name: REPLACED for name, digest in now.items() if digest != signed[name]}
    return {name: {**wrong, **replaced}[name] for name in named if name in wrong or name in replaced}


def photo_notes(loaded: Loaded, disk: Disk | None = None) -> tuple[tuple[str, str], ...]:
    """What is so and what to do, of each kind of trouble once; nothing where every named picture is there and can be shown."""
    return tuple(_notes(photo_troubles(loaded, disk)))


def _notes(wrong: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for says in dict.fromkeys(wrong.values()):
        names = [name for name, trouble in wrong.items() if trouble == says]
        do = DO.get(says, "Save it as a JPEG of a few megabytes under that name, or take its name out: strike the entry, or i on the tick.")
        yield f"{first_few(names)}: each {says}." if len(names) > 1 else f"{names[0]} {says}.", do
