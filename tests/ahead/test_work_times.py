"""How long pieces took, by ticks at known times; and what breaks, fills, mixed entries and a second person do to that."""

from collections.abc import Mapping
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import JobTimes, work_times
from engine.job.edit.edits import tick, untick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from tests.ahead.crews import MINUTES, MORNING, worked

SLEEVE = WorkKind("posts", "sleeve in clay")
PAUSE = 20.0


def at(minutes: float) -> datetime:
    return MORNING + timedelta(minutes=minutes)


def ticked(*rows: tuple[str, float] | tuple[str, float, str], crew: tuple[str, ...] = (), state: str = "done") -> Job:
    """Items ticked so many minutes after eight, by Mo or who is named."""
    checks = {row[0]: {"at": at(row[1]), "by": row[2] if len(row) > 2 else "Mo", "state": state} for row in rows}
    return Job.model_validate({"job": {"crew": crew}, "checks": checks})


def minutes(job: Job, pause: float = PAUSE) -> Mapping[str, list[float]]:
    """Minutes of every piece by the name of its kind."""
    return {kind.name: [each / 60 for each in seconds] for kind, seconds in work_times(job, pause).pieces_s.items()}


def sleeves(first: int, *after: float, by: str = "Mo") -> tuple[tuple[str, float, str], ...]:
    """Depths of sleeves from P`first` on, at these minutes."""
    return tuple((f"posts.P{first + n}.driven_depth", minute, by) for n, minute in enumerate(after))


@pytest.mark.closed_form
def test_the_time_before_a_tick_is_work_on_its_piece() -> None:
    job = ticked(("layout.P1.flag", 0), ("posts.P1.driven_depth", 12), ("posts.P1.solid", 15), ("posts.P2.driven_depth", 25))
    assert minutes(job) == {"sleeve in clay": [10, 15]}
    assert work_times(job, PAUSE).left_out == {WorkKind("layout", "post set out"): 1}


@pytest.mark.closed_form
def test_the_days_first_tick_tells_nothing_of_its_piece() -> None:
    job = ticked(*sleeves(1, 0, 10, 24 * 60, 24 * 60 + 12))
    assert minutes(job) == {"sleeve in clay": [10, 12]}
    assert work_times(job, PAUSE).left_out == {SLEEVE: 2}


@pytest.mark.closed_form
def test_a_filled_column_is_shared_evenly() -> None:
    job = ticked(("layout.P1.flag", 0), *sleeves(1, 40, 40, 40, 40))
    assert minutes(job) == {"sleeve in clay": [10, 10, 10, 10]}


@pytest.mark.closed_form
def test_ticks_less_than_a_minute_apart_are_one_entry() -> None:
    job = ticked(("layout.P1.flag", 0), *sleeves(1, 28, 29, 30))
    assert minutes(job) == {"sleeve in clay": [10, 10, 10]}


@pytest.mark.closed_form
def test_an_entry_of_several_stages_tells_of_no_piece_but_counts_for_each() -> None:
    job = ticked(("layout.P1.flag", 0), ("posts.P1.driven_depth", 30), ("bracing.P1.foot_a", 30), *sleeves(2, 42))
    found = work_times(job, PAUSE)
    assert minutes(job) == {"sleeve in clay": [12]}
    assert found.left_out == {WorkKind("layout", "post set out"): 1, SLEEVE: 1, WorkKind("bracing", "brace"): 1}
    assert {stage: (told.worked_s / 60, told.told, told.untold) for stage, told in found.stages.items()} == {
        "layout": (0, 0, 1),
        "posts": (27, 2, 0),
        "bracing": (15, 1, 0),
    }


@pytest.mark.closed_form
def test_a_morning_ticked_at_noon_is_told_and_more_is_not() -> None:
    assert minutes(ticked(("layout.P1.flag", 0), *sleeves(1, *[230.0] * 10))) == {"sleeve in clay": [23] * 10}
    assert minutes(ticked(("layout.P1.flag", 0), *sleeves(1, *[241.0] * 10))) == {}


@pytest.mark.closed_form
def test_a_column_filled_over_sleeves_and_a_tree_is_shared_evenly_too() -> None:
    job = ticked(("layout.P1.flag", 0), *sleeves(1, 12, 24), *((f"posts.P{n}.eyes", 36.0) for n in (1, 2, 3)), ("posts.P3.diameter", 36))
    assert minutes(job) == {"sleeve in clay": [16, 16], "tree for cables": [4]}


