"""Crew hours out of finished jobs: a crew of known pace is found again, and how often a job comes out between low and high."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.ahead.crew_hours import CrewHours, NoFigure, Spread, crew_hours, ends, first_day, hours_ahead, kind_times, pieces_left
from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.rough_job import rough_job
from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import JobTimes, work_times
from engine.calc.order_statistics import RanksRound
from engine.job.edit.edits import tick
from engine.job.model.job import Job
from engine.walk import walk
from tests.ahead.crews import MINUTES, MORNING, asked, signed, worked
from tests.demo import accepted

SLEEVE, BRACE, LOOP, GATE = (
    WorkKind("posts", "sleeve in clay"),
    WorkKind("bracing", "brace"),
    WorkKind("cables", "cable loop"),
    WorkKind("gate", "gate"),
)


def jobs(*rows: Mapping[WorkKind, list[float]]) -> FinishedJobs:
    """Finished jobs with the minutes of their pieces."""
    times = {
        f"{n}.toml": JobTimes({kind: tuple(60 * each for each in those) for kind, those in row.items()}, {}) for n, row in enumerate(rows)
    }
    return FinishedJobs(Path("done"), times)


@cache
def crew(count: int = 40) -> tuple[tuple[float, JobTimes], ...]:
    """Finished jobs of crews at paces of their own, a quarter more or less."""
    rng = Random(5)
    paces = [rng.lognormvariate(0, 0.25) for _ in range(count)]
    return tuple((pace, work_times(worked(seed, pace), 20.0)) for seed, pace in enumerate(paces))


@cache
def demo_left() -> Mapping[WorkKind, float]:
    return pieces_left(accepted(), walk(accepted()))


@pytest.mark.closed_form
def test_each_job_says_how_long_it_would_have_taken() -> None:
    """Ten sleeves at 10, 20 and 40 minutes: of three answers low and high are the least and the greatest, and half come between."""
    found = crew_hours({SLEEVE: 10}, jobs({SLEEVE: [10] * 6}, {SLEEVE: [15, 25] * 3}, {SLEEVE: [40] * 6}))
    assert found.total == pytest.approx(Spread(10 / 6, 20 / 6, 40 / 6))
    assert (found.jobs, found.between, found.no_figure) == (3, pytest.approx(0.5), ())


@pytest.mark.closed_form
def test_a_kind_a_job_tells_nothing_of_goes_at_its_pace_in_all_else() -> None:
    """The third job took twice as long over sleeves as usual and braced nothing: its braces count twice the usual 15 minutes."""
    found = crew_hours({BRACE: 4}, jobs({SLEEVE: [10] * 6, BRACE: [15] * 2}, {SLEEVE: [10] * 6, BRACE: [15] * 2}, {SLEEVE: [20] * 6},
                                        {SLEEVE: [10] * 6, BRACE: [15] * 2}))  # fmt: skip
    assert found.total == pytest.approx(Spread(1.0, 1.0, 2.0))


@pytest.mark.closed_form
def test_stages_do_not_add_up() -> None:
    done = jobs({SLEEVE: [10] * 6, LOOP: [60] * 6}, {SLEEVE: [20] * 6, LOOP: [40] * 6}, {SLEEVE: [30] * 6, LOOP: [20] * 6})
    found = crew_hours({SLEEVE: 6, LOOP: 6}, done)
    assert found.stages == {"posts": pytest.approx(Spread(1, 2, 3)), "cables": pytest.approx(Spread(2, 4, 6))}
    assert found.total == pytest.approx(Spread(5, 6, 7))


def test_what_too_little_is_known_of_is_named_and_not_in_the_sum() -> None:
    done = jobs({SLEEVE: [10] * 6, GATE: [90]}, {SLEEVE: [10] * 6, GATE: [90] * 4}, {SLEEVE: [10] * 6})
    found = crew_hours({SLEEVE: 6, GATE: 1, LOOP: 2}, done)
    assert found.total == pytest.approx(Spread(1, 1, 1))
    assert found.no_figure == (NoFigure(LOOP, 2, 0, 0), NoFigure(GATE, 1, 5, 2))
    assert set(found.stages) == {"posts"}


@pytest.mark.parametrize("done", [jobs(), jobs({SLEEVE: [10] * 6}, {SLEEVE: [10] * 6}), jobs({}, {}, {}), jobs(*[{SLEEVE: [10]}] * 4)])
def test_no_history_no_figure(done: FinishedJobs) -> None:
    found = crew_hours({SLEEVE: 10}, done)
    assert (found.total, found.stages, [row.kind for row in found.no_figure][:1]) in ((None, {}, [SLEEVE]), (None, {}, []))


@pytest.mark.closed_form
def test_a_kinds_usual_time_its_ranks_and_a_tenth_of_pieces() -> None:
    """Nine jobs with averages of 1 to 9: the middle is 5, ranks 2 and 8 hold it; of 45 pieces a tenth is at rank 4.6."""
    done = jobs(*[{SLEEVE: [float(n)] * 5} for n in range(1, 10)])
    one = kind_times(done.times.values())[SLEEVE]
    assert (one.pieces, one.jobs, one.usual_min) == (45, 9, pytest.approx(5))
    assert one.ranks == RanksRound(2, 8, pytest.approx(0.9609375))
    assert (one.usual_from_min, one.usual_to_min) == (pytest.approx(2), pytest.approx(8))
    assert (one.piece_low_min, one.piece_high_min) == (pytest.approx(1), pytest.approx(9))


@pytest.mark.closed_form
def test_a_known_crew_is_found_within_what_is_said() -> None:
    """The middle of forty jobs of a crew whose pace is 1 on average: the usual minutes of every kind with pieces enough, and the sum."""
    found = crew_hours(demo_left(), FinishedJobs(Path("done"), {f"{n:02}": times for n, (_, times) in enumerate(crew())}))
    for kind, one in found.kinds.items():
        if one.pieces > 2 * one.jobs:
            assert one.usual_from_min <= MINUTES[kind.name] <= one.usual_to_min, kind
    true_h = sum(MINUTES[kind.name] * count for kind, count in demo_left().items()) / 60
    assert found.total is not None
    assert found.total.likely == pytest.approx(true_h, rel=0.1)
    assert found.total.low < true_h < found.total.high
    assert found.no_figure == ()


@pytest.mark.closed_form
def test_a_job_that_is_not_among_them_comes_between_low_and_high_as_often_as_said() -> None:
    """Each of forty jobs told by the other thirty-nine: of forty draws 8 in 10 within three standard errors."""
    inside = 0
    true_h = sum(MINUTES[kind.name] * count for kind, count in demo_left().items()) / 60
    for own, (pace, _) in enumerate(crew()):
        rest = {f"{n:02}": times for n, (_, times) in enumerate(crew()) if n != own}
        found = crew_hours(demo_left(), FinishedJobs(Path("done"), rest))
        assert found.total is not None
        inside += found.total.low <= pace * true_h <= found.total.high
    assert inside / 40 == pytest.approx(0.8, abs=3 * (0.8 * 0.2 / 40) ** 0.5)


minutes = st.lists(st.floats(0.5, 200), min_size=1, max_size=8)
history = st.lists(st.dictionaries(st.sampled_from([SLEEVE, BRACE, LOOP, GATE]), minutes, max_size=4), max_size=8)
to_do = st.dictionaries(st.sampled_from([SLEEVE, BRACE, LOOP, GATE]), st.floats(0, 60), min_size=1, max_size=4)


def spreads(found: CrewHours) -> list[Spread]:
    return [*found.stages.values(), *([found.total] if found.total else [])]


@settings(max_examples=100, deadline=None)
@given(history, to_do)
def test_low_is_never_over_likely_nor_likely_over_high(rows: list[dict[WorkKind, list[float]]], left: dict[WorkKind, float]) -> None:
    for one in spreads(crew_hours(left, jobs(*rows))):
        assert one.low <= one.likely * (1 + 1e-9) <= one.high * (1 + 1e-8)


@settings(max_examples=100, deadline=None)
@given(history, to_do, st.sampled_from([SLEEVE, BRACE, LOOP, GATE]), st.floats(0, 30))
def test_more_pieces_never_take_fewer_hours(
    rows: list[dict[WorkKind, list[float]]], left: dict[WorkKind, float], kind: WorkKind, more: float
) -> None:
    few, many = crew_hours(left, jobs(*rows)), crew_hours({**left, kind: left.get(kind, 0.0) + more}, jobs(*rows))
    if few.total is not None:
        assert many.total is not None
        assert all(one <= other * (1 + 1e-9) + 1e-12 for one, other in zip(few.total, many.total, strict=True))


@settings(max_examples=60, deadline=None)
@given(history, to_do, st.randoms(use_true_random=False))
def test_the_order_of_the_files_does_not_matter(rows: list[dict[WorkKind, list[float]]], left: dict[WorkKind, float], rng: Random) -> None:
    times = jobs(*rows).times
    names = list(times)
    rng.shuffle(names)
    shuffled = FinishedJobs(Path("done"), {name: times[name] for name in names})
    assert crew_hours(left, shuffled) == crew_hours(left, jobs(*rows))


def test_what_is_ticked_is_not_to_be_done_any_more() -> None:
    job, whole = accepted(), demo_left()
    assert whole[WorkKind("posts", "sleeve in clay")] == 12
    assert whole[WorkKind("gate", "gate")] == 1
    first = [item for item in asked() if item.key.stage == "posts" and item.key.subject == "P2"]
    for item in first[:2]:
        job = tick(job, item.key, MORNING, "Mo", of=item.of, reading_in=30.0 if item.reading else None)
    assert len(first) == 4
    assert pieces_left(job, walk(job))[WorkKind("posts", "sleeve in clay")] == 11.5


def test_an_estimate_is_told_of_its_lengths() -> None:
    """140 ft 30 % either way, both ends at the house, one corner: low and high are wider than those of 140 ft alone."""
    said = {"length_ft": 140, "spread_pct": 30, "start_meets": "house", "end_meets": "house", "corners": 1, "gates_ft": [5]}
    job = Job.model_validate({"rough": said})
    done = FinishedJobs(Path("done"), {f"{n:02}": times for n, (_, times) in enumerate(crew())})
    found = hours_ahead(job, walk(job), done)
    assert job.rough is not None
    made = rough_job(job, job.rough, 140)
    alone = crew_hours(pieces_left(made, walk(made)), done)
    assert found.total is not None
    assert alone.total is not None
    assert found.lengths is not None
    assert found.lengths.length_ft.low == pytest.approx(98)
    assert found.total.low < alone.total.low < alone.total.likely == found.total.likely < alone.total.high < found.total.high
    assert found.to_do == alone.to_do


def test_a_job_without_a_layout_says_so() -> None:
    done = FinishedJobs(Path("done"), {f"{n:02}": times for n, (_, times) in enumerate(crew())})
    assert not hours_ahead(Job(), walk(Job()), done).laid_out
    planned = hours_ahead(accepted(), walk(accepted()), done)
    assert planned == crew_hours(demo_left(), done)


def test_a_job_that_is_done_has_nothing_left() -> None:
    job = worked(1)
    assert pieces_left(job, walk(job)) == {}
    assert crew_hours({}, jobs(*[{SLEEVE: [10] * 6}] * 3)).total is None
    left_open = signed(job.model_copy(update={"checks": dict(list(job.checks.items())[:-9])}))
    assert pieces_left(left_open, walk(left_open)) != {}
    assert hours_ahead(left_open, walk(left_open), jobs(*[{SLEEVE: [10] * 6}] * 3)).to_do == {}


@pytest.mark.closed_form
def test_the_day_it_ends() -> None:
    """50 crew hours of three people at 8 hours are two days and a bit: from Thursday on they end on Monday."""
    assert ends(50, 3, 8, date(2026, 12, 3)) == (pytest.approx(50 / 24), date(2026, 12, 7))
    assert ends(1e9, 1, 8, date(2026, 12, 3)).on is None


def test_it_starts_on_the_planned_day_or_today_where_that_is_past() -> None:
    job = Job.model_validate({"job": {"planned_for": "2026-12-03"}})
    assert first_day(job, date(2026, 11, 1)) == date(2026, 12, 3)
    assert first_day(job, date(2026, 12, 24)) == date(2026, 12, 24)
    assert first_day(Job(), date(2026, 11, 1)) == date(2026, 11, 1)
