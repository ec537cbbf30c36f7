"""The walk: never raises, the same for the same job, stages kept by identity, and each reads only what it says it reads."""

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from math import isfinite
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import engine.walk
from engine.checklist import TicksOf
from engine.findings import STAGES
from engine.job.edit import edits
from engine.job.file.store import starter
from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.signed_record import Record
from engine.paper.plan.plan_json import plan, plan_text
from engine.paper.record_office import record_text
from engine.stages.bracing import stage as bracing
from engine.stages.cables import stage as cables
from engine.stages.fabric import stage as fabric
from engine.stages.gate import stage as gate
from engine.stages.layout import stage as layout
from engine.stages.posts import stage as posts
from engine.stages.punch import stage as punch
from engine.stages.staking import stage as staking
from engine.stages.survey import stage as survey
from engine.walk import Walk, forget, take_in, walk
from tests.demo import AT, BY, accepted, demo, others
from tests.stages.yards import build, half_surveyed, plain, sloping

TABLES = [name for name in Job.model_fields if name not in ("format", "record")]
MODULES = (survey, layout, posts, bracing, cables, fabric, staking, gate, punch)
RECORD = Record(signed_at=AT, signed_by=BY, accepted_by="the client", engine="0.1.0")


def cold(job: Job) -> Walk:
    """A walk with nothing remembered."""
    engine.walk.forget()
    return walk(job)


def without(job: Job, *tables: str) -> Job:
    """The job as a new one has it in these tables; no rule across records is kept."""
    return job.model_copy(update={table: getattr(Job(), table) for table in tables})


def worked() -> Job:
    """The demo in the middle of the work: some ticks and readings, a rock, moves, a swap, an addition, a drop."""
    job = edits.obstacle(accepted(), "rock", "back", 83, AT, BY, text="at 8 in")
    job = edits.move_post(job, "P6", AT, BY, along_ft=2, out_ft=0.5, why="rock")
    job = edits.swap_to_tree(job, "P11", "dogwood", AT, BY)
    job = edits.add_post(job, "back", 220, AT, BY)
    job = edits.drop_post(job, "P15", AT, BY)
    job = edits.tick(job, item_key("posts.P4.driven_depth"), AT, BY, reading_in=14, note="rock")
    job = edits.tick(job, item_key("posts.P15.plumb"), AT, BY)
    return edits.tick(job, item_key("gate.side.opening"), AT, BY, reading_ft=5.5)


def shape(walked: Walk) -> None:
    """What holds of any walk at all."""
    assert tuple(walked.checklists) == STAGES
    assert tuple(walked.stage_findings) == STAGES
    assert all(finding.stage == name for name in STAGES for finding in walked.stage_findings[name])
    assert all(finding.says.endswith(".") and finding.do.endswith(".") for finding in walked.findings)
    assert len({finding.key for finding in walked.findings}) == len(walked.findings)
    keys = [line.item.key for checklist in walked.checklists.values() for line in checklist.lines]
    assert len(set(keys)) == len(keys)
    assert all(line.item.key.stage == name for name in STAGES for line in walked.checklists[name].lines)
    plan_text(walked)


@pytest.mark.parametrize(
    "job",
    [Job(), starter("new"), demo(), accepted(), worked(), plain(), sloping(), half_surveyed(), *others().values()],
    ids=["empty", "starter", "demo", "accepted", "worked", "plain", "sloping", "half surveyed", *others()],
)
def test_a_walk_of_any_job_is_whole(job: Job) -> None:
    walked = walk(job)
    shape(walked)
    assert record_text(job, walked).startswith("What was built")


def test_an_empty_job_has_no_support_and_says_what_to_begin_with() -> None:
    walked = walk(starter("new"))
    assert not walked.layout.supports
    assert not walked.takeoff.rows
    assert [str(line.item.key) for line in walked.checklists["survey"].lines][:1] == ["survey.job.dogs_asked"]
    assert all(not walked.checklists[name].lines for name in STAGES[1:])


def test_the_demo_stops_for_nothing() -> None:
    assert [str(finding.key) for finding in walk(demo()).findings if finding.level == "stop"] == []


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("job", [demo(), worked()], ids=["demo", "worked"])
def test_a_job_that_lacks_a_table_never_raises(job: Job, table: str) -> None:
    shape(walk(without(job, table)))


