"""Ways out: where each is, whose dog, what closes it and whether the truck has it, and what a dog can jump from."""

import math
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
import shapely

from engine.job.edit.edits import delivery, tick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.stages.punch.openings import Place
from engine.stages.punch.way_key import WayKey
from engine.stages.punch.ways_out import WayOut, keys_apart
from engine.stages.survey.stage import Survey, survey
from engine.stages.survey.yard_dogs import yards_and_dogs
from engine.walk import walk
from tests.stages import yards

AT = datetime(2026, 4, 2, 9, 0, tzinfo=UTC)
BY = "Lee"
DIP = ((0, 0), (5, -1.5), (10, 0), (160, 0))


def ways(job: Job) -> tuple[WayOut, ...]:
    return walk(job).punch.ways_out


def dipped(**changed: Any) -> Job:
    """A hole under the wire near P1 and a dog that digs; 60 ft of wire counted, 1 roll."""
    job = yards.sloping(DIP)
    dogs = {"rex": job.dogs["rex"].model_copy(update={"digs": True})}
    return Job.model_validate({**job.model_copy(update={"dogs": dogs}).model_dump(exclude_none=True), **changed})


@pytest.mark.independent
def test_a_hole_is_found_again_by_its_station_and_its_two_tapes() -> None:
    """Two circles round the points taped from cross at the spot (shapely), which lies on the line at that station."""
    job = dipped()
    (way,) = ways(job)
    placed = walk(job).survey.points
    assert (way.kind, way.line, way.yard, way.subject) == ("under", "fence", "back", "P1-P2")
    assert way.station_ft == pytest.approx(5.0)
    assert way.tie is not None
    spot = shapely.Point(0, 5)
    for name, tape_ft in ((way.tie.from_a, way.tie.tape_a_ft), (way.tie.from_b, way.tie.tape_b_ft)):
        assert shapely.distance(shapely.Point(placed[name].xy), spot) == pytest.approx(tape_ft, abs=0.02)
    assert way.place.startswith("fence at 5' 0\", ")


def test_the_truck_has_the_piece_once_it_was_counted_or_came_and_no_longer_when_it_is_used() -> None:
    (way,) = ways(dipped())
    assert (way.on_truck, [piece.there for piece in way.pieces]) == ("truck not counted: welded wire 14 ga 2x4, 48 in", [None])
    none = dipped(stock={"wire-48": {"loaded": 0}})
    need_ft = math.ceil(ways(none)[0].pieces[0].amount)
    assert ways(none)[0].on_truck == f"not on the truck: {ways(none)[0].pieces[0].amount:.0f} ft of welded wire 14 ga 2x4, 48 in"
    came = delivery(none, "wire-48", AT, BY, packs=None, loose=float(need_ft))
    assert ways(came)[0].on_truck == "on the truck"
    hung = came
    for loop in walk(came).fabric.loops:
        hung = tick(hung, item_key(f"fabric.{loop}.wire_hung"), AT, BY)
    assert ways(hung)[0].on_truck.startswith("not on the truck: ")


@pytest.mark.closed_form
def test_the_largest_way_out_is_served_first() -> None:
    """Two posts 9 and 6 in off the wall; 0.8 ft of wire and mesh: enough for 9 in, then 0.05 ft is left and 6 in lack."""
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"]["shoulder_in"] = 10.0
    tables["stock"] = {"wire-48": {"loaded": 0}, "mesh-48": {"loaded": 0}}
    job = yards.build(tables)
    for stock in ("wire-48", "mesh-48"):
        job = delivery(job, stock, AT, BY, packs=None, loose=0.8)
    first, second = ways(job)
    assert (round(first.opening_in, 2), [piece.there for piece in first.pieces]) == (9.0, [True, True])
    assert [round(piece.left or 0.0, 3) for piece in second.pieces] == [0.05, 0.05]
    assert (round(second.opening_in, 2), [piece.there for piece in second.pieces]) == (6.0, [False, False])
    assert [way.dog_in for way in (first, second)] == [3.0, 3.0]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tables", "reading_in", "found"),
    [
        ({}, 2.9375, []),
        ({}, 3.0, ["under gate G1"]),  # a dog of 10 in gets through 3 in
        ({"dogs": {}}, 3.0, []),  # and the rule allows 3 in where there is none
        ({"dogs": {}}, 3.0625, ["under gate G1"]),
    ],
)
def test_a_gap_just_as_large_as_the_dog_lets_it_out_and_one_just_of_the_rule_is_allowed(
    tables: dict[str, Any], reading_in: float, found: list[str]
) -> None:
    six = {"dogs": {"rex": {"weight_lb": 9, "shoulder_in": 10, "body_in": 14, "yard": "back"}}}
    read = {"bottom_gap": {"reading_in": reading_in}, "opening": {"reading_ft": 5.0}}
    checks = {f"gate.G1.{what}": {"at": AT, "by": BY, **value} for what, value in read.items()}
    job = yards.build(**{**six, "checks": checks, **tables})
    assert [way.where for way in ways(job) if way.kind == "gate"] == found


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("wire_ft", "mesh_ft", "there"),
    [
        (0.75, 0.75, [[True, True], [False, False]]),  # just enough for the 9 in, nothing left
        (0.6, 0.8, [[False, True], [True, False]]),  # too short for 9 in, so the 6 in get it
    ],
)
def test_what_is_too_short_for_a_way_out_is_left_for_the_next(wire_ft: float, mesh_ft: float, there: list[list[bool]]) -> None:
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"]["shoulder_in"] = 10.0
    tables["stock"] = {"wire-48": {"loaded": 0}, "mesh-48": {"loaded": 0}}
    job = yards.build(tables)
    for stock, loose in (("wire-48", wire_ft), ("mesh-48", mesh_ft)):
        job = delivery(job, stock, AT, BY, packs=None, loose=loose)
    assert [[piece.there for piece in way.pieces] for way in ways(job)] == there


