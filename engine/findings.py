"""A finding: something in a job that stops it, wants a fix, or is worth a note, with the numbers and what to do."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

from engine.calc.phrases import others
from engine.job.model.item_key import ItemKey

Level = Literal["stop", "fix", "note"]
StageName = Literal["survey", "layout", "posts", "bracing", "cables", "fabric", "staking", "gate", "punch"]

STAGES: tuple[StageName, ...] = ("survey", "layout", "posts", "bracing", "cables", "fabric", "staking", "gate", "punch")
TITLES: dict[StageName, str] = {
    "survey": "survey",
    "layout": "layout",
    "posts": "sleeves and posts",
    "bracing": "bracing",
    "cables": "cable loops",
    "fabric": "wire and mesh",
    "staking": "staking",
    "gate": "gate",
    "punch": "punch list",
}
LEVELS: tuple[Level, ...] = ("stop", "fix", "note")
UNPRINTED = {"printed": False}
"""Marks a field of a result that code reads and nobody is shown: the plan as JSON leaves it out."""


class FindingKey(NamedTuple):
    """What a finding goes by: its code and what it is about. Its text stands beside the reason why it was left open."""

    code: str
    subjects: tuple[str, ...]

    def __str__(self) -> str:
        return ":".join((self.code, *self.subjects))

    @property
    def subject(self) -> str:
        """What a screen chooses with it; empty where it is about nothing."""
        return next(iter(self.subjects), "")


def finding_key(text: str) -> FindingKey:
    """The key that a text in a record stands for; of a way out the code says only that it is one."""
    code, *subjects = text.split(":")
    return FindingKey(code, tuple(subjects))


@dataclass(frozen=True)
class Finding:
    """One finding. `says` is one sentence with the numbers; `do` is one sentence with what to do. `stop`: don't go on before it is settled
    (nobody may drive, or a dog can get out). `fix`: out of rule. `note`: worth knowing. `each` is what it says of each of many things,
    `left` whether it was found and left so before a repair, and is a note now."""

    code: str
    level: Level
    stage: StageName
    subjects: tuple[str, ...]
    says: str
    do: str
    item: ItemKey | None = field(default=None, metadata=UNPRINTED)
    each: tuple[tuple[str, str], ...] = field(default=(), metadata=UNPRINTED)
    left: bool = field(default=False, metadata=UNPRINTED)

    def says_of(self, subject: str) -> str:
        """What it says of one of the things that it is about."""
        return next((says for name, says in self.each if name == subject), self.says)

    def about(self, names: Collection[str]) -> "Finding":
        """The same about some of its things only, in its words for the first of them."""
        subjects = tuple(name for name in self.subjects if name in names)
        each = tuple(one for one in self.each if one[0] in names)
        return replace(self, subjects=subjects, says=self.says_of(subjects[0]), each=each)

    @property
    def key(self) -> FindingKey:
        """What it goes by."""
        return FindingKey(self.code, self.subjects)

    @property
    def subject(self) -> str:
        """What a screen chooses with it; empty where it is about nothing."""
        return self.key.subject


@dataclass(frozen=True)
class FindingOf:
    """Makes the findings of one stage."""

    stage: StageName

    def __call__(self, code: str, level: Level, subjects: Iterable[str], says: str, do: str) -> Finding:
        return Finding(code, level, self.stage, tuple(subjects), says, do)

    def of_many(self, code: str, level: Level, said: Mapping[str, str], too: str, do: str, guidance: str = "") -> Finding:
        """One finding about many things, `said` of each in a sentence without its end: the first, the worst, is told, the rest counted."""
        first, *rest = said.values()
        each = tuple((name, f"{one}{guidance}.") for name, one in said.items())
        return Finding(code, level, self.stage, tuple(said), f"{first}{others(len(rest), too)}{guidance}.", do, each=each)


def worst(findings: tuple[Finding, ...]) -> Level | None:
    """Worst level among findings, or None."""
    present = {finding.level for finding in findings}
    return next((level for level in LEVELS if level in present), None)
