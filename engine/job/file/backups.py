"""Older versions of a job file and rescue copies, in this machine's own folder for such things, never among the crew's files."""

import os
import re
from collections import defaultdict
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from secrets import token_hex

from engine.job.file.disk import Disk, digest, remove, write_new

LAST_KEPT = 100
DAYS_KEPT = 30
SEALED = "signed-"
_SEAL_MARK = 16
_STAMP = "%Y%m%d-%H%M%S-%f"
_NAME = re.compile(r"(\d{8})-\d{6}-\d{6}-[0-9a-f]{8}\.toml")


def backup_folder(state: Path, real: Path) -> Path:
    """The folder that holds the older versions of one job file."""
    return state / "backups" / _key(real)


def rescue_folder(state: Path, real: Path) -> Path:
    """The folder that holds rescue copies of one job file."""
    return state / "rescue" / _key(real)


def _seen_folder(state: Path, real: Path) -> Path:
    return state / "seen" / _key(real)


def keep(disk: Disk, state: Path, real: Path, old: bytes, now: datetime) -> None:
    """Keep the version that is about to be replaced, and let go of what is older than wanted. The last 100 stay, and the first of each
    day for 30 days; after a clock was put back they go on behind the newest. Raises: OSError where it can't be kept."""
    folder = backup_folder(state, real)
    disk.make_folder(folder)
    last = max((name for name in disk.names(folder) if _NAME.fullmatch(name)), default="")
    stamp = max(_stamp(now), _just_after(last)) if last else _stamp(now)
    backup = folder / f"{stamp}-{digest(old)[:8]}.toml"
    try:
        disk.link(real, backup)
    except FileExistsError:
        return
    except OSError:
        write_new(disk, backup, old)
    _let_go(disk, folder, now)


def keep_sealed(disk: Disk, state: Path, path: Path, new: bytes, seal: str) -> None:
    """Keep the version that was signed for as long as the machine stands, to tell later what was touched in its file."""
    name = f"{SEALED}{seal[:_SEAL_MARK]}.toml"
    try:
        copy = backup_folder(state, disk.realpath(path)) / name
        disk.make_folder(copy.parent)
        write_new(disk, copy, new)
    except OSError:
        return


def keep_last(disk: Disk, state: Path, path: Path, new: bytes, run: str) -> None:
    """Keep the version just saved or opened, one a run: where a file made from an older one is put in its place nothing else holds it. A
    copy of its own, for a file that is written over in place takes its links along."""
    try:
        copy = _seen_folder(state, disk.realpath(path)) / f"{run}.toml"
        disk.make_folder(copy.parent)
        temp = copy.with_name(f"{token_hex(4)}.saving")
        write_new(disk, temp, new)
        disk.replace(temp, copy)
    except OSError:
        return


def last_seen(disk: Disk, state: Path, real: Path) -> list[Path]:
    """The last version of each run of a file that was saved or opened on this machine."""
    folder = _seen_folder(state, real)
    return [folder / name for name in _names(disk, folder) if name.endswith(".toml")]


def into_rescue(disk: Disk, state: Path, real: Path, kept: Path, now: datetime) -> Path | None:
    """Keep the last version of a run as work that isn't in its file."""
    folder = rescue_folder(state, real)
    try:
        disk.make_folder(folder)
        copy = folder / f"{_stamp(now)}-{token_hex(4)}.toml"
        disk.replace(kept, copy)
    except OSError:
        return None
    return copy


def keep_base(disk: Disk, state: Path, path: Path, old: bytes, now: datetime) -> None:
    """Keep a version that other work was made from, as a backup, where it isn't one yet."""
    try:
        folder = backup_folder(state, disk.realpath(path))
        name = f"-{digest(old)[:8]}.toml"
        disk.make_folder(folder)
        if not any(known.endswith(name) for known in disk.names(folder)):
            write_new(disk, folder / f"{_stamp(now)}{name}", old)
    except OSError:
        return