def test_a_piece_that_nobody_counted_is_asked_for_though_the_other_is_there() -> None:
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["stock"] = {"wire-48": {"loaded": 3}}
    tables["dogs"]["rex"]["shoulder_in"] = 25.0
    (way,) = ways(yards.build(tables))
    assert [piece.there for piece in way.pieces] == [True, None]
    assert way.on_truck == "truck not counted: plastic mesh, 48 in"


def test_one_dog_that_digs_is_enough() -> None:
    """Both are far too big for the hole; the second digs."""
    job = dipped()
    dogs = {"ada": job.dogs["rex"].model_copy(update={"digs": False}), "rex": job.dogs["rex"]}
    assert [way.subject for way in ways(job.model_copy(update={"dogs": dogs}))] == ["P1-P2"]


def three_dogs() -> tuple[Job, Survey]:
    """Yard back, 40 by 60 ft, with Rex; yard side beyond it without a dog of its own; Pip of a yard elsewhere."""
    tables = yards.tables()
    tables["dogs"]["pip"] = {"weight_lb": 6, "shoulder_in": 8, "body_in": 12, "yard": "front"}
    tables["yards"] = {**tables["yards"], "front": {"inside": "C"}}
    job = yards.build(tables)
    found = survey(job)
    side = replace(found.yards["back"], name="side", ring=((100.0, 0.0), (140.0, 0.0), (140.0, 60.0)))
    return job, replace(found, yards={"back": found.yards["back"], "side": side, "flat": replace(side, ring=((60.0, 0.0), (70.0, 0.0)))})


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("spot", "here", "names"),
    [
        ((20.0, 62.9), ("back",), ["rex"]),
        ((20.0, 63.1), (), ["rex", "pip"]),  # over a stride off the edge
        ((20.0, 30.0), (), ["rex", "pip"]),  # far inside
        ((120.0, 0.0), ("side",), ["rex", "pip"]),  # at a yard without dogs every dog is asked
        ((65.0, 0.0), (), ["rex", "pip"]),  # two corners are no yard
    ],
)
def test_which_yard_a_place_is_at_and_which_dogs_are_asked(spot: tuple[float, float], here: tuple[str, ...], names: list[str]) -> None:
    job, found = three_dogs()
    at, dogs = yards_and_dogs(job, found)(spot)
    assert (at, list(dogs)) == (here, [job.dogs[name] for name in names])


def test_a_dog_of_no_yard_is_asked_beside_those_of_the_yard() -> None:
    job, found = three_dogs()
    stray = job.dogs["pip"].model_copy(update={"yard": None})
    asked = yards_and_dogs(job.model_copy(update={"dogs": {**job.dogs, "stray": stray}}), found)
    assert asked((20.0, 60.0))[1] == [job.dogs["rex"], stray]
    assert asked((120.0, 0.0))[1] == [stray]
    assert list(asked((20.0, 30.0))[1]) == [job.dogs["rex"], job.dogs["pip"], stray]


def test_an_open_yard_is_its_own_wherever_its_gap_is() -> None:
    tables = yards.tables()
    tables["lines"]["fence"] = {"points": ["A", "T1", "T2"], "start_meets": "structure", "start_at": "house"}
    (way,) = ways(yards.build(tables))
    assert (way.kind, way.yards, way.yard) == ("yard", ("back",), "back")


