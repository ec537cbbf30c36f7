"""Every job of a folder once all of it is worked out, for whoever can wait: folders in it too where they are asked for."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from engine.folder.listing import AlsoTold, Listed, folders_in, listed, names_of, unheard
from engine.job.errors import JobError
from engine.job.file.disk import Disk

ToldHowFar = Callable[[int, int], bool]
"""Hears how far it is, of how many, and says whether to go on."""


def nobody(_number: int, _of: int) -> bool:
    """Where nobody waits."""
    return True


def whole_folder(
    folder: Path, state: Path, *, deep: bool = False, told: ToldHowFar = nobody, also: AlsoTold = unheard, disk: Disk | None = None
) -> list[Listed]:
    """Every job file of a folder by name; `deep` those of folders in it too, named by their way from it, and a folder that can't be listed
    with the reason. `told` hears how many are there. Raises: UnreadableFile where the folder itself can't be listed."""
    disk = disk or Disk()
    found: list[Listed] = []
    names_of(folder, disk=disk)
    for way in _ways(folder, disk) if deep else ("",):
        try:
            found += _whole(folder / way, way, state, len(found), told, also, disk)
        except JobError as error:
            found.append(Listed(way, error=error.brief))
    return found


def _whole(folder: Path, way: str, state: Path, before: int, told: ToldHowFar, also: AlsoTold, disk: Disk) -> list[Listed]:
    of = len(names_of(folder, disk=disk))
    rows: dict[str, Listed] = {}
    whole = 0
    for row in listed(folder, state, disk=disk, also=also):
        rows[row.name] = replace(row, name=f"{way}{row.name}")
        whole += row.whole and row.copy is None
        if row.whole and not told(before + whole, before + of):
            break
    return list(rows.values())


def _ways(folder: Path, disk: Disk) -> list[str]:
    """The folder itself, then those in it and in them, each once: a link may lead back."""
    ways, seen = [""], {disk.realpath(folder)}
    for way in ways:
        try:
            names = folders_in(folder / way, disk=disk)
        except JobError:
            continue  # told where its jobs are asked for
        for name in names:
            real = disk.realpath(folder / way / name)
            ways += [] if real in seen else [f"{way}{name}/"]
            seen.add(real)
    return ways
