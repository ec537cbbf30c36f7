"""Bytes of a job file to the tables in it, within limits that are checked before the TOML parser sees a character."""

import re
import tomllib
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from engine.job.errors import BadContent, Located, PathInFile, Problem
from engine.job.toml.places import line_column, locate
from engine.job.toml.plain_toml import plain_tables
from engine.job.toml.toml_tokens import over_limit, unclosed
from engine.job.toml.toml_words import TWICE, toml_words

MOST_BYTES = 3_000_000
MOST_OPEN_BYTES = 2_000_000
"""An open job isn't saved on past this, so that there is room for its record: it can always be signed off. Six times the file of a hundred
posts; what is larger is no job, and would take seconds to read."""
END = "end"

Tables = dict[str, Any]

_COMPLETE = re.compile(r"complete\s*=\s*true")
_END_WORDS = (
    "the file stops before its last two lines, [end] and complete = true, so it was cut short or written without them. "
    "If nothing is missing add those two lines at the very end, else take an older copy."
)


def decode(path: Path, raw: bytes) -> str:
    """The text of a job file, line ends as plain newlines. Raises: BadContent where it is empty, too large, not UTF-8, or holds a NUL."""
    if len(raw) > MOST_BYTES:
        raise _bad(path, 1, 1, f"the file is over {MOST_BYTES // 1_000_000} MB, far bigger than any job. It must be something else.")
    try:
        text = raw.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8")
        line, column = line_column(before, len(before))
        raise _bad(path, line, column, "this isn't UTF-8 text. Save the file as UTF-8 in the editor, or take an older copy.") from error
    if "\0" in text:
        line, column = line_column(text, text.index("\0"))
        raise _bad(path, line, column, "there is a zero byte here, so the file is damaged. Take an older copy.")
    if not text.strip():
        raise _bad(path, 1, 1, "the file is empty. Take an older copy, or delete it and start a new job.")
    return text.replace("\r\n", "\n")


def parse(path: Path, text: str) -> Tables:
    """The tables of a job text, every string in them free of control characters. Raises: BadContent with the line and column of what isn't
    TOML, or nests too deep, or can't be shown."""
    data = plain_tables(text)
    if data is None:
        data = _any_toml(path, text)
    elif "\\" not in text.replace('\\"', "") and text.replace("\n", "").isprintable():
        return data
    found = list(refused(data, ()))
    if found:
        raise BadContent(path, locate(text, data, found))
    return data


def _any_toml(path: Path, text: str) -> Tables:
    over = over_limit(text)
    if over:
        raise _bad(path, *line_column(text, over[0]), over[1])
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise _not_toml(path, text, error) from error


def check_end(path: Path, text: str, data: Tables) -> Tables:
    """The tables without `[end]`, once that mark is found whole and last. Raises: BadContent where the mark is missing or something follows
    it: the file may be cut short."""
    lines = (line.split("#")[0].strip() for line in reversed(text.splitlines()))
    told = (line for line in lines if line)
    last, before = next(told, ""), next(told, "")
    whole = data.get(END) == {"complete": True} and _COMPLETE.fullmatch(last) and before.replace(" ", "") == "[end]"
    if not whole:
        raise _bad(path, *line_column(text, len(text)), _END_WORDS)
    return {key: value for key, value in data.items() if key != END}


def unshowable(text: str) -> str | None:
    """The first character of a text that no job file may hold: a control character other than tab and newline."""
    return next((c for c in text if unicodedata.category(c) in ("Cc", "Cs") and c not in "\t\n"), None)


def _not_toml(path: Path, text: str, error: Exception) -> BadContent:
    line, column, words = toml_words(error)
    place = line_column(text, len(text)) if line is None or column is None else (line, column)
    quote = unclosed(text)
    if quote is not None and line_column(text, quote) <= place:
        return _bad(path, *line_column(text, quote), "a quote opens here and isn't closed; perhaps the file was cut short.")
    return _bad(path, *place, words, *(_named(text, place[0]) if TWICE in words else ()))


def _named(text: str, line: int) -> tuple[str, str]:
    """The table whose heading a line is, or else the key that it gives."""
    told = text.split("\n")[line - 1].split("#")[0].strip()
    return (told.strip("[] "), "") if told.startswith("[") else ("", told.partition("=")[0].strip())


def refused(value: object, where: PathInFile) -> Iterator[Problem]:
    """Characters that can't be shown, and whole numbers over the 64 bits that TOML promises. Source: TOML v1.0.0, Integer; derived: the job
    file's own rules."""
    if isinstance(value, str):
        yield from _control(value, where)
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _control(key.replace("\n", "\v"), (*where, key))
            yield from refused(inner, (*where, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from refused(inner, (*where, index))
    elif isinstance(value, int) and value.bit_length() > 63:
        yield Problem(where, "this number is far too large. Correct it.")


def _control(text: str, where: PathInFile) -> Iterator[Problem]:
    found = None if text.isprintable() else unshowable(text)
    if found:
        yield Problem(where, f"there is a control character (number {ord(found)}) here. Take it out.", found)


def _bad(path: Path, line: int, column: int, message: str, table: str = "", field: str = "") -> BadContent:
    return BadContent(path, [Located(line, column, table, field, message)])
