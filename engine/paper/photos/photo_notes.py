"""What is to be told of a job's photos before anybody prints them: those that are missing, can't be shown or aren't what was signed."""

from collections.abc import Iterator

from engine.calc.phrases import first_few, plural
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded
from engine.paper.photos.named_photos import by_file
from engine.paper.photos.picture_files import MISSING, digests, folder_of, trouble


def photo_notes(loaded: Loaded, disk: Disk | None = None) -> tuple[tuple[str, str], ...]:
    """What is so and what to do, of each kind of trouble once; nothing where every named picture is there and can be shown."""
    disk = disk or Disk()
    named = tuple(by_file(loaded.job))
    return tuple(_notes(loaded, named, disk)) if named else ()


def _notes(loaded: Loaded, named: tuple[str, ...], disk: Disk) -> Iterator[tuple[str, str]]:
    folder = folder_of(loaded, disk)
    wrong = {name: says for name in named if (says := trouble(folder, name, disk))}
    if missing := [name for name, says in wrong.items() if says == MISSING]:
        says = f"{first_few(missing)} {plural(len(missing), 'is', 'are')} named and {plural(len(missing), 'isn', 'aren')}'t beside the job."
        yield says, "Put the picture there under that name, or strike what names it."
    for name, says in wrong.items():
        if says != MISSING:
            yield f"{name} {says}.", "Save it as a JPEG under that name, or strike what names it."
    signed = loaded.job.record.photos if loaded.job.record else {}
    now = digests(folder, (name for name in named if name in signed and name not in wrong), disk)
    if replaced := [name for name, digest in now.items() if digest != signed[name]]:
        are = plural(len(replaced), "isn't the picture that was", "aren't the pictures that were")
        yield f"{first_few(replaced)} {are} there when the job was signed.", "Ask who replaced it; the page says so, too."