@pytest.mark.parametrize("pair", [*combinations(("points", "shots", "lines", "gates", "posts", "trees", "fence"), 2)], ids="-".join)
def test_a_job_that_lacks_two_tables_never_raises(pair: tuple[str, str]) -> None:
    shape(walk(without(worked(), *pair)))


@pytest.mark.parametrize("table", ["points", "shots", "structures", "trees", "boundaries", "posts", "checks"])
def test_a_job_that_lacks_any_one_record_never_raises(table: str) -> None:
    rows = getattr(worked(), table)
    assert rows
    for name in rows:
        shape(walk(worked().model_copy(update={table: {key: row for key, row in rows.items() if key != name}})))


def numbers(value: object) -> list[float]:
    if isinstance(value, dict | list):
        return [number for inner in (value.values() if isinstance(value, dict) else value) for number in numbers(inner)]
    return [float(value)] if isinstance(value, int | float) else []


@settings(max_examples=25, deadline=None)
@given(
    st.dictionaries(st.sampled_from(["tie-M", "tie-C", "tie-T1", "tie-T2"]), st.floats(-5, 5), max_size=2),
    st.floats(0, 600),
    st.floats(3, 8),
)
def test_slips_of_the_tape_a_gate_anywhere_and_any_height_give_numbers(slips: dict[str, float], gate_ft: float, height_ft: float) -> None:
    data = demo().model_dump(exclude_none=True)
    for name, slip_ft in slips.items():
        data["shots"][name]["tape_a_ft"] += slip_ft
    data["gates"]["side"]["station_ft"] = gate_ft
    data["fence"]["height_ft"] = height_ft
    walked = walk(Job.model_validate(data))
    shape(walked)
    assert all(isfinite(number) for number in numbers(plan(walked)))


@pytest.mark.parametrize("job", [demo(), worked()], ids=["demo", "worked"])
def test_the_same_job_gives_the_same_walk_from_a_cold_start_too(job: Job) -> None:
    first = cold(job)
    assert walk(job) == first
    again = cold(Job.model_validate(job.model_dump(exclude_none=True)))
    assert again == first
    assert again.survey is not first.survey
    assert plan_text(again) == plan_text(first)


def test_a_tick_leaves_survey_and_layout_the_very_same_objects() -> None:
    before = walk(accepted())
    after = walk(edits.tick(accepted(), item_key("layout.P4.flag"), AT, BY))
    assert after.survey is before.survey
    assert after.layout is before.layout
    assert after.bracing is before.bracing
    assert after.checklists["layout"].done == before.checklists["layout"].done + 1


def test_a_depth_read_leaves_survey_and_layout_and_works_the_post_out_anew() -> None:
    before = walk(accepted())
    after = walk(edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=20))
    assert (after.survey is before.survey, after.layout is before.layout) == (True, True)
    assert (before.posts.work["P4"].driven_in, after.posts.work["P4"].driven_in) == (None, 20.0)


def test_a_move_leaves_the_survey_and_a_shot_taken_out_leaves_what_comes_out_the_same() -> None:
    """The tape between two boundary corners bears on the clearances of the layout and on nothing after it."""
    before = walk(accepted())
    moved = walk(edits.move_post(accepted(), "P6", AT, BY, along_ft=1))
    assert (moved.survey is before.survey, moved.layout is before.layout, moved.cables == before.cables) == (True, False, False)
    shots = {name: shot for name, shot in accepted().shots.items() if name != "tape-N1-N2"}
    fresh = walk(accepted().model_copy(update={"shots": shots}))
    assert (fresh.survey == before.survey, fresh.layout.clearances == before.layout.clearances) == (False, False)
    assert (fresh.posts is before.posts, fresh.cables is before.cables) == (True, True)


def test_what_another_job_has_left_behind_is_never_taken() -> None:
    first = cold(demo())
    for _ in range(3):
        walk(plain())
        walk(worked())
    assert walk(demo()) == first


class Only(SimpleNamespace):
    """A job of which only some fields can be read; anything else is an error."""


def only(job: Job, module: ModuleType) -> Any:
    """The fields that a stage names; of the ticks only those of the items it names, where it names some."""
    asked = [read.what for read in module.READS if isinstance(read, TicksOf)]
    held = {read: getattr(job, read) for read in module.READS if not isinstance(read, TicksOf)}
    return Only(**held | ({"checks": {key: tick for key, tick in job.checks.items() if key.what in asked}} if asked else {}))


