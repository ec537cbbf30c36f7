"""A job's layout and its alternatives as words: a row a figure and a column a layout, or a row a layout in the record."""

from collections.abc import Iterator, Sequence

from engine.ahead.side_by_side import LayoutFigures, side_by_side
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import counted
from engine.job.model.job import Job
from engine.paper.before_repair import of_a_repair
from engine.paper.built_tables import Table
from engine.paper.tables.told_cells import ToldCell, told_ft

OWN_WORDS = "as it is"
NEW_ALONE = "packs, price and hours are of what is new; another layout is laid out round what stood when it began."
"""What is to be known of a repair's layouts."""
CONSIDERED = "Other layouts considered"


def compared(found: Sequence[LayoutFigures]) -> Table:
    """Every layout in a column of its own, the job's first."""
    rows = zip(*(_figures(one)[:IN_COLUMNS] for one in found), strict=True)
    return Table(
        "Layouts side by side",
        ("", *(one.name or OWN_WORDS for one in found)),
        tuple((name, *(words for _, words in row)) for row in rows for name in (row[0][0],)),
    )


def sentences(found: Sequence[LayoutFigures]) -> Iterator[str]:
    """What each layout is, and the worst that was found of it."""
    for one in found:
        worst = f"{one.worst.says} {one.worst.do}" if one.worst else "Nothing was found."
        yield f"{one.name or OWN_WORDS}{f' ({one.note})' if one.note else ''}: {worst}"


def of_new_alone(job: Job) -> str:
    """That a repair's figures are of what is new; empty where it is none."""
    return of_a_repair(job, NEW_ALONE)


def worst_words(one: LayoutFigures) -> str:
    """The worst that was found of a layout, without what to do."""
    called = one.name or OWN_WORDS
    return f"Worst of {called}, {one.worst.level}: {one.worst.says}" if one.worst else f"Nothing was found of {called}."


def considered(job: Job) -> Table:
    """The layouts that were not taken, a row each; without rows where a job has none."""
    rows = tuple((one.name, *(words for _, words in _figures(one))) for one in side_by_side(job)[1:]) if job.alternatives else ()
    return Table(CONSIDERED, ("layout", *NAMES), rows, empty="none", figures=FIGURES)


HOURS = "crew hours"
NAMES = (
    "length", "height", "posts", "braces", "loops", "gates", "ways out", "packs", "price", HOURS, "stop", "fix",
    "note", "worst", "what it is",
)  # fmt: skip


IN_COLUMNS = NAMES.index("worst")
"""Of the figures those that fit in a column; the others are sentences."""


FIGURES = (
    ("length", ("length_ft",)), ("height", ("least_height_ft", "most_height_ft")), ("posts", ("driven_posts", "other_supports")),
    ("ways out", ("ways_out_count", "largest_way_out_in")), ("price", ("cost", "rows_without_price")),
    (HOURS, ("hours_low", "hours_likely", "hours_high")),
)  # fmt: skip


def _figures(one: LayoutFigures) -> tuple[tuple[str, str], ...]:
    words = (
        told_ft(one.length_ft), _heights(one), _posts(one), f"{one.braces}", f"{one.loops}",
        f"{one.gates}", _ways_out(one), f"{one.packs}", _price(one), _hours(one),
        *(f"{one.findings[level]}" for level in ("stop", "fix", "note")),
        one.worst.says if one.worst else "nothing", one.note,
    )  # fmt: skip
    return tuple(zip(NAMES, words, strict=True))


def _heights(one: LayoutFigures) -> str:
    return ToldCell(" and ".join(map(format_ft_in, one.heights_ft)), *one.heights_ft[:1], *one.heights_ft[-1:])


def _posts(one: LayoutFigures) -> str:
    others = f", {one.others} on what stands" if one.others else ""
    return ToldCell(f"{one.posts} driven{others}", one.posts, one.others)


def _ways_out(one: LayoutFigures) -> str:
    words = "none" if one.largest_in is None else f"{one.ways_out}, up to {format_in(one.largest_in)}"
    return ToldCell(words, one.ways_out, one.largest_in)


def _price(one: LayoutFigures) -> str:
    if one.cost is None:
        return "no prices kept"
    without = f", {counted(one.unpriced, 'row')} without" if one.unpriced else ""
    return ToldCell(f"{one.cost:,.2f}{without}", one.cost, one.unpriced)


def _hours(one: LayoutFigures) -> str:
    return (
        "not known" if one.hours is None else ToldCell(f"{one.hours.likely:.0f} ({one.hours.low:.0f} to {one.hours.high:.0f})", *one.hours)
    )
