"""Materials: what the fence needs against what came, how the truck is loaded, and the list as a CSV file."""

from collections import Counter
from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from engine.ahead.estimate import EstimatedRow, LowHigh
from engine.ahead.estimate_words import three
from engine.calc.frozen import dataclass
from engine.calc.phrases import figure
from engine.job.model.job import Job
from engine.job.model.stock_row import StockKind
from engine.job.model.stock_table import stock_of
from engine.paper.load_list import (
    ESTIMATE_RULE,
    RULE,
    estimated_load,
    estimated_words,
    free_name,
    load_list,
    needs_nothing,
    offcut_words,
    total_words,
    write_load,
)
from engine.paper.pack_words import load_words, on_truck_words, packs_words
from engine.paper.seal_check import seal_lines
from engine.stages.takeoff import TakeoffRow, unit_of
from engine.walk import Walk
from tui.base.commands import Command, bindings
from tui.boxes.pages import BACK, FIND, ShowScreen
from tui.stages.figure_tables import table
from tui.stages.punch import materials_figures
from tui.widgets.chosen import Chosen
from tui.widgets.figures import Figures, FiguresPane
from tui.working.job_in_hand import JobInHand

WRITE = Command("write", "c", "as CSV", "Write the list beside the job file as CSV; nothing is overwritten.", "This page")
HOURS = Command("hours", "h", "hours", "How long it will take, out of the finished jobs in this folder.", "This page")
TO_LOAD = Command("to_load", "t", "load list", "Go to the load list, and back.", "This page")


class MaterialsScreen(ShowScreen):
    """Needed, loaded, delivered, used and short; what the cut plans leave; the load list in truck order."""

    NAMED: ClassVar[tuple[Command, ...]] = (TO_LOAD, WRITE, HOURS, FIND, BACK)
    BINDINGS: ClassVar = bindings((TO_LOAD, WRITE, HOURS))
    DEFAULT_CSS = "MaterialsScreen #whole-name { height: auto; max-height: 2; padding: 0 1; background: $surface; }"

    def __init__(self, hand: JobInHand) -> None:
        super().__init__("Materials", hand)
        self.hand = hand

    def body(self) -> ComposeResult:
        yield FiguresPane(materials_tables(self.hand.job, self.hand.walk))
        yield Static(id="whole-name", markup=False)

    def show(self) -> None:
        pane = self.query_one(FiguresPane)
        pane.show(materials_tables(self.hand.job, self.hand.walk))
        self._say_whole(pane.cursor.id if pane.cursor else "")

    def on_mount(self) -> None:
        """The first table with its title in sight."""
        if (first := next((row.id for one in self.query_one(FiguresPane).figures for row in one.rows), None)) is not None:
            self._say_whole(first)
        self.query_one(FiguresPane).focus()

    @on(Chosen)
    def _row_reached(self, event: Chosen) -> None:
        self._say_whole(event.id)

    def _say_whole(self, stock: str) -> None:
        """A row's name at its full length: the table has no room for a long one."""
        job, takeoff = self.hand.job, self.hand.walk.takeoff
        listed = stock_of(job.stock).get(stock)
        says = [f"{row.name}: {_known(row, listed.kind if listed else None)}" for row in takeoff.rows if row.stock == stock]
        says = [f"{row.name}: {estimated_words(row)}." for _, row in estimated_load(job, takeoff) if row.stock == stock] or says
        self.query_one("#whole-name", Static).update(says[0] if says else "")

    def action_to_load(self) -> None:
        """The cursor into the load list; from there back into the first table."""
        pane = self.query_one(FiguresPane)
        last = len(pane.figures) - 1
        pane.go_to_table(0 if pane.table == last else last)
        self._say_whole(pane.cursor.id if pane.cursor else "")

    def action_hours(self) -> None:
        from tui.boxes.folder.hours import HoursScreen

        self.app.push_screen(HoursScreen(self.hand))

    def action_write(self) -> None:
        working, walk = self.hand.working, self.hand.walk
        there, unsaved = working.as_it_stands, not working.saved
        seal = seal_lines(there, working.touched)
        self.tell_written(lambda: write_load(there.job, walk.takeoff, free_name(there.path), seal, unsaved=unsaved))


