"""Keys named in words, each a button: a click on `Enter`, `Esc` or `Press a` does what the key does."""

import re
from typing import Any

from textual.app import App
from textual.content import Content
from textual.events import Key
from textual.style import Style

NAMED = {
    "Enter": "enter", "Esc": "escape", "Tab": "tab", "Space": "space", "PgDn": "pagedown", "PgUp": "pageup", "Down": "down", "Up": "up",
    "F2": "f2", "Ctrl+Z": "ctrl+z", "Ctrl+S": "ctrl+s",
}  # fmt: skip
"""The keys that words name, and what Textual calls them."""
_LONG = re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in sorted(NAMED, key=len, reverse=True)))
_LETTER = re.compile(r"(?:(?<=Press )|(?<=Press \())[a-z](?!\w)")


def key_buttons(words: Content | str, letters: str = "") -> Content:
    """The words with each key in them a button; of single letters those behind `Press`, and those of `letters` that stand alone."""
    content = Content(words) if isinstance(words, str) else words
    plain = content.plain
    found = [(match, NAMED[match.group()]) for match in _LONG.finditer(plain)]
    found += [(match, match.group()) for match in _LETTER.finditer(plain)]
    if letters:
        found += [(match, match.group()) for match in re.finditer(rf"(?<![\w'])[{re.escape(letters)}](?![\w'])", plain)]
    for match, key in found:
        content = content.stylize(Style.from_meta({"@click": f"app.press('{key}')"}), match.start(), match.end())
    return content


def press(app: App[Any], key: str) -> None:
    """A key as if it had been pressed."""
    app.post_message(Key(key, key if len(key) == 1 else None))
