"""A sealed file that was changed names by itself what was changed, whichever machine reads it: every changed part and no other."""

import random
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.errors import JobError
from engine.job.file.from_bytes import Document, read_job
from engine.job.file.seal_parts import parts_changed
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.words.field_words import field_words
from engine.job.model.words.key_words import item_words, row_words, stock_words
from engine.job.model.words.log_sentences import called, day_of
from engine.job.model.words.part_words import (
    MOST_NAMED,
    ChangedPart,
    How,
    PartsChanged,
)
from tests.job.file.sealed_on_one import Signed, told_by

FIELDS = ("job", "fence", "utility_notice", "record", "rules")
"""Tables without rows: each of their fields is a part."""
BY_ROW = ("supports", "bays_ft", "loops", "braces", "gates", "sleeves_left")
ROW_OF = {
    "left_open": "reason for leaving open", "found_open": "finding", "items_open": "open item", "notes": "note", "planned": "need of",
    "quantities": "use of", "stages": "times of", "photos": "seal number of photo",
}  # fmt: skip
"""What a row is called of a field of the record that is one part."""
SAMPLE = sorted(Path(__file__).with_name("formats").glob("format_1_*.toml"))[-1]
"""Every table and kind of entry."""
DAY = timedelta(days=1)
LINE = re.compile(r'^("[^"]+"|[\w-]+) = (?:(-?[\d.]+)|"([^"]*)"|(true|false))$')
KEYS = re.compile(r'"([^"]+)"|([\w-]+)')


class Block(NamedTuple):
    """A heading of the file and the lines below it."""

    head: str
    lines: tuple[str, ...]

    @property
    def keys(self) -> list[str]:
        """Where it stands: `record`, `supports`, `P4`."""
        return [quoted or bare for quoted, bare in KEYS.findall(self.head)]

    @property
    def holds(self) -> list[str]:
        return list(tomllib.loads("\n".join(self.lines)))

    def parts(self, fields: list[str]) -> list[tuple[str, str]]:
        """The parts that some of its fields belong to."""
        table, *rest = self.keys
        if table == "log":
            return [("log", tomllib.loads("\n".join(self.lines))["id"])]
        if (table in FIELDS and not rest) or table == "rules" or (rest == ["bays_ft"]):
            return [(".".join(self.keys), field) for field in fields]
        return [(f"record.{rest[0]}", rest[1]) if table == "record" and rest[0] in BY_ROW else (table, rest[0])]


def blocks(text: str) -> list[Block]:
    found: list[list[str]] = [[]]
    for line in text.splitlines():
        if line.startswith("[") and not line.startswith("[log."):
            found.append([])
        found[-1].append(line)
    return [Block(lines[0], tuple(lines[1:])) for lines in found]


def other_value(line: str) -> str:
    """A line with another value; empty where it isn't one of a plain value, or part of the seal."""
    match = LINE.match(line)
    if match is None or match[1] in ("id", "digest", "parts_digest"):
        return ""
    key, number, text, yes = match.groups()
    if number is not None:
        return f"{key} = {float(number) + 1}"
    return f'{key} = "{text}9"' if text is not None else f"{key} = {'false' if yes == 'true' else 'true'}"


def how_of(table: str, field: str) -> How:
    return "read" if table == "checks" and field.startswith("reading") else "changed"


def edited(text: str, rng: random.Random) -> tuple[str, set[ChangedPart]]:
    """The text with one to four of its blocks changed, and the parts that this changes."""
    told, expected = blocks(text), set[ChangedPart]()
    free = [n for n, block in enumerate(told) if n and block.keys[0] != "end" and block.keys[:2] != ["record", "parts"]]
    for number in rng.sample(free, rng.randrange(1, 5)):
        block, deed = told[number], rng.choice(["value", "value", "field out", "out", "in"])
        table, *rest = block.keys
        rows = len(rest) == 1 and table not in (*FIELDS, "checks")
        single = [at for at, line in enumerate(block.lines) if other_value(line)]
        if deed == "out" and table != "record":
            told[number] = Block("", ())
            expected |= {ChangedPart(*part, "taken out") for part in block.parts(block.holds)}
        elif deed == "in" and rows:
            told[number] = Block(block.head, (*block.lines, f"[{table}.zz-{number}]", *block.lines))
            expected.add(ChangedPart(table, f"zz-{number}", "put in"))
        elif single:
            at = rng.choice(single)
            field, out = block.lines[at].partition(" = ")[0].strip('"'), deed == "field out"
            told[number] = Block(block.head, (*block.lines[:at], *([] if out else [other_value(block.lines[at])]), *block.lines[at + 1 :]))
            of_fields = len(block.parts(["a", "b"])) == 2
            expected |= {ChangedPart(*part, "taken out" if out and of_fields else how_of(table, field)) for part in block.parts([field])}
    return "\n".join(line for block in told for line in (block.head, *block.lines)) + "\n", expected


