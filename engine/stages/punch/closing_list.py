"""The closing list, line by line: what is out of range, found, unfinished, to walk, short and built otherwise, each with its place."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, figure, first_few, listed, measured, plural
from engine.checklist import Checklist, ChecklistLine
from engine.findings import LEVELS, STAGES, TITLES, Finding, FindingKey, Level, StageName
from engine.job.model.checks import CLOSES_YARD
from engine.job.model.item_key import ItemKey
from engine.stages.punch.stage import Punch
from engine.stages.punch.way_key import WayKey
from engine.stages.punch.ways_out import WayOut
from engine.stages.takeoff import Takeoff

Findings = Mapping[StageName, tuple[Finding, ...]]
Checklists = Mapping[StageName, Checklist]
UNTICKED = FindingKey("punch_unfinished", ("job",))
"""The key of the reason for all unticked items together."""
NOT_CLOSED = FindingKey("yard_not_closed", ("job",))
"""The key of the reason for all of them that leave the yard open."""
_CALLED = {"closed": "cable of", "wire_hung": "wire of", "mesh_hung": "mesh of", "hung": "gate"}
"""What closes the yard, by what is asked of it."""
Group = Literal["stop", "fix", "closing walk", "unfinished", "left before", "materials", "plan and built"]


class Jump(NamedTuple):
    """Where a line leads: a stage, the thing to choose there, and the item or the finding to put the cursor on."""

    stage: StageName
    subject: str
    item: ItemKey | None = None
    finding: FindingKey | None = None


class LineKey(NamedTuple):
    """What a line is about: a finding, an item, the stock or a support that stands otherwise than planned."""

    about: Literal["finding", "item", "stock", "change"]
    of: FindingKey | ItemKey | str

    def __str__(self) -> str:
        return f"{self.about}:{self.of}"


class PunchLine(NamedTuple):
    """One line: its group, its level where it is a finding, what it says, what to do, and where it leads (None: the materials)."""

    key: LineKey
    group: Group
    level: Level | None
    says: str
    do: str
    jump: Jump | None


def closing_lines(punch: Punch, found: Findings, checklists: Checklists) -> tuple[PunchLine, ...]:
    """Everything that is left at the end, worst first, each with the place it leads to. Findings and readings out of range by level, then
    the closing walk, unfinished items by stage, in a repair what is as it was left, materials used against planned, and supports that stand
    otherwise than planned."""
    left = (*_unfinished(checklists), *_left_before(found))
    return (*_found(found), *_to_walk(checklists), *left, *_materials(punch.takeoff), *_changed(punch))


def _found(found: Findings) -> Iterator[PunchLine]:
    for level in LEVELS[:2]:
        for stage in STAGES:
            for finding in found[stage]:
                if finding.level == level and finding.stage != "punch":
                    group: Group = "stop" if level == "stop" else "fix"
                    yield PunchLine(LineKey("finding", finding.key), group, level, finding.says, finding.do, _to_finding(finding))


def _to_finding(finding: Finding) -> Jump:
    """A reading out of range leads to its item, any other finding to itself."""
    return Jump(finding.stage, finding.subject, item=finding.item, finding=None if finding.item else finding.key)


def _open(checklist: Checklist, stage: StageName, group: Group, told: str = "") -> Iterator[PunchLine]:
    for line in (line for line in checklist.lines if line.tick is None):
        key, says = line.item.key, f"{told}{line.item.says}"
        yield PunchLine(LineKey("item", key), group, None, says, line.why_left, Jump(stage, line.item.subject, item=key))


def _to_walk(checklists: Checklists) -> Iterator[PunchLine]:
    yield from _open(checklists["punch"], "punch", "closing walk")


def _unfinished(checklists: Checklists) -> Iterator[PunchLine]:
    for stage in STAGES[:-1]:
        yield from _open(checklists[stage], stage, "unfinished", f"{TITLES[stage]}: ")


def _left_before(found: Findings) -> Iterator[PunchLine]:
    """Findings that are as they were left before a repair, each told with the reason."""
    for finding in (finding for stage in STAGES for finding in found[stage] if finding.left):
        yield PunchLine(LineKey("finding", finding.key), "left before", finding.level, finding.says, finding.do, _to_finding(finding))


def _materials(takeoff: Takeoff) -> Iterator[PunchLine]:
    for row in takeoff.rows:
        if row.left is not None and row.left < 0:
            used, came = measured(row.used, row.unit), figure(row.came or 0, row.unit)
            says = f"{row.name}: {used} used, and only {came} came in by the log and the count."
            yield PunchLine(
                LineKey("stock", row.stock), "materials", None, says, "Log what else came in, or correct what was counted.", None
            )
        elif row.short:
            says = f"{row.name}: {row.short} short of {row.packs}."
            yield PunchLine(LineKey("stock", row.stock), "materials", None, says, "Log it when it comes in.", None)
        elif row.used > row.needed + row.spare + 0.5 and figure(row.used, row.unit) != figure(row.needed, row.unit):
            says = f"{row.name}: {measured(row.used, row.unit)} used, {figure(row.needed, row.unit)} planned."
            yield PunchLine(LineKey("stock", row.stock), "materials", None, says, "", None)


def _changed(punch: Punch) -> Iterator[PunchLine]:
    for change in punch.changes:
        by = f" {format_ft_in(change.moved_ft)}" if change.moved_ft else ""
        says = f"{change.support} {change.what}{by}: the record says so."
        yield PunchLine(LineKey("change", change.support), "plan and built", None, says, "", Jump("layout", change.support))


def yard_open(checklists: Checklists) -> tuple[ChecklistLine, ...]:
    """What closes the yard and isn't done."""
    undone = (line for one in checklists.values() for line in one.lines if line.tick is None)
    return tuple(line for line in undone if (line.item.key.stage, line.item.key.what) in CLOSES_YARD)


