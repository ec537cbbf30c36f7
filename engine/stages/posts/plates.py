"""Posts on base plates, and the words for eyes where fences of several heights meet."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple, Protocol

from engine.calc.lengths import format_ft_in
from engine.calc.phrases import listed, plural
from engine.calc.remember import remembered_same
from engine.calc.units import FEET_INCHES, in_units
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.stages.layout.stage import Layout
from engine.stages.posts.heights import BayHeight

_finding = FindingOf("posts")

ANCHORS = 4
"""Bolts of a base plate: common practice, no source."""


class OnPlate(Protocol):
    """As much of a post's work as is told here."""

    @property
    def plate_on(self) -> str:
        """The hard ground its base plate stands on, empty where it has none."""
        ...


class EyesInWords(NamedTuple):
    """Heights of a support's eyes as they are said, and as ticks keep them: in feet and inches whatever the job is shown in."""

    said: str
    kept: str


def heights_in_words(hangs: tuple[BayHeight, ...]) -> EyesInWords:
    """Heights of a support's eyes, from the highest fence that meets there to the lowest."""
    if len(hangs) == 1:
        return _eyes(hangs[0])
    return EyesInWords(*(", and ".join(dict.fromkeys(words)) for words in zip(*map(_eyes, hangs), strict=True)))


@remembered_same
def _eyes(hang: BayHeight) -> EyesInWords:
    with in_units(FEET_INCHES):
        kept = _height(hang)
    return EyesInWords(_height(hang), kept)


def _height(hang: BayHeight) -> str:
    return f"{format_ft_in(hang.eyes.low_ft)} and {format_ft_in(hang.eyes.high_ft)} over {hang.deck or 'the ground'}"


def plate_findings(job: Job, layout: Layout, work: Mapping[str, OnPlate]) -> Iterator[Finding]:
    """One note for each hard stretch that posts stand on, and one for each where a corner, end, tee or gate post pulls at its plate.
    Source: common practice, no source: a base plate counts as holding like a wall; its bolts aren't worked out."""
    for surface, row in job.surfaces.items():
        posts = [name for name, post in work.items() if post.plate_on == surface]
        if not posts:
            continue
        stand = plural(len(posts), "stands on a base plate", "stand on base plates")
        says = f"{listed(posts)} {stand} on {surface}; the bolts aren't worked out."
        into = "framing under the boards" if row.kind == "deck" else f"sound {row.kind}, clear of its edges"
        yield _finding("on_base_plate", "note", (posts[0], surface, *posts[1:]), says, f"Bolt each with {ANCHORS} bolts into {into}.")
        pulled = [name for name in posts if layout.supports[name].kind != "line"]
        if pulled:
            says = f"{listed(pulled)} on {surface} {plural(len(pulled), 'takes', 'take')} the pull of a corner, end or gate on a plate."
            do = "Tie it back to the wall or the rail, or let a post in soil take the pull; a plate alone leans."
            yield _finding("plate_pulled", "fix", (pulled[0], surface, *pulled[1:]), says, do)