def words_of(part: ChangedPart, document: Document, signed: Job) -> tuple[str, ...]:
    """What a sentence may call a part."""
    if part.table == "checks":
        return (item_words(item_key(part.name)),)
    if part.table == "stock":
        return (part.name, stock_words(part.name))
    if part.table == "record.braces":
        return (row_words("braces", part.name),)
    if part.table.partition(".")[0] in FIELDS:
        return (field_words(part.table, part.name).lower(), ROW_OF.get(part.name, part.name))
    if part.table == "log":
        known = [called(entry) for entry in (*signed.log, *document.job.log) if entry.id == part.name]
        return tuple(filter(None, (day_of(part.name), *known)))
    return (part.name,)


def read(text: str) -> Document | None:
    try:
        return read_job(Path("yard.toml"), text.encode())
    except JobError:
        return None


@given(seed=st.integers(0, 100_000))
@settings(max_examples=25, deadline=None)
def test_every_changed_part_is_named_and_no_other_on_whichever_machine(seed: int, sealed: Signed) -> None:
    text, expected = edited(sealed.text, random.Random(seed))
    found = parts_changed(tomllib.loads(text), 5)
    assert found is not None
    assert found.sound
    assert set(found.parts) == expected
    document = read(text)
    if document is None or document.job.record is None:
        return
    assert document.changed == (found if expected else None)
    kinds = Counter((part.table, part.how) for part in expected)
    few = {part: words_of(part, document, sealed.loaded.job) for part in expected if kinds[part.table, part.how] <= MOST_NAMED}
    for state in (sealed.own, sealed.other):
        told = " ".join(told_by(sealed, text, state)).lower()
        assert [part for part, words in few.items() if not any(one.lower() in told for one in words)] == []


def leaves(value: object, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every single value and list of a file's tables, by the way to it; an entry of the log by its number."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for number, row in enumerate(value):
            yield from leaves(row, (*path, str(number)))
    elif len(path) > 1 and path[0] != "end" and path[:2] not in (("record", "parts"), ("record", "digest"), ("record", "parts_digest")):
        yield path


def with_other(value: Any, path: tuple[str, ...]) -> Any:
    """The same tables with another value at a place."""
    if path:
        first, *rest = path
        inner = list(value) if isinstance(value, list) else dict(value)
        at: Any = int(first) if isinstance(value, list) else first
        inner[at] = with_other(inner[at], tuple(rest))
        return inner
    if isinstance(value, bool):
        return not value
    return [*value, "9"] if isinstance(value, list) else f"{value}9" if isinstance(value, str) else value + (1 if is_number(value) else DAY)


def is_number(value: object) -> bool:
    return isinstance(value, int | float)


def part_at(tables: dict[str, Any], path: tuple[str, ...]) -> ChangedPart:
    table, row, *inner = path
    if table == "log":
        return ChangedPart("log", tables["log"][int(row)]["id"], "changed")
    if table == "rules" or (table in ("record", "repair_of") and row in (*BY_ROW, "sleeves")):
        return ChangedPart(f"{table}.{row}", inner[0], "changed")
    return ChangedPart(table, row, how_of(table, path[-1]))


def test_a_change_of_any_value_of_any_table_is_the_change_of_its_part() -> None:
    tables = tomllib.loads(SAMPLE.read_text(encoding="utf-8"))
    places = [path for path in leaves(tables) if not (path[0] == "log" and path[-1] == "id")]
    assert len(places) > 500
    assert parts_changed(tables, 5) == PartsChanged((), sound=True)
    for path in places:
        assert parts_changed(with_other(tables, path), 5) == PartsChanged((part_at(tables, path),), sound=True)


def shuffled(text: str, rng: random.Random) -> str:
    """The same tables in another order, the log's among themselves as they were."""
    first, *told = blocks(text)
    log = iter([block for block in told[:-1] if block.keys[0] == "log"])
    mixed = rng.sample(told[:-1], len(told) - 1)
    in_turn = [next(log) if block.keys[0] == "log" else block for block in mixed]
    return "\n".join(line for block in (first, *in_turn, told[-1]) for line in (block.head, *block.lines)) + "\n"


@given(seed=st.integers(0, 100_000))
@settings(max_examples=8, deadline=None)
def test_what_says_the_same_is_no_change(seed: int, sealed: Signed) -> None:
    rng = random.Random(seed)
    text = shuffled(sealed.text, rng)
    lines = [f"{line}  # {n}" if LINE.match(line) and rng.random() < 0.1 else line for n, line in enumerate(text.splitlines())]
    text = rng.choice(["\n", "\r\n"]).join([*(re.sub(r"(= -?\d+)\.0$", r"\1", line) for line in lines[:-2]), *lines[-2:], ""])
    assert text != sealed.text
    document = read(text)
    assert document is not None
    assert (document.seal_holds, document.changed) == (True, None)
    assert told_by(sealed, text, sealed.other) == ()
