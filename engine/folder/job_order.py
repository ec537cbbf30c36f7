"""Which jobs of a folder are shown, and in which order: by a head of the list, by words that were looked for, by state and by week."""

from collections.abc import Iterable
from datetime import date
from typing import Literal

from engine.calc.dates import format_date
from engine.findings import LEVELS, STAGES, TITLES
from engine.folder.listing import Listed
from engine.folder.listing_memory import ESTIMATE, ListedFacts

Head = Literal["number", "title", "client", "planned", "stage", "open", "worst", "short", "sealed"]
HEADS: tuple[Head, ...] = ("number", "title", "client", "planned", "stage", "open", "worst", "short", "sealed")
Shown = Literal["all", "in work", "signed off", "can't be read"]
SHOWN: tuple[Shown, ...] = ("all", "in work", "signed off", "can't be read")
_SEALS = {"sealed": "sealed", "signed off": "signed off", "touched": "CHANGED", ESTIMATE: "estimate"}
NOTHING = ListedFacts()


def cells(row: Listed) -> dict[Head, str]:
    """What stands under each head; empty where it isn't known yet or isn't so."""
    kept = row.kept or NOTHING
    return {
        "number": kept.number,
        "title": kept.title or row.name.removesuffix(".toml"),
        "client": kept.client,
        "planned": format_date(date.fromisoformat(kept.day)) if kept.day else "",
        "stage": f"{STAGES.index(kept.stage) + 1} {TITLES[kept.stage]}" if kept.stage in STAGES else "",
        "open": "" if kept.of is None else str(kept.of - kept.done),
        "worst": kept.worst,
        "short": str(kept.short) if kept.short else "",
        "sealed": _SEALS.get(kept.seal, ""),
    }


def chosen(rows: Iterable[Listed], shown: Shown = "all", words: str = "", week: str = "") -> list[Listed]:
    """The rows of that state, that hold every one of the words, and are planned for the week of the day `week`."""
    sought = words.casefold().split()
    return [row for row in rows if _in_state(row, shown) and _holds(row, sought) and (not week or _in_week(row, week))]


def in_order(rows: Iterable[Listed], head: Head, *, backwards: bool = False) -> list[Listed]:
    """The rows by what stands under a head, by name where that is the same; rows with nothing there last, either way."""
    by_name = sorted(rows, key=lambda row: row.name)
    full = [row for row in by_name if cells(row)[head]]
    empty = [row for row in by_name if not cells(row)[head]]
    return [*sorted(full, key=lambda row: _rank(row, head), reverse=backwards), *empty]


def _rank(row: Listed, head: Head) -> tuple[int, str]:
    says = cells(row)[head]
    if head == "worst":
        return LEVELS.index(row.kept.worst), ""  # type: ignore[union-attr]  # it says something: it was worked out
    if head == "planned":
        return 0, row.kept.day  # type: ignore[union-attr]  # as above
    number = says.split(" ")[0] if head in ("stage", "open", "short", "number") else ""
    return (int(number), "") if number.isdecimal() else (10**9, says.casefold())


def _in_state(row: Listed, shown: Shown) -> bool:
    if shown == "all":
        return True
    if row.kept is None:
        return shown == "can't be read"
    return shown == ("in work" if row.kept.seal in ("", ESTIMATE) else "signed off")


def _holds(row: Listed, sought: Iterable[str]) -> bool:
    there = " ".join((row.name, row.error, *cells(row).values())).casefold()
    return all(word in there for word in sought)


def _in_week(row: Listed, day: str) -> bool:
    return row.kept is not None and bool(row.kept.day) and same_week(row.kept.day, day)


def same_week(one: str, other: str) -> bool:
    """Whether two days, `2026-04-14`, are of one week, Monday to Sunday."""
    return date.fromisoformat(one).isocalendar()[:2] == date.fromisoformat(other).isocalendar()[:2]