def test_ways_out_alike_in_all_but_their_place_are_counted_along_their_line() -> None:
    """The larger comes first in the list; the keys count from the line's start, one of no line before them."""
    key = WayKey("jump_off", "P1-P2", at="bench")
    one = Place("over", key, "", "P1-P2", 9.0, "", (0.0, 0.0), "n", 30.0)
    found = keys_apart([one, replace(one, station_ft=10.0), replace(one, station_ft=None)])
    assert [each.nth for each in found] == [3, 2, 1]


def test_reasons_have_keys_of_their_own() -> None:
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"]["shoulder_in"] = 4.0
    found = [way.key for way in ways(yards.build(tables))]
    assert len(set(found)) == len(found) > 1


def bench(north_ft: float, height_ft: float, **dog: Any) -> Job:
    """A bench along the north run, so far south of it, in the yard."""
    tables = yards.tables()
    places = {"K1": (10.0, 60.0 - north_ft), "K2": (13.0, 60.0 - north_ft)}
    tables["points"] = {**tables["points"], **yards.known(places)}
    tables["structures"]["bench"] = {"kind": "other", "points": ["K1", "K2"], "height_ft": height_ft, "holds_eyes": False}
    tables["dogs"]["rex"] = {**tables["dogs"]["rex"], **dog}
    return yards.build(tables)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("north_ft", "height_ft", "dog", "lacks_in"),
    [
        (2.0, 1.5, {"shoulder_in": 24, "jumps": True}, [18.0]),  # 6 ft suits it, 4 1/2 ft stand over the bench
        (2.0, 1.5, {"shoulder_in": 24, "jumps": False}, []),
        (7.0, 1.5, {"shoulder_in": 24, "jumps": True}, []),  # out of reach
        (2.0, 6.5, {"shoulder_in": 24, "jumps": True}, []),  # higher than the fence
        (2.0, 0.8, {"shoulder_in": 14, "jumps": True}, []),  # 5 ft suits it, 5.2 stand
    ],
)
def test_a_bench_by_the_fence_lowers_it_for_a_dog_that_jumps(
    north_ft: float, height_ft: float, dog: dict[str, Any], lacks_in: list[float]
) -> None:
    over = [way for way in ways(bench(north_ft, height_ft, **dog)) if way.kind == "over"]
    assert [round(way.opening_in, 6) for way in over] == lacks_in
    for way in over:
        assert way.where.startswith("over the fence from bench, P")
        assert way.station_ft == pytest.approx(71.5, abs=1.51)


@pytest.mark.closed_form
def test_a_lower_stretch_is_told_once_for_all_its_bays() -> None:
    """From 100 ft on the fence is 4 ft; the dog wants 6: 24 in are missing."""
    job = yards.plain()
    heights = {"dip": {"line": "fence", "from_ft": 100.0, "to_ft": 160.0, "height_ft": 4.0}}
    dogs = {"rex": {**job.dogs["rex"].model_dump(), "shoulder_in": 24.0}}
    low = Job.model_validate({**job.model_dump(exclude_none=True), "heights": heights, "dogs": dogs})
    (way,) = (way for way in ways(low) if way.kind == "over")
    done = walk(low)
    bays = [bay for bay in done.layout.bays.values() if done.posts.hangs[bay.id].height_ft == 4.0]
    assert way.opening_in == pytest.approx(24.0)
    assert way.pieces[0].amount == pytest.approx(sum(bay.slope_ft for bay in bays))
    assert way.where == f"over the 4' 0\" fence, {bays[0].from_id} to {bays[-1].to_id}"
    (told,) = (finding for finding in done.punch.findings if finding.code == "punch_ways_out")
    assert told.level == "fix"


@pytest.mark.closed_form
def test_a_low_gate_in_a_high_fence_is_a_way_over() -> None:
    """A 4 ft gate in a 6 ft fence, and a dog that wants 6: 24 in are missing, a leaf of 6 ft closes it."""
    job = yards.plain()
    dogs = {"rex": {**job.dogs["rex"].model_dump(), "shoulder_in": 24.0}}
    gates = {"G1": {**job.gates["G1"].model_dump(), "height_ft": 4.0}}
    low = Job.model_validate({**job.model_dump(exclude_none=True), "gates": gates, "dogs": dogs})
    (way,) = (way for way in ways(low) if way.kind == "over")
    assert way.opening_in == pytest.approx(24.0)
    assert way.where.startswith("over gate G1, 4' 0\" high, P")
    assert "a leaf of 6' 0\"" in way.closes_with


def test_a_whole_fence_that_is_low_is_the_client_s_choice() -> None:
    job = yards.plain()
    dogs = {"rex": {**job.dogs["rex"].model_dump(), "shoulder_in": 24.0, "jumps": True}}
    low = Job.model_validate({**job.model_dump(exclude_none=True), "dogs": dogs, "fence": {"height_ft": 5.0}})
    assert [way for way in ways(low) if way.kind == "over"] == []