def unticked(checklists: Checklists) -> frozenset[ItemKey]:
    """Every item that is neither done nor marked as not needed."""
    return frozenset(line.item.key for one in checklists.values() for line in one.lines if line.tick is None)


def jump_to(way: WayOut) -> Jump:
    """Where a way out is mended: its stage and the thing to choose there."""
    stages: dict[str, StageName] = {"under": "fabric", "gate": "gate", "yard": "survey", "round": "layout", "over": "layout"}
    return Jump(stages[way.kind], way.subject)


@dataclass(frozen=True)
class YardCount:
    """The ways out of one yard: the smallest gap (in) that one of its dogs gets through, how many there are, and the largest, in."""

    yard: str
    dog_in: float | None
    count: int
    largest_in: float


def yard_counts(ways_out: Sequence[WayOut], yards: Iterable[str]) -> tuple[YardCount, ...]:
    """Ways out yard by yard; a place on two yards' edge counts for both, one on none for no yard."""
    found = []
    for name in yards:
        ways = [way for way in ways_out if name in way.yards]
        dogs = [way.dog_in for way in ways if way.dog_in is not None]
        found.append(YardCount(name, min(dogs, default=None), len(ways), max((way.opening_in for way in ways), default=0.0)))
    return tuple(found)


@dataclass(frozen=True)
class LeftOpen:
    """Something that a sign-off wants a reason for: its key, whose text stands in the record, its words, and the reason that was given
    before a repair, where that is for all of it."""

    key: FindingKey | WayKey
    level: Level
    says: str
    do: str
    why_left: str = ""


def left_open(punch: Punch, found: Findings, checklists: Checklists) -> tuple[LeftOpen, ...]:
    """What a sign-off wants a reason for: ways out first, then a yard that isn't closed, open findings, the worst first, and all unticked
    items together. A way out that a finding tells already is asked for once."""
    every = [finding for of_stage in found.values() for finding in of_stage]
    findings = [finding for finding in every if finding.level != "note" and finding.stage != "punch"]
    told = {subject for finding in findings if finding.level == "stop" for subject in finding.subjects}
    ways = [
        LeftOpen(way.key, "stop", f"A way out: {way.where}. {way.place}", f"Close it with {way.closes_with} ({way.on_truck}).")
        for way in punch.ways_out
        if way.subject not in told
    ]
    asked = [LeftOpen(finding.key, finding.level, finding.says, finding.do) for finding in findings]
    by_level = sorted(asked, key=lambda left: LEVELS.index(left.level))
    return (*ways, *_not_closed(yard_open(checklists)), *by_level, *_unticked(checklists))


def _not_closed(undone: Sequence[ChecklistLine]) -> Iterator[LeftOpen]:
    """What is not hung or not closed is a way out as long as it is, all of it together."""
    of: dict[str, list[str]] = {}
    for line in undone:
        of.setdefault(line.item.key.what, []).append(line.item.subject)
    if parts := [f"{called} {first_few(of[what])}" for what, called in _CALLED.items() if what in of]:
        says = f"The yard is open: {listed(parts)} {plural(len(undone), 'is', 'are')}n't up."
        yield LeftOpen(NOT_CLOSED, "stop", says, "Hang and close it before a dog is let in.", _why_left(undone))


def _unticked(checklists: Checklists) -> Iterator[LeftOpen]:
    """All unticked items together, with how many of them were left open before a repair."""
    lines = [line for checklist in checklists.values() for line in checklist.lines if line.tick is None]
    if not lines:
        return
    count, left = len(lines), sum(line.left is not None for line in lines)
    says = f"{counted(count, 'item')} {plural(count, 'is', 'are')} not ticked; the record will show {plural(count, 'it', 'them')} open."
    says += f" {left} of {count} {plural(left, 'was', 'were')} left open before this repair." if left else ""
    yield LeftOpen(UNTICKED, "fix", says, "Tick what is done, or say why it stays open.", _why_left(lines))


def _why_left(lines: Iterable[ChecklistLine]) -> str:
    """The reason that was given before a repair, where it is one for all."""
    reasons = {line.left.note if line.left is not None else "" for line in lines}
    return reasons.pop() if len(reasons) == 1 else ""
