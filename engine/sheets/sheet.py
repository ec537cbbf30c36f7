"""A sheet: a stage as a crew's paper has it, a row a thing and a column a check. Screen and page only paint it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.checklist import Checklist, ChecklistLine
from engine.findings import LEVELS, Finding, Level, StageName
from engine.job.model.item_key import ItemKey
from engine.stages.punch.closing_list import Jump

OPEN, DONE, NOT_NEEDED, OUT_OF_RANGE = "·", "✓", "–", "!"


class Column(NamedTuple):
    """A column by its head. `drops` says how soon it gives way where the room is short: 0 never, of the others the highest first. What is
    never dropped is a row's name, ticks and readings. `long` are words that may be shown in part, for the strip says the whole."""

    head: str
    drops: int = 0
    right: bool = False
    long: bool = False


class Cell(NamedTuple):
    """A cell: what is asked there with its answer, or a figure, or nothing (what can't be asked of a row is blank)."""

    line: ChecklistLine | None = None
    figure: str = ""

    @property
    def words(self) -> str:
        """What stands in it: open, done, not needed, the reading, one out of range, or in brackets what it was before it changed."""
        return self.figure if self.line is None else answer_words(self.line)


BLANK = Cell()


def figures(*words: str) -> Iterator[Cell]:
    """Cells that nobody answers, one after the other."""
    return (Cell(figure=word) for word in words)


class Row(NamedTuple):
    """A row about one thing, its name first; the worst finding of it, and where Enter leads from it."""

    subject: str
    cells: tuple[Cell, ...]
    finding: Finding | None = None
    jump: Jump | None = None

    @property
    def name(self) -> str:
        """What stands in its first cell."""
        return self.cells[0].words


@dataclass(frozen=True)
class SheetPart:
    """Rows under the same heads."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Sheet:
    """A stage's parts, those with rows, one below the other."""

    stage: StageName
    parts: tuple[SheetPart, ...]

    def rows(self) -> Iterator[Row]:
        """Every row, in order."""
        return (row for part in self.parts for row in part.rows)


def answer_words(line: ChecklistLine) -> str:
    """How an item is answered, in the fewest signs."""
    tick, was, unit = line.tick, line.was, line.item.reading
    if tick is None:
        if was is None:
            return OPEN
        if unit is not None and was.reading is not None:
            return f"({unit.words(was.reading)})"
        return f"({DONE if was.state == 'done' else NOT_NEEDED})"
    if tick.state != "done":
        return NOT_NEEDED
    if unit is None or tick.reading is None:
        return DONE
    return f"{unit.words(tick.reading)}{'' if line.passes else f' {OUT_OF_RANGE}'}"


class Asked:
    """A stage's items by what they are about, handed out to cells; what no column took is left over."""

    def __init__(self, *checklists: Checklist) -> None:
        self._lines = {line.item.key: line for checklist in checklists for line in checklist.lines}
        self._taken: set[ItemKey] = set()

    def cell(self, stage: StageName, subject: str, what: str) -> Cell:
        """The cell of an item; blank where it isn't asked."""
        return self.at(ItemKey(stage, subject, what))

    def at(self, key: ItemKey) -> Cell:
        """The same by its key."""
        line = self._lines.get(key)
        if line is None:
            return BLANK
        self._taken.add(key)
        return Cell(line)

    def left(self, stage: StageName) -> tuple[ChecklistLine, ...]:
        """Items of the stage that no cell holds yet, in order."""
        return tuple(line for key, line in self._lines.items() if key.stage == stage and key not in self._taken)


def left_over(asked: Asked, stage: StageName, head: str, worst: Mapping[str, Finding], ticked: str = "done") -> SheetPart:
    """Items that are asked of no row: a line each, in words."""
    lines = asked.left(stage)
    rows = tuple(Row(line.item.subject, (Cell(figure=line.item.says), Cell(line)), worst.get(line.item.subject)) for line in lines)
    return SheetPart((Column(head, long=True), Column(ticked)), rows)


def filled(part: SheetPart) -> SheetPart:
    """A part without the columns that are blank in every row: nothing is asked there, and nothing told."""
    kept = [at for at in range(len(part.columns)) if at == 0 or any(row.cells[at] != BLANK for row in part.rows)]
    if len(kept) == len(part.columns):
        return part
    rows = (row._replace(cells=tuple(row.cells[at] for at in kept)) for row in part.rows)
    return SheetPart(tuple(part.columns[at] for at in kept), tuple(rows))


def sheet(stage: StageName, parts: Iterable[SheetPart]) -> Sheet:
    """A sheet of the parts that have rows."""
    return Sheet(stage, tuple(part for part in parts if part.rows))


def worst_by_subject(findings: Iterable[Finding]) -> Mapping[str, Finding]:
    """The worst finding of every thing that one is about; of several alike the first."""
    found: dict[str, Finding] = {}
    for finding in sorted(findings, key=lambda one: LEVELS.index(one.level)):
        for subject in finding.subjects:
            found.setdefault(subject, finding)
    return found


def level_of(row: Row) -> Level | None:
    """How bad the worst finding of a row is."""
    return None if row.finding is None else row.finding.level
