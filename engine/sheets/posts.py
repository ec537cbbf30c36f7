"""Sleeves and posts: a row a support, then a row an old sleeve."""

from collections.abc import Iterator, Mapping

from engine.calc.length_words import range_words
from engine.calc.lengths import format_ft_in, format_in
from engine.findings import Finding
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.cables.wind_findings import short_words
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.sleeves.old_sleeves import OldSleeve, place_words
from engine.walk import Walk

COLUMNS = (
    Column("post"), Column("stands in", 2), Column("wanted", 1), Column("driven", right=True), Column("solid"), Column("plumb"),
    Column("eyes"), Column("pinned"), Column("eyes at", 4), Column("cut to", 3, right=True), Column("first in wind", 6),
    Column("not yet", 5, long=True),
)  # fmt: skip
OLD_COLUMNS = (Column("old sleeve"), Column("why", 2), Column("where", 1), Column("what becomes of it", 3), Column("done"))
READ = ("driven_depth", "diameter", "plate")
"""What stands under `driven`: a sleeve's depth, how thick a tree is, whether a base plate is bolted down."""


def posts_sheet(walk: Walk) -> Sheet:
    """Depth wanted and driven, solid, plumb, eyes, pinned; of a tree how thick, of a base plate whether it is bolted down."""
    asked, worst = Asked(walk.checklists["posts"], walk.checklists["bracing"]), worst_by_subject(walk.stage_findings["posts"])
    rows = tuple(Row(name, tuple(_cells(walk, asked, name, work)), worst.get(name)) for name, work in walk.posts.work.items())
    old = tuple(_old(asked, sleeve, worst) for sleeve in walk.posts.old_sleeves)
    return sheet(
        "posts", (filled(SheetPart(COLUMNS, rows)), filled(SheetPart(OLD_COLUMNS, old)), left_over(asked, "posts", "besides", worst))
    )


def _cells(walk: Walk, asked: Asked, name: str, work: PostWork) -> Iterator[Cell]:
    support = walk.layout.supports[name]
    read = next((cell for what in READ if (cell := asked.cell("posts", name, what)).line), Cell())
    yield from figures(name, support.at or ("sleeve" if support.support == "driven" else support.support), _wanted(work, read))
    yield read
    for what in ("solid", "plumb", "eyes"):
        yield asked.cell("posts", name, what)
    yield asked.cell("bracing", name, "pinned")
    yield from figures(
        f"{format_ft_in(work.eye_low_ft)}, {format_ft_in(work.eye_high_ft)}",
        "" if work.post_cut_ft is None else format_ft_in(work.post_cut_ft),
        next((short_words(one) for one in walk.cables.gives.get(name, ())), ""),
        work.why_not if support.support == "driven" and not work.plate_on else "",
    )


def _wanted(work: PostWork, cell: Cell) -> str:
    """How deep: all of a braced post's sleeve, else the practice rule and the depth asked for; of a tree its least thickness."""
    reading = cell.line.item.reading if cell.line else None
    if reading is None:
        return "plate" if work.plate_on else ""
    if work.braced and reading.wanted is not None:
        return format_in(reading.wanted)
    if reading.low is not None and reading.wanted is not None and reading.wanted > reading.low:
        return range_words(reading.low, reading.wanted)
    return reading.range_words


def _old(asked: Asked, sleeve: OldSleeve, worst: Mapping[str, Finding]) -> Row:
    done = asked.at(sleeve.key)
    stays = "stays" if done.line and done.line.state == "not needed" else "stays, cut off below the ground and filled"
    becomes = stays if sleeve.stays else "comes out, its hole filled"
    cells = (*figures(sleeve.post, sleeve.what, place_words(sleeve).strip(), becomes), done)
    return Row(sleeve.post, cells, worst.get(sleeve.post))