@pytest.mark.closed_form
def test_a_wait_over_the_rule_and_over_three_times_the_usual_is_a_break() -> None:
    job = ticked(*sleeves(1, 0, 8, 16, 24, 69, 77))
    assert minutes(job) == {"sleeve in clay": [8, 8, 8, 8]}
    assert work_times(job, PAUSE).left_out == {SLEEVE: 2}
    assert minutes(job, 45) == {"sleeve in clay": [8, 8, 8, 8, 45]}


@pytest.mark.closed_form
def test_long_work_is_no_break_where_such_work_is_long() -> None:
    assert minutes(ticked(*sleeves(1, 0, 50, 100, 150, 240))) == {"sleeve in clay": [50, 50, 50, 90]}
    gate = ticked(("gate.front.opening", 0), ("gate.front.hung", 150), ("punch.yard.walked", 155), ("punch.job.care_notes", 400))
    assert work_times(gate, PAUSE).stages["gate"].worked_s == 150 * 60
    assert work_times(gate, PAUSE).stages["punch"].untold == 1


@pytest.mark.closed_form
def test_a_check_that_came_up_once_goes_by_its_kind_of_work() -> None:
    """A dip is filled in one bay of four: forty minutes before that are lunch, as they are before a question; before a gate hangs they
    may be work."""
    bays = [(f"staking.P{n}-P{n + 1}.flush", 8.0 * n) for n in range(1, 5)]
    job = ticked(("fabric.L1.mesh_hung", 0), *bays, ("staking.P4-P5.dips_filled", 72))
    assert minutes(job) == {"bay of stakes": [8, 8, 8]}
    assert work_times(job, PAUSE).left_out[WorkKind("staking", "bay of stakes")] == 1
    asked = ticked(*[(f"survey.job.{what}", 5.0 * n) for n, what in enumerate(("a", "b", "c", "d"))], ("survey.job.e", 60))
    assert minutes(asked) == {"survey check": [5, 5, 5]}
    hung = ticked(*[(f"gate.front.{what}", 5.0 * n) for n, what in enumerate(("a", "b", "c", "d"), 1)], ("gate.front.e", 60))
    assert work_times(hung, PAUSE).stages["gate"].worked_s == 55 * 60


@pytest.mark.closed_form
def test_work_done_again_adds_to_its_piece_and_what_was_taken_back_does_not() -> None:
    key = item_key("posts.P1.driven_depth")
    job = tick(ticked(("layout.P1.flag", 0)), key, at(10), "Mo", reading_in=20)
    again = tick(job, key, at(25), "Mo", reading_in=28)
    assert minutes(again) == {"sleeve in clay": [25]}
    back = tick(untick(job, key, at(11), "Mo"), item_key("posts.P2.driven_depth"), at(25), "Mo", reading_in=28)
    assert minutes(back) == {"sleeve in clay": [25]}


def test_what_is_not_needed_is_no_work() -> None:
    job = ticked(("layout.P1.flag", 0), *sleeves(1, 9))
    skipped = tick(job, item_key("posts.P9.eyes"), at(4), "Mo", needed=False)
    assert work_times(skipped, PAUSE) == work_times(job, PAUSE)


@pytest.mark.closed_form
def test_the_crew_works_together_whoever_ticks() -> None:
    """Two on the crew: an hour is two crew hours, be it told by one of them or by both at once; two who name no crew are two, too."""
    alone = ticked(*sleeves(1, 0, 30, 60), crew=("Mo", "Ash"))
    both = (*sleeves(1, 0, 30, 60), *sleeves(11, 0, 20, 40, 60, by="Ash"))
    assert work_times(alone, PAUSE).stages["posts"].worked_s == 2 * 3600
    for crew in ((), ("Mo", "Ash")):
        assert work_times(ticked(*both, crew=crew), PAUSE).stages["posts"].worked_s == pytest.approx(2 * 3600)
    by_turns = (*sleeves(1, 0, 15, 30), *sleeves(11, 30, 45, 60, by="Ash"))
    assert work_times(ticked(*by_turns, crew=("Mo", "Ash")), PAUSE).stages["posts"].worked_s == pytest.approx(2 * 3600)


