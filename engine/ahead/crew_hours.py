"""Crew hours of a job, by stage, out of finished ones.

Every finished job is asked how long the work left would have taken at its own pace: what a piece of each kind took there on average, and
for a kind it tells nothing of what that took on other jobs, quicker or slower as that job was in all else. Ground, weather and crew make a
whole job quick or slow, much more than one sleeve beside another, so jobs are compared, not pieces. Of the jobs' answers in order, low
and high are those that a tenth of jobs stay under and over, likely is the middle one. A stage's low is its own: added up they are lower
than the job's, for no job is quick in everything.

Where nothing is surveyed yet and a client's words are all there is, the fence is made up as the estimate makes it, at the least, the likely
and the greatest length: low is that of the least, high that of the greatest.

A kind of work gives a figure where five pieces on three jobs tell its time; what gives none is named, and isn't in the sum.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import NamedTuple, TypeVar

from engine.ahead.estimate import Estimate, estimate
from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.rests_on_it import rests_on_it
from engine.ahead.rough_job import rough_job
from engine.ahead.work_kinds import Piece, WorkKind, pieces_of
from engine.ahead.work_times import JobTimes
from engine.calc.frozen import dataclass
from engine.calc.order_statistics import RanksRound, next_between, quantile, ranks_round_median
from engine.calc.work_days import MOST_DAYS, last_day
from engine.findings import STAGES
from engine.job.model.job import Job
from engine.walk import Walk, walk

V = TypeVar("V")

FEWEST_JOBS = 3
"""So many jobs tell the time of a kind of work: judgement, common practice, no source."""
FEWEST_PIECES = 5
"""And so many pieces on them: judgement, common practice, no source."""
LOW = 0.1
"""What stays under low, and over high, of all: judgement, no source."""
S_PER_H = 3600.0


class Spread(NamedTuple):
    """A figure with what it is seldom under, and seldom over."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class KindTimes:
    """How long a piece of one kind took, crew minutes: usual is the middle of the jobs' averages, which lies between the jobs of two ranks
    so often (None where there are too few); a tenth of pieces took less than `piece_low_min`, a tenth more than `piece_high_min`."""

    kind: WorkKind
    pieces: int
    jobs: int
    left_out: int
    usual_min: float
    ranks: RanksRound | None
    usual_from_min: float
    usual_to_min: float
    piece_low_min: float
    piece_high_min: float


class NoFigure(NamedTuple):
    """A kind of work that is to do and that too little is known of."""

    kind: WorkKind
    to_do: float
    pieces: int
    jobs: int


@dataclass(frozen=True)
class CrewHours:
    """Crew hours of what is left to do, by stage and in all; None where too few jobs tell anything. `between` is how often a job comes out
    between low and high, by how many `jobs` there were. `lengths` are those of the estimate it is of, None where it is of the job's own
    layout; `laid_out` is whether there is one."""

    to_do: Mapping[WorkKind, float]
    kinds: Mapping[WorkKind, KindTimes]
    stages: Mapping[str, Spread]
    total: Spread | None
    jobs: int
    between: float
    no_figure: tuple[NoFigure, ...]
    lengths: Estimate | None = None
    laid_out: bool = True


class Ends(NamedTuple):
    """Working days and the day on which they end; none past ten years."""

    days: float
    on: date | None


def pieces_left(job: Job, walk: Walk) -> dict[WorkKind, float]:
    """How many pieces of each kind are to be done: of a piece of which some checks are ticked, the share that isn't."""
    lines = [line for checklist in walk.checklists.values() for line in checklist.lines if line.state in ("open", "done")]
    bays = {name: len(loop.supports) - 1 for name, loop in walk.cables.loops.items()}
    pieces = pieces_of([line.item.key for line in lines], job.rules.posts.soil, bays)
    checks: dict[Piece, list[bool]] = {}
    for line in lines:
        checks.setdefault(pieces[line.item.key], []).append(line.state == "open")
    left: dict[WorkKind, float] = {}
    for piece, are_open in checks.items():
        if any(are_open):
            left[piece.kind] = left.get(piece.kind, 0.0) + piece.counts * sum(are_open) / len(are_open)
    return left


def hours_ahead(job: Job, walked: Walk, finished: FinishedJobs) -> CrewHours:
    """Crew hours of what is left of a job, of a signed one nothing; or of the estimate where that is all there is."""
    if job.record is not None:
        return crew_hours({}, finished)
    said = estimate(job) if rests_on_it(job, walked) else None
    if said is None or job.rough is None:
        return replace(crew_hours(pieces_left(job, walked), finished), laid_out=bool(walked.layout.supports))
    lengths_ft = dict.fromkeys((said.length_ft.likely, said.length_ft.low, said.length_ft.high))
    made = [rough_job(job, job.rough, length_ft) for length_ft in lengths_ft]
    likely, *others = (crew_hours(pieces_left(one, walk(one)), finished) for one in made)
    total = None if likely.total is None else _widened(likely.total, [one.total for one in others])
    stages = {stage: _widened(spread, [one.stages.get(stage) for one in others]) for stage, spread in likely.stages.items()}
    return replace(likely, stages=stages, total=total, lengths=said)


