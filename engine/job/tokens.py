"""TOML text as marks, strings and comments: enough to count depth and find places, without judging it."""

import re
from collections.abc import Iterator

BASIC = r'"(?:[^"\\\n]++|\\[^\n])*+"'
LITERAL = r"'[^'\n]*+'"
LONG_BASIC = r'"""(?:[^"\\]++|\\[\s\S]|"{1,2}(?!"))*+"{3,5}'
LONG_LITERAL = r"'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"

MOST_DEPTH = 32
MOST_PARTS = 8

_TOKEN = re.compile(
    rf"(?P<string>{LONG_BASIC}|{LONG_LITERAL}|(?!\"\"\"|''')(?:{BASIC}|{LITERAL}))|(?P<unclosed>[\"'])"
    r"|(?P<comment>#[^\n]*)|(?P<mark>[\[\]{}=,.\n])"
)


def tokens(text: str) -> Iterator[re.Match[str]]:
    """Every string, comment and mark of a TOML text in order, up to and with the first string that is never closed.

    Arguments: text, any.
    Returns: matches whose `lastgroup` is string, comment, mark or unclosed. After an unclosed string nothing more comes: no
    parser gets past it either, so it takes one pass whatever the text.
    Source: TOML v1.0.0 specification, "String" and "Comment".
    Valid for: any text.
    """
    for found in _TOKEN.finditer(text):
        yield found
        if found.lastgroup == "unclosed":
            return


def over_limit(text: str) -> tuple[int, str] | None:
    """Where a text is nested deeper, or has a longer dotted key, than any job file: offset and one sentence.

    Arguments: text, any.
    Returns: None where it keeps to 32 brackets deep and 8 parts a key.
    Source: derived: a dotted key of 50,000 parts keeps tomllib busy for half a minute; job files need 3.
    Valid for: any text.
    """
    depth = dots = 0
    for found in tokens(text):
        mark = found[0]
        if found.lastgroup != "mark":
            continue
        dots = dots + 1 if mark == "." else 0
        depth += (mark in "[{") - (mark in "]}")
        if depth > MOST_DEPTH:
            return found.start(), f"brackets stand more than {MOST_DEPTH} deep here. Take them out."
        if dots >= MOST_PARTS:
            return found.start(), f"a key of more than {MOST_PARTS} parts stands here. Shorten it."
    return None


def unclosed(text: str) -> int | None:
    """Offset of the quote of the first string that is never closed.

    Arguments: text, any.
    Returns: None where every string is closed.
    Source: TOML v1.0.0 specification, "String".
    Valid for: any text.
    """
    return next((found.start() for found in tokens(text) if found.lastgroup == "unclosed"), None)


def has_comments(text: str) -> bool:
    """Whether a TOML text holds a comment.

    Arguments: text that tomllib accepts.
    Source: TOML v1.0.0 specification, "Comment".
    Valid for: any text.
    """
    return any(found.lastgroup == "comment" for found in tokens(text))
