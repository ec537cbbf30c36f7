"""The parts of a signed-off file, a short digest each: by them any machine names what was changed in the file since it was signed.

They stand in `[record.parts]`, a line a table: `points = "A:x3Zq B:9_aK"`. The digest of the whole covers them, and one of their own tells
whether they are what was written: a line that was changed there accuses no other part.
"""

import hashlib
from base64 import urlsafe_b64encode
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import quote, unquote

from engine.job.file.job_tables import said_in, spelled
from engine.job.model.words.key_words import CHECKS, LOG, READINGS
from engine.job.model.words.part_words import ChangedPart, How, PartsChanged

Digests = dict[str, dict[str, str]]
"""By the table, and in it by the name of its row."""

PARTS, OF_PARTS = "parts", "parts_digest"
SINCE_MINOR = 5
"""The first minor format whose seals keep them."""
_BY_ROW = ("record.supports", "record.bays_ft", "record.loops", "record.braces", "record.gates", "record.sleeves_left", "repair_of.sleeves")
"""Tables in a table whose rows are told one by one, as those of every limit are; any other is one part."""
_LETTERS = 4
"""24 bits: one change in 16 million has the digest it had, and then the digest of the whole still tells that there was one."""
_READING_LETTERS = 2


def with_parts(tables: Mapping[str, Any]) -> dict[str, Any]:
    """What a record keeps of the tables that it seals: the digests of their parts, and the one over these."""
    listed = {table: " ".join(f"{quote(name, safe='')}:{mark}" for name, mark in rows.items()) for table, rows in _digests(tables).items()}
    return {PARTS: listed, OF_PARTS: list_mark(listed)}


def parts_changed(tables: Mapping[str, Any], minor: int) -> PartsChanged | None:
    """What isn't as the list of the file's parts has it; None where the file was sealed before there was one.

    tables: of the file as they were read. minor: of its format.
    """
    record = tables.get("record", {})
    listed = record.get(PARTS)
    if listed is None and OF_PARTS not in record and minor < SINCE_MINOR:
        return None
    if not isinstance(listed, Mapping) or list_mark(listed) != record.get(OF_PARTS):
        return PartsChanged((), sound=False)
    signed = {table: _read(str(line)) for table, line in listed.items()}
    return PartsChanged(tuple(_changes(signed, _digests(tables))), sound=True)


def says_the_same(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two versions of a file's tables say the same, sealed or not."""
    return spelled(said_in(one, (PARTS, OF_PARTS))) == spelled(said_in(other, (PARTS, OF_PARTS)))


def parts_between(signed: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[ChangedPart, ...]:
    """The parts in which two versions of a file's tables differ."""
    return tuple(_changes(_digests(signed), _digests(now)))


def _changes(signed: Digests, now: Digests) -> Iterator[ChangedPart]:
    for table in dict.fromkeys((*signed, *now)):
        was, there = signed.get(table, {}), now.get(table, {})
        for name in dict.fromkeys((*was, *there)):
            if was.get(name) != there.get(name):
                yield _part(table, name, was.get(name), there.get(name))
        if table == LOG and was.keys() == there.keys() and list(was) != list(there):
            yield ChangedPart(LOG, "", "order")


def _part(table: str, name: str, was: str | None, now: str | None) -> ChangedPart:
    """One part that differs; a tick by its key."""
    how: How = "put in" if was is None else "taken out" if now is None else "changed"
    if not table.startswith(f"{CHECKS}."):
        return ChangedPart(table, name, how)
    stage, _, what = table.removeprefix(f"{CHECKS}.").partition(".")
    read = was is not None and now is not None and was[_LETTERS:] != now[_LETTERS:]
    return ChangedPart(CHECKS, ".".join(filter(None, (stage, name, what))), "read" if read else how)


def _digests(tables: Mapping[str, Any]) -> Digests:
    found: Digests = defaultdict(dict)
    for table, name, said in _parts(tables):
        found[table][name] = _mark(said, _LETTERS)
        if table.startswith(f"{CHECKS}.") and (read := {field: said[field] for field in READINGS if field in said}):
            found[table][name] += _mark(read, _READING_LETTERS)
    return found


def _parts(tables: Mapping[str, Any]) -> Iterator[tuple[str, str, Any]]:
    """Every part of what a file says of its job: the table, the name in it, what it says. Ticks are put together by what was ticked."""
    for table, rows in said_in(tables, (PARTS, OF_PARTS)).items():
        if not isinstance(rows, Mapping):
            yield from ((table, str(row.get("id", "")), row) for row in rows) if table == LOG else ((table, "", rows),)
            continue
        for name, said in rows.items():
            inside = f"{table}.{name}"
            if table == CHECKS:
                stage, *subject, what = name.split(".")
                yield f"{table}.{stage}.{what}", ".".join(subject), said
            elif isinstance(said, Mapping) and (table == "rules" or inside in _BY_ROW):
                yield from ((inside, row, one) for row, one in said.items())
            else:
                yield table, name, said


def _read(line: str) -> dict[str, str]:
    marks = (part.rpartition(":") for part in line.split())
    return {unquote(name): mark for name, _, mark in marks}


def _mark(said: Any, letters: int) -> str:
    """The first letters of a part's digest. Source: FIPS 180-4; RFC 4648, section 5, for the letters."""
    return urlsafe_b64encode(hashlib.sha256(spelled(said)).digest())[:letters].decode()


def list_mark(listed: Mapping[str, Any]) -> str:
    """The digest over a list of parts, as a record keeps it beside that list."""
    return hashlib.sha256(spelled(listed)).hexdigest()[:16]
