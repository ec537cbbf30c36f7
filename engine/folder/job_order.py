"""Which jobs of a folder are shown, and in which order: by a head of the list, by words that were looked for, by state and by week."""

from collections.abc import Callable, Iterable
from datetime import date
from operator import attrgetter, itemgetter
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
COPY = "copy"


def cells(row: Listed) -> dict[Head, str]:
    """What stands under each head; empty where it isn't known yet or isn't so."""
    return {head: cell(row, head) for head in HEADS}


def cell(row: Listed, head: Head) -> str:
    """What stands under one head: two thousand rows are sorted by what stands under one of them."""
    return _CELLS[head](row, row.kept or NOTHING)


def sealed_word(kept: ListedFacts) -> str:
    """Whether it is signed off, and the seal holds."""
    return _SEALS.get(kept.seal, "")


_CELLS: dict[Head, Callable[[Listed, ListedFacts], str]] = {
    "number": lambda _, kept: kept.number,
    "title": lambda row, kept: kept.title or row.name.removesuffix(".toml"),
    "client": lambda _, kept: kept.client,
    "planned": lambda _, kept: format_date(date.fromisoformat(kept.day)) if kept.day else "",
    "stage": lambda _, kept: f"{STAGES.index(kept.stage) + 1} {TITLES[kept.stage]}" if kept.stage in STAGES else "",
    "open": lambda _, kept: "" if kept.of is None else str(kept.of - kept.done),
    "worst": lambda _, kept: kept.worst,
    "short": lambda _, kept: str(kept.short) if kept.short else "",
    "sealed": lambda row, kept: COPY if row.copy else sealed_word(kept),
}


def chosen(rows: Iterable[Listed], shown: Shown = "all", words: str = "", week: str = "") -> list[Listed]:
    """The rows of that state, that hold every one of the words, and are planned for the week of the day `week`."""
    sought = words.casefold().split()
    return [row for row in rows if _in_state(row, shown) and (not sought or _holds(row, sought)) and (not week or _in_week(row, week))]


def in_order(rows: Iterable[Listed], head: Head, *, backwards: bool = False) -> list[Listed]:
    """The rows by what stands under a head, by name where that is the same; rows with nothing there last, either way."""
    full: list[tuple[tuple[int, str], Listed]] = []
    empty: list[Listed] = []
    for row in sorted(rows, key=attrgetter("name")):
        said = row.kept.day if head == "planned" and row.kept else cell(row, head)
        if said:
            full.append((_rank(said, head), row))
        else:
            empty.append(row)
    full.sort(key=itemgetter(0), reverse=backwards)
    return [*(row for _, row in full), *empty]


def _rank(said: str, head: Head) -> tuple[int, str]:
    """What a row is sorted by, out of what stands under the head; of a planned day the day, `2026-04-14`."""
    if head == "worst":
        return LEVELS.index(said), ""
    number = said.split(" ")[0] if head in ("stage", "open", "short", "number") else ""
    return (int(number), "") if number.isdecimal() else (10**9, said.casefold())


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