@pytest.mark.closed_form
def test_wire_and_mesh_of_a_loop_are_shared_by_its_bays() -> None:
    of = "P1 at 0.000 E 0.000 N, P2 at 20.000 E 0.000 N, P3 at 40.000 E 0.000 N"
    checks = {"fabric.L1.wire_hung": {"at": at(40), "by": "Mo", "of": of}, "layout.P1.flag": {"at": at(0), "by": "Mo"}}
    job = Job.model_validate({"checks": {**checks, "fabric.L2.wire_hung": {"at": at(70), "by": "Mo"}}})
    assert minutes(job) == {"bay of wire and mesh": [20, 20]}
    assert work_times(job, PAUSE).left_out[WorkKind("fabric", "bay of wire and mesh")] == 1


@pytest.mark.closed_form
def test_a_repair_tells_of_its_own_work_alone() -> None:
    """What stood before it was told by the job before; a sleeve of which only the plumb post is new took longer than that."""
    before = {"signed_at": at(60), "until": at(60), "signed_by": "Mo", "accepted_by": "a client", "digest": "0"}
    mend = ticked(("layout.P1.flag", 0), *sleeves(1, 12, 24, 36), *sleeves(7, 1000, 1010), ("posts.P3.plumb", 1022), *sleeves(9, 1035))
    mend = Job.model_validate({**mend.model_dump(), "repair_of": before})
    assert minutes(mend) == {"sleeve in clay": [10, 13]}
    assert work_times(mend, PAUSE).left_out == {SLEEVE: 2}
    assert work_times(mend, PAUSE).stages["posts"].worked_s == 35 * 60


def test_no_ticks_tell_nothing() -> None:
    assert work_times(Job(), PAUSE) == JobTimes({}, {}, {})


gaps = st.lists(st.floats(1.5, 19), min_size=3, max_size=12)
breaks = st.floats(241, 300)
waits = st.lists(st.integers(2, 19), min_size=1, max_size=9)


@settings(max_examples=60, deadline=None)
@given(gaps, st.integers(1, 11), breaks, breaks)
def test_a_break_adds_nothing_however_long_it_is(rests: list[float], where: int, one: float, other: float) -> None:
    def with_break(minutes: float) -> JobTimes:
        times = [0.0]
        for number, wait in enumerate(rests, 1):
            times.append(times[-1] + (minutes if number == min(where, len(rests)) else wait))
        return work_times(ticked(*sleeves(1, *times)), PAUSE)

    assert with_break(one).pieces_s == with_break(other).pieces_s
    assert sum(with_break(one).pieces_s[SLEEVE]) / 60 <= sum(rests) + 0.1


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(2, 19), min_size=1, max_size=9), st.lists(st.integers(2, 19), max_size=9), st.integers(0, 60), st.integers(0, 4)
)
def test_a_days_crew_hours_are_the_minutes_anyone_tells_of_times_the_crew(mo: list[int], ash: list[int], late: int, crew: int) -> None:
    """Against minutes ticked off one by one on a grid."""
    times = {"Mo": [sum(mo[:n]) for n in range(len(mo) + 1)], "Ash": [late + sum(ash[:n]) for n in range(len(ash) + 1)]}
    job = ticked(*sleeves(1, *times["Mo"]), *sleeves(21, *times["Ash"], by="Ash"), crew=tuple(f"{n}" for n in range(crew)))
    on_grid = {minute for those in times.values() for minute in range(those[0], those[-1])}
    assert work_times(job, PAUSE).stages["posts"].worked_s == pytest.approx(60 * len(on_grid) * max(crew, 2))


@settings(max_examples=40, deadline=None)
@given(gaps, st.randoms(use_true_random=False))
def test_the_order_of_the_ticks_in_the_file_does_not_matter(rests: list[float], rng: object) -> None:
    job = ticked(*sleeves(1, *(sum(rests[:n]) for n in range(len(rests) + 1))))
    names = list(job.checks)
    rng.shuffle(names)  # type: ignore[attr-defined]  # a random generator of the library's own
    assert work_times(job.model_copy(update={"checks": {name: job.checks[name] for name in names}}), PAUSE) == work_times(job, PAUSE)


@pytest.mark.closed_form
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_crew_of_known_pace_is_found_again(seed: int) -> None:
    """Without spread every piece of work done over and over takes what it takes, lunch or none."""
    found = work_times(worked(seed, 1.25, uneven=0.0), PAUSE)
    for kind, seconds in found.pieces_s.items():
        if len(seconds) > 2:
            assert [each / 60 for each in seconds] == pytest.approx([1.25 * MINUTES[kind.name]] * len(seconds), abs=0.02), kind
    assert sum(map(len, found.pieces_s.values())) > 80
