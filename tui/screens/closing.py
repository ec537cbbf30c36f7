"""The two lists of the punch stage: ways out, and everything left; Enter on a row goes to its place.

Signs and bold carry the meaning: a row under the cursor has a ground of its own, on which no other colour reads well.
"""

from textual.content import Content

from engine.calc.lengths import format_in
from engine.stages.punch.closing_list import Group, LineKey, PunchLine
from engine.stages.punch.way_key import WayKey
from engine.stages.punch.ways_out import WayOut
from engine.walk import Walk
from tui.base.theme import SIGNS
from tui.widgets.rows import Row

HEADS: dict[Group, str] = {
    "stop": f"{SIGNS['stop']} Stop",
    "fix": f"{SIGNS['fix']} Fix",
    "closing walk": "[ ] Closing walk",
    "unfinished": "[ ] Open",
    "materials": "# Materials",
    "plan and built": "~ Changed",
}
NO_WAY = "Nowhere that the figures show. Walk every yard all the same, at a dog's eye height."


def way_rows(walk: Walk) -> list[Row[WayKey]]:
    """A row a way out, the largest first: size and place, two tapes to it, what closes it and whether the truck has that."""
    return [(way.key, _way(way)) for way in walk.punch.ways_out]


def _way(way: WayOut) -> Content:
    lacks = " too low" if way.kind == "over" else ""
    size = Content.styled(f"{SIGNS['stop']} {format_in(way.opening_in, 4)}{lacks}", "bold")
    yard = f"  yard {way.yard}" if way.yard and way.kind != "yard" else ""
    dog = "" if way.dog_in is None or way.kind == "over" else f", smallest dog about {format_in(way.dog_in, 2)}"
    place = f"\n    {way.place}" if way.place else ""
    return Content.assemble(
        size,
        f"  {way.where}",
        f"{yard}{dog}",
        place,
        f"\n    Close it with {way.closes_with}",
        Content.styled(f" ({way.on_truck})", "bold" if way.short else ""),
    )


def punch_rows(lines: tuple[PunchLine, ...]) -> list[Row[LineKey]]:
    """A row a line of the punch list, worst first."""
    return [(line.key, _line(line)) for line in lines]


def _line(line: PunchLine) -> Content:
    return Content.assemble(Content.styled(f"{HEADS[line.group]}  ", "bold"), line.says, f"\n    {line.do}" if line.do else "")