def _widened(likely: Spread, others: Iterable[Spread | None]) -> Spread:
    found = [likely, *(one for one in others if one is not None)]
    return Spread(min(one.low for one in found), likely.likely, max(one.high for one in found))


def crew_hours(to_do: Mapping[WorkKind, float], finished: FinishedJobs) -> CrewHours:
    """What finished jobs tell of the time so many pieces of each kind take."""
    known = {name: finished.times[name] for name in sorted(finished.times)}
    kinds = kind_times(known.values())
    rows = [row for times in known.values() if (row := _pace(times, kinds)) is not None]
    none = tuple(_no_figure(kind, count, known.values()) for kind, count in _in_order(to_do) if kind not in kinds)
    counted = [(kind, count) for kind, count in _in_order(to_do) if kind in kinds]
    if len(rows) < FEWEST_JOBS:
        return CrewHours(to_do, kinds, {}, None, len(rows), 0.0, none)
    stages = {
        stage: _spread([sum(count * row[kind] for kind, count in counted if kind.stage == stage) for row in rows])
        for stage in dict.fromkeys(kind.stage for kind, _ in counted)
    }
    total = _spread([sum(count * row[kind] for kind, count in counted) for row in rows])
    return CrewHours(to_do, kinds, stages, total if counted else None, len(rows), next_between(len(rows), LOW), none)


def kind_times(jobs: Iterable[JobTimes]) -> dict[WorkKind, KindTimes]:
    """How long a piece of each kind took, of kinds that enough is known of."""
    listed = tuple(jobs)
    by_kind: dict[WorkKind, list[tuple[float, ...]]] = {}
    left: dict[WorkKind, int] = {}
    for job in listed:
        for kind, seconds in job.pieces_s.items():
            by_kind.setdefault(kind, []).append(seconds)
        for kind, count in job.left_out.items():
            left[kind] = left.get(kind, 0) + count
    return {kind: _kind(kind, those, left.get(kind, 0)) for kind, those in _in_order(by_kind) if _enough(those)}


def _enough(those: list[tuple[float, ...]]) -> bool:
    return len(those) >= FEWEST_JOBS and sum(map(len, those)) >= FEWEST_PIECES


def _kind(kind: WorkKind, those: list[tuple[float, ...]], left_out: int) -> KindTimes:
    averages = sorted(_average(seconds) / 60 for seconds in those)
    pieces = sorted(each for seconds in those for each in seconds)
    ranks = ranks_round_median(len(averages))
    low, high = (1, len(averages)) if ranks is None else (ranks.low, ranks.high)
    return KindTimes(
        kind, len(pieces), len(those), left_out, quantile(averages, 0.5), ranks, averages[low - 1], averages[high - 1],
        quantile(pieces, LOW) / 60, quantile(pieces, 1 - LOW) / 60,
    )  # fmt: skip


def _average(seconds: tuple[float, ...]) -> float:
    return sum(seconds) / len(seconds)


def _pace(times: JobTimes, kinds: Mapping[WorkKind, KindTimes]) -> dict[WorkKind, float] | None:
    """Hours a piece of every kind at the pace of one job; None where it tells too little of that."""
    own = {kind: seconds for kind, seconds in times.pieces_s.items() if kind in kinds}
    usual_s = sum(60 * kinds[kind].usual_min * len(seconds) for kind, seconds in own.items())
    if sum(map(len, own.values())) < FEWEST_PIECES or usual_s <= 0:
        return None
    pace = sum(map(sum, own.values())) / usual_s
    return {kind: (_average(own[kind]) if kind in own else 60 * pace * usual.usual_min) / S_PER_H for kind, usual in kinds.items()}


def _spread(hours: list[float]) -> Spread:
    rising = sorted(hours)
    return Spread(quantile(rising, LOW), quantile(rising, 0.5), quantile(rising, 1 - LOW))


def _no_figure(kind: WorkKind, count: float, jobs: Iterable[JobTimes]) -> NoFigure:
    those = [job.pieces_s[kind] for job in jobs if kind in job.pieces_s]
    return NoFigure(kind, count, sum(map(len, those)), len(those))


def _in_order(of_kinds: Mapping[WorkKind, V]) -> list[tuple[WorkKind, V]]:
    """Kinds in the order of the stages, those of a stage by name."""
    return sorted(of_kinds.items(), key=lambda row: (STAGES.index(row[0].stage), row[0].name))


def ends(hours: float, crew: int, day_hours: float, start: date) -> Ends:
    """The day on which so many crew hours end, where everybody of the crew works all day."""
    days = hours / (crew * day_hours)
    return Ends(days, last_day(start, days) if days <= MOST_DAYS else None)


def first_day(job: Job, today: date) -> date:
    """The day to count from: the planned one, today where that is past or none is planned."""
    return max(job.job.planned_for or today, today)
