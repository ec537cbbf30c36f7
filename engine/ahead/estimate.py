"""The estimate of a fence before it is surveyed: the walk and the take-off of made-up fences of several lengths, least and most of each."""

from collections.abc import Iterable, Mapping

from engine.ahead.rough_job import lengths_to_try, rough_job
from engine.ahead.said_length import said_length
from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_of
from engine.findings import Finding
from engine.job.model.fence import Fence
from engine.job.model.job import Job
from engine.job.model.people import Dog, Who
from engine.job.model.rough import Rough
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import stock_of
from engine.stages.takeoff import TakeoffRow
from engine.walk import Walk, walk


@dataclass(frozen=True)
class LowHigh:
    """One figure of an estimate: the least and the most of the lengths tried, and that of the likely length."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class EstimatedRow:
    """One stock row: needed with its spare in `unit`, packs to load, and what they cost where a pack has a price."""

    stock: str
    name: str
    kind: StockKind | None
    unit: str
    per_pack: float
    needed: LowHigh
    packs: LowHigh
    cost: LowHigh | None


WONT_DO = frozenset(
    {
        "post_too_short", "brace_too_short", "spool_too_short", "wire_roll_too_short", "mesh_roll_too_short", "wire_too_narrow",
        "lap_short", "cable_too_weak", "lock_too_weak", "hinge_post_bent", "gate_not_worked", "post_unknown", "sleeve_unknown",
        "brace_unknown", "cable_unknown", "spool_unknown", "wire_unknown", "mesh_unknown", "tube_unknown",
    }
)  # fmt: skip
"""Codes of findings that say that the fence can't be built, or isn't counted whole, out of this stock."""


@dataclass(frozen=True)
class Estimate:
    """What a fence of the said length takes. `cost` is of the rows with a price, None where none has one; `unpriced` counts the others.
    `lacks` are the findings of made-up fences on stock that won't do for them, the first of each kind."""

    length_ft: LowHigh
    rests_on: str
    height_ft: float
    posts: LowHigh
    braces: LowHigh
    loops: LowHigh
    rows: tuple[EstimatedRow, ...]
    cost: LowHigh | None
    unpriced: int
    tried_ft: tuple[float, ...]
    lacks: tuple[Finding, ...]

    @property
    def whole(self) -> bool:
        """Whether low and high were tried, and not the likely length alone."""
        return self.length_ft.high in self.tried_ft


@dataclass(frozen=True)
class FenceCounts:
    """What is counted of a fence that a walk was made of."""

    length_ft: float
    posts: int
    braces: int
    loops: int


def fence_counts(worked: Walk) -> FenceCounts:
    """Length of all lines, posts in sleeves, braces and cable loops."""
    return FenceCounts(
        sum(line.length_ft for line in worked.survey.lines.values()),
        sum(support.support == "driven" for support in worked.layout.supports.values()),
        sum(len(pull.legs) for pull in worked.bracing.pulls.values()),
        len(worked.cables.loops),
    )


def estimate(job: Job) -> Estimate | None:
    """What the fence takes by what was said first; None where nothing was. It doesn't read the survey, the plan, ticks or the log."""
    if job.rough is None:
        return None
    parts = _parts(job, job.rough)
    place = _place_of(*parts)
    if not place:
        place.append(_estimate(*parts, whole=True))
    return place[0]


def likely_estimate(job: Job) -> Estimate | None:
    """The same by the likely length alone, which takes a fraction of the time: of all but the length low and high aren't known yet."""
    return None if job.rough is None else _likely(*_parts(job, job.rough))


def is_estimated(job: Job) -> bool:
    """Whether asking for the whole estimate takes no time: it is worked out already, or there is none."""
    return job.rough is None or bool(_place_of(*_parts(job, job.rough)))


_Parts = tuple[Rough, Who, Rules, Fence, Mapping[str, StockRow], Mapping[str, Dog]]


def _parts(job: Job, rough: Rough) -> _Parts:
    """All that an estimate reads of a job."""
    return rough, job.job, job.rules, job.fence, job.stock, job.dogs


@remembered_of
def _place_of(*_of: object) -> list[Estimate]:
    """Where the estimate of these very parts is put once it is worked out."""
    return []


