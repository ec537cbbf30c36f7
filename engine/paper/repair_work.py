"""What a repair did, thing by thing: what is new, done anew or finished, and every item of it that was ticked as done since it began."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from engine.calc.frozen import dataclass
from engine.calc.phrases import counted, listed
from engine.calc.remember import remembered_of
from engine.checklist import ChecklistLine
from engine.findings import STAGES, StageName
from engine.job.errors import JobError
from engine.job.file.kept_text import kept_job
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry, live
from engine.job.model.signed_record import RepairOf
from engine.stages.standing_line import stands
from engine.walk import Walk

TITLE = "Done in this repair"
_CALLED: Mapping[StageName, tuple[str, str]] = {
    "posts": ("{}", "post"), "bracing": ("bracing of {}", "post"), "cables": ("cable of {}", "loop"),
    "fabric": ("wire and mesh of {}", "stretch"), "staking": ("apron of {}", "bay"), "gate": ("{}", "gate"),
}  # fmt: skip
"""What a client is told was put in or mended, stage by stage."""
_MORE = {"stretch": "stretches"}
_SAID = {"new": "put in", "done anew": "mended", "finished": "finished"}


@dataclass(frozen=True)
class Mended:
    """What was done of one thing in one stage. It is new where nothing of it stood before, and finished where what was done is all that the
    job before had left."""

    stage: StageName
    of: str
    says: Literal["new", "done anew", "finished"]
    lines: tuple[ChecklistLine, ...]


def mended(job: Job, walk: Walk) -> tuple[Mended, ...]:
    """What a repair did, in the order of the walk; nothing in a job that is none."""
    return tuple(_mended(job, walk)) if job.repair_of is not None else ()


def _mended(job: Job, walk: Walk) -> Iterator[Mended]:
    before = {_thing(key) for key in _opened(job)}
    for stage in STAGES:
        done: dict[str, list[ChecklistLine]] = {}
        for line in walk.checklists[stage].lines:
            if stands(line.tick, job.repair_of) or (line.was is not None and stands(line.was, job.repair_of)):
                before.add(_thing(line.item.key))
            elif line.tick is not None and line.tick.state == "done":
                done.setdefault(line.item.subject, []).append(line)
        yield from (Mended(stage, of, _says((stage, of) in before, lines, job.repair_of), tuple(lines)) for of, lines in done.items())


def _says(stood: bool, lines: Iterable[ChecklistLine], before: RepairOf | None) -> Literal["new", "done anew", "finished"]:
    if not stood:
        return "new"
    done = _done_before(before) if before is not None else None
    return "done anew" if done is None or any(line.item.key in done for line in lines) else "finished"


@remembered_of
def _done_before(before: RepairOf) -> frozenset[ItemKey] | None:
    """Items that the job before had done; None where its lines can't be read any more."""
    try:
        checks = kept_job(before).job.checks
    except JobError:
        return None
    return frozenset(key for key, tick in checks.items() if tick.state == "done")


def _thing(key: ItemKey) -> tuple[str, str]:
    return key.stage, key.about


def _opened(job: Job) -> Iterator[ItemKey]:
    """Items that stood when the repair began, and were opened or ticked anew since."""
    for entry in live(job.log):
        if isinstance(entry, SupersededEntry) and entry.state == "done" and stands(entry.tick, job.repair_of):
            yield entry.item


def mended_words(job: Job, walk: Walk) -> str:
    """The same for a client, counted, in one sentence; empty where nothing was put in or mended."""
    did = [one for one in mended(job, walk) if one.stage in _CALLED and one.of != "job"]
    groups = [(said, [one for one in did if one.says == word]) for word, said in _SAID.items()]
    says = [f"{listed(_counted(of))} {said}" for said, of in groups if of]
    return f"In this repair: {'; '.join(says)}." if says else ""


def _counted(did: Sequence[Mended]) -> list[str]:
    stages = dict.fromkeys(one.stage for one in did)
    return [
        _CALLED[stage][0].format(counted(sum(one.stage == stage for one in did), (noun := _CALLED[stage][1]), _MORE.get(noun, "")))
        for stage in stages
    ]
