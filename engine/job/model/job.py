"""The job: exactly what the file holds, nothing derived, frozen."""

from typing import Annotated, Literal

from pydantic import Field

from engine.calc.units import METRES
from engine.job.model.base import AT_ONCE, Id, Part
from engine.job.model.checks import Tick
from engine.job.model.fence import LAYOUT_TABLES, Alternative, Fence, FenceLine, Gate, HeightChange, Post, Surface, Yard
from engine.job.model.item_key import KeyInFile
from engine.job.model.log_entries import LogEntry
from engine.job.model.people import Dog, UtilityNotice, Who
from engine.job.model.rough import Rough
from engine.job.model.rules import Rules, first_rules
from engine.job.model.shots import LevelShot, Point, Shot
from engine.job.model.signed_record import Record, RepairOf
from engine.job.model.site import Boundary, Deck, Obstacle, Structure, Tree, Utility
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_rows

FIRST_HEIGHT = "1.8 m"
"""Of a new fence in metres; in feet its default. Common practice, no source."""
FORMAT = 1
FORMAT_MINOR = 8


class Job(Part):
    """One job. Every table is keyed by id but the log, a sequence in the order in which entries take effect. The file's own bookkeeping
    (revision, parent) is not here."""

    model_config = AT_ONCE

    format: Literal[1] = 1
    job: Who = Who.model_construct()
    dogs: dict[Id, Dog] = {}
    utility_notice: UtilityNotice = UtilityNotice.model_construct()
    rough: Rough | None = None
    rules: Rules = Rules.model_construct()
    stock: dict[Id, StockRow] = {}
    points: dict[Id, Point] = {}
    shots: dict[Id, Shot] = {}
    structures: dict[Id, Structure] = {}
    trees: dict[Id, Tree] = {}
    obstacles: dict[Id, Obstacle] = {}
    utilities: dict[Id, Utility] = {}
    boundaries: dict[Id, Boundary] = {}
    decks: dict[Id, Deck] = {}
    fence: Fence = Fence.model_construct()
    lines: dict[Id, FenceLine] = {}
    surfaces: dict[Id, Surface] = {}
    heights: dict[Id, HeightChange] = {}
    gates: dict[Id, Gate] = {}
    yards: dict[Id, Yard] = {}
    alternatives: dict[Id, Alternative] = {}
    posts: dict[Id, Post] = {}
    log: Annotated[tuple[LogEntry, ...], Field(max_length=20_000)] = ()
    checks: dict[KeyInFile, Tick] = {}
    record: Record | None = None
    repair_of: RepairOf | None = None


def new_job(who: Who) -> Job:
    """A job that says nothing but who it is for, and the stock, the limits and the height that go with its units."""
    fence = Fence.model_validate({"height_ft": FIRST_HEIGHT} if who.units == METRES else {})
    return Job(job=who, stock=dict(first_rows(who.units)), rules=first_rules(who.units), fence=fence)


def layout_now(job: Job, note: str = "") -> Alternative:
    """The layout a job has now, as an alternative holds it."""
    levels = {name: shot for name, shot in job.shots.items() if isinstance(shot, LevelShot)}
    tables = {table: getattr(job, table) for table in LAYOUT_TABLES}
    return Alternative.model_construct(note=note, levels=levels, **tables)


def with_layout(job: Job, layout: Alternative) -> Job:
    """Job with another layout in the place of its own."""
    shots = {name: shot for name, shot in job.shots.items() if not isinstance(shot, LevelShot)}
    tables = {table: getattr(layout, table) for table in LAYOUT_TABLES}
    return job.model_copy(update={**tables, "shots": {**shots, **layout.levels}})
