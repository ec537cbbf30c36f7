"""TOML text as marks, strings and comments: enough to count depth and find places, without judging it."""

import re
from collections.abc import Iterator

BASIC = r'"(?:[^"\\\n]++|\\[^\n])*+"'
LITERAL = r"'[^'\n]*+'"
LONG_BASIC = r'"""(?:[^"\\]++|\\[\s\S]|"{1,2}(?!"))*+"{3,5}'
LONG_LITERAL = r"'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"

MOST_DEPTH = 32
MOST_PARTS = 8

_SKIPPED = rf"(?P<string>{LONG_BASIC}|{LONG_LITERAL}|(?!\"\"\"|''')(?:{BASIC}|{LITERAL}))|(?P<unclosed>[\"'])|(?P<comment>#[^\n]*)"


def _token(marks: str) -> re.Pattern[str]:
    """What is neither mark, string nor comment is passed over in the same step: a step a letter is six times slower."""
    return re.compile(rf"[^\"'#{marks}]*+(?:{_SKIPPED}|(?P<mark>[{marks}])|\Z)")


_BRACKETS = _token(r"\[\]{}")
_KEY_MARKS = _token(r"\[\]{}=,.\n")


def _tokens(text: str, pattern: re.Pattern[str] = _BRACKETS) -> Iterator[re.Match[str]]:
    """Every string, comment and mark of a TOML text in order, up to and with the first string that is never closed.

    The `lastgroup` of a match is string, comment, mark or unclosed. After an unclosed string nothing more comes: no parser gets
    past it either, so it takes one pass whatever the text.
    """
    for found in pattern.finditer(text):
        if found.lastgroup:
            yield found
        if found.lastgroup == "unclosed":
            return


def over_limit(text: str) -> tuple[int, str] | None:
    """Where a text is nested deeper, or has a longer dotted key, than any job file: offset and one sentence."""
    many_dots = any(line.count(".") >= MOST_PARTS for line in text.split("\n"))
    return _too_deep(text) or (_too_many_parts(text) if many_dots else None)


def _too_deep(text: str) -> tuple[int, str] | None:
    depth = 0
    for found in _tokens(text):
        if found.lastgroup == "mark":
            depth += 1 if found["mark"] in "[{" else -1
            if depth > MOST_DEPTH:
                return found.start("mark"), f"brackets are more than {MOST_DEPTH} deep here. Take them out."
    return None


def _too_many_parts(text: str) -> tuple[int, str] | None:
    dots = 0
    for found in _tokens(text, _KEY_MARKS):
        if found.lastgroup == "mark":
            dots = dots + 1 if found["mark"] == "." else 0
            if dots >= MOST_PARTS:
                return found.start("mark"), f"there is a key of more than {MOST_PARTS} parts here. Shorten it."
    return None


def unclosed(text: str) -> int | None:
    """Offset of the quote of the first string that is never closed. Returns: None where every string is closed. Source: TOML v1.0.0
    specification, "String"."""
    return next((found.start("unclosed") for found in _tokens(text) if found.lastgroup == "unclosed"), None)


def has_comments(text: str) -> bool:
    """Whether a TOML text holds a comment. Source: TOML v1.0.0 specification, "Comment"."""
    return "#" in text and any(found.lastgroup == "comment" for found in _tokens(text))
