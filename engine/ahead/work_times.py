"""How long the work of one job took, told by the times of its ticks.

- One person's ticks of one day are taken in order. The time from one to the next is work on the piece of the next. The first of a day
  has nothing before it, so how long that took isn't known.
- Ticks at most a minute apart are one entry, as a column that is filled or a row ticked at once. Its time, from the tick before the entry
  to its last, is shared evenly by its pieces. Where these are of several stages it tells of none of them.
- A wait is a break, and left out, where it is over the rule's minutes *and* over three times what a wait for the same check mostly was on
  that job, or, for a check that came up once or twice, a wait for the same kind of work. Where there were but one or two pieces of that,
  as of gates, nothing tells what is usual, and only waits of over four hours are breaks, as they always are.
- A piece with any time that isn't known, or isn't told, is left out whole: half a piece would make work look quick.
- A piece done again (its tick was made anew) takes the time of both. A tick that was taken back, or says that nothing was needed, is none.
- The crew works together: a day's hours are the time that anyone's ticks tell of, times the people on the crew, those the job names or
  those who ticked that day if they were more; two who tick at once share it by what each told of. Who else was there no file says.
- A repair tells of its own work. What stood before it was told by the job before, and a piece that stood in part is left out.
- One job's ticks know nothing of another's: who works on two in a day has breaks in both.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from datetime import date, datetime
from statistics import median
from typing import NamedTuple

from engine.ahead.work_kinds import Piece, WorkKind, pieces_of
from engine.calc.frozen import dataclass
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import ticks_before
from engine.stages.posts.sleeves.emptied import SLEEVE
from engine.stages.standing_line import stands

ONE_ENTRY_S = 60.0
"""Ticks no further apart are one entry: judgement, common practice, no source."""
USUAL_TIMES = 3
"""A wait of so many usual ones may be a break: judgement, common practice, no source."""
USUAL_FROM = 3
"""So many waits tell what is usual, and so many pieces make a kind of work that is done over and over: judgement, no source."""
LONGEST_S = 4 * 3600.0
"""Half a day: whoever ticks the work of a morning at noon tells how long it took. Judgement, no source."""
RULE = (
    "From one person's tick to the next is work on what is ticked next; ticks within a minute are one entry, shared evenly. Left out: what "
    "comes before the first tick of a day, and breaks, which are over {pause:g} min and over three times the usual wait for that work, or "
    "over 4 hours (judgement, as the minute is)."
)
"""The same for people to read."""


class StageTime(NamedTuple):
    """Crew hours that a stage's ticks tell of, in seconds, and how many of its ticks tell of time and how many don't."""

    worked_s: float
    told: int
    untold: int


@dataclass(frozen=True)
class JobTimes:
    """Crew time of one job: seconds of every piece by its kind, pieces whose time isn't known, and what each stage's ticks tell, of these
    pieces too."""

    pieces_s: Mapping[WorkKind, tuple[float, ...]]
    left_out: Mapping[WorkKind, int]
    stages: Mapping[str, StageTime] = field(default_factory=dict)


class _Tick(NamedTuple):
    at: datetime
    key: ItemKey


class _Entry(NamedTuple):
    """Ticks made in one go, by one person on one day; `since` is the tick before, None where there is none or the wait was a break.
    `wait_s` is how long it was from that tick to the first, 0 where there was none."""

    day: tuple[date, str]
    since: datetime | None
    ticks: tuple[_Tick, ...]
    wait_s: float


def work_times(job: Job, pause_min: float) -> JobTimes:
    """What the ticks of a job tell of the time its work took; no wait up to `pause_min` is a break."""
    by_day: dict[tuple[date, str], list[_Tick]] = defaultdict(list)
    for key, tick in (*job.checks.items(), *ticks_before(job.log)):
        if tick.state == "done" and not stands(tick, job.repair_of):
            by_day[tick.at.date(), tick.by].append(_Tick(tick.at, key))
    stood = set(_stood(job))
    own = {tick.key: None for ticks in by_day.values() for tick in ticks}
    of_all = pieces_of({**own, **dict.fromkeys(stood)}, job.rules.posts.soil, _loop_bays(job))
    pieces, before = {key: of_all[key] for key in own}, {of_all[key] for key in stood}
    entries = _without_breaks([entry for day in sorted(by_day) for entry in _entries(day, by_day[day])], pieces, 60 * pause_min)
    people = _people(entries, len(job.job.crew))
    return _shared_out(entries, pieces, people, before)


def _stood(job: Job) -> Iterator[ItemKey]:
    """What a repair found done and nobody did again since; of a post that was set into an old sleeve its depth."""
    checks = job.checks.items() if job.repair_of is not None else ()
    for key, tick in ((key, tick) for key, tick in checks if tick.state != "left open"):
        if stands(tick, job.repair_of):
            yield key
        elif key.stage == "posts" and tick.of.words[:1] == (SLEEVE,) and (depth := key._replace(what="driven_depth")) not in job.checks:
            yield depth


def _loop_bays(job: Job) -> dict[str, int]:
    """Bays of every loop: as its ticks say, else as sealed."""
    bays = {name: len(loop.supports) - 1 for name, loop in job.record.loops.items()} if job.record else {}
    for key, tick in job.checks.items():
        if key.stage == "fabric" and len(tick.of.places) > 1:
            bays[key.about] = max(len(tick.of.places) - 1, 1)
    return bays


def _entries(day: tuple[date, str], ticks: Iterable[_Tick]) -> Iterator[_Entry]:
    before: datetime | None = None
    here: list[_Tick] = []
    for tick in sorted(ticks):
        if here and (tick.at - here[-1].at).total_seconds() > ONE_ENTRY_S:
            yield _entry(day, before, here)
            before, here = here[-1].at, []
        here.append(tick)
    if here:
        yield _entry(day, before, here)


def _entry(day: tuple[date, str], since: datetime | None, ticks: list[_Tick]) -> _Entry:
    return _Entry(day, since, tuple(ticks), (ticks[0].at - since).total_seconds() if since else 0.0)


def _without_breaks(entries: list[_Entry], pieces: Mapping[ItemKey, Piece], pause_s: float) -> list[_Entry]:
    """The entries, those after a break with nothing before them."""
    of_kind = Counter(piece.kind for piece in set(pieces.values()))
    waits: dict[object, list[float]] = defaultdict(list)
    for entry in entries:
        key = entry.ticks[0].key
        for measure in ((key.stage, key.what), *([pieces[key].kind] if of_kind[pieces[key].kind] >= USUAL_FROM else [])):
            if entry.since is not None:
                waits[measure].append(entry.wait_s)
    usual_s = {measure: median(known) for measure, known in waits.items() if len(known) >= USUAL_FROM}

    def kept(entry: _Entry) -> _Entry:
        key = entry.ticks[0].key
        usual = usual_s.get((key.stage, key.what), usual_s.get(pieces[key].kind))
        most_s = LONGEST_S if usual is None else min(max(pause_s, USUAL_TIMES * usual), LONGEST_S)
        return entry if entry.wait_s <= most_s else entry._replace(since=None)

    return [kept(entry) for entry in entries]


def _told_s(entry: _Entry) -> float:
    return (entry.ticks[-1].at - entry.since).total_seconds() if entry.since else 0.0


def _people(entries: Iterable[_Entry], crew: int) -> dict[date, float]:
    """How many people each told second of a day stands for: the day's told time without what two told of at once, times the crew."""
    days: dict[date, list[_Entry]] = defaultdict(list)
    for entry in entries:
        days[entry.day[0]].append(entry)
    found = {}
    for day, those in days.items():
        spans = sorted((entry.since, entry.ticks[-1].at) for entry in those if entry.since)
        told_s = sum((end - start).total_seconds() for start, end in spans)
        if told_s > 0:
            found[day] = max(crew, len({entry.day[1] for entry in those})) * _covered_s(spans) / told_s
    return found


