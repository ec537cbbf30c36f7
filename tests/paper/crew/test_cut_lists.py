"""Cut lists: every piece once, from a roll that holds it, and together what the take-off says."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import reroutes
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids
from engine.paper.crew.cut_lists import CutList, cut_lists
from engine.walk import walk
from tests.bench.big_job import big_job
from tests.demo import AT, BY, accepted, demo, others
from tests.sheets.test_stage_sheets import MADE, two_leaves
from tests.stages.layout.test_layout_robust import odd_job
from tests.stages.yards import plain

TITLES = ("Cable", "Wire", "Mesh", "Gate frames", "Gate face wires")


def lists(job: Job) -> dict[str, CutList]:
    return {one.title: one for one in cut_lists(job, walk(job))}


def test_the_demo_is_cut_spool_by_spool_the_longest_first() -> None:
    cable = lists(demo())["Cable"]
    assert (cable.stock, cable.says) == ("galvanized cable 3/32 in 7x7", "2 spools of 500' 0\", 557' 8 3/4\" in 6 pieces.")
    assert [(one.roll, one.cut, one.name, one.use) for one in cable.pieces] == [
        (1, 1, "L4", "P8 to P11"), (1, 2, "L3", "P5 to P8"), (1, 3, "L6", "P13 to P16"), (1, 4, "L2", "P3 to P5"), (1, 5, "L1", "P1 to P2"),
        (2, 1, "L5", "P11 to P13"),
    ]  # fmt: skip
    assert cable.pieces[0].length_ft + cable.pieces[0].left_ft == pytest.approx(500.0, abs=1e-9)


def test_a_gate_and_a_strip_are_cut_from_what_the_loops_leave() -> None:
    wire = lists(demo())["Wire"]
    assert [(one.roll, one.cut, one.name, one.use) for one in wire.pieces if not one.name.startswith("L")] == [
        (1, 3, "strip 1", "slit for I1"),
        (2, 3, "gate side", "its one leaf"),
    ]


def test_two_leaves_are_cut_in_one_length_and_say_how_long_each_is() -> None:
    made = lists(two_leaves())
    assert {one.use for one in made["Wire"].pieces if one.name == "gate G1"} == {"2 leaves, 3' 6\" each"}
    assert [one.name for one in made["Gate face wires"].pieces if one.name.startswith("G1")] == [
        "G1 leaf 1 face 1", "G1 leaf 1 face 2", "G1 leaf 2 face 1", "G1 leaf 2 face 2",
    ]  # fmt: skip


def test_what_is_cut_already_says_how_long_it_was_cut() -> None:
    job = accepted()
    loop = walk(job).checklists["cables"].by_key[ItemKey("cables", "L5", "cut_length")].item
    job = edits.tick(job, loop.key, AT, BY, reading_ft=81.75, of=loop.of)
    assert {one.name: one.done for one in lists(job)["Cable"].pieces if one.done} == {"L5": "81' 9\""}


def test_a_piece_that_no_roll_holds_comes_last_and_from_none() -> None:
    job = plain()
    wire, _ = fabric_ids(job.fence)
    short = job.model_copy(update={"stock": {**job.stock, wire: StockRow(length_ft=4.0)}})
    pieces = lists(short)["Wire"].pieces
    assert [one.roll for one in pieces if one.length_ft > 4.0] == [0] * sum(one.length_ft > 4.0 for one in pieces)
    assert [bool(one.roll) for one in pieces] == sorted((bool(one.roll) for one in pieces), reverse=True)


def test_a_job_without_a_fence_cuts_nothing() -> None:
    assert cut_lists(Job(), walk(Job())) == ()


def wrong_in(job: Job) -> list[str]:
    """Where the cut lists of a job aren't what its take-off counts."""
    worked, found = walk(job), []
    stock = {row.stock: row for row in worked.takeoff.rows}
    wire, mesh = fabric_ids(job.fence)
    cuts = reroutes(job.log)
    if job.repair_of is not None:  # there only what it strung itself: other loops were another job's cable
        ticks = [(entry, entry.before.checks.values() if entry.before is not None else ()) for entry in cuts]
        cuts = [entry for entry, opened in ticks if any(tick.at > job.repair_of.until for tick in opened)]
    cut_out_ft = sum(entry.cable_cut_ft for entry in cuts)
    ids = dict(zip(TITLES, (job.fence.cable, wire, mesh, job.fence.gate_tube, "brace-wire"), strict=True))
    for one in cut_lists(job, worked):
        row = stock[ids[one.title]]
        needed = row.needed - (cut_out_ft if one.title == "Cable" else 0.0)
        if one.total_ft != pytest.approx(needed, abs=1e-6):
            found.append(f"{one.title} is cut to {one.total_ft}, and {needed} is needed")
        if one.title != "Cable" and one.rolls != row.packs and all(piece.roll for piece in one.pieces):
            found.append(f"{one.title} is cut from {one.rolls}, and {row.packs} are loaded")
        names = [piece.name for piece in one.pieces]
        if len(set(names)) < len(names):
            found.append(f"{one.title} holds a piece twice: {names}")
        found += [f"{piece.name} is longer than its roll" for piece in one.pieces if piece.roll and piece.length_ft > one.roll_ft + 1e-6]
    if one_left := [
        row.stock
        for row in worked.takeoff.rows
        if row.stock in ids.values() and row.needed and row.stock not in {ids[one.title] for one in cut_lists(job, worked)}
    ]:
        found.append(f"no list for {one_left}")
    return found


@pytest.mark.independent
@pytest.mark.parametrize("name", [*MADE])
def test_the_cut_lists_add_up_to_the_take_off(name: str) -> None:
    assert wrong_in(MADE[name]()) == []


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_the_cut_lists_of_odd_jobs_add_up_to_the_take_off(seed: int) -> None:
    assert wrong_in(odd_job(seed)) == []


def test_what_is_left_of_the_rolls_is_what_the_take_off_calls_off_cuts() -> None:
    for job in (demo(), *others().values(), big_job()):
        rows = {row.name: row for row in walk(job).takeoff.rows}
        for one in cut_lists(job, walk(job)):
            if one.title != "Gate face wires":
                last = {piece.roll: piece.left_ft for piece in one.pieces}
                assert sorted((ft for ft in last.values() if ft > 0), reverse=True) == pytest.approx(
                    list(rows[one.stock].offcuts), abs=1e-6
                )