def materials_tables(job: Job, walk: Walk) -> tuple[Figures, ...]:
    """The tables of the screen; off-cuts only where a cut plan leaves any. As long as no layout says what is needed, the estimate does."""
    if estimated := estimated_load(job, walk.takeoff):
        return (_estimate_table(estimated),)
    cut = table(
        "Off-cuts, for infill strips and gates",
        "<what|<left over, longest first",
        ((row.stock, row.name, offcut_words(row, 4)) for row in walk.takeoff.rows if row.offcuts),
    )
    return (materials_figures(walk, needs_nothing(job)), *((cut,) if cut.rows else ()), _load_table(job, walk))


def _estimate_table(estimated: Sequence[tuple[str, EstimatedRow]]) -> Figures:
    """Needed and packs of every row, low to high; costs where any is priced."""
    priced = any(row.cost for _, row in estimated)
    rows = (
        (row.stock, row.name, *_ends_of(row.needed, row.unit), *three(row.packs), *(_ends(row.cost, ",.2f") if priced else ()))
        for _, row in estimated
    )
    return table("ESTIMATE by what was said", f"<what|needed|to|packs|likely|to{'|cost|to' * priced}", rows, f"{ESTIMATE_RULE} {RULE}")


def _ends_of(figures: LowHigh, unit: str) -> tuple[str, str]:
    return figure(figures.low, unit), figure(figures.high, unit)


def _ends(figures: LowHigh | None, how: str = ",.0f") -> tuple[str, str]:
    return (f"{figures.low:{how}}", f"{figures.high:{how}}") if figures else ("", "")


def _load_table(job: Job, walk: Walk) -> Figures:
    listed = load_list(job, walk.takeoff)
    priced = "|price|cost" if listed.total is not None else ""
    rows = (
        (one.row.stock, f"{one.place}", one.group, one.row.name, packs_words(one.row, one.kind), *_money(one.row, priced))
        for one in listed.rows
    )
    total = f" {total_words(listed)}" if listed.total is not None else ""
    return table("Load list, first in at the top", f"place|<|<what|<load{priced}", rows, f"{RULE}{total}" if listed.rows else "")


def _money(row: TakeoffRow, priced: str) -> tuple[str, ...]:
    if not priced:
        return ()
    return ("", "") if row.price is None or row.cost is None else (f"{row.price:,.2f}", f"{row.cost:,.2f}")


@dataclass(frozen=True)
class CanCome:
    """A stock row that can come in, by the name people see, and what is known of it."""

    stock: str
    says: str
    in_feet: bool = False


def delivery_rows(job: Job, walk: Walk) -> dict[str, CanCome]:
    """What can come in by its name, those the truck lacks first; a name that two rows share is told apart by their ids."""
    rows = {row.stock: row for row in walk.takeoff.rows}
    stock = stock_of(job.stock)
    ordered = sorted(stock, key=lambda name: 0 if name in rows and rows[name].short else 1 if name in rows else 2)
    called = Counter(row.name for row in stock.values())
    found = {}
    for name in ordered:
        words = stock[name].name or name
        known = _known(rows[name], stock[name].kind) if name in rows else "This fence needs none."
        found[words if called[stock[name].name] < 2 else f"{words} ({name})"] = CanCome(name, known, unit_of(stock[name]) == "ft")
    return found


def _known(row: TakeoffRow, kind: StockKind | None) -> str:
    """`load 300 ft in 3 rolls of 100 ft; 265 ft needed; 2 rolls loaded, 1 roll SHORT.`"""
    return f"load {load_words(row, kind)}; {on_truck_words(row, kind)}."