def _covered_s(spans: list[tuple[datetime, datetime]]) -> float:
    """How long the spans, by their starts, are together where those that lie over each other count once."""
    reached = spans[0][0]
    covered = 0.0
    for start, end in spans:
        if end > reached:
            covered += (end - max(start, reached)).total_seconds()
            reached = end
    return covered


def _shared_out(
    entries: Iterable[_Entry], pieces: Mapping[ItemKey, Piece], people: Mapping[date, float], before: Iterable[Piece]
) -> JobTimes:
    """Every entry's time given to its pieces; a stage gets its share of mixed entries too. Of pieces `before` some was done before."""
    took_s: dict[Piece, float] = defaultdict(float)
    untold = set(before)
    worked_s, told, without = defaultdict[str, float](float), Counter[str](), Counter[str]()
    for entry in entries:
        about = list(dict.fromkeys([pieces[tick.key] for tick in entry.ticks]))
        each_s = _told_s(entry) * people.get(entry.day[0], 0.0) / len(about)
        for piece in about:
            took_s[piece] += each_s
            worked_s[piece.kind.stage] += each_s
        counted = without if entry.since is None else told
        for tick in entry.ticks:
            counted[tick.key.stage] += 1
        if entry.since is None or (len(about) > 1 and len({piece.kind.stage for piece in about}) > 1):
            untold.update(about)
    stages = {stage: StageTime(worked_s[stage], told[stage], without[stage]) for stage in {**worked_s, **told, **without}}
    known: dict[WorkKind, list[float]] = defaultdict(list)
    left: dict[WorkKind, int] = defaultdict(int)
    for piece, seconds in took_s.items():
        if piece in untold or not piece.counts:
            left[piece.kind] += max(piece.counts, 1)
        else:
            known[piece.kind] += [round(seconds / piece.counts, 1)] * piece.counts
    return JobTimes({kind: tuple(sorted(times)) for kind, times in known.items()}, dict(left), stages)
