"""One pane a stage, under the same nine names as the engine: a purpose in one sentence, and its tables."""

from collections.abc import Iterator

from engine.calc.frozen import dataclass
from engine.findings import STAGES, FindingKey, StageName
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.words.log_sentences import sentence
from engine.walk import Walk
from tui.stages import bracing, cables, fabric, gate, layout, posts, punch, staking, survey
from tui.widgets.figures import Figures

_MODULES = dict(zip(STAGES, (survey, layout, posts, bracing, cables, fabric, staking, gate, punch), strict=True))
PURPOSES: dict[StageName, str] = {name: module.PURPOSE for name, module in _MODULES.items()}


def figures(stage: StageName, job: Job, walk: Walk) -> tuple[Figures, ...]:
    """The tables of a stage, those with something in them."""
    return tuple(found for found in _MODULES[stage].figures(job, walk) if found.rows or found.note)


@dataclass(frozen=True)
class Hit:
    """One thing found: its stage, the thing to choose, the item to go to, and words that say what it is; or an entry of the log."""

    stage: StageName
    subject: str
    key: ItemKey | None
    words: str
    finding: FindingKey | None = None
    entry: str = ""


def find(job: Job, walk: Walk, words: str) -> list[Hit]:
    """Everything whose id or text holds these words, first what is called so; at most two hundred."""
    wanted = words.strip().casefold()
    hits = [hit for hit in _all(job, walk) if wanted in f"{hit.subject} {hit.words}".casefold()]
    return sorted(hits, key=lambda hit: hit.subject.casefold() != wanted)[:200]


def _all(job: Job, walk: Walk) -> Iterator[Hit]:
    yield from (Hit("layout", name, None, f"{name}, {support.kind} support") for name, support in walk.layout.supports.items())
    for name, bay in walk.layout.bays.items():
        yield Hit("layout", bay.gate or name, None, f"{name}, opening of gate {bay.gate}" if bay.gate else f"{name}, bay")
    yield from (Hit("cables", name, None, f"{name}, cable loop") for name in walk.cables.loops)
    yield from (Hit("gate", name, None, f"{name}, gate") for name in walk.gate.gates)
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            yield Hit(stage, line.item.subject, line.item.key, line.item.says)
        for finding in walk.stage_findings[stage]:
            yield Hit(stage, finding.subject, None, finding.says, finding.key)
    yield from (Hit("punch", "", None, f"log: {sentence(entry)}", entry=entry.id) for entry in job.log)
