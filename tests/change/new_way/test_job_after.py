"""A new way for a stretch: what stays stays in its place, what comes out is told, the log can put it all back."""

from datetime import datetime, timedelta
from math import hypot
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.calc.tolerances import SAME_SPOT_FT
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.new_way.taken_down import reused, taken_down
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.file.store import load, new, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry, log_gone_back
from engine.job.model.words.log_sentences import sentence
from engine.paper.as_built import left_sleeves
from engine.walk import walk
from tests.demo import AT, BY
from tests.stages.flat_yards import logged, posts, ring, straight, yard

LATER = AT + timedelta(days=7)


def line_of(points: Any = None, **tables: Any) -> Job:
    """Posts P1 to P7 every 20 ft along a line due north, and N 30 ft to the right of its middle."""
    return straight(120.0, {"N": (30.0, 60.0), **(points or {})}, **{"posts": posts("n", *range(0, 121, 20)), **tables})


def another_way(job: Job, way: NewWay, at: datetime = AT, **more: Any) -> Job:
    before = walk(job)
    return with_new_way(job, before, given_up(job, before, way, at), at, BY, **more)


def said(job: Job, way: NewWay, at: datetime = AT) -> tuple[str, ...]:
    before = walk(job)
    given = given_up(job, before, way, at)
    return taken_down(job, before, walk(with_new_way(job, before, given, at, BY)), given, given.stays).says


def places(job: Job) -> dict[str, tuple[float, float]]:
    return {name: support.xy for name, support in walk(job).layout.supports.items()}


def refused(job: Job, way: NewWay) -> str:
    with pytest.raises(EditRefused) as error:
        another_way(job, way)
    return str(error.value)


@pytest.mark.closed_form
def test_the_line_bends_through_the_new_point_and_what_lies_past_it_gets_new_stations() -> None:
    """P3 at 40 over N, 30 ft off at 60, to P5 at 80: two runs of hypot(20, 30) in place of 40 ft."""
    job = another_way(line_of(), NewWay("P3", "P5", ("N",)), why="new bed")

    run = hypot(20, 30)
    entry = job.log[-1]
    assert isinstance(entry, RerouteEntry)
    assert (entry.out, entry.out_stations_ft, entry.old_points) == (("P4",), (60.0,), ("S", "E"))
    assert entry.shift_ft == pytest.approx(2 * run - 40, abs=1e-3)
    assert job.lines["n"].points == ("S", "at-P3", "N", "at-P5", "E")
    after = walk(job).layout
    assert after.lines["n"].supports == ("P1", "P2", "P3", "P8", "P9", "P10", "P5", "P6", "P7")
    assert after.supports["P9"].xy == pytest.approx((30, 60), abs=1e-3)
    assert after.supports["P6"].station_ft == pytest.approx(60 + 2 * run, abs=1e-3)
    assert {name: after.supports[name].kind for name in ("P3", "P9", "P5")} == dict.fromkeys(("P3", "P9", "P5"), "corner")
    assert sentence(entry) == "n takes a new way from P3 to P5 through N: new bed. P4 came out."


def test_the_two_supports_may_be_named_either_way_round_on_an_open_line() -> None:
    points = {"N1": (10.0, 55.0), "N2": (10.0, 65.0)}
    one, other = (another_way(line_of(points), way) for way in (NewWay("P3", "P5", ("N1", "N2")), NewWay("P5", "P3", ("N2", "N1"))))

    assert one.lines["n"].points == other.lines["n"].points == ("S", "at-P3", "N1", "N2", "at-P5", "E")
    assert one.posts == other.posts


