"""What tomllib says, in words a crew understands."""

import re

_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z")

TWICE = "is given twice"

_WORDS: tuple[tuple[str, str], ...] = (
    (r"Invalid statement", "this line is neither a [table] nor a key = value. Correct it, or put # before it to leave it out."),
    (r"Expected '=' after a key", "there is a key here without an = after it. Write key = value; a key with spaces needs quotes."),
    (r"Invalid initial character for a key part", "a key is wanted here. Keys are letters, digits, - and _; others need quotes."),
    (r"Invalid value", "the value here can't be read. Text needs quotes; numbers, dates, true and false don't."),
    (r"Unclosed array", "a list that starts with [ isn't closed, or a comma is missing in it."),
    (r"Unclosed inline table", "a table that starts with { isn't closed, or a comma is missing in it."),
    (r"Cannot overwrite a value|Duplicate inline table key", f"this key {TWICE} in its table. Keep one of the two."),
    (r"Cannot declare .* twice|Cannot redefine namespace", f"this table {TWICE}. Put its keys under one heading."),
    (r"Cannot mutate immutable namespace", "this table was already written out in full and can't be added to. Put its keys in one place."),
    (r"Expected '\]\]?' at the end|Expected ']'", "a heading isn't closed with its bracket."),
    (r"Expected newline or end of document", "there is something after a complete value. Put it on a line of its own."),
    (r"Unterminated string", "text that starts with a quote isn't closed."),
    (r"Illegal character '\\[nr]'", "the quote isn't closed at the end of its line, or the line ends in an unusual way."),
    (r"Illegal character|Found invalid character", "there is a character here that doesn't belong in a text file. Take it out."),
    (r"Unescaped '\\\\' in a string", "a backslash in text must be written twice."),
    (r"Invalid hex value|Escaped character", "a \\u in text isn't followed by the number of a character."),
    (r"Invalid date or datetime", "there is no such date or time. Write them like 2026-11-25 and 2026-11-25T14:05:00-06:00."),
    (r"Exceeds the limit", "there is a number with thousands of digits in the file. Correct it."),
)


def toml_words(error: Exception) -> tuple[int | None, int | None, str]:
    """A tomllib error as line, column and one sentence."""
    said = str(error)
    place = _AT.search(said)
    line, column = (int(place[1]), int(place[2])) if place and place[1] else (None, None)
    words = next((words for pattern, words in _WORDS if re.match(pattern, said)), "this can't be read as TOML.")
    if place and not place[1]:
        words = f"the file stops here in the middle of something, perhaps cut short: {words}"
    return line, column, words
