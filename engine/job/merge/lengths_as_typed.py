"""Lengths of a joined job as they were typed: of one length said two ways the way that is new, whichever side is named first."""

from collections.abc import Mapping
from typing import Any, TypeVar

from engine.calc.typed_length import TypedLength
from engine.job.model.base import Part
from engine.job.model.checks import Tick
from engine.job.model.job import Job

NEVER_ANEW = ("format", "log", "record")
"""What nobody types again: a log entry and a record stand as they were written."""
Sides = tuple[Any, Any, Any]
"""What stands before, in ours and in theirs; None where there is nothing of the kind."""
P = TypeVar("P", bound=Part)


def lengths_as_typed(base: Job | None, ours: Job, theirs: Job, joined: Job) -> Job:
    """The joined job, the same but for the words that its lengths are kept in; a signed one as it is."""
    return joined if joined.record is not None else _part((base, ours, theirs), joined, NEVER_ANEW)


def _part(sides: Sides, part: P, but: tuple[str, ...] = ()) -> P:
    if isinstance(part, Tick):  # another one's that says the same was read by himself
        sides = (sides[0], *(side if side == part else None for side in sides[1:]))
    fresh: dict[str, Any] = {}
    for name, inner in part:
        if name not in but:
            found = _as_typed(tuple(getattr(side, name, None) for side in sides), inner)  # type: ignore[arg-type]  # three of three
            fresh |= {name: found} if found is not inner else {}
    return part.model_copy(update=fresh) if fresh else part


def _as_typed(sides: Sides, value: Any) -> Any:
    """The very value where nothing in it is said otherwise."""
    if isinstance(value, float):
        return _length(sides, value)
    if isinstance(value, Part):
        return _part(sides, value)
    if isinstance(value, Mapping):
        held = [side if isinstance(side, Mapping) else {} for side in sides]
        rows = {name: _as_typed((held[0].get(name), held[1].get(name), held[2].get(name)), inner) for name, inner in value.items()}
        return rows if any(rows[name] is not inner for name, inner in value.items()) else value
    if type(value) is tuple:  # no tick's facts: nobody types them
        none = (None,) * len(value)
        parts = [side if isinstance(side, tuple) and len(side) == len(value) else none for side in sides]
        row = tuple(_as_typed(at, inner) for at, inner in zip(zip(*parts, strict=True), value, strict=True))
        return row if any(found is not inner for found, inner in zip(row, value, strict=True)) else value
    return value


def _length(sides: Sides, value: float) -> float:
    """One of both sides' ways to say this very length: one that is new since the version before, a typed one before a bare number."""
    base, *both = sides
    ways = {_words(said): said for said in (*both, value) if isinstance(said, float) and said == value}
    if len(ways) > 1 and isinstance(base, float) and base == value:
        ways.pop(_words(base), None)
    return ways[min(ways, key=lambda words: (not words, words))]


def _words(length: float) -> str:
    return length.text if isinstance(length, TypedLength) else ""