@remembered_of
def _likely(rough: Rough, who: Who, rules: Rules, fence: Fence, stock: Mapping[str, StockRow], dogs: Mapping[str, Dog]) -> Estimate:
    return _estimate(rough, who, rules, fence, stock, dogs, whole=False)


@remembered_of
def _walk_of_likely(rough: Rough, who: Who, rules: Rules, fence: Fence, stock: Mapping[str, StockRow], dogs: Mapping[str, Dog]) -> Walk:
    """Held, so that the whole estimate doesn't walk again what was shown first."""
    job = Job().model_copy(update={"job": who, "rules": rules, "fence": fence, "stock": stock, "dogs": dogs})
    return walk(rough_job(job, rough, said_length(rough, rules.survey).likely_ft))


def _estimate(
    rough: Rough, who: Who, rules: Rules, fence: Fence, stock: Mapping[str, StockRow], dogs: Mapping[str, Dog], *, whole: bool
) -> Estimate:
    job = Job().model_copy(update={"job": who, "rules": rules, "fence": fence, "stock": stock, "dogs": dogs})
    said = said_length(rough, rules.survey)
    low_ft = max(said.low_ft, min(rough.shortest_ft(rules.gate.gap_in), said.likely_ft))
    tried_ft = lengths_to_try(rough, low_ft, said.likely_ft, said.high_ft, rules) if whole else (said.likely_ft,)
    likely = tried_ft.index(said.likely_ft)
    shown = _walk_of_likely(rough, who, rules, fence, stock, dogs)
    walks = [shown if n == likely else walk(rough_job(job, rough, length_ft)) for n, length_ft in enumerate(tried_ft)]
    counts = [fence_counts(worked) for worked in walks]
    rows = _rows(walks, likely, stock)
    costs = [[row.cost for row in worked.takeoff.rows] for worked in walks]
    priced = [sum(cost for cost in row if cost is not None) for row in costs]
    return Estimate(
        length_ft=LowHigh(low_ft, said.likely_ft, said.high_ft),
        rests_on=said.rests_on,
        height_ft=rough.height_ft or fence.height_ft,
        posts=_low_high([one.posts for one in counts], likely),
        braces=_low_high([one.braces for one in counts], likely),
        loops=_low_high([one.loops for one in counts], likely),
        rows=rows,
        cost=_low_high(priced, likely) if any(row.cost is not None for row in rows) else None,
        unpriced=sum(row.cost is None for row in rows),
        tried_ft=tried_ft,
        lacks=_lacks([shown, *walks]),
    )


def _lacks(walks: Iterable[Walk]) -> tuple[Finding, ...]:
    first: dict[str, Finding] = {}
    for worked in walks:
        for finding in worked.findings:
            if finding.code in WONT_DO:
                first.setdefault(finding.code, finding)
    return tuple(first.values())


def _rows(walks: list[Walk], likely: int, stock: Mapping[str, StockRow]) -> tuple[EstimatedRow, ...]:
    """A row for every stock row that any of the lengths needs, in the order of the work."""
    merged = stock_of(stock)
    by_walk = [{row.stock: row for row in worked.takeoff.rows} for worked in walks]
    names = dict.fromkeys(row.stock for worked in reversed(walks) for row in worked.takeoff.rows)
    return tuple(_row([found.get(name) for found in by_walk], likely, merged[name].kind) for name in names)


def _row(found: list[TakeoffRow | None], likely: int, kind: StockKind | None) -> EstimatedRow:
    one = next(row for row in found if row is not None)
    packs = [row.packs if row else 0 for row in found]
    return EstimatedRow(
        stock=one.stock,
        name=one.name,
        kind=kind,
        unit=one.unit,
        per_pack=one.per_pack,
        needed=_low_high([row.needed + row.spare if row else 0.0 for row in found], likely),
        packs=_low_high(packs, likely),
        cost=None if one.price is None else _low_high([count * one.price for count in packs], likely),
    )


def _low_high(figures: list[float] | list[int], likely: int) -> LowHigh:
    return LowHigh(min(figures), figures[likely], max(figures))
