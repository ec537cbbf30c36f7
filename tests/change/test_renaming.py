"""A new name changes nothing but names: what stood before stands, and the old name back gives the same job."""

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay
from engine.change.renaming import NewPointName, corrected, new_point_name
from engine.job.edit import edits
from engine.job.edit.entering import rename
from engine.job.edit.striking import strike
from engine.job.model.cross_checks import point_names, problems
from engine.job.model.job import Job
from engine.job.model.shots import OffsetShot, TieShot
from engine.walk import walk
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT, BY, accepted, others

TABLES = (
    *("points", "structures", "trees", "obstacles", "utilities", "boundaries", "decks"),
    *("lines", "surfaces", "heights", "gates", "yards", "dogs"),
)


@cache
def jobs() -> tuple[Job, ...]:
    """Every demo job with every item ticked, one tick taken back, and something in its log about each line."""
    found = []
    for bare in (accepted(), *others().values()):
        job = bare.model_copy(update={"record": None})
        for line in job.lines:
            job = edits.note(edits.obstacle(job, "rock", line, 3, AT, BY), "seen", AT, BY, about=line)
        for checklist in walk(job).checklists.values():
            for line in checklist.lines:
                feet = line.item.reading.wanted if line.item.reading and line.item.reading.unit == "ft" else None
                job = edits.tick(job, line.item.key, AT, BY, reading_ft=feet, of=line.item.of)
        found.append(job)
    return tuple(found)


def names(job: Job) -> list[tuple[str, str]]:
    return [(table, name) for table in TABLES for name in getattr(job, table)]


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_a_new_name_changes_nothing_but_names(data: st.DataObject) -> None:
    job = data.draw(st.sampled_from(jobs()))
    table, old = data.draw(st.sampled_from(names(job)))
    new = data.draw(st.from_regex(r"z[A-Za-z0-9_-]{0,12}", fullmatch=True))
    before = walk(job)
    after = rename(job, table, old, new)
    worked = walk(after)
    assert problems(after) == problems(job)
    assert {stage: checklist.done for stage, checklist in worked.checklists.items()} == {
        stage: checklist.done for stage, checklist in before.checklists.items()
    }
    assert [finding.code for finding in worked.findings] == [finding.code for finding in before.findings]
    assert rename(after, table, new, old) == job


@given(st.data())
@settings(max_examples=30, deadline=None)
def test_a_measured_point_given_a_new_name_in_its_shot_is_called_so_everywhere(data: st.DataObject) -> None:
    job = data.draw(st.sampled_from(jobs()))
    shots = [name for name, shot in job.shots.items() if isinstance(shot, TieShot | OffsetShot) and _measured_once(job, name)]
    name = data.draw(st.sampled_from(shots))
    before = walk(job)
    shot = job.shots[name]
    after = corrected(job, "shots", name, {**shot.model_dump(exclude_none=True), "point": "zz"})
    assert "zz" in point_names(after)
    assert shot.point not in point_names(after)
    assert {stage: checklist.done for stage, checklist in walk(after).checklists.items()} == {
        stage: checklist.done for stage, checklist in before.checklists.items()
    }
    assert corrected(after, "shots", name, shot.model_dump(exclude_none=True)) == job


def _measured_once(job: Job, name: str) -> bool:
    bare = job.model_copy(update={"shots": {key: shot for key, shot in job.shots.items() if key != name}})
    return job.shots[name].point not in point_names(bare)


def test_a_point_that_two_shots_measure_is_renamed_everywhere_or_only_here() -> None:
    job = accepted()
    fields = {**job.shots["tie-M"].model_dump(exclude_none=True), "point": "M9"}
    assert new_point_name(job, "tie-M", fields) == NewPointName("M", "M9", elsewhere=True)
    everywhere = corrected(job, "shots", "tie-M", fields)
    assert everywhere.lines["back"].points == ("F1", "M9", "C", "F2")
    here = corrected(job, "shots", "tie-M", fields, everywhere=False)
    assert here.lines["back"].points == ("F1", "M", "C", "F2")
    assert {"M", "M9"} <= point_names(here)
    assert new_point_name(job, "tie-M", {**fields, "point": "C"}) is None
    assert new_point_name(job, "tie-M", {**fields, "point": "M", "from_a": "nowhere"}) is None


@given(st.sampled_from(["points", "lines"]), st.data())
@settings(max_examples=30, deadline=None)
def test_a_plan_struck_after_a_new_name_brings_back_every_tick_that_it_opened(table: str, data: st.DataObject) -> None:
    """A yard of posts 20 ft apart, all of it ticked, and a new way or a fresh layout that opens some of it."""
    job = line_of({"W": (40.0, 70.0)})
    before = walk(job)
    for line in (line for checklist in before.checklists.values() for line in checklist.lines):
        reading = {f"reading_{line.item.reading.unit}": 20.0} if line.item.reading else {}
        job = edits.tick(job, line.item.key, AT, BY, of=line.item.of, **reading)  # type: ignore[arg-type]  # a length
    planned = another_way(job, NewWay("P3", "P5", ("N",)))
    if data.draw(st.booleans()):
        planned = accepted_again(job, fresh_layout(job, walk(job)), AT, BY)
    old = data.draw(st.sampled_from(list(getattr(job, table))))
    after = rename(planned, table, old, "zz")
    plan = next(entry for entry in after.log if entry.kind in ("planned", "reroute"))
    back = walk(strike(after, plan.id, AT, BY))
    assert {stage: checklist.done for stage, checklist in back.checklists.items()} == {
        stage: checklist.done for stage, checklist in walk(job).checklists.items()
    }
