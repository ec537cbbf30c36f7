"""The set-out sheet: where the tapes start, every support along its line with its ties, strings and diagonals, and plans to scale."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.drawing.shapes import Drawing
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.drawings.drawing_sheet import PlanSheet, sheet_of, sheet_round
from engine.paper.known_places import known_places
from engine.stages.layout.set_out import aside_words
from engine.stages.layout.stage import Layout
from engine.walk import Walk

MOST_FT_PER_IN, LEAST_FT_PER_IN = 30.0, 20.0
"""A site that would be drawn smaller than the first is drawn in parts too, none of them larger than the second: names and lengths of bays
have room there."""
TAPES = "Two tapes meet at the post; the third is a check."
ALONG = "Stations are level along the line from its start, bays along the slope from post to post."


class PlanPart(NamedTuple):
    """One plan: what is on it, and the sheet it is drawn on."""

    says: str
    sheet: PlanSheet


def set_out_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Known places first, then a table a line, strings, and diagonals; those without rows are left out."""
    tables = (_known(job, walk), *(_line(walk.layout, line) for line in walk.layout.lines), _strings(walk.layout), _diagonals(walk.layout))
    return tuple(table for table in tables if table.rows)


def _known(job: Job, walk: Walk) -> Table:
    rows = tuple(
        (place.name, place.what, ", ".join(f"{format_ft_in(length_ft)} to {name}" for name, length_ft in place.others))
        for place in known_places(job, walk, checks=True)
    )
    return Table("Where the tapes start", ("place", "what it is", "tapes between them, to tell it by"), rows)


def _line(layout: Layout, line: str) -> Table:
    """Every support in order along the line, also one of another line; where it closes, its last bay leads to the first."""
    off_string = {name: off_ft for string in layout.strings for name, _, off_ft in string.along}
    bays = [layout.bays[name] for name in layout.lines[line].bays]
    begins, stations_ft = {bay.from_id: bay for bay in bays}, {bay.to_id: bay.end_ft for bay in bays}
    rows = []
    for name in layout.lines[line].supports:
        support, tie, bay = layout.supports[name], layout.ties.get(name), begins.get(name)
        station_ft = support.station_ft if support.line == line else bay.start_ft if bay else stations_ft.get(name, support.station_ft)
        what = ", ".join(filter(None, (support.kind, support.at, f"of {support.line}" if support.line != line else "")))
        tapes = ("", "", "") if tie is None else (*tie.words, f"{format_ft_in(tie.check[1])} from {tie.check[0]}" if tie.check else "")
        off = aside_words(off_string.get(name, support.offset_ft))
        onward = f"{format_ft_in(bay.slope_ft)} to {bay.to_id}{f', gate {bay.gate}' if bay.gate else ''}" if bay else ""
        rows.append((name, what, format_ft_in(station_ft), off, *tapes, onward))
    columns = ("post", "kind", "station", "off string", "tape", "and tape", "check tape", "bay to the next")
    return Table(f"Line {line}", columns, tuple(rows))


def _strings(layout: Layout) -> Table:
    rows = tuple(
        (
            string.line, f"{string.from_id} to {string.to_id}", format_ft_in(string.length_ft),
            ", ".join(f"{name} {format_ft_in(along_ft)}" for name, along_ft, _ in string.along),
        )
        for string in layout.strings
    )  # fmt: skip
    return Table("Strings", ("line", "string", "length", "on it, level from its start"), rows)


def _diagonals(layout: Layout) -> Table:
    rows = tuple((f"{before} to {after}", format_ft_in(across_ft)) for before, after, across_ft in layout.diagonals)
    return Table("Diagonals across corners", ("from", "level tape"), rows)


def plan_parts(drawing: Drawing, layout: Layout) -> tuple[PlanPart, ...]:
    """The whole site, and where it is drawn too small to set out by, every line, in as many parts as that takes."""
    whole = sheet_of(drawing)
    if whole.ft_per_in <= MOST_FT_PER_IN:
        return (PlanPart("The site", whole),)
    return (PlanPart("The site", whole), *(part for line in layout.lines for part in _parts(layout, line)))


def _parts(layout: Layout, line: str) -> Iterator[PlanPart]:
    """As many supports in a row as a sheet holds; each part begins with the last support of the one before."""
    bays = [layout.bays[name] for name in layout.lines[line].bays]
    row = [*(bay.from_id for bay in bays[:1]), *(bay.to_id for bay in bays)]
    first = 0
    while first < len(row) - 1:
        last = first + 1
        while last + 1 < len(row) and _fits(_places(layout, row[first : last + 2])):
            last += 1
        sheet = sheet_round(_places(layout, row[first : last + 1]), LEAST_FT_PER_IN)
        yield PlanPart(f"Line {line}, {row[first]} to {row[last]}", sheet)
        first = last


def _places(layout: Layout, supports: Sequence[str]) -> list[Point]:
    return [layout.supports[name].xy for name in supports]


def _fits(places: Sequence[Point]) -> bool:
    return sheet_round(places).ft_per_in <= MOST_FT_PER_IN
