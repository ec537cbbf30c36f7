"""Items, ticks and records of a file in a few words."""

import re
from collections.abc import Iterator, Mapping, Sequence

from engine.calc.lengths import format_ft_in, format_in
from engine.calc.units import units_now
from engine.job.errors import PathInFile, shown
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import FENCE_KINDS, NOUNS
from engine.job.model.item_key import ITEM_KEY, ItemKey, item_key
from engine.job.model.stock_table import default_rows, first_rows
from engine.job.model.words.field_words import field_words, value_text

_MORE_NOUNS = {
    "job": "The job's", "fence": "The fence's", "rules": "The rules for", "utility_notice": "The utility notice's", "points": "Point",
    "stock": "Stock of", "rough": "The first talk's", "repair_of": "The job before's",
}  # fmt: skip
FIELD_TABLES = ("job", "fence", "rules", "utility_notice", "rough", "repair_of")
"""Tables that hold fields, not records."""
CHECKS, LOG, RECORD = "checks", "log", "record"
READINGS = ("reading_in", "reading_ft")
_ROWS = {
    "supports": "support {}", "bays_ft": "bay {}", "loops": "loop {}", "braces": "brace {}", "sleeves_left": "sleeve left of {}",
    "sleeves": "sleeve left of {}", "levels": "shot {}", "points": "point {}", "stages": "times of {}", "planned": "need of {}",
    "quantities": "use of {}", "photos": "seal number of photo {}", "left_open": "reason for leaving open {}", "found_open": "finding {}",
    "found": "finding {}", "notes": "note {}", "items_open": "open item {}", CHECKS: "{}",
} | {table: f"{noun.lower()} {{}}" for table, noun in NOUNS.items()}  # fmt: skip
"""What a row is called of a table that stands inside a record, or inside the record of the job."""
_OF_ITEMS, _OF_FINDINGS = ("items_open", CHECKS), ("left_open", "found_open", "found", "notes")
_ASKED = {
    "survey.dogs_asked": "dogs asked about", "survey.mower_asked": "mower asked about", "survey.irrigation_asked": "irrigation asked about",
    "survey.marks_called": "utility marks called for", "survey.marks_seen": "utility marks seen", "layout.string": "string line",
    "layout.clear": "opening clear", "posts.eyes": "eyes in", "posts.solid": "sleeve solid", "posts.diameter": "tree diameter",
    "bracing.plumb": "still plumb", "bracing.foot_a": "brace a foot out", "bracing.foot_b": "brace b foot out",
    "bracing.solid_a": "brace a foot solid", "bracing.solid_b": "brace b foot solid", "bracing.band_a": "brace a band tight",
    "bracing.band_b": "brace b band tight", "bracing.footed": "brace foot set", "bracing.pinned": "post pinned",
    "cables.round_again": "every loop read and pulled again", "cables.tail": "tail ringed back", "fabric.under_closed": "closed underneath",
    "staking.flush": "stakes flush", "staking.tight": "apron tight", "gate.two_people": "lifted by two people",
    "gate.diagonal_a": "first diagonal", "gate.diagonal_b": "other diagonal", "gate.diagonal_a1": "leaf 1 first diagonal",
    "gate.diagonal_b1": "leaf 1 other diagonal", "gate.diagonal_a2": "leaf 2 first diagonal", "gate.diagonal_b2": "leaf 2 other diagonal",
}  # fmt: skip
"""What is asked, where the key's own words don't say it, by stage and key."""
_PLACE = r"(\d+)_(\d\d)([EW])_(\d+)_(\d\d)([NS])"
"""Of an old sleeve, as its key has it."""
_OF_A_TICK = {"at": "ticked at", "by": "ticked by", "of": "what it was ticked for"}
Named = Mapping[tuple[str, str], str]
"""What people call a row that goes by a key or an id of the program's, by its table and that key."""


def item_words(key: ItemKey) -> str:
    """An item by what it is about and what is asked, as no other one of its job is called: `P7 driven depth`."""
    subject = "" if key.subject == "job" else f"{key.about} "
    asked = _ASKED.get(f"{key.stage}.{key.what}") or key.what.replace("_", " ")
    return f"{subject}{asked}{_which(key)}".strip()


