"""Punch list: ways out on top, then what is left, the worst first; last the closing walk."""

from collections.abc import Iterable, Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.findings import TITLES, Finding
from engine.sheets.sheet import Asked, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.punch.closing_list import PunchLine, closing_lines, jump_to
from engine.stages.punch.ways_out import WayOut
from engine.walk import Walk

WAY_COLUMNS = (
    Column("way out", long=True),
    Column("how big", right=True),
    Column("what closes it", 1, long=True),
    Column("on the truck?", 2, long=True),
    Column("place, with two tapes", 4, long=True),
    Column("smallest dog", 3, right=True),
)
LEFT_COLUMNS = (Column("where"), Column("what is left", long=True), Column("what to do", 1, long=True))


def punch_sheet(walk: Walk) -> Sheet:
    """Every way out and what closes it; everything that is out of rule or undone, with where it is settled; what the closing walk asks."""
    asked, worst = Asked(walk.checklists["punch"]), worst_by_subject(walk.stage_findings["punch"])
    ways = tuple(
        Row(
            way.subject,
            tuple(figures(way.where, format_ft_in(way.opening_in / 12), way.closes_with, way.on_truck, way.place, _dog(way))),
            worst.get(way.subject),
            jump_to(way),
        )
        for way in walk.punch.ways_out
    )
    parts = (filled(SheetPart(WAY_COLUMNS, ways)), filled(SheetPart(LEFT_COLUMNS, tuple(_left(walk)))))
    return sheet("punch", (*parts, left_over(asked, "punch", "closing walk", {})))


def _dog(way: WayOut) -> str:
    """The smallest dog that gets through."""
    if way.dog_in is None or way.kind == "over":
        return ""
    return "digs" if way.digs else f"about {format_in(way.dog_in, 2)}"


def _left(walk: Walk) -> Iterator[Row]:
    """A row a finding, a thing of a stage with open items, a row of the stock, and a support that stands otherwise than planned."""
    found: dict[object, Finding] = {finding.key: finding for of_stage in walk.stage_findings.values() for finding in of_stage}
    lines = [line for line in closing_lines(walk.punch, walk.stage_findings, walk.checklists) if line.group != "closing walk"]
    for group in _things(lines):
        line, more = group[0], len(group) - 1
        says = f"{_says(walk, line)}, and {more} more" if more else _says(walk, line)
        where = TITLES[line.jump.stage] if line.jump else "materials"
        subject = line.jump.subject if line.jump else ""
        yield Row(subject, tuple(figures(where, says, line.do)), found.get(line.key.of) if line.level else None, line.jump)


def _things(lines: Iterable[PunchLine]) -> list[list[PunchLine]]:
    """Open items of one thing in one stage together, and things in a row of which one and the same is asked; all else by itself, and what
    was left open before a repair by its reason."""
    of: dict[object, list[PunchLine]] = {}
    for line in lines:
        thing = (line.jump.stage, line.jump.subject, line.do) if line.group == "unfinished" and line.jump else line.key
        of.setdefault(thing, []).append(line)
    rows: list[list[PunchLine]] = []
    before = None
    for group in of.values():
        asked = _asked(group[0]) if len(group) == 1 else None
        if asked is not None and asked == before:
            rows[-1] += group
        else:
            rows.append(group)
        before = asked
    return rows


def _asked(line: PunchLine) -> tuple[str, str, str] | None:
    """Of an open item its stage, what is asked, and why it was left before."""
    item = line.jump.item if line.jump and line.group == "unfinished" else None
    return (item.stage, item.what, line.do) if item else None


def _says(walk: Walk, line: PunchLine) -> str:
    """An open item without its stage, which stands before it."""
    item = line.jump.item if line.jump and line.group == "unfinished" else None
    return walk.checklists[line.jump.stage].by_key[item].item.says if line.jump and item else line.says
