"""What was worked out of job files for a list, and is kept."""

from collections.abc import Mapping
from dataclasses import astuple, dataclass
from pathlib import Path

from engine.folder.kept_by_hash import PACKED, keep_rows, kept_rows
from engine.job.file.disk import Disk

NAME = f"listed{PACKED}"
ESTIMATE = "estimate"
_TYPES: tuple[tuple[type, ...], ...] = (
    *((str,), (str,), (str,), (str,), (int,), (int, type(None)), (str,), (str,), (int,), (str,)),
    *((str,), (str,), (str,), (str,), (float,), (str,)),
)


@dataclass(frozen=True, slots=True)
class ListedFacts:
    """Number, title, client; planned day, `2026-04-14`; items done, and of how many; the first stage with something open; worst level of
    the findings; stock rows that are short; `signed off` at a glance, then `sealed` where the seal holds and `touched` where it doesn't,
    `estimate` where nothing is surveyed and all there is is what was said; code and sentence of the first of the worst findings; when and
    by whom it was signed off, `2026-04-14 16:20`; how long the fence is; the units its lengths are told in.
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
    worst_code: str = ""
    worst_says: str = ""
    signed_at: str = ""
    signed_by: str = ""
    length_ft: float = 0.0
    units: str = ""


def recall(disk: Disk, state: Path) -> dict[str, ListedFacts]:
    """What was kept by this version of the program, by hash."""
    rows = kept_rows(disk, state, NAME).items()
    return {mark: kept for mark, row in rows if (kept := facts_of(row)) is not None}


def facts_of(row: object) -> ListedFacts | None:
    """Facts out of a row as it is kept; None where it is no such row."""
    sound = (
        isinstance(row, list) and len(row) == len(_TYPES) and all(type(value) in kinds for value, kinds in zip(row, _TYPES, strict=True))
    )
    return ListedFacts(*row) if sound and isinstance(row, list) else None


def remember(disk: Disk, state: Path, old: Mapping[str, ListedFacts], fresh: Mapping[str, ListedFacts]) -> bool:
    """Keep what was newly worked out beside what was kept before."""
    plain = ({mark: astuple(kept) for mark, kept in those.items()} for those in (old, fresh))
    return keep_rows(disk, state, NAME, *plain)
