"""One pane a stage, under the same nine names as the engine: a purpose in one sentence, and its tables."""

from collections import defaultdict
from collections.abc import Iterator

from engine.calc.frozen import dataclass
from engine.findings import STAGES, FindingKey, StageName
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.words.log_sentences import sentence
from engine.sheets.stage_sheets import sheet_of
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
    cells: tuple[tuple[str, str], ...] = ()
    """The name of its row and the head of its column, as sheets show them."""

    def said(self, wanted: str) -> bool:
        """Whether its id or text holds these words, or they begin words of its row and column."""
        if wanted in f"{self.subject} {self.words}".casefold():
            return True
        cells = [" ".join(cell).casefold().split() for cell in self.cells]
        return any(all(any(there.startswith(word) for there in cell) for word in wanted.split()) for cell in cells)

    def called(self, wanted: str) -> bool:
        """Whether it is called just so."""
        return wanted in (self.subject.casefold(), *(" ".join(cell).casefold() for cell in self.cells))


def find(job: Job, walk: Walk, words: str) -> list[Hit]:
    """Everything whose id or text holds these words, or that stands in the cell of that row and column; first what is called so; at most
    two hundred."""
    wanted = " ".join(words.split()).casefold()
    hits = [hit for hit in _all(job, walk) if hit.said(wanted)]
    return sorted(hits, key=lambda hit: not hit.called(wanted))[:200]


def _cells(job: Job, walk: Walk) -> dict[ItemKey, tuple[tuple[str, str], ...]]:
    """Of each item the rows and columns of the sheets by their words."""
    found = defaultdict[ItemKey, list[tuple[str, str]]](list)
    for part in (part for stage in STAGES for part in sheet_of(stage, job, walk).parts):
        for row in part.rows:
            for column, cell in zip(part.columns, row.cells, strict=True):
                if cell.line is not None:
                    found[cell.line.item.key].append((row.name, column.head))
    return {key: tuple(cells) for key, cells in found.items()}


def _all(job: Job, walk: Walk) -> Iterator[Hit]:
    cells = _cells(job, walk)
    yield from (Hit("layout", name, None, f"{name}, {support.kind} support") for name, support in walk.layout.supports.items())
    for name, bay in walk.layout.bays.items():
        yield Hit("layout", bay.gate or name, None, f"{name}, opening of gate {bay.gate}" if bay.gate else f"{name}, bay")
    yield from (Hit("cables", name, None, f"{name}, cable loop") for name in walk.cables.loops)
    yield from (Hit("gate", name, None, f"{name}, gate") for name in walk.gate.gates)
    for stage in STAGES:
        for line in walk.checklists[stage].lines:
            yield Hit(stage, line.item.subject, line.item.key, line.item.says, cells=cells.get(line.item.key, ()))
        for finding in walk.stage_findings[stage]:
            yield Hit(stage, finding.subject, None, finding.says, finding.key)
    yield from (Hit("punch", "", None, f"log: {sentence(entry)}", entry=entry.id) for entry in job.log)