@pytest.mark.closed_form
def test_a_straight_way_cuts_a_corner_off() -> None:
    places_of = {"S": (0.0, 0.0), "C": (0.0, 40.0), "E": (40.0, 40.0)}
    job = yard(places_of, {"n": ["S", "C", "E"]}, posts=posts("n", 0, 20, 40, 60, 80, kinds={2: "corner"}))

    after = walk(another_way(job, NewWay("P2", "P4"))).layout

    assert after.lines["n"].length_ft == pytest.approx(20 + hypot(20, 20) + 20, abs=1e-3)
    assert "P3" not in after.supports
    assert after.supports["P4"].xy == pytest.approx((20, 40), abs=1e-3)


def test_a_ring_is_rerouted_over_its_first_point() -> None:
    """P8 at 140 on the south side to P2 at 20 on the west side: Q1 is cut off, and the ring begins at P2 from now on."""
    kinds = dict.fromkeys((0, 2, 4, 6), "corner") | {7: "line"}
    job = ring(posts=posts("r", *range(0, 141, 20), kinds=kinds))

    done = another_way(job, NewWay("P8", "P2"))

    assert done.lines["r"].points == ("at-P2", "Q2", "Q3", "Q4", "at-P8", "at-P2")
    before, after = places(job), places(done)
    assert "P1" not in after
    assert all(after[name] == pytest.approx(before[name], abs=1e-3) for name in before if name != "P1")
    assert walk(done).layout.supports["P3"].station_ft == pytest.approx(20, abs=1e-3)


@settings(max_examples=40, deadline=None)
@given(
    ends=st.tuples(st.integers(1, 7), st.integers(1, 7)).filter(lambda pair: pair[0] != pair[1]),
    out_ft=st.floats(-25, 25),
    moved_ft=st.tuples(st.floats(-2, 2), st.floats(-2, 2)),
    moved=st.integers(1, 7),
)
@example(ends=(1, 2), out_ft=0.0, moved_ft=(0.0, 0.0078125), moved=1)
def test_what_stays_stays_in_its_place_and_no_id_is_used_twice(
    ends: tuple[int, int], out_ft: float, moved_ft: tuple[float, float], moved: int
) -> None:
    first, last = sorted(ends)
    job = line_of({"N": (out_ft, 10.0 * (first + last) - 20)})
    if any(moved_ft):
        job = edits.move_post(job, f"P{moved}", AT, BY, along_ft=moved_ft[0], out_ft=moved_ft[1])
    before = places(job)

    done = another_way(job, NewWay(f"P{ends[0]}", f"P{ends[1]}", ("N",)))

    after = places(done)
    out = {f"P{n}" for n in range(first + 1, last)}
    assert out.isdisjoint(after)
    assert all(after[name] == pytest.approx(before[name], abs=SAME_SPOT_FT + 2e-3) for name in before if name not in out)
    assert {name for name in after if name not in before} == {f"P{n}" for n in range(8, 8 + len(after) - 7 + len(out))}


