"""Text made safe for a page, and the few elements that drawings and pages are made of. What comes out is well-formed XML."""

import re
from collections.abc import Iterable, Iterator
from html import escape

from engine.calc.geometry.plane import Point
from engine.job.errors import shown

LONGEST = 4_000
SAFE = "default-src 'none'; style-src 'unsafe-inline'"
"""Nothing is fetched, nothing runs."""


def whole_page(title: str, style: str, body: Iterable[str], *, pictures: bool = False) -> str:
    """A page that needs nothing else: `title` is escaped here, the rest is markup and style already. `pictures`: there are some in it."""
    safe = f"{SAFE}; img-src data:" if pictures else SAFE
    head = (
        '<meta charset="utf-8"/>',
        element("meta", http_equiv="Content-Security-Policy", content=safe),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("title", escaped(title)),
        element("style", style),
    )
    page = element("html", element("head", *head), "\n", element("body", "\n".join(body)), lang="en", xmlns="http://www.w3.org/1999/xhtml")
    return f"<!DOCTYPE html>\n{page}\n"


def escaped(text: str) -> str:
    """Text from a job as it may stand in a page, inside an element or a quoted attribute: nothing in it is markup any more. Control and
    direction marks are spelled out; line ends stay."""
    return "\n".join(escape(shown(line, LONGEST), quote=True) for line in text.splitlines())


def element(name: str, /, *inside: str, **attributes: object) -> str:
    """One element. `inside` is markup already; attribute values are escaped, numbers get two decimals."""
    written = "".join(f' {_named(key)}="{_value(value)}"' for key, value in attributes.items() if value is not None)
    return f"<{name}{written}>{''.join(inside)}</{name}>" if inside else f"<{name}{written}/>"


def points_text(points: Iterable[Point]) -> str:
    """Places of a drawing as a `points` attribute wants them."""
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _named(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def _value(value: object) -> str:
    return _number(value) if isinstance(value, float) else escaped(str(value))


def _number(value: float) -> str:
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def markdown(text: str) -> Iterator[str]:
    """Headings and lists of our own notes; bold and italic words."""
    items: list[str] = []
    for line in (*text.strip().splitlines(), ""):
        if line.startswith("- "):
            items.append(element("li", _inline(line[2:])))
            continue
        if items:
            yield element("ul", *items)
            items = []
        if line.startswith("## "):
            yield element("h3", _inline(line[3:]))
        elif line:
            yield element("p", _inline(line))


def _inline(text: str) -> str:
    bold = re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", escaped(text))
    return re.sub(r"\*(.+?)\*", r"<em>\1</em>", bold)
