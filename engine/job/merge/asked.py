"""What a merge has to ask, what was answered, and the order in which both sides' names are written."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar

from engine.job.errors import PathInFile

Side = Literal["ours", "theirs"]
K = TypeVar("K")


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact that both sides changed: where, what it is about, and both answers in words; an answer that can't be given is empty. `why` is
    the sentence that asks it where the answers alone don't."""

    path: PathInFile
    about: str
    ours: str
    theirs: str
    why: str = ""

    @property
    def says(self) -> str:
        """All of it in one sentence."""
        return self.why or f"{self.about}: here {self.ours}; on the other side {self.theirs}."


@dataclass(frozen=True, slots=True)
class Keep:
    """Whose word holds: of each question that was answered, and of all others; None there asks, and takes ours till it is answered. An
    answer is to the very words of both sides: where one of them says something else meanwhile, it is asked again."""

    answers: Mapping[Conflict, Side] = field(default_factory=dict)
    otherwise: Side | None = None

    def of(self, asked: Conflict) -> Side:
        """Whose word holds there."""
        return self.answers.get(asked, self.otherwise or "ours")

    def open(self, conflicts: Iterable[Conflict]) -> tuple[Conflict, ...]:
        """What is still to be asked."""
        return () if self.otherwise else tuple(conflict for conflict in conflicts if conflict not in self.answers)


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
