"""The law of striking: the walk is the one that it would be had the entry not been logged, or it is refused with a sentence."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from random import Random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import station_offset
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.edit.striking import comes_of_it, in_the_way, strike
from engine.job.errors import EditRefused
from engine.job.file.as_read import as_read
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, ObstacleEntry, OfPost, PlannedEntry, posts_since
from engine.job.model.words.log_sentences import called
from engine.paper.plan.plan_json import plan
from engine.stages.layout.stage import planned_posts
from engine.stages.survey.survey_facts import LineSurvey
from engine.walk import walk
from tests.demo import AT, accepted, demo
from tests.stages.flat_yards import posts, ring, straight

Step = Callable[[Job, Random, datetime], Job]


def _post(job: Job, random: Random) -> str:
    return random.choice(posts_since(job.posts, job.log).standing or ("P1",))


def _line(job: Job, random: Random) -> tuple[str, float]:
    name = random.choice(list(job.lines))
    return name, random.uniform(1, walk(job).survey.lines[name].length_ft)


def _tick(job: Job, random: Random, at: datetime) -> Job:
    item = random.choice([line.item for checklist in walk(job).checklists.values() for line in checklist.lines])
    unit = item.reading.unit if item.reading else ""
    reading = {"reading_ft": 20.0} if unit == "ft" else {"reading_in": 24.0} if unit == "in" else {}
    return edits.tick(job, item.key, at, "Mo", of=item.of, **reading)


def _again(job: Job, _: Random, at: datetime) -> Job:
    return accepted_again(job, fresh_layout(job, walk(job)), at, "Mo")


def _new_way(job: Job, random: Random, at: datetime) -> Job:
    before = walk(job)
    row = random.choice([line.supports for line in before.layout.lines.values()])
    first = random.randrange(len(row))
    last = (first + random.randint(2, 4)) % len(row)
    way = NewWay(row[first], row[last], ("N",) if "N" in job.points else ())
    return with_new_way(job, before, given_up(job, before, way, at), at, "Mo")


def _untick(job: Job, random: Random, at: datetime) -> Job:
    read = [key for key, tick in job.checks.items() if tick.reading is not None]
    if not read:
        raise EditRefused("Nothing was read.")
    return edits.untick(job, random.choice(read), at, "Mo")


def _read(job: Job, random: Random, at: datetime) -> Job:
    return edits.tick(job, ItemKey("posts", _post(job, random), "driven_depth"), at, "Mo", reading_in=30.0)


def _rule(job: Job, random: Random, _: datetime) -> Job:
    layout = job.rules.layout.model_copy(update={"move_reach_ft": random.choice([2.0, 3.0, 4.0])})
    return job.model_copy(update={"rules": job.rules.model_copy(update={"layout": layout})})


ALONE: dict[str, Step] = {
    "note": lambda job, random, at: edits.note(job, "words", at, "Mo", about=f"P{random.randint(1, 7)}"),
    "obstacle": lambda job, random, at: edits.obstacle(job, "rock", random.choice(list(job.lines)), random.uniform(1, 100), at, "Mo"),
    "delivery": lambda job, _, at: edits.delivery(job, "sleeve-30", at, "Mo", packs=2, loose=None),
    "sleeve": lambda job, random, at: edits.sleeve_left(job, f"P{random.randint(1, 7)}", (3.0, 4.0), at, "Mo"),
    "rule": _rule,
}
OF_POSTS: dict[str, Step] = {
    "move": lambda job, random, at: edits.move_post(job, _post(job, random), at, "Mo", along_ft=random.uniform(0.5, 3), out_ft=1.0),
    "add": lambda job, random, at: edits.add_post(job, *_line(job, random), at, "Mo"),
    "drop": lambda job, random, at: edits.drop_post(job, _post(job, random), at, "Mo"),
    "swap": lambda job, random, at: edits.swap_to_tree(job, _post(job, random), random.choice(list(job.trees) or ["none"]), at, "Mo"),
    "again": _again,
    "new way": _new_way,
    "untick": _untick,
}
BEFORE = {**ALONE, **OF_POSTS, "tick": _tick, "read": _read}
STRUCK = {name: step for name, step in {**ALONE, **OF_POSTS}.items() if name != "rule"}
START = straight(120.0, {"N": (30.0, 60.0)}, posts=posts("n", *range(0, 121, 20)), trees={"oak": {"point": "N", "diameter_in": 14}})
RING = ring(posts=posts("r", *range(0, 141, 20), kinds={**dict.fromkeys((0, 2, 4, 6), "corner"), 7: "line"}))


def done(job: Job, step: Step, seed: int, minute: int) -> Job:
    """The job after a step, as the screens make it; as it was where it is refused."""
    try:
        return with_places(step(job, Random(seed), AT + timedelta(minutes=minute)), walk(job), job)
    except EditRefused:
        return job


def after(job: Job, chain: list[tuple[str, int]], minute: int) -> Job:
    for n, (name, seed) in enumerate(chain):
        job = done(job, BEFORE[name], seed, minute + n)
    return job


def chains(steps: dict[str, Step], most: int) -> st.SearchStrategy[list[tuple[str, int]]]:
    return st.lists(st.tuples(st.sampled_from(list(steps)), st.integers(0, 999)), max_size=most)


def the_law_holds(start: Job, before: list[tuple[str, int]], struck: tuple[str, int], later: list[tuple[str, int]]) -> bool:
    """Whether the entry could be struck; then the walk is compared. What is opened was read before."""
    job = after(start, [*before, ("read", struck[1])] if struck[0] == "untick" else before, 0)
    logged = done(job, STRUCK[struck[0]], struck[1], 20)
    if logged is job:
        return False
    entry = next(entry for entry in logged.log if entry.id not in {one.id for one in job.log})
    if struck[0] in ("again", "new way"):
        entry = next(one for one in logged.log if one.kind in ("planned", "reroute") and one.id not in {e.id for e in job.log})
    with_it, without = after(logged, later, 30), after(job, later, 30)
    try:
        back = strike(with_it, entry.id, AT + timedelta(days=1), "Teal")
    except EditRefused:
        return False
    if struck[0] != "new way" or not any(kind == "obstacle" for kind, _ in later):
        assert plan(walk(back)) == plan(walk(without))
    assert stand(back) == nearly(stand(where_found(without, back)))
    assert (back.posts, back.lines, back.gates, back.shots) == (without.posts, without.lines, without.gates, without.shots)
    assert back.checks == without.checks
    assert [one.id for one in back.log] == [one.id for one in with_it.log]
    return True


@pytest.mark.parametrize("start", [START, RING], ids=["line", "ring"])
@settings(max_examples=20, deadline=None)
@given(before=chains(BEFORE, 5), struck=st.tuples(st.sampled_from(list(STRUCK)), st.integers(0, 999)), later=chains(ALONE, 3))
def test_the_walk_is_as_if_it_had_not_been_logged(
    start: Job, before: list[tuple[str, int]], struck: tuple[str, int], later: list[tuple[str, int]]
) -> None:
    the_law_holds(start, before, struck, later)


@pytest.mark.parametrize("start", [START, RING], ids=["line", "ring"])
@settings(max_examples=25, deadline=None)
@given(
    before=chains(BEFORE, 3),
    struck=st.tuples(st.sampled_from(["move", "add", "drop", "swap"]), st.integers(0, 999)),
    plan_since=st.tuples(st.sampled_from(["again", "new way"]), st.integers(0, 999)),
    later=chains(ALONE, 2),
)
def test_beneath_a_plan_one_post_changes_at_most_and_the_plan_struck_too_it_is_as_if_neither_had_been_logged(
    start: Job, before: list[tuple[str, int]], struck: tuple[str, int], plan_since: tuple[str, int], later: list[tuple[str, int]]
) -> None:
    job = after(start, before, 0)
    logged = done(job, STRUCK[struck[0]], struck[1], 20)
    planned = done(logged, STRUCK[plan_since[0]], plan_since[1], 25)
    if logged is job or planned is logged:
        return
    entry, since = logged.log[-1], next(one for one in planned.log[len(logged.log) :] if one.kind in ("planned", "reroute"))
    with_it = after(planned, later, 30)
    back = strike(with_it, entry.id, AT + timedelta(days=1), "Teal")
    assert comes_of_it(with_it, entry).endswith(".")
    changed = {name for name in {*back.posts, *with_it.posts} if back.posts.get(name) != with_it.posts.get(name)}
    assert changed <= {entry.post}  # type: ignore[union-attr]  # of a post
    assert back.model_copy(update={"log": with_it.log, "posts": with_it.posts}) == with_it
    assert as_read(back) == back
    if in_the_way(back, next(one for one in back.log if one.id == since.id)):
        return
    both = strike(back, since.id, AT + timedelta(days=2), "Teal")
    neither = after(job, later, 30)
    if not any(kind == "obstacle" for kind, _ in later):
        assert plan(walk(both)) == plan(walk(neither))
    assert stand(both) == nearly(stand(where_found(neither, both)))
    assert (both.posts, both.lines, both.gates, both.shots, both.checks) == (
        neither.posts, neither.lines, neither.gates, neither.shots, neither.checks,
    )  # fmt: skip


def where_found(job: Job, found: Job) -> Job:
    """A job whose log has what was found in the ground at the stations that its places have by the lines of today."""
    lines, there = walk(job).survey.lines, {one.id: one.place for one in found.log if isinstance(one, ObstacleEntry)}
    return job.model_copy(update={"log": tuple(_at(one, lines, there) for one in job.log)})


def _at(entry: LogEntry, lines: Mapping[str, LineSurvey], there: Mapping[str, tuple[float, float] | None]) -> LogEntry:
    place = there.get(entry.id)
    if not isinstance(entry, ObstacleEntry) or place is None:
        return entry
    station_ft, offset_ft = station_offset(lines[entry.line].path, place)
    return entry.model_copy(update={"station_ft": station_ft, "offset_ft": offset_ft, "east_ft": place[0], "north_ft": place[1]})


@pytest.mark.parametrize("start", [START, RING], ids=["line", "ring"])
@settings(max_examples=25, deadline=None)
@given(
    before=chains(BEFORE, 3),
    plan_then=st.tuples(st.sampled_from(["again", "new way"]), st.integers(0, 999)),
    later=chains({**ALONE, **{name: OF_POSTS[name] for name in ("move", "add", "drop", "swap", "again", "new way")}}, 6),
)
def test_beneath_what_was_logged_since_a_plan_is_struck_with_what_stands_on_it_and_the_rest_is_as_if_logged_without_it(
    start: Job, before: list[tuple[str, int]], plan_then: tuple[str, int], later: list[tuple[str, int]]
) -> None:
    job = after(start, before, 0)
    planned = done(job, STRUCK[plan_then[0]], plan_then[1], 20)
    if planned is job:
        return
    entry = next(one for one in planned.log[len(job.log) :] if one.kind in ("planned", "reroute"))
    with_it = after(planned, later, 30)
    assert in_the_way(with_it, entry) == ""
    back = strike(with_it, entry.id, AT + timedelta(days=1), "Teal")
    known = {one.id for one in planned.log}
    stays = tuple(one for one in back.log if one.id not in known and one.struck_at is None)
    bare = job.model_copy(update={"log": (*job.log, *stays), "rules": back.rules})
    assert (back.posts, back.lines, back.gates, back.shots) == (job.posts, job.lines, job.gates, job.shots)
    assert stand(back) == nearly(stand(where_found(bare, bare)))
    assert as_read(back) == back
    gone = [one for one in with_it.log if one.struck_at is None and one.id not in known and one.id not in {kept.id for kept in stays}]
    told = comes_of_it(with_it, entry)
    assert all(f"{called(one)[1:]}" in told for one in gone if isinstance(one, OfPost) and one.id not in own_steps(with_it))


def own_steps(job: Job) -> set[str]:
    """What plans logged themselves: it goes with them, untold."""
    return {name for one in job.log if isinstance(one, PlannedEntry) for name in one.steps}


def stand(job: Job) -> dict[str, tuple[float, ...]]:
    """Where its supports stand, and the middles of what was found in the ground."""
    laid = walk(job).layout
    found = {str(one.id): shapely.Polygon(one.polygon).centroid.coords[0] for one in laid.keep_outs if one.id.source == "log"}
    return {**{name: one.xy for name, one in laid.supports.items()}, **found}


def nearly(there: dict[str, tuple[float, ...]]) -> dict[str, object]:
    """To an eighth of an inch: stations are kept to four places."""
    return {name: pytest.approx(spot, abs=0.0105) for name, spot in there.items()}


@pytest.mark.parametrize("kind", list(STRUCK))
def test_of_the_demo_each_kind_comes_back(kind: str) -> None:
    ticked = after(accepted(), [("tick", seed) for seed in range(12)] + [("move", 1)], 0)
    assert sum(the_law_holds(ticked, [], (kind, seed), [("delivery", 1), ("note", 2)]) for seed in range(6)) >= 1


def test_the_first_plan_goes_back_to_what_was_proposed() -> None:
    before = walk(demo())
    job = edits.accept_layout(demo(), planned_posts(before.layout), AT, "Mo")
    assert plan(walk(strike(job, job.log[-1].id, AT, "Mo"))) == plan(before)


def test_a_tick_of_a_plan_that_is_struck_is_kept_and_open() -> None:
    flag = ItemKey("layout", "P2", "flag")
    job = START.model_copy(update={"posts": {**START.posts, "P2": START.posts["P2"].model_copy(update={"station_ft": 15.0})}})
    again = done(job, _again, 0, 1)
    item = walk(again).checklists["layout"].by_key[flag].item
    ticked = edits.tick(again, flag, AT, "Mo", of=item.of)
    assert walk(ticked).checklists["layout"].by_key[flag].state == "done"
    back = strike(ticked, again.log[-1].id, AT, "Mo")
    assert walk(back).checklists["layout"].by_key[flag].state == "open"
    assert back.checks[flag] == ticked.checks[flag]