def _which(key: ItemKey) -> str:
    """Which of the old sleeves of a post: ` 2`, or ` 24' 3 3/4" east, 102' 6 3/4" north`."""
    rest = key.subject.removeprefix(key.about).removeprefix(".")
    if not (at := re.match(_PLACE, rest)):
        return f" {rest}" if rest else ""
    east, north = (format_ft_in(float(f"{at[n]}.{at[n + 1]}")) for n in (1, 4))
    way = {"E": "east", "W": "west", "N": "north", "S": "south"}
    return f" {east} {way[at[3]]}, {north} {way[at[6]]}{rest[at.end() :].replace('-', ', ')}"


def said_words(tick: Tick) -> str:
    """What a tick says by itself: its reading, or its state where nothing was read."""
    if tick.reading_in is not None:
        return format_in(tick.reading_in)
    return tick.state if tick.reading_ft is None else format_ft_in(tick.reading_ft)


def fact_words(path: PathInFile, named: Mapping[tuple[str, str], str] = {}) -> str:
    """A fact, or a record, by its place in the file: `Post P7, station`, `P4 driven depth`, `The record's bay P3-P4`, `Alternative low,
    gate G1, leaf width`. Rows are called as they are `named`."""
    table, name, *inner = (*map(str, path), "")[: max(2, len(path))]
    if table == CHECKS and name:
        return ", ".join([ticked_words(name), *_of_tick(inner)])
    if table == LOG:
        return ", ".join([named.get((LOG, name), "A log entry"), *_inside(inner, LOG, named)])
    if table == RECORD and name:
        its = "'s" if (name in _ROWS and inner) or name in ("digest", "fence") else ","
        return f"The record{its} {', '.join(_inside((name, *inner), RECORD, named))}"
    if table in FIELD_TABLES and inner:
        return f"{_noun(table)} {', '.join(_inside((name, *inner), table, named))}"
    return ", ".join([record_words(table, name), *_inside(inner, table, named)])


def ticked_words(key: str) -> str:
    """An item by the text of its key; that text where it is none."""
    return item_words(item_key(key)) if re.fullmatch(ITEM_KEY, key) else key


def row_words(table: str, name: str, named: Mapping[tuple[str, str], str] = {}) -> str:
    """A row of a table inside a record: `bay P3-P4`, `reason for leaving open P7 foot gives`."""
    if (table, name) in named:
        called = named[table, name]
    elif table == "braces":
        support, _, which = name.rpartition("-")
        called = f"{which} of {support}" if support else name
    else:
        called = ticked_words(name) if table in _OF_ITEMS else _key_said(name) if table in _OF_FINDINGS else name
    return _ROWS[table].format(called)


def _key_said(key: str) -> str:
    """A finding by its key, where nothing else is known of it: `P7 foot gives`."""
    code, *subjects = key.split(":")
    return " ".join([*(subject for subject in subjects if subject != "job"), code]).replace("_", " ")


def _of_tick(inner: Sequence[str]) -> Iterator[str]:
    return (_OF_A_TICK.get(field, _small(field_words(CHECKS, field))) for field in inner if field not in READINGS)


def _inside(path: Sequence[str], table: str, named: Named) -> Iterator[str]:
    """What a fact inside a record is called, from the outermost: `hard stretch walk`, `from station`."""
    if not path:
        return
    first, *rest = path
    if rest and first in _ROWS and table != "rules":
        yield row_words(first, rest[0], named)
        yield from _of_tick(rest[1:]) if first == CHECKS else _inside(rest[1:], first, named)
    else:
        yield _small(field_words(table, first))
        yield from _inside(rest, table if table == "rules" else first, named)


def record_words(table: str, name: str) -> str:
    """A record by its kind and name, or a field of a table that has no records: `Post P7`, `The fence's height`; that table without one."""
    if table not in FIELD_TABLES:
        return f"{_noun(table)} {stock_words(name) if table == 'stock' else name}"
    return f"{_noun(table)} {_small(field_words(table, name))}" if name else _noun(table).removesuffix("'s")


def stock_words(stock: str) -> str:
    """A stock row by the name people see; one that the job brought by its own."""
    row = first_rows(units_now()).get(stock) or default_rows().get(stock)
    return row.name if row is not None and row.name else stock


def told_value(path: PathInFile, value: object) -> str:
    """A fact's value in words, safe to print: of the fence's stock the name that people see; `nothing` for none."""
    if path[0] == "fence" and path[-1] in FENCE_KINDS and isinstance(value, str):
        return stock_words(value)
    if isinstance(value, dict):
        return "changed"
    return shown(value_text(str(path[-1]), value)) or "nothing"


def _noun(table: str) -> str:
    return {**NOUNS, **_MORE_NOUNS}.get(table, table)


def _small(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}"
