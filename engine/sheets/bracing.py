"""Bracing: a row a brace, what is asked of its post in the first of them; a post that is only pinned has a row too."""

from collections.abc import Iterator, Mapping

from engine.calc.force_words import pull_words
from engine.calc.lengths import format_ft_in
from engine.findings import Finding
from engine.sheets.sheet import BLANK, Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.bracing.stage import BraceLeg, SupportPull
from engine.walk import Walk

COLUMNS = (
    Column("brace"), Column("toward", 2), Column("wanted", 1, right=True), Column("foot out", right=True), Column("solid"), Column("band"),
    Column("held"), Column("plumb"), Column("length", 4, right=True), Column("push", 3, right=True), Column("uplift", 5, right=True),
    Column("pinned"),
)  # fmt: skip


def bracing_sheet(walk: Walk) -> Sheet:
    """Every brace: toward what, how far out its foot, solid, band, push; of its post whether the feet are held, plumb, pinned."""
    asked, worst = Asked(walk.checklists["bracing"]), worst_by_subject(walk.stage_findings["bracing"])
    rows = tuple(row for pull in walk.bracing.pulls.values() for row in _rows(asked, pull, worst))
    return sheet("bracing", (filled(SheetPart(COLUMNS, rows)), left_over(asked, "bracing", "besides", worst)))


def _rows(asked: Asked, pull: SupportPull, worst: Mapping[str, Finding]) -> Iterator[Row]:
    name = pull.support
    held, plumb, pinned = (asked.cell("bracing", name, what) for what in ("footed", "plumb", "pinned"))
    if not pull.legs and pinned.line:
        yield Row(name, (*figures(name), *[BLANK] * 10, pinned), worst.get(name))
    for number, leg in enumerate(pull.legs):
        called = name if len(pull.legs) == 1 else f"{name} {leg.letter}"
        of_post = (BLANK, BLANK, BLANK) if number else (held, plumb, pinned)
        yield Row(name, tuple(_cells(asked, leg, called, *of_post)), worst.get(name))


def _cells(asked: Asked, leg: BraceLeg, called: str, held: Cell, plumb: Cell, pinned: Cell) -> Iterator[Cell]:
    yield from figures(called, leg.toward or "inside the bend", format_ft_in(leg.foot_distance_ft))
    yield asked.at(leg.foot_key)
    for what in ("solid", "band"):
        yield asked.cell("bracing", leg.support, f"{what}_{leg.letter}")
    yield held
    yield plumb
    yield from figures(format_ft_in(leg.length_ft), pull_words(leg.axial_lbf), pull_words(leg.uplift_lbf))
    yield pinned
