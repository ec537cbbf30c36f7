"""What the ticks say was built, as it goes into the record at sign-off: read where it was read, worked out where it wasn't."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.signed_record import Worked
from engine.paper.as_built import build_record, built_braces, built_gates, built_loops, worked_stages, worked_times
from engine.walk import walk
from tests.demo import AT, BY, FOLDER, accepted
from tests.paper.test_record_tables import SIGNED_AT, signed, worked


def test_a_loop_has_the_cable_that_was_cut_or_else_what_was_worked_out() -> None:
    found = walk(worked())
    loops = built_loops(found)
    assert list(loops) == list(found.cables.loops)
    assert (loops["L1"].cable_ft, loops["L1"].cable_read, loops["L1"].supports) == (39.5, True, ("P1", "P2"))
    assert (loops["L2"].cable_ft, loops["L2"].cable_read) == (pytest.approx(found.cables.loops["L2"].cut_ft, abs=1e-4), False)
    assert loops["L2"].wire_ft == pytest.approx(found.fabric.loops["L2"].wire_cut_ft, abs=1e-4)
    assert loops["L2"].mesh_ft == pytest.approx(found.fabric.loops["L2"].mesh_cut_ft, abs=1e-4)


def test_a_brace_foot_stands_where_it_was_read() -> None:
    job = edits.tick(accepted(), item_key("bracing.P9.foot_b"), AT, BY, reading_ft=4.75)
    braces = built_braces(walk(job))
    assert len(braces) == walk(job).bracing.brace_count == 4
    assert {(one.foot_ft, one.foot_read) for one in braces.values()} == {(4.75, True), (5.0, False)}
    read = next(one for one in braces.values() if one.foot_read)
    assert (read.support, read.toward, read.foot_planned_ft) == ("P9", "P10", 5.0)


def test_a_gate_keeps_only_what_was_read_of_it() -> None:
    job = edits.tick(accepted(), item_key("gate.side.opening"), AT, BY, reading_ft=5.1667)
    job = edits.tick(job, item_key("gate.side.diagonal_a"), AT, BY, reading_ft=7.5)
    job = edits.tick(job, item_key("gate.side.diagonal_b"), AT, BY, reading_ft=7.51)
    (gate,) = built_gates(walk(job)).values()
    assert (gate.hinge_post, gate.latch_post, gate.leaves) == ("P2", "P3", 1)
    assert (gate.opening_ft, gate.diagonals_ft, gate.bottom_gap_in) == (5.1667, (7.5, 7.51), None)
    (bare,) = built_gates(walk(accepted())).values()
    assert (bare.opening_ft, bare.diagonals_ft) == (None, ())


def ticked(job: Job, stage: str, leave: int = 0) -> Job:
    """Every item of a stage done, a minute apart, but the last few."""
    lines = walk(job).checklists[stage].lines  # type: ignore[index]  # names of stages
    for minute, line in enumerate(lines[: len(lines) - leave]):
        job = edits.tick(job, line.item.key, AT + timedelta(minutes=minute), BY)
    return job


def test_a_stage_is_begun_by_its_first_tick_and_done_by_its_last() -> None:
    count = len(walk(accepted()).checklists["staking"].lines)
    whole, part = walk(ticked(accepted(), "staking")), walk(ticked(accepted(), "staking", leave=1))
    assert worked_times(accepted(), whole, "staking") == (AT, AT + timedelta(minutes=count - 1))
    assert worked_times(accepted(), part, "staking") == (AT, None)
    assert worked_times(accepted(), whole, "gate") == (None, None)
    assert worked_stages(accepted(), whole) == {"staking": Worked(started=AT, finished=AT + timedelta(minutes=count - 1))}


def test_the_record_holds_all_of_it_and_reads_back_from_its_file(tmp_path: Path) -> None:
    record = build_record(worked(), walk(worked()), SIGNED_AT, BY, "the client", {})
    assert record.supports["P4"].driven_in == 22.5
    assert record.supports["P6"].driven_in is None
    assert record.stages == {"posts": Worked(started=AT), "cables": Worked(started=AT)}
    assert (len(record.loops), len(record.braces), len(record.gates)) == (len(walk(worked()).cables.loops), 5, 1)
    made = new(tmp_path / "job.toml", signed(), SIGNED_AT, state=tmp_path / "state")
    again = load(made.path)
    assert again.seal_holds is True
    assert again.job.record == made.job.record
    assert again.job.record is not None
    assert again.job.record.loops == record.loops


def test_a_job_signed_before_these_were_kept_opens_with_its_seal_whole() -> None:
    loaded = load(FOLDER / "alder_row.toml")
    assert loaded.seal_holds is True
    assert loaded.job.record is not None
    assert (loaded.job.record.loops, loaded.job.record.stages) == ({}, {})
    assert worked_times(loaded.job, walk(loaded.job), "survey")[0] is not None
    assert worked_times(loaded.job, walk(loaded.job), "punch")[1] < datetime(2026, 3, 10, tzinfo=UTC)  # type: ignore[operator]  # all of it is ticked
