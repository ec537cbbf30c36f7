"""How far each part of the fence is, as a client is told of it: what isn't there is never said as if it were."""

from typing import NamedTuple

from engine.calc.phrases import plural
from engine.checklist import ChecklistLine
from engine.findings import StageName
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.signed_record import Record
from engine.paper.as_built import asked_when_signed
from engine.paper.built_tables import stands
from engine.stages.punch.openings import HOUSE_CLOSED
from engine.walk import Walk


class SoFar(NamedTuple):
    """How many of a kind are done, out of how many."""

    done: int
    total: int

    @property
    def whole(self) -> bool:
        """Whether all of it is done."""
        return self.done == self.total

    def standing(self, one: str) -> str:
        """Of posts and braces: `3 of these posts stand so far`; empty where all do."""
        if self.whole:
            return ""
        stand = plural(self.done, "stands", "stand")
        return f"{self.done} of these {one}s {stand} so far" if self.done else f"none of these {one}s stands yet"

    def strung(self, is_so: str, is_to_be: str, does: str, none: str) -> str:
        """Of what runs along the line: that it is so, or that it is to be and how far it is."""
        if self.total and self.whole:
            return f"{is_so}."
        return f"{is_to_be}; {f'{does} in {self.done} of {self.total} stretches so far' if self.done else none}."


class FenceSoFar(NamedTuple):
    """How far the parts of a fence are; `apron` is whether it lies staked everywhere, `at_walls` whether it is closed against them."""

    posts: SoFar
    braces: SoFar
    cables: SoFar
    wire: SoFar
    mesh: SoFar
    gates: SoFar
    apron: bool
    at_walls: bool

    @property
    def closes(self) -> bool:
        """Whether a yard is closed by it."""
        parts = (self.posts, self.cables, self.wire, self.mesh, self.gates)
        return all(part.whole for part in parts) and self.apron and self.at_walls


def fence_so_far(job: Job, walk: Walk, record: Record) -> FenceSoFar:
    """By what is ticked, and of a signed job by what wasn't open then."""
    posts = [stands(walk, name, built) for name, built in record.supports.items() if built.support == "driven"]

    def ticked(stage: StageName, *what: str) -> SoFar:
        asked = [line for line in walk.checklists[stage].lines if line.item.key.what in what]
        return SoFar(sum(_done(job, line) for line in asked), len(asked))

    def settled(stage: StageName, *what: str) -> bool:
        return all(line.settled or _done(job, line) for line in walk.checklists[stage].lines if line.item.key.what in what)

    return FenceSoFar(
        posts=SoFar(sum(posts), len(posts)),
        braces=ticked("bracing", "band_a", "band_b"),
        cables=ticked("cables", "closed"),
        wire=ticked("fabric", "wire_hung"),
        mesh=ticked("fabric", "mesh_hung"),
        gates=ticked("gate", "hung"),
        apron=settled("fabric", "apron_turned") and settled("staking", "flush", "fastened", "tight"),
        at_walls=settled("punch", HOUSE_CLOSED.what),
    )


def gate_hangs(job: Job, walk: Walk, name: str) -> bool:
    """Whether a gate that is asked for hangs."""
    line = walk.checklists["gate"].by_key.get(ItemKey("gate", name, "hung"))
    return line is None or _done(job, line)


def _done(job: Job, line: ChecklistLine) -> bool:
    return line.state == "done" or not asked_when_signed(job, line)
