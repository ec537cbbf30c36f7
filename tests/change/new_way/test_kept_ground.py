"""A new way keeps the ground under what stays: places, levels, bays and the cut of every loop that it doesn't touch."""

from functools import cache
from random import Random
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.shots import Point
from engine.stages.layout.stage import planned_posts
from engine.stages.posts.standing_supports import stands_of
from engine.walk import Walk, forget, walk
from tests.bench.big_job import big_job
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT, BY, accepted, others
from tests.stages.flat_yards import posts, ring, straight

SAME_FT = 0.01


def rerouted(job: Job, way: NewWay) -> Job:
    before = walk(job)
    return with_new_way(job, before, given_up(job, before, way, AT), AT, BY)


def levels(line: str, rows: dict[float, float]) -> dict[str, Any]:
    return {f"l{n}": {"method": "level", "line": line, "station_ft": at, "level_ft": level} for n, (at, level) in enumerate(rows.items())}


@cache
def jobs() -> dict[str, Job]:
    """Demos with a plan, a yard of the big job, and hilly ground of our own with stretches of another height and a drive."""
    found = {"willow_bend": accepted(), **{name: job for name, job in others().items() if job.posts}, "big": big_job(1)}
    return {name: job.model_copy(update={"record": None}) for name, job in found.items()}


def hilly(seed: int) -> Job:
    """A line or a ring on random ground, as it is proposed, with a change of height, a post or two moved and its loops closed."""
    random = Random(seed)
    closed = random.random() < 0.5
    length_ft = 160.0 if closed else 200.0
    line = "r" if closed else "n"
    stations = sorted(random.uniform(0, length_ft) for _ in range(random.randint(1, 9)))
    tables: dict[str, Any] = {
        "shots": levels(line, {station: random.uniform(-6, 6) for station in stations}),
        "heights": {"low": {"line": line, "from_ft": 30, "to_ft": 70, "height_ft": 4}},
        "surfaces": {"drive": {"line": line, "kind": "slab", "from_ft": 105, "to_ft": 112}},
    }
    job = ring(**tables) if closed else straight(length_ft, **tables)
    job = edits.accept_layout(job, planned_posts(walk(job).layout), AT, BY)
    plain = [name for name, post in job.posts.items() if post.support == "driven" and post.kind == "line"]
    for name in random.sample(plain, min(2, len(plain))):
        job = edits.move_post(job, name, AT, BY, along_ft=random.uniform(0.1, 1.5), out_ft=random.choice([0.0, random.uniform(-1.5, 1.5)]))
    for item in walk(job).cables.items:
        if item.key.what == "closed":
            job = edits.tick(job, item.key, AT, BY, of=item.of)
    return job


def random_way(job: Job, random: Random) -> tuple[Job, NewWay]:
    """The job with a point somewhere beside one of its lines, and a way between two supports over it or straight."""
    layout = walk(job).layout
    row = layout.lines[random.choice([name for name, line in layout.lines.items() if len(line.supports) > 3])].supports
    first, last = sorted(random.sample(range(len(row)), 2))
    if random.random() < 0.3:
        first, last = last, first
    a, b = layout.supports[row[first]].xy, layout.supports[row[last]].xy
    spot = Point(east_ft=(a[0] + b[0]) / 2 + random.uniform(-12, 12), north_ft=(a[1] + b[1]) / 2 + random.uniform(-12, 12))
    through = ("NEW",) if random.random() < 0.7 else ()
    return job.model_copy(update={"points": {**job.points, "NEW": spot}}), NewWay(row[first], row[last], through)


