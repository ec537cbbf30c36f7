"""The photos of a record's page: each picture once with all that is said of it, as much as a page may hold; of the rest why not."""

import hashlib
from base64 import b64encode
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from engine.calc.phrases import counted
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded
from engine.job.model.signed_record import Record
from engine.paper.markup import element, escaped
from engine.paper.photos.named_photos import NamedPhoto, by_file
from engine.paper.photos.picture_files import NotShown, folder_of, picture_bytes
from engine.paper.photos.small_pictures import small_picture

MOST_PICTURES = 250
MOST_PAGE_BYTES = 10_000_000
"""Of all pictures of a page together: 13.3 MB as they stand in it."""
AT_ONCE = 2
"""Pictures decoded at a time: each may take a few hundred megabytes of memory."""
REPLACED = "Another picture than when the job was signed."
CAME_LATER = "Wasn't beside the job when it was signed."


class PhotoOnPage(NamedTuple):
    """A picture file with its mentions: `small` is the JPEG to show, empty where `why` says why there is none; `since` is what became of
    the file since the job was signed."""

    file: str
    mentions: tuple[NamedPhoto, ...]
    small: bytes = b""
    why: str = ""
    since: str = ""


def photos_on_page(loaded: Loaded, disk: Disk) -> tuple[PhotoOnPage, ...]:
    """Every picture file that an opened job names, read and made small."""
    named = by_file(loaded.job)
    if not named:
        return ()
    folder, record = folder_of(loaded, disk), loaded.job.record
    first = list(named.items())[:MOST_PICTURES]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        made = list(pool.map(lambda one: _photo(folder, one[0], one[1], record, disk), first))
    more = [
        PhotoOnPage(file, mentions, why=f"isn't shown: a page shows {MOST_PICTURES}") for file, mentions in [*named.items()][MOST_PICTURES:]
    ]
    return (*_as_many_as_fit(made), *more)


def _photo(folder: Path, file: str, mentions: tuple[NamedPhoto, ...], record: Record | None, disk: Disk) -> PhotoOnPage:
    since = ""
    try:
        data = picture_bytes(folder, file, disk)
        if record is not None and record.tells_photos and record.photos.get(file) != hashlib.sha256(data).hexdigest():
            since = REPLACED if file in record.photos else CAME_LATER
        return PhotoOnPage(file, mentions, small_picture(data), since=since)
    except NotShown as error:
        return PhotoOnPage(file, mentions, why=str(error), since=since)


def _as_many_as_fit(photos: Sequence[PhotoOnPage]) -> Iterator[PhotoOnPage]:
    left = MOST_PAGE_BYTES
    for photo in photos:
        if len(photo.small) > left:
            yield photo._replace(small=b"", why=f"isn't shown: the photos of a page are {MOST_PAGE_BYTES / 1e6:.0f} MB at most together")
        else:
            left -= len(photo.small)
            yield photo


def photo_style(photos: Sequence[PhotoOnPage]) -> str:
    """What the page's style sheet needs besides."""
    return files("engine.paper.photos").joinpath("photos.css").read_text(encoding="utf-8") if photos else ""


def photo_parts(photos: Sequence[PhotoOnPage]) -> tuple[str, ...]:
    """What a page shows of them under its heading: pictures with caption, place and day, then those that aren't shown."""
    shown, not_shown = [photo for photo in photos if photo.small], [photo for photo in photos if not photo.small]
    parts = [element("div", *map(_figure, shown), class_="photos")] if shown else []
    if not_shown:
        parts.append(element("p", f"{counted(len(not_shown), 'photo')} that {'is' if len(not_shown) == 1 else 'are'} named and not shown:"))
        parts.append(element("ul", *(element("li", _missing(photo)) for photo in not_shown)))
    return tuple(parts)


def picture_markup(small: bytes, says: str) -> str:
    """A small JPEG as it stands in a page, with what it shows in words."""
    return f'<img src="data:image/jpeg;base64,{b64encode(small).decode("ascii")}" alt="{escaped(says)}"/>'


def _figure(photo: PhotoOnPage) -> str:
    says = "; ".join(_of(one) for one in photo.mentions) or photo.file
    image = picture_markup(photo.small, says)
    lines = [element("span", escaped(line)) for one in photo.mentions for line in _lines(one)]
    since = [element("strong", escaped(photo.since))] if photo.since else []
    return element("figure", image, element("figcaption", *lines, *since, element("small", escaped(photo.file))))


def _lines(one: NamedPhoto) -> Iterator[str]:
    if one.place or one.caption:
        yield _of(one)
    yield f"{one.when}, {one.who}"


def _of(one: NamedPhoto) -> str:
    return ": ".join(part for part in (one.place, one.caption) if part)


def _missing(photo: PhotoOnPage) -> str:
    said = "; ".join(", ".join(part for part in (_of(one), one.when, one.who) if part) for one in photo.mentions)
    return f"{element('strong', escaped(f'{photo.file} {photo.why}.'))} {escaped(said)}.{f' {escaped(photo.since)}' if photo.since else ''}"
