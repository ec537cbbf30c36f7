"""What a merge has to ask, and the order in which both sides' names are written."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from engine.job.errors import PathInFile

Side = Literal["ours", "theirs"]
K = TypeVar("K")


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact that both sides changed: where, what each says (None where it took it out), and a sentence.

    `about` names it where its place in the file doesn't: then `ours` and `theirs` are words.
    """

    path: PathInFile
    ours: object
    theirs: object
    says: str
    about: str = ""


def in_order(base: Iterable[K], ours: Mapping[K, Any], theirs: Mapping[K, Any]) -> list[K]:
    """Names of both sides, each behind the one it stood behind, the same whichever side is named first."""
    known = set(base)
    said = [([str(name) for name in side if name not in known], [str(name) for name in side]) for side in (ours, theirs)]
    first, second = (ours, theirs) if said[0] <= said[1] else (theirs, ours)
    names, held, before = list(first), set(first), None
    for name in second:
        if name not in held:
            names.insert(0 if before is None else names.index(before) + 1, name)
        before = name
    return names