def sealed_copies(disk: Disk, state: Path, real: Path, seal: str = "") -> list[Path]:
    """Versions of a job file that were signed: the one with this seal first, under whatever name it was signed, then the file's own."""
    named = f"{SEALED}{seal[:_SEAL_MARK]}.toml"
    folders = [backup_folder(state, real), *(state / "backups" / name for name in _names(disk, state / "backups"))]
    exact = [folder / named for folder in dict.fromkeys(folders) if seal and named in _names(disk, folder)]
    others = [folders[0] / name for name in _names(disk, folders[0]) if name.startswith(SEALED)]
    return list(dict.fromkeys([*exact, *others]))


def newest(disk: Disk, state: Path, real: Path) -> Path | None:
    """The last version of a job file that was kept."""
    folder = backup_folder(state, real)
    try:
        names = [name for name in disk.names(folder) if _NAME.fullmatch(name)]
    except OSError:
        return None
    return folder / max(names) if names else None


def kept_versions(disk: Disk, state: Path, start: str) -> list[Path]:
    """Versions of any job file kept on this machine whose hash starts as is said."""
    found = []
    for kind in ("backups", "rescue"):
        for folder in _names(disk, state / kind):
            found += [state / kind / folder / name for name in _names(disk, state / kind / folder) if name.endswith(f"-{start}.toml")]
    return found


def _names(disk: Disk, folder: Path) -> list[str]:
    try:
        return sorted(disk.names(folder))
    except OSError:
        return []


def wanted(names: Iterable[str], now: datetime) -> set[str]:
    """The backups to keep: the last 100, the first of each day for 30 days, and whatever isn't a backup."""
    dated = sorted(name for name in names if _NAME.fullmatch(name))
    oldest = (now.astimezone(UTC) - timedelta(days=DAYS_KEPT)).strftime("%Y%m%d")
    days: dict[str, list[str]] = defaultdict(list)
    for name in dated:
        days[name[:8]].append(name)
    firsts = {rows[0] for day, rows in days.items() if day >= oldest}
    return set(dated[-LAST_KEPT:]) | firsts | (set(names) - set(dated))


def rescue(disk: Disk, state: Path, real: Path, new: bytes, now: datetime) -> Path | None:
    """Keep work that couldn't be saved where it belongs; of the copies of one file as many stay as of its backups. Each has a name of its
    own, alike or not: who lets go of one never takes another's away."""
    folder = rescue_folder(state, real)
    path = folder / f"{_stamp(now)}-{token_hex(4)}.toml"
    try:
        disk.make_folder(folder)
        write_new(disk, path, new, claim=disk.claim)
        _let_go(disk, folder, now)
    except OSError:
        return path if _holds(disk, path, new) else None
    return path


def rescue_copies(disk: Disk, state: Path, real: Path) -> list[Path]:
    """The rescue copies of one job file, newest first."""
    folder = rescue_folder(state, real)
    return [folder / name for name in reversed(_names(disk, folder)) if _NAME.fullmatch(name)]


def in_hand_elsewhere(disk: Disk, copy: Path) -> bool:
    """Whether the work of a rescue copy that was read isn't lost: a program that is open holds the copy, or held it and has taken it away
    since, for it is claimed before it is written and let go of once it is away."""
    try:
        disk.hold(copy)()
    except (BlockingIOError, FileNotFoundError):
        return True
    except OSError:
        return False
    return False


def _holds(disk: Disk, path: Path, new: bytes) -> bool:
    try:
        return disk.read(path) == new
    except OSError:
        return False


def _let_go(disk: Disk, folder: Path, now: datetime) -> None:
    names = disk.names(folder)
    for name in sorted(set(names) - wanted(names, now)):
        remove(disk, folder / name)


def _key(real: Path) -> str:
    stem = re.sub(r"[^A-Za-z0-9_-]+", "_", real.stem)[:60]
    return f"{stem}-{digest(os.fsencode(real))[:12]}"


def _just_after(name: str) -> str:
    """The stamp behind that of a kept version."""
    at = datetime.strptime(name.rpartition("-")[0], _STAMP).replace(tzinfo=UTC)
    return _stamp(at + timedelta(microseconds=1))


def _stamp(now: datetime) -> str:
    return now.astimezone(UTC).strftime(_STAMP)