def strays(before: Walk, after: Walk, out: tuple[str, ...], cut: tuple[str, ...]) -> list[object]:
    """What of that which stays is another than it was: places, ground, bays, cuts of loops that aren't touched."""
    old, new = before.layout, after.layout
    found: list[object] = [name for name in old.supports if name not in out and name not in new.supports]
    both = [(one, new.supports[name]) for name, one in old.supports.items() if name in new.supports]
    found += [(a.id, a.xy, b.xy) for a, b in both if max(abs(x - y) for x, y in zip(a.xy, b.xy, strict=True)) > SAME_FT]
    found += [(a.id, a.level_ft, b.level_ft) for a, b in both if abs(a.level_ft - b.level_ft) > SAME_FT]
    bays = [(bay, new.bays[name]) for name, bay in old.bays.items() if name in new.bays]
    found += [(a.id, a.slope_ft, b.slope_ft) for a, b in bays if abs(a.slope_ft - b.slope_ft) > SAME_FT]
    run_as_before = {loop.bays: loop for loop in after.cables.loops.values()}
    loops = [(one, run_as_before.get(one.bays)) for name, one in before.cables.loops.items() if name not in cut]
    return found + [(a.id, a.cut_ft, b.cut_ft) for a, b in loops if b is not None and abs(a.cut_ft - b.cut_ft) > 2 * SAME_FT]


def kept(job: Job, random: Random) -> bool:
    """Whether a random way could be taken; everything that stays is looked at."""
    job, way = random_way(job, random)
    before = walk(job)
    try:
        given = given_up(job, before, way, AT)
        done = with_new_way(job, before, given, AT, BY)
    except EditRefused:
        return False
    assert strays(before, walk(done), given.out, given.loops) == [], way
    return True


@settings(max_examples=50, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=229179)  # a stretch of another height ends in the very middle of a bay
def test_what_stays_on_hilly_ground_keeps_its_ground(seed: int) -> None:
    kept(hilly(seed), Random(seed))


@pytest.mark.parametrize("name", list(jobs()))
def test_what_stays_of_a_demo_keeps_its_ground(name: str) -> None:
    assert sum(kept(jobs()[name], Random(seed)) for seed in range(25)) >= 5


def test_a_ring_left_at_its_first_support_comes_back_to_where_that_stands() -> None:
    """P1 stands a foot east of the ring's first point; from it to P3 the ring goes straight, and it closes at P1, not at Q1."""
    kinds = dict.fromkeys((0, 2, 4, 6), "corner") | {7: "line"}
    moved = edits.move_post(ring(posts=posts("r", *range(0, 141, 20), kinds=kinds)), "P1", AT, BY, out_ft=1.0)
    before = walk(moved)
    done = rerouted(moved, NewWay("P1", "P3"))
    assert done.lines["r"].points == ("at-P1", "Q2", "Q3", "Q4", "at-P1")
    assert Job.model_validate(done.model_dump()) == done
    assert walk(done).layout.supports["P8"].xy == pytest.approx(before.layout.supports["P8"].xy, abs=1e-3)


def test_what_lies_past_a_new_way_stands_to_the_bit_where_it_stood() -> None:
    """Past the next two supports, under which the ground may be told by a shot in what was given up; those it runs between too."""
    job = big_job(1)
    forget()  # a walk of a while ago would be given again, of things that are kept no more
    before = walk(job)
    row, shifted, held = before.layout.lines["ring1"].supports, 0, 0
    for n in range(1, 9):
        done = rerouted(job, NewWay(row[n], row[n + 3]))
        old, new = (stands_of(one.layout) for one in (before, walk(done)))
        far = [name for at, name in enumerate(row) if not n - 3 <= at <= n + 6]
        assert len(far) >= 15
        assert [name for name in far if new[name] is not old[name]] == []
        shifted += sum(done.posts[name].station_ft != job.posts[name].station_ft for name in far)
        held += sum(new[name] is old[name] for name in (row[n], row[n + 3]))
    assert shifted >= 50
    assert held == 16


def test_where_posts_stand_was_measured_by_nobody_and_is_not_asked_for() -> None:
    """The line's own points are known; `at-P3` and `at-P5` are written down by the new way, and N is measured by the crew."""
    before = walk(line_of())
    asked = [item.key for item in before.survey.items]
    after = walk(another_way(line_of(), NewWay("P3", "P5", ("N",))))
    assert {"at-P3", "at-P5"} <= after.survey.points.keys()
    assert [item.key for item in after.survey.items] == asked
    notes = [[finding.subjects for finding in one.findings if finding.code == "points_unchecked"] for one in (before, after)]
    assert notes[0] == notes[1]
