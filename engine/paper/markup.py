"""Text made safe for a page, and the few elements that drawings and pages are made of. What comes out is well-formed XML."""

from collections.abc import Iterable
from html import escape

from engine.calc.geometry.plane import Point
from engine.job.errors import shown

LONGEST = 4_000


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
