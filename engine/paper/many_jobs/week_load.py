"""What to load for all jobs planned in one week: each thing in packs for all of them together, and what is left out and why."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from engine.calc.dates import format_date
from engine.calc.frozen import dataclass
from engine.calc.phrases import first_few
from engine.calc.units import FEET_INCHES, METRES, Units
from engine.folder.planned_week import PlannedJob, PlannedWeek
from engine.job.model.job import Job
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.paper.load_list import LoadRow, estimated_load, load_list, needs_nothing, truck_place
from engine.paper.many_jobs.shared_packs import packs_to_load, together
from engine.paper.tables.csv_text import job_name
from engine.stages.takeoff import TakeoffRow

MOST_NAMED = 8
SHARED = (
    "For one truck that goes from job to job. Boxes and loose pieces are added up, then rounded to packs: what is left goes on.",
    "Rolls, spools and lengths are cut by piece: every job keeps its own cut plan, and what one of its rolls leaves goes on only where it",
    "holds all that one roll of another job is cut into. What files say is loaded is added up: where two count one truck, count again.",
)
"""What several jobs can share and what they can't, a line each."""


@dataclass(frozen=True)
class LoadedJob:
    """A job that is loaded for: what it is called here, its title, file and day, what has to be known of it, and its own load list."""

    called: str
    title: str
    file: str
    day: date
    says: str
    rows: tuple[LoadRow, ...]


@dataclass(frozen=True)
class SharedRow:
    """One thing in truck order: all jobs together, packs that aren't on the truck yet, and the row of each job by what it is called.
    `uncounted` are jobs that counted other things and not this one. Lengths are told in metres where all of these jobs are."""

    load: LoadRow
    to_load: int
    of_jobs: Mapping[str, TakeoffRow]
    units: Units
    uncounted: tuple[str, ...] = ()


@dataclass(frozen=True)
class WeekLoad:
    """Jobs of the week with something to load, by day; everything for them in truck order; and jobs or files that aren't in it with why.
    `total` is of the rows with a price, None where none has one; `unpriced` counts the others."""

    monday: date
    sunday: date
    jobs: tuple[LoadedJob, ...]
    rows: tuple[SharedRow, ...]
    left_out: tuple[tuple[str, str], ...]
    total: float | None
    unpriced: int

    @property
    def title(self) -> str:
        """The week as people say it."""
        return f"Week of Mon {format_date(self.monday)} to Sun {format_date(self.sunday)}"


def week_load(week: PlannedWeek) -> WeekLoad:
    """The load lists of all jobs planned in a week as one. A thing is the same in two jobs where its row of the stock is the same but for
    what is loaded and its price: metric sizes and packs of another size stay rows of their own. A signed job needs nothing."""
    called = _called(week)
    loads = {one.file: load_list(one.document.job, one.walk.takeoff).rows for one in week.jobs if one.walk is not None}
    going = [one for one in week.jobs if loads.get(one.file)]
    jobs = tuple(_loaded(called[one.file], one, loads[one.file]) for one in going)
    rows = _shared({called[one.file]: (one.document.job, loads[one.file]) for one in going})
    costs = [row.load.row.cost for row in rows]
    priced = [cost for cost in costs if cost is not None]
    return WeekLoad(
        monday=week.monday,
        sunday=week.sunday,
        jobs=jobs,
        rows=rows,
        left_out=tuple(_left_out(week, called, {one.file for one in going})),
        total=sum(priced) if priced else None,
        unpriced=len(costs) - len(priced),
    )


def _called(week: PlannedWeek) -> dict[str, str]:
    """Each job by its number, its title where it has none; with its file behind where two are called the same."""
    names = {one.file: job_name(one.document.job) for one in week.jobs}
    said = list(names.values())
    return {file: name if name and said.count(name) == 1 else f"{name} {file}".strip() for file, name in names.items()}


def _loaded(called: str, one: PlannedJob, rows: tuple[LoadRow, ...]) -> LoadedJob:
    job = one.document.job
    says = [] if one.walk is None or one.walk.layout.accepted else ["its layout isn't accepted yet, so what it needs may change"]
    says += [f"a repair of {job.repair_of.called}, what stands is not loaded again"] if job.repair_of else []
    says += [] if _counts(rows) else ["what is loaded for it isn't counted"]
    return LoadedJob(called, job.job.title, one.file, job.job.planned_for or date.min, "; ".join(says), rows)


def _counts(rows: Sequence[LoadRow]) -> bool:
    return any(one.row.loaded is not None for one in rows)


def _shared(loads: Mapping[str, tuple[Job, Sequence[LoadRow]]]) -> tuple[SharedRow, ...]:
    """One row a thing, in truck order."""
    found: dict[tuple[str, str, StockRow], dict[str, TakeoffRow]] = {}
    for name, (job, rows) in loads.items():
        stock = stock_of(job.stock)
        for one in rows:
            thing = stock[one.row.stock].model_copy(update={"loaded": None, "price": None, "source": None})
            found.setdefault((one.row.stock, one.row.unit, thing), {})[name] = one.row
    counting = {name for name, (_, rows) in loads.items() if _counts(rows)}
    ordered = sorted(found.items(), key=lambda item: truck_place(item[0][2])[0])
    return tuple(
        SharedRow(
            LoadRow(place, truck_place(thing)[1], together(list(of_jobs.values())), thing.kind),
            packs_to_load(list(of_jobs.values())),
            of_jobs,
            METRES if all(loads[name][0].job.units == METRES for name in of_jobs) else FEET_INCHES,
            tuple(name for name, row in of_jobs.items() if name in counting and row.loaded is None),
        )
        for place, ((_, _, thing), of_jobs) in enumerate(ordered, 1)
    )


def _left_out(week: PlannedWeek, called: Mapping[str, str], going: set[str]) -> Iterator[tuple[str, str]]:
    """What can't be read first: any of it may be of this week."""
    for file, why in week.unreadable.items():
        yield file, f"can't be read, and may be of this week: {why.removeprefix(f'{file}: ')}"
    yield from ((copy.left.file, copy.says) for copy in week.copies)
    for one in week.jobs:
        if one.file not in going:
            yield called[one.file], _why_nothing(one)
    if without := [kept.number or kept.title or file for file, kept in week.unplanned.items()]:
        yield first_few(without, MOST_NAMED), "no day is planned."


def _why_nothing(one: PlannedJob) -> str:
    if one.walk is None:
        return "is signed off: nothing is to be loaded." if one.document.seal_holds else "is signed off, and was changed since: open it."
    if estimated_load(one.document.job, one.walk.takeoff):
        return "is an estimate by what was said: see its own load list."
    return needs_nothing(one.document.job)