def test_undone_it_is_struck_and_everything_is_as_before(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", line_of(), AT, state=tmp_path)
    done = another_way(loaded.job, NewWay("P3", "P5", ("N",)))
    save(loaded, done, AT, state=tmp_path)
    again = load(tmp_path / "yard.toml").job
    assert again == done

    back = loaded.job.model_copy(
        update={"log": log_gone_back(done.log, loaded.job.log, {entry.id: entry for entry in done.log}, LATER, BY)}
    )

    assert places(back) == places(loaded.job)
    assert [entry.struck_at for entry in back.log] == [LATER]


@pytest.mark.parametrize("rerouted_here", [True, False])
def test_what_another_laptop_moved_meanwhile_counts_on_the_new_way(rerouted_here: bool) -> None:
    """P6 moved 1 ft on stands 1 ft on from where the reroute left it; a move of P4, which came out, is asked about."""
    base = line_of()
    done = another_way(base, NewWay("P3", "P5", ("N",)))
    moved = edits.move_post(base, "P6", LATER, "Ana", along_ft=1)
    merged = merge(base, *((done, moved) if rerouted_here else (moved, done)))
    assert merged.conflicts == ()
    assert walk(merged.job).layout.supports["P6"].xy == pytest.approx((0, 101), abs=1e-3)

    gone = edits.move_post(base, "P4", LATER, "Ana", along_ft=1)
    asked = merge(base, *((done, gone) if rerouted_here else (gone, done)))
    assert [conflict.about for conflict in asked.conflicts] == ["The plan"]
    assert ("P4" in asked.job.posts) is not rerouted_here


def test_a_rock_found_on_the_old_way_stays_where_it_is() -> None:
    job = line_of(log=[logged("obstacle", what="rock", line="n", station_ft=100, radius_ft=1)])
    done = another_way(job, NewWay("P2", "P4", ("N",)))

    before, after = (walk(one).layout.keep_outs for one in (job, done))

    assert [area.polygon for area in after] == [area.polygon for area in before]
    later = edits.obstacle(done, "rock", "n", 100, AT, BY)
    assert walk(later).layout.keep_outs[1].polygon != before[0].polygon


@pytest.mark.closed_form
def test_levels_past_the_stretch_go_with_it_and_those_inside_become_ground_beside_the_line() -> None:
    """The straight from P2 at 20 to P3 and then N: 50 was at (0, 50), which is off the run from (0, 40) to (30, 60)."""
    levels = {f"L{at}": {"method": "level", "line": "n", "station_ft": at, "level_ft": at / 10} for at in (10, 50, 110)}
    done = another_way(line_of(shots=levels), NewWay("P3", "P5", ("N",)))

    run = hypot(20, 30)
    found = {name: (shot.station_ft, shot.offset_ft) for name, shot in done.shots.items() if shot.method == "level"}
    assert found["L10"] == (10.0, None)
    assert found["L110"] == (pytest.approx(70 + 2 * run, abs=1e-3), None)
    # (0, 10) past P3 on a run that heads (30, 20) / run: along 200 / run, off it 300 / run to the left.
    assert found["L50"] == (pytest.approx(40 + 200 / run, abs=1e-3), pytest.approx(-300 / run, abs=1e-3))


@pytest.mark.closed_form
def test_what_lies_along_the_line_is_cut_where_the_stretch_is_given_up() -> None:
    """P3 at 40 to P5 at 80 goes; the shift is that of the two runs of hypot(20, 30) in place of 40 ft."""
    slab = {"line": "n", "kind": "slab"}
    spans = {"walk": (10, 30), "drive": (30, 90), "apron": (100, 110)}
    job = line_of(surfaces={name: {**slab, "from_ft": a, "to_ft": b} for name, (a, b) in spans.items()})

    done = another_way(job, NewWay("P3", "P5", ("N",)))

    shift = 2 * hypot(20, 30) - 40
    assert {name: (row.from_ft, row.to_ft) for name, row in done.surfaces.items()} == {
        "walk": (10, 30),
        "drive": (30, 40),
        "drive-2": (pytest.approx(80 + shift, abs=1e-3), pytest.approx(90 + shift, abs=1e-3)),
        "apron": (pytest.approx(100 + shift, abs=1e-3), pytest.approx(110 + shift, abs=1e-3)),
    }
    pad = line_of(surfaces={"pad": {**slab, "from_ft": 50, "to_ft": 70}})
    assert said(pad, NewWay("P3", "P5", ("N",)))[-1] == "pad: not on the line any more."


def test_a_gate_past_the_stretch_stays_where_it_stands() -> None:
    stations = (0, 20, 40, 60, 80, 85 + 1 / 6, 100, 120)
    job = straight(
        120.0, {"N": (10.0, 30.0)}, gates={"g": {"line": "n", "station_ft": 80}}, posts=posts("n", *stations, kinds={4: "gate", 5: "gate"})
    )
    before = walk(job).layout

    after = walk(another_way(job, NewWay("P2", "P3", ("N",)))).layout

    assert {name for name, one in after.supports.items() if one.gate == "g"} == {"P5", "P6"}
    assert after.supports["P5"].xy == pytest.approx(before.supports["P5"].xy, abs=1e-3)
    assert refused(job, NewWay("P4", "P7", ("N",))) == (
        "Gate g stands in that stretch. End the new way at the gate's posts, or take the gate out first."
    )  # fmt: skip


def test_what_cannot_be_is_refused_in_words() -> None:
    job = line_of({"F": (5.0, 5.0)}, shots={"F2": {"method": "tape", "from_point": "S", "to_point": "Q", "length_ft": 9}})
    assert refused(job, NewWay("P3", "P4")) == (
        "P3 and P4 stand next to each other: name a point that the fence is to go through."
    )  # fmt: skip
    assert refused(job, NewWay("P3", "P3", ("N",))).startswith("P3 and P3 aren't two supports of one line.")
    assert refused(job, NewWay("P3", "P70", ("N",))).startswith("P70 is not ")
    assert refused(job, NewWay("P3", "P5", ("X",))) == "There is no point X. Survey it first, or correct the name."
    assert refused(job, NewWay("P3", "P5", ("Q",))) == "No place yet for Q. Survey that first."
    with pytest.raises(EditRefused, match=r"No driven sleeve of P4 is in that stretch\. Driven there: none\."):
        another_way(job, NewWay("P3", "P5", ("N",)), stays=("P4",))
    assert refused(job.model_copy(update={"posts": {}}), NewWay("P3", "P5")).startswith("There is no accepted plan to change.")


def test_another_line_that_ends_in_the_stretch_is_not_left_hanging() -> None:
    tee = {"points": ["T", "W"], "start_meets": "line", "start_at": "n"}
    job = yard(
        {"S": (0.0, 0.0), "E": (0.0, 120.0), "T": (0.0, 60.0), "W": (40.0, 60.0)},
        {"n": ["S", "E"], "t": tee},
        posts={**posts("n", *range(0, 121, 20)), "P8": {"line": "t", "station_ft": 40, "kind": "end"}},
    )
    assert refused(job, NewWay("P3", "P5")) == (
        "Line t ends on P4, in that stretch. End the new way there, or put that line's end elsewhere first."
    )  # fmt: skip


@pytest.mark.parametrize(("days", "left"), [(6.99, ()), (7.0, ("P4",))])
def test_a_sleeve_stays_in_the_ground_from_a_week_on(days: float, left: tuple[str, ...]) -> None:
    job = edits.tick(line_of(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22)

    done = another_way(job, NewWay("P3", "P5", ("N",)), AT + timedelta(days=days))

    assert done.log[-1].left == left  # type: ignore[union-attr]  # the new way
    assert done.checks[item_key("posts.P4.driven_depth")].reading_in == 22
    sleeves = next(row for row in walk(done).takeoff.rows if row.unit == "sleeves")
    assert (sleeves.needed, sleeves.used) == (9.0 + len(left), 1.0), "it is in the ground until it is ticked as out"


def built(job: Job) -> Job:
    """Everything up on P2 to P4, the loop closed, the sleeves driven."""
    for post in ("P3", "P4"):
        job = edits.tick(job, item_key(f"posts.{post}.driven_depth"), AT, BY, reading_in=22)
    loop = walk(job).cables.loop_of["P3-P4"]
    of = {item.key: item.of for item in walk(job).cables.items}
    for key in map(item_key, (f"cables.{loop}.closed", f"fabric.{loop}.wire_hung", f"fabric.{loop}.mesh_hung")):
        job = edits.tick(job, key, AT, BY, of=of.get(key, ""))
    return job


@pytest.mark.closed_form
def test_what_comes_out_is_told_in_the_order_a_crew_does_it() -> None:
    """A loop of 60 ft takes 2 x 60 ft, 2 x 2.979 ft of uprights, 6 in of tail and 12 in of grip: 127.46 ft. P4 stood at (0, 60)."""
    rows = said(built(line_of({"N": (8.0, 60.0)})), NewWay("P3", "P5", ("N",)), LATER)

    assert rows == (
        "Cut loop L1, P1 to P4, 127' 5 1/2\" of cable, and take its rings off.",
        "Take 20' 0\" of wire off; none of it is long enough to go up again.",
        "Take 20' 0\" of mesh off; none of it is long enough to go up again.",
        "Pull post P4; it is used again.",
        "The sleeve of P4 (7 days old) stays: fill and seed it. It is 8' 0\" from N and 60' 0\" from S.",
    )


def test_a_new_way_without_a_level_is_told_on_a_line_that_has_levels() -> None:
    levels = {f"L{at}": {"method": "level", "line": "n", "station_ft": at, "level_ft": at / 10} for at in (0, 120)}
    way = NewWay("P3", "P5", ("N",))
    told = "No levels are shot along the new way yet: shoot the ground at every break."

    assert told in said(line_of(shots=levels), way)
    assert told not in said(line_of(), way)


def test_a_ring_cut_at_its_first_point_without_a_level_is_told_so_too() -> None:
    levels = {f"L{at}": {"method": "level", "line": "r", "station_ft": at, "level_ft": at / 10} for at in (30, 100)}
    job = ring(posts=posts("r", *range(0, 141, 20), kinds=dict.fromkeys((0, 2, 4, 6), "corner") | {7: "line"}), shots=levels)
    assert any(one.startswith("No levels ") for one in said(job, NewWay("P8", "P2")))


@pytest.mark.closed_form
def test_fabric_that_came_off_covers_the_bays_it_is_long_enough_for() -> None:
    """P1 to P4 hangs as one loop: 40 ft come off between P2 and P4. The new way has two bays of hypot(5, 20): 20.6 ft, 6 in lap each."""
    job = built(line_of({"N": (5.0, 40.0)}))
    before = walk(job)
    given = given_up(job, before, NewWay("P2", "P4", ("N",)), AT)
    after = walk(with_new_way(job, before, given, AT, BY))

    found = reused(job, before, after, given, "wire")

    assert (found.off_ft, found.again_ft) == (pytest.approx(40), pytest.approx(hypot(5, 20), abs=1e-3))


def test_a_cut_loop_is_open_again_and_one_that_was_not_cut_stays_closed() -> None:
    job = built(line_of())
    job = edits.tick(job, item_key("cables.L2.closed"), AT, BY, of="P4-P7")

    done = another_way(job, NewWay("P2", "P3", ("N",)))

    assert sorted(map(str, done.checks)) == ["cables.L2.closed", "posts.P3.driven_depth", "posts.P4.driven_depth"]
    assert walk(done).cables.loops["L2"].supports == ("P4", "P5", "P6", "P7")
    assert done.log[-1].loops == ("L1",)  # type: ignore[union-attr]  # the new way
    spent = walk(done).takeoff
    cable = next(row for row in spent.rows if row.stock == done.fence.cable)
    assert cable.needed == pytest.approx(walk(done).cables.total_ft + walk(job).cables.loops["L1"].cut_ft, abs=1e-3)


def test_the_record_says_by_two_tapes_where_a_sleeve_stays() -> None:
    """P4 stood at (0, 60): 60 ft from S and E, of which N, 30 ft off, gives the better cut."""
    job = edits.tick(line_of(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22)
    done = another_way(job, NewWay("P3", "P5", ("N",)), LATER)

    (left,) = left_sleeves(done, walk(done)).values()

    assert (left.line, left.station_ft, left.east_ft, left.north_ft) == ("n", 60.0, 0.0, 60.0)
    assert {left.tie_a, left.tie_b} == {"30' 0\" from N", "60' 0\" from S"}


def test_what_came_out_is_told_as_changed_from_the_plan() -> None:
    done = another_way(line_of(), NewWay("P3", "P5", ("N",)))
    assert [(change.support, change.what) for change in walk(done).punch.changes] == [("P4", "came out, n takes a new way")]
