"""Take-off of the main demo: what is needed and used, in which packs, what the truck lacks, and what the gates take besides."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from engine.calc.cutting.cut_plan import CutPlan, Roll
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.file.store import starter
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.stages.takeoff import Takeoff, TakeoffRow, takeoff
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted, demo
from tests.stages.yards import build
from tests.test_done_means_done import LATER, all_ticked


def rows(job: Job) -> dict[str, TakeoffRow]:
    return by_stock(walk(job).takeoff)


def by_stock(counted: Takeoff) -> dict[str, TakeoffRow]:
    return {row.stock: row for row in counted.rows}


def ticked(*keys: str, **fields: Any) -> Job:
    job = accepted()
    for key in keys:
        job = edits.tick(job, item_key(key), AT, BY, **fields)
    return job


def stocked(**changed: Mapping[str, Any]) -> Job:
    """The demo with fields of stock rows changed, by the row's id with _ for -."""
    data = demo().model_dump(exclude_none=True)
    for name, fields in changed.items():
        data["stock"][name.replace("_", "-")] = {**data["stock"].get(name.replace("_", "-"), {}), **fields}
    return Job.model_validate(data)


def counted(walked: Walk, **changed: Any) -> dict[str, TakeoffRow]:
    """Take-off of a walk some of whose results were changed."""
    w = replace(walked, **changed)
    return by_stock(takeoff(demo(), w.layout, w.posts, w.bracing, w.cables, w.fabric, w.staking, w.gate, w.checklists))


@pytest.mark.closed_form
def test_the_demo_counted_by_hand() -> None:
    """16 supports: 12 driven, 2 trees, 2 walls; braces: 2 at the corner, 1 at each gate post; 6 loops; 1 gate of 1 leaf.

    16 screws in its frame, and 4 posts pinned: the 3 that are braced, and P12 in a dip.
    """
    found = {name: (row.unit, row.needed, row.packs) for name, row in rows(demo()).items()}
    assert {name: row for name, row in found.items() if row[0] not in ("ft", "rings", "ties", "stakes")} == {
        "post-8": ("posts", 12, 12),
        "sleeve-30": ("sleeves", 12, 12),
        "cap": ("caps", 12, 2),
        "brace-8": ("braces", 4, 4),
        "band": ("bands", 4, 1),
        "foot-plate": ("plates", 4, 4),
        "eye": ("eyes", 24, 2),
        "tree-eye": ("eyes", 8, 1),
        "lock": ("locks", 6, 1),
        "gate-corner": ("corners", 4, 1),
        "screw": ("screws", 20, 1),
        "hinge": ("hinges", 2, 1),
        "latch": ("latches", 1, 1),
        "turnbuckle": ("turnbuckles", 2, 1),
    }


@pytest.mark.closed_form
def test_the_gate_s_metal_by_hand() -> None:
    """Leaf 5 ft by 5 ft 10 in of 1 3/8 in tube, 1 in off at each corner: stiles 5' 10" - 1 3/8" - 2", rails 5' - 1 3/8" - 2"."""
    tube, wire = rows(demo())["gate-tube"], rows(demo())["brace-wire"]
    assert tube.needed == pytest.approx(2 * (70 - 3.375) / 12 + 2 * (60 - 3.375) / 12)
    assert wire.needed == pytest.approx(2 * ((25 + (70 / 12) ** 2) ** 0.5 + 1))
    assert (tube.packs, wire.packs) == (2, 1)


@pytest.mark.closed_form
def test_lengths_are_the_sums_of_what_the_stages_cut() -> None:
    walked, found = walk(demo()), rows(demo())
    assert found["cable-3-32"].needed == pytest.approx(sum(loop.cut_ft for loop in walked.cables.loops.values()))
    assert found["wire-48"].needed == pytest.approx(
        sum(cut.wire_cut_ft for cut in walked.fabric.loops.values()) + sum(walked.fabric.strips.values()) + 5.5
    )
    assert found["mesh-48"].needed == pytest.approx(sum(cut.mesh_cut_ft for cut in walked.fabric.loops.values()) + 5.5)
    assert (found["cable-3-32"].packs, found["wire-48"].packs, found["mesh-48"].packs) == (2, 3, 3)