def calls(walked: Walk) -> dict[ModuleType, tuple[Callable[..., Any], tuple[Any, ...]]]:
    """Each stage's function and the earlier results that the walk hands it."""
    s, lay, p, b, c, f, g = walked.survey, walked.layout, walked.posts, walked.bracing, walked.cables, walked.fabric, walked.gate
    lists = {name: checklist for name, checklist in walked.checklists.items() if name != "punch"}
    found = tuple(finding for name in STAGES[:-1] for finding in walked.stage_findings[name])
    return {
        survey: (survey.survey, ()),
        layout: (layout.layout, (s,)),
        posts: (posts.posts, (s, lay)),
        bracing: (bracing.bracing, (s, lay, p)),
        cables: (cables.cables, (s, lay, p, b)),
        fabric: (fabric.fabric, (s, lay, p, c)),
        staking: (staking.staking, (s, lay, f)),
        gate: (gate.gate, (s, lay, p)),
        punch: (punch.punch, (s, lay, p, f, g, lists, found, walked.takeoff)),
    }


@pytest.mark.parametrize("module", MODULES, ids=STAGES)
@pytest.mark.parametrize("job", [demo(), worked(), build(), Job()], ids=["demo", "worked", "plain", "empty"])
def test_a_stage_reads_only_what_it_says_it_reads(job: Job, module: ModuleType) -> None:
    """Else a change of the other fields would be answered with an old result."""
    walked = walk(job)
    stage, earlier = calls(walked)[module]
    assert {read for read in module.READS if not isinstance(read, TicksOf)} <= set(Job.model_fields)
    assert stage(only(job, module), *earlier) == getattr(walked, STAGES[MODULES.index(module)])


CHANGED: dict[str, Callable[[Job], Job]] = {
    "checks": lambda job: edits.tick(job, item_key("posts.P5.driven_depth"), AT, BY, reading_in=8),
    "an infill": lambda job: edits.tick(job, item_key("fabric.P11-P12.infill"), AT, BY),
    "a gap read": lambda job: edits.tick(job, item_key("gate.side.bottom_gap"), AT, BY, reading_in=3),
    "an opening read": lambda job: edits.tick(job, item_key("gate.side.opening"), AT, BY, reading_ft=5.5),
    "rules": lambda job: Job.model_validate({**job.model_dump(exclude_none=True), "rules": {"layout": {"bay_max_ft": 18}}}),
    "stock": lambda job: Job.model_validate({**job.model_dump(exclude_none=True), "stock": {"wire-48": {"width_in": 60}}}),
    "fence": lambda job: Job.model_validate({**job.model_dump(exclude_none=True), "fence": {"height_ft": 5}}),
    "dogs": lambda job: without(job, "dogs"),
    "utilities": lambda job: without(job, "utilities"),
    "gates": lambda job: without(job, "gates"),
    "log": lambda job: edits.move_post(job, "P6", AT, BY, along_ft=1),
    "record": lambda job: edits.sign(job, RECORD, AT, BY, "the client"),
}


@pytest.mark.parametrize("name", CHANGED)
def test_a_change_shows_though_the_job_before_it_is_remembered(name: str) -> None:
    cold(accepted())
    warm = walk(CHANGED[name](accepted()))
    assert warm == cold(CHANGED[name](accepted()))


def test_readings_out_of_range_are_in_the_walk_and_a_tick_without_an_item_is_not() -> None:
    walked = walk(worked())
    keys = [str(finding.key) for finding in walked.findings]
    assert "reading_out_of_range:side:opening" in keys
    assert "sleeve_stopped_short:P4" in keys
    assert "reading_out_of_range:P4:driven_depth" not in keys
    assert worked().checks[item_key("posts.P15.plumb")] == Tick(state="done", at=AT, by=BY)
    assert item_key("posts.P15.plumb") not in walked.checklists["posts"].by_key


def test_what_came_to_the_same_in_another_order_is_not_the_same() -> None:
    """A ring's first post is its last once its station is told from the other end: equal tables tell nothing of that."""
    walked = walk(accepted())
    turned = replace(walked.cables, gives=dict(reversed(walked.cables.gives.items())))
    assert turned == walked.cables
    forget()
    take_in(replace(walked, cables=turned))
    assert list(walk(accepted()).cables.gives) == list(walked.cables.gives) != list(turned.gives)
