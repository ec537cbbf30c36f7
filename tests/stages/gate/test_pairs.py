"""Two leaves: drop rod, ground sleeve and hooks, each leaf's own swing, and a sleeve where nothing may be driven."""

from typing import Any

import pytest

from engine.calc.geometry.ground import Profile
from engine.drawing.gate_shapes import gate_shapes
from engine.drawing.shapes import Area, Mark, Stroke
from engine.job.edit.edits import tick
from engine.job.model.job import Job
from engine.job.model.tick_facts import SAID_LATER
from engine.paper.load_list import load_list
from engine.stages.gate.stage import Gates, gate
from engine.stages.layout.keep_outs import KeepOut, KeepOutId
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from engine.walk import walk
from tests.demo import AT, BY
from tests.stages.layouts import Spot, layout_of, survey_of
from tests.stages.yards import build

OPENING_FT = 10 + 2 / 12
ASKED = {"line": "north", "station_ft": 20, "leaves": 2}
NEW = ("ground_sleeve", "drop_rod", "held_open")


def pair_layout(keep_outs: tuple[KeepOut, ...] = ()) -> Layout:
    """A gate of two 5 ft leaves from 20 ft on a line due east, with a foot of clear ground round it."""
    spots = [Spot("P1", 0), Spot("P2", 20, kind="gate"), Spot("P3", 20 + OPENING_FT, kind="gate"), Spot("P4", 50)]
    return layout_of({"north": spots}, gates={"P2-P3": "G1"}, keep_outs=keep_outs)


def hung(layout: Layout, ground: dict[str, Profile] | None = None, **asked: Any) -> Gates:
    job = Job.model_validate({"gates": {"G1": {**ASKED, **asked}}})
    return gate(job, survey_of(layout, ground), layout, posts(job, survey_of(layout), layout))


def two_leaves(**fields: Any) -> Job:
    return build(gates={"G1": {"line": "fence", "station_ft": 75, "leaf_width_ft": 5, "leaves": 2, **fields}})


@pytest.mark.closed_form
@pytest.mark.parametrize(("hinge", "standing", "rod_ft"), [("start", 2, 20 + OPENING_FT - 5), ("end", 1, 25.0)])
def test_the_leaf_away_from_the_hinge_end_stands_by_its_rod(hinge: str, standing: int, rod_ft: float) -> None:
    work = hung(pair_layout(), hinge=hinge).gates["G1"]

    assert (work.standing, work.rod_spot) == (standing, pytest.approx((rod_ft, 0.0)))


def test_two_leaves_are_asked_for_sleeve_rod_and_hooks_and_one_leaf_is_not() -> None:
    asked = {item.key.what: item for item in hung(pair_layout()).items if item.key.what in NEW}

    assert tuple(asked) == NEW
    assert all(item.of.places and item.of.sizes for item in asked.values())
    assert asked["drop_rod"].of.words == ("leaf 2",)
    assert not {item.key.what for item in hung(pair_layout(), leaves=1).items} & set(NEW)


def test_a_tick_of_a_pair_that_was_hung_before_still_counts() -> None:
    """What is asked of both leaves keeps its key and what it is about."""
    (swings,) = [item for item in hung(pair_layout()).items if item.key.what == "swing_clear"]

    assert str(swings.key) == "gate.G1.swing_clear"
    assert swings.says == "G1: each leaf swings clear by itself, opening left"
    assert [size.name for size in swings.of.sizes if size.name not in SAID_LATER] == ["leaf 1 wide", "leaf 2 wide"]


def test_each_leaf_has_its_own_swing_and_the_one_that_drags_is_named() -> None:
    """The line turns left past the gate and rises 3 ft in 20: the second leaf swings over the bank."""
    corner = 20 + OPENING_FT
    spots = [Spot("P1", 0), Spot("P2", 20, kind="gate"), Spot("P3", corner, kind="gate"), Spot("P4", corner, 20)]
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})
    result = hung(layout, {"north": Profile((0.0, corner, corner + 20), (0.0, 0.0, 3.0))})

    left = next(swing for swing in result.gates["G1"].swings if swing.side == "left")
    assert ([leaf.clear for leaf in left.leaves], left.worst) == ([True, False], 2)
    assert [leaf.arc[-1] for leaf in left.leaves] == [pytest.approx((20, 5)), pytest.approx((corner, 5))]
    (drags,) = [finding for finding in result.findings if finding.code == "gate_drags"]
    assert drags.says.startswith("Gate G1, leaf 2, strikes the ground when it opens left")


@pytest.mark.parametrize(("source", "level"), [("utility", "stop"), ("obstacle", "fix")])
def test_a_ground_sleeve_where_nothing_may_be_driven_is_told(source: Any, level: str) -> None:
    box = ((24.9, -1.0), (25.5, -1.0), (25.5, 1.0), (24.9, 1.0))
    area = KeepOut(KeepOutId(source, "gas"), "gas", box, "the tolerance zone of the gas line")

    found = [finding for finding in hung(pair_layout((area,))).findings if finding.code == "drop_rod_blocked"]
    assert [(finding.level, finding.subjects) for finding in found] == [(level, ("G1",))]
    assert "under leaf 2, would stand in the tolerance zone of the gas line" in found[0].says
    assert [one.code for one in hung(pair_layout((area,)), leaves=1, leaf_width_ft=10).findings if one.code == "drop_rod_blocked"] == []


def test_rod_sleeve_and_hooks_are_loaded_and_used_as_they_are_ticked() -> None:
    job = two_leaves()
    rows = {row.stock: row for row in walk(job).takeoff.rows}
    assert {name: (rows[name].needed, rows[name].used) for name in ("drop-rod", "ground-sleeve", "gate-hook")} == {
        "drop-rod": (1, 0), "ground-sleeve": (1, 0), "gate-hook": (2, 0),
    }  # fmt: skip
    loaded = [row.row.stock for row in load_list(job, walk(job).takeoff).rows]
    assert {"drop-rod", "ground-sleeve", "gate-hook"} < set(loaded)
    for item in walk(job).gate.items:
        if item.key.what in NEW:
            job = tick(job, item.key, AT, BY)
    used = {row.stock: row.used for row in walk(job).takeoff.rows}
    assert (used["drop-rod"], used["ground-sleeve"], used["gate-hook"]) == (1, 1, 2)
    one = {row.stock for row in walk(two_leaves(leaves=1)).takeoff.rows}
    assert not one & {"drop-rod", "ground-sleeve", "gate-hook"}


@pytest.mark.parametrize(("hinge", "standing"), [("start", 2), ("end", 1)])
def test_the_picture_shows_rod_sleeve_and_hooks_at_the_free_ends(hinge: str, standing: int) -> None:
    job = two_leaves(hinge=hinge)
    picture = gate_shapes(job, walk(job), "G1")
    assert picture is not None
    free = [leaf.points[1][0] if number == 1 else leaf.points[0][0] for number, leaf in enumerate(picture.of(Area, "leaf"), 1)]
    (rod,), (sleeve,) = picture.of(Stroke, "drop rod"), picture.of(Mark, "ground sleeve")
    assert [hook.pos[0] for hook in picture.of(Mark, "hook")] == free
    assert (rod.points[0][0], sleeve.pos[0]) == (free[standing - 1], free[standing - 1])
    assert rod.points[0][1] < sleeve.pos[1] < rod.points[1][1]
    assert walk(job).gate.gates["G1"].standing == standing