def test_rows_stand_as_a_truck_is_loaded() -> None:
    assert list(rows(demo())) == [
        *("post-8", "sleeve-30", "cap", "brace-8", "band", "foot-plate", "eye", "tree-eye", "cable-3-32", "lock", "wire-48", "mesh-48"),
        *("ring", "tie", "stake", "gate-tube", "gate-corner", "screw", "hinge", "latch", "turnbuckle", "brace-wire"),
    ]


@pytest.mark.closed_form
def test_loose_pieces_get_a_tenth_to_spare_rounded_up() -> None:
    for name in ("ring", "tie", "stake"):
        row = rows(demo())[name]
        assert row.needed > 0
        assert row.needed / 10 <= row.spare < row.needed / 10 + 1
        assert row.packs == -(-int(row.needed + row.spare) // int(row.per_pack))
    bare = Job.model_validate({**demo().model_dump(exclude_none=True), "rules": {"fabric": {"spare_pct": 0}}})
    assert {row.spare for row in walk(bare).takeoff.rows} == {0.0}


USED = [
    (("posts.P4.driven_depth", "posts.P5.driven_depth"), {"sleeve-30": 2}),
    (("posts.P4.driven_depth", "posts.P5.driven_depth", "posts.P5.plumb"), {"post-8": 1, "sleeve-30": 2, "cap": 1, "eye": 2}),
    (("posts.P7.eyes", "posts.P1.eyes"), {"tree-eye": 4}),
    (("bracing.P9.foot_a", "bracing.P2.foot_a"), {"brace-8": 2, "band": 2}),
    (("cables.L1.closed",), {"lock": 1}),
    (("staking.P1-P2.flush",), {"stake": 7}),  # 16 ft: every 2 ft over the 4 ft beside the house and the gate, every 4 ft between
    (("posts.P4.solid",), {"sleeve-30": 1}),
    (("posts.P4.eyes", "posts.P4.plumb"), {"post-8": 1, "sleeve-30": 1, "cap": 1, "eye": 2}),
    (("layout.P4.flag", "bracing.P9.plumb"), {}),
]


@pytest.mark.closed_form
@pytest.mark.parametrize(("keys", "used"), USED, ids=[" ".join(keys) for keys, _ in USED])
def test_ticked_work_has_used_its_pieces(keys: tuple[str, ...], used: dict[str, float]) -> None:
    assert {name: row.used for name, row in rows(ticked(*keys)).items() if row.used} == used


def test_work_that_is_not_needed_uses_nothing() -> None:
    job = ticked("posts.P4.driven_depth", "cables.L1.cut_length", "gate.side.opening", "fabric.L1.apron_turned", needed=False)
    assert {row.used for row in rows(job).values()} == {0}


@pytest.mark.closed_form
def test_cable_counts_as_it_was_cut_or_as_planned_where_nobody_wrote_it_down() -> None:
    read = rows(ticked("cables.L1.cut_length", reading_ft=39.75))
    planned = rows(ticked("cables.L1.cut_length"))
    assert read["cable-3-32"].used == 39.75
    assert planned["cable-3-32"].used == walk(accepted()).cables.loops["L1"].cut_ft


@pytest.mark.closed_form
def test_a_hung_gate_has_used_its_frame_its_metal_and_its_fabric() -> None:
    found = rows(ticked("gate.side.hung"))
    assert {name: row.used for name, row in found.items() if row.used} == {
        **{name: found[name].needed for name in ("gate-tube", "gate-corner", "hinge", "latch", "turnbuckle", "brace-wire")},
        "screw": 16,
        **{"wire-48": 5.5, "mesh-48": 5.5, "ring": 22},  # round a leaf of 5 ft by 5 ft 10 in: 21 ft 8 in, one each foot
    }


@pytest.mark.closed_form
def test_all_work_done_has_used_all_that_is_needed() -> None:
    job = accepted()
    for checklist in walk(job).checklists.values():
        for line in checklist.lines:
            job = edits.tick(job, line.item.key, AT, BY)
    assert {row.stock: row.used for row in walk(job).takeoff.rows} == pytest.approx(
        {row.stock: row.needed for row in walk(job).takeoff.rows}
    )


def test_what_is_to_be_done_again_is_used_all_the_same_of_the_row_that_it_was_made_of() -> None:
    """P2 is braced, pinned and hung; 2 ft on it needs another sleeve, and all else that stood there is put there anew. Braces of another
    row are other braces."""
    done = all_ticked(accepted())
    moved = edits.move_post(done, "P2", LATER, BY, along_ft=2)
    was, now = rows(done), rows(moved)
    open_again = {line.item.key.what for list_ in walk(moved).checklists.values() for line in list_.lines if line.was is not None}
    assert {"foot_a", "footed", "pinned", "wire_hung", "mesh_hung", "seam_ringed", "flush"} <= open_again
    for stock in ("brace-8", "band", "foot-plate", "lock", "ring", "tie", "stake"):
        assert now[stock].used == was[stock].used, stock
    assert (was["sleeve-30"].used, now["sleeve-30"].needed, now["sleeve-30"].used) == (12, 13, 12)
    assert (now["post-8"].needed, now["post-8"].used) == (12, 11)
    stock = {**moved.stock, "brace-9": stock_of(moved.stock)["brace-8"]}
    fence = moved.fence.model_copy(update={"brace": "brace-9"})
    other = rows(moved.model_copy(update={"stock": stock, "fence": fence}))
    assert (other["brace-9"].needed, other["brace-9"].used) == (4, 0)
    assert (other["brace-8"].unit, other["brace-8"].needed, other["brace-8"].used, other["brace-8"].packs) == ("braces", 0, 4, 0)


def test_what_nobody_counted_is_not_called_short() -> None:
    found = walk(starter("yard").model_copy(update={name: getattr(demo(), name) for name in ("points", "shots", "lines")})).takeoff.rows
    assert len(found) > 5
    assert {(row.loaded, row.short) for row in found} == {(None, 0)}


@pytest.mark.parametrize(("loaded", "short"), [(0, 12), (11, 1), (12, 0), (20, 0)])
def test_short_is_what_is_loaded_less_than_needed(loaded: int, short: int) -> None:
    row = rows(stocked(post_8={"loaded": loaded}))["post-8"]
    assert (row.loaded, row.packs, row.short) == (loaded, 12, short)


def test_a_priced_row_costs_its_packs() -> None:
    found = rows(stocked(post_8={"price": 18.5}, cap={"price": 4}))
    assert (found["post-8"].cost, found["cap"].cost, found["eye"].cost) == (222.0, 8, None)


def test_other_pack_sizes_give_other_packs() -> None:
    assert rows(stocked(eye={"per_pack": 23}))["eye"].packs == 2
    assert rows(stocked(eye={"per_pack": 24}))["eye"].packs == 1


def test_what_comes_by_length_is_counted_by_its_length_whatever_the_pack() -> None:
    row = rows(stocked(brace_wire={"per_pack": 2}))["brace-wire"]
    assert (row.per_pack, row.packs) == (50.0, 1)


@pytest.mark.closed_form
@pytest.mark.parametrize(("left_ft", "packs"), [((6.0, 0.0), 2), ((5.0, 3.0), 3), ((5.5, 0.0), 2), ((0.0, 0.0), 3)])
def test_a_gate_s_wire_comes_from_what_the_loops_leave_else_from_a_new_roll(left_ft: tuple[float, ...], packs: int) -> None:
    walked = walk(demo())
    rolls = CutPlan(tuple(Roll("wire", 100.0, (f"L{number}",), left) for number, left in enumerate(left_ft)), (), 2, True, 0.0)
    assert counted(walked, fabric=replace(walked.fabric, wire_rolls=rolls))["wire-48"].packs == packs


def test_a_fence_of_its_own_stock_is_counted_under_that_stock() -> None:
    data = demo().model_dump(exclude_none=True)
    data["stock"]["post-10"] = {"kind": "post", "length_ft": 10, "diameter_in": 2, "wall_in": 0.1, "yield_psi": 30_000, "loaded": 3}
    found = rows(Job.model_validate({**data, "fence": {**data["fence"], "post": "post-10"}}))
    assert (found["post-10"].name, found["post-10"].needed, found["post-10"].short) == ("post-10", 12, 9)
    assert "post-8" not in found


def test_no_gate_needs_no_frame_and_nothing_surveyed_needs_nothing() -> None:
    gateless = walk(demo().model_copy(update={"gates": {}})).takeoff.rows
    assert not {row.stock for row in gateless} & {"gate-tube", "gate-corner", "hinge", "latch", "turnbuckle", "brace-wire"}
    assert walk(starter("new")).takeoff.rows == ()


@pytest.mark.closed_form
def test_what_came_in_counts_beside_what_was_loaded() -> None:
    """12 posts are needed. 5 loaded: 7 short; 4 more come, 2 loose: 1 short; one of them is struck again."""
    job = edits.delivery(stocked(post_8={"loaded": 5}), "post-8", AT, BY, packs=4, loose=None)
    both = edits.delivery(job, "post-8", AT, BY, packs=None, loose=2)
    assert [rows(each)["post-8"].short for each in (stocked(post_8={"loaded": 5}), job, both)] == [7, 3, 1]
    row = rows(both)["post-8"]
    assert (row.loaded, row.delivered, row.loose, row.came, row.left) == (5, 4, 2, 11, 11)
    struck = both.model_copy(update={"log": (both.log[0], both.log[1].model_copy(update={"struck_at": AT}))})
    assert rows(struck)["post-8"].short == 3


@pytest.mark.closed_form
def test_a_loose_length_counts_as_a_roll_only_where_it_is_one() -> None:
    need = rows(demo())["wire-48"].packs
    short = stocked(wire_48={"loaded": need - 1})
    assert rows(edits.delivery(short, "wire-48", AT, BY, packs=None, loose=99))["wire-48"].short == 1
    assert rows(edits.delivery(short, "wire-48", AT, BY, packs=None, loose=100))["wire-48"].short == 0


def test_what_came_though_nothing_of_it_is_needed_is_shown_last() -> None:
    found = walk(edits.delivery(demo(), "cable-1-16", AT, BY, packs=1, loose=None)).takeoff.rows[-1]
    assert (found.stock, found.unit, found.needed, found.packs, found.delivered, found.came) == ("cable-1-16", "ft", 0, 0, 1, 500)


def test_where_nobody_counted_nothing_is_short_though_something_came() -> None:
    uncounted = stocked(cap={"loaded": None})
    before, after = rows(uncounted)["cap"], rows(edits.delivery(uncounted, "cap", AT, BY, packs=1, loose=None))["cap"]
    assert (before.loaded, before.short, before.came, before.left) == (None, 0, None, None)
    assert (after.loaded, after.short, after.came) == (None, 0, 10)


def test_a_delivery_of_nothing_or_of_no_known_stock_is_refused() -> None:
    with pytest.raises(EditRefused, match="how much came"):
        edits.delivery(demo(), "post-8", AT, BY, packs=None, loose=None)
    with pytest.raises(EditRefused, match="no stock row posts"):
        edits.delivery(demo(), "posts", AT, BY, packs=1, loose=None)
    with pytest.raises(EditRefused, match="Packs"):
        edits.delivery(demo(), "post-8", AT, BY, packs=0, loose=None)


@pytest.mark.independent
def test_offcuts_and_pieces_make_up_the_rolls_that_are_opened() -> None:
    """Of wire: rolls opened, in ft, less everything cut from them."""
    for name in ("wire-48", "mesh-48", "cable-3-32", "gate-tube"):
        row = rows(demo())[name]
        assert sum(row.offcuts) == pytest.approx(row.packs * row.per_pack - row.needed, abs=1e-4), name
        assert list(row.offcuts) == sorted(row.offcuts, reverse=True)


def test_with_ice_the_plates_that_are_listed_are_those_that_are_asked() -> None:
    """Half an inch of ice: four feet want more than 6 in, and 6 in were listed for all seven."""
    iced = Job.model_validate({**demo().model_dump(exclude_none=True), "rules": {"cables": {"ice_in": 0.5}}})
    found, listed = walk(iced), {name: row.needed for name, row in rows(iced).items() if name.startswith("foot-plate")}
    asked = {
        line.item.says.split("plate")[1].split(chr(34))[0].strip()
        for line in found.checklists["bracing"].lines
        if line.item.key.what == "footed"
    }
    assert asked == {"6", "12"}
    assert listed == {"foot-plate": 3, "foot-plate-12": 4}


@pytest.mark.closed_form
def test_a_face_wire_comes_in_one_piece() -> None:
    """Six wires of more than half a 12 ft coil each take six coils, though 45 ft would fit four."""
    gate = {"line": "fence", "station_ft": 75, "leaf_width_ft": 3}
    job = build(
        gates={"G1": {**gate, "leaves": 2}, "G2": {**gate, "station_ft": 20, "leaf_width_ft": 5}}, stock={"brace-wire": {"length_ft": 12.0}}
    )
    worked = walk(job)
    row = next(row for row in worked.takeoff.rows if row.stock == "brace-wire")
    assert all(6 < leaf.wire_ft <= 12 for work in worked.gate.gates.values() for leaf in work.leaves)
    assert row.needed < 48
    assert row.packs == 6
