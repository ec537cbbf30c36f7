"""What was worked out of job files for a list, kept by the hash of the file: one that changed has another hash, so nothing goes stale."""

import json
import secrets
from collections.abc import Mapping
from dataclasses import astuple, dataclass
from pathlib import Path

from engine import __version__
from engine.job.file.disk import Disk, remove, write_new

NAME = "listed.json"
MOST = 5_000
_TYPES: tuple[tuple[type, ...], ...] = ((str,), (str,), (str,), (str,), (int,), (int, type(None)), (str,), (str,), (int,), (str,))


@dataclass(frozen=True, slots=True)
class ListedFacts:
    """Number, title, client; planned day, `2026-04-14`; items done, and of how many; the first stage with something open; worst level of
    the findings; stock rows that are short; `signed off` at a glance, then `sealed` where the seal holds and `touched` where it doesn't.
    What isn't so is empty; `of` is None at a glance.
    """

    number: str = ""
    title: str = ""
    client: str = ""
    day: str = ""
    done: int = 0
    of: int | None = None
    stage: str = ""
    worst: str = ""
    short: int = 0
    seal: str = ""


def recall(disk: Disk, state: Path) -> dict[str, ListedFacts]:
    """What was kept by this version of the program, by hash."""
    try:
        said = json.loads(disk.read(state / NAME))
        jobs = said["jobs"] if said["by"] == __version__ else {}
        rows = {mark: row for mark, row in jobs.items() if isinstance(row, list) and _is_row(row)}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}
    return {mark: ListedFacts(*row) for mark, row in rows.items()}


def _is_row(row: list[object]) -> bool:
    return len(row) == len(_TYPES) and all(type(value) in kinds for value, kinds in zip(row, _TYPES, strict=True))


def remember(disk: Disk, state: Path, old: Mapping[str, ListedFacts], fresh: Mapping[str, ListedFacts]) -> bool:
    """Keep what was newly worked out beside what was kept before, the newest 5,000."""
    if not fresh:
        return True
    newest = list({**old, **fresh}.items())[-MOST:]
    text = json.dumps({"by": __version__, "jobs": {mark: astuple(kept) for mark, kept in newest}})
    temp = state / f"{NAME}.{secrets.token_hex(4)}"
    try:
        disk.make_folder(state)
        write_new(disk, temp, text.encode())
        disk.replace(temp, state / NAME)
    except OSError:
        remove(disk, temp)
        return False
    return True
