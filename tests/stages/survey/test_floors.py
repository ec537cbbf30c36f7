"""Hard ground along a line: the ground with decks and treads on it, base plates, edges that are fastened, and gaps over treads."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile, level_at_ft
from engine.change.fresh_layout import fresh_layout
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.stages.survey.floors import floor_at, floored, gaps_over_treads, line_floors
from engine.stages.survey.stage import Floor
from engine.walk import Walk, walk
from tests.demo import BY
from tests.stages.flat_yards import straight
from tests.stages.yards import levels
from tests.test_done_means_done import LATER, all_ticked

PATH = ((0.0, 0.0), (0.0, 100.0))


def surfaces(**rows: dict[str, Any]) -> dict[str, Any]:
    return {name: {"line": "n", **row} for name, row in rows.items()}


def yard(length_ft: float, ground: list[tuple[float, float]] | None = None, **tables: Any) -> Job:
    return straight(length_ft, shots=levels("n", ground or [(0.0, 0.0)]), rules={"cables": {"tension_lbf": 1000}}, **tables)


def walked(length_ft: float, ground: list[tuple[float, float]] | None = None, **tables: Any) -> Walk:
    return walk(yard(length_ft, ground, **tables))


def codes(found: Walk, stage: str) -> list[str]:
    return [finding.code for finding in found.findings if finding.stage == stage and finding.level != "note"]


STEPS = {"kind": "steps", "from_ft": 8.0, "to_ft": 12.0, "tread_count": 4}
ON_PORCH = {"support": "structure", "at": "porch"}
DECK = {"kind": "deck", "from_ft": 20.0, "to_ft": 40.0, "height_ft": 2.5}


@pytest.mark.closed_form
def test_treads_share_the_rise_up_and_down() -> None:
    """2 ft in 4 treads: 6 in each, the first riser at the lower end."""
    up = line_floors(yard(100, surfaces=surfaces(s=STEPS)), "n", PATH, 100, Profile((8.0, 12.0), (0.0, 2.0)))
    down = line_floors(yard(100, surfaces=surfaces(s=STEPS)), "n", PATH, 100, Profile((8.0, 12.0), (2.0, 0.0)))

    assert up[0].levels_ft == pytest.approx((0.5, 1.0, 1.5, 2.0))
    assert down[0].levels_ft == pytest.approx((2.0, 1.5, 1.0, 0.5))
    assert [flat[:2] for flat in up[0].flats()] == [(8, 9), (9, 10), (10, 11), (11, 12)]


@settings(max_examples=60, deadline=None)
@given(
    ground=st.lists(st.floats(-3, 3), min_size=6, max_size=6),
    edges=st.lists(st.integers(1, 49), min_size=4, max_size=4, unique=True),
    ends=st.tuples(st.integers(0, 20), st.integers(30, 50)),
)
@pytest.mark.independent
def test_the_ground_underfoot_is_each_floor_where_it_lies_and_the_ground_elsewhere(
    ground: list[float], edges: list[int], ends: tuple[int, int]
) -> None:
    """Against the floors' own definition, station by station, a little off every edge."""
    a, b, c, d = (2.0 * edge for edge in sorted(edges))
    profile = Profile(tuple(20.0 * n for n in range(6)), tuple(ground))
    rows = {"deck": {**DECK, "from_ft": a, "to_ft": b}, "steps": {**STEPS, "from_ft": c, "to_ft": d}}
    floors = line_floors(yard(100, surfaces=surfaces(**rows)), "n", PATH, 100, profile)
    start, end = 2.0 * ends[0], 2.0 * ends[1]

    underfoot = floored(profile, floors, start, end)

    def expected(station: float) -> float:
        if a < station < b:
            return float(np.interp(a, profile.stations_ft, ground)) + 2.5
        if c < station < d:
            low, high = (float(np.interp(edge, profile.stations_ft, ground)) for edge in (c, d))
            nth = int((station - c) / (d - c) * 4)
            return low + (nth + (high > low)) * (high - low) / 4
        return float(np.interp(station, profile.stations_ft, ground))

    treads = [c + (d - c) * n / 4 for n in range(5)]
    for station in np.arange(start + 0.03, end, 0.37).tolist():
        if all(abs(station - edge) > 0.02 for edge in (a, b, *treads)):
            assert level_at_ft(underfoot, station) == pytest.approx(expected(station), abs=1e-6)
    assert all(before < after for before, after in pairwise(underfoot.stations_ft))


def test_a_bay_that_ends_at_a_deck_ends_on_the_ground_and_the_next_begins_on_the_deck() -> None:
    floors = line_floors(yard(60, surfaces=surfaces(porch=DECK)), "n", PATH, 60, Profile((0.0,), (1.0,)))

    before, over = (floored(Profile((0.0,), (1.0,)), floors, *ends) for ends in ((0.0, 20.0), (20.0, 40.0)))

    assert level_at_ft(before, 20.0) == 1.0
    assert level_at_ft(over, 20.0) == level_at_ft(over, 40.0) == 3.5


def test_the_edge_of_two_floors_belongs_to_the_raised_one() -> None:
    floors = (Floor("pad", "slab", 0.0, 10.0), Floor("porch", "deck", 10.0, 20.0, (2.0,), 2.0))

    assert [floor.surface if floor else None for floor in (floor_at(floors, at) for at in (5.0, 10.0, 15.0, 25.0))] == [
        "pad",
        "porch",
        "porch",
        None,
    ]


def test_what_cannot_be_drawn_is_told() -> None:
    rows = surfaces(
        far={"kind": "slab", "from_ft": 90, "to_ft": 99},
        flat={"kind": "steps", "from_ft": 5, "to_ft": 9, "tread_count": 3},
        low={"kind": "deck", "from_ft": 20, "to_ft": 30},
    )

    assert codes(walked(60, surfaces=rows), "survey")[-3:] == ["surface_off_line", "steps_without_rise", "deck_without_height"]


def test_posts_keep_off_a_slab_where_a_bay_spans_it_and_stand_on_plates_where_none_does() -> None:
    short = walked(60, surfaces=surfaces(pad={"kind": "slab", "from_ft": 18.0, "to_ft": 24.0})).layout
    long = walked(60, surfaces=surfaces(pad={"kind": "slab", "from_ft": 10.0, "to_ft": 50.0})).layout
    cored = walked(60, surfaces=surfaces(pad={"kind": "slab", "from_ft": 10.0, "to_ft": 50.0, "drive_through": True})).layout

    assert [(post.station_ft, post.support) for post in short.supports.values()] == [
        (0.0, "driven"),
        (18.0, "driven"),
        (39.0, "driven"),
        (60.0, "driven"),
    ]
    assert [(post.station_ft, post.support, post.at) for post in long.supports.values()][1:3] == [
        (20.0, "structure", "pad"),
        (40.0, "structure", "pad"),
    ]
    assert {post.support for post in cored.supports.values()} == {"driven"}


def test_a_post_driven_where_a_slab_lies_is_told() -> None:
    plan = {f"P{n + 1}": {"line": "n", "station_ft": 20.0 * n, "kind": "end" if n in (0, 3) else "line"} for n in range(4)}

    found = walked(60, posts=plan, surfaces=surfaces(pad={"kind": "slab", "from_ft": 18.0, "to_ft": 24.0}))

    (finding,) = [finding for finding in found.findings if finding.code == "in_keep_out"]
    assert finding.says == "P2 stands in slab pad."
    assert finding.do.startswith("It may stand there on a base plate: settle it by an offer")


@pytest.mark.closed_form
def test_short_posts_on_a_deck_are_as_long_as_the_fence_or_the_rail_is_high() -> None:
    """Posts at both edges of a 20 ft deck, 2 1/2 ft up: 6 ft of fence, or a 3 ft rail."""
    whole = walked(60, surfaces=surfaces(porch=DECK))
    rail = walked(60, surfaces=surfaces(porch={**DECK, "from_ft": 20.0, "to_ft": 60.0, "rail_ft": 3.0}))

    edge = whole.posts.work["P2"]
    assert (edge.plate_on, edge.post_cut_ft, edge.in_sleeve_in, edge.depth_wanted_in) == ("porch", pytest.approx(6.0), None, None)
    assert whole.layout.supports["P2"].level_ft == 2.5
    on_deck = [post for post in rail.posts.work.values() if post.plate_on]
    assert [post.post_cut_ft for post in on_deck] == pytest.approx([3.5, 3.0, 3.0])  # the first carries the 6 ft fence too: 6 - 2.5
    assert rail.posts.hangs["P3-P4"].eyes.high_ft == pytest.approx(3 - 0.25 / 12)


def test_a_loop_ends_where_the_line_runs_up_a_deck() -> None:
    found = walked(60, surfaces=surfaces(porch=DECK))

    assert [loop.bays for loop in found.cables.loops.values()] == [("P1-P2",), ("P2-P3",), ("P3-P4",)]


def test_eyes_of_both_sides_are_told_at_a_decks_edge() -> None:
    items = {str(item.key): item.says for item in walked(60, surfaces=surfaces(porch={**DECK, "rail_ft": 3.0})).posts.items}

    assert items["posts.P2.plate"] == "P2: base plate bolted down on porch, post cut to 3' 6\""
    assert items["posts.P2.eyes"] == ("P2: eyes at 2' 0\" and 2' 11 3/4\" over porch, and 3' 0\" and 5' 11 3/4\" over the ground")


def test_what_a_plate_takes_is_told() -> None:
    found = walked(60, surfaces=surfaces(pad={"kind": "slab", "from_ft": 35.0, "to_ft": 60.0}))

    told = {finding.code: (finding.level, finding.says) for finding in found.findings if finding.stage == "posts" and "pad" in finding.says}
    assert told == {
        "on_base_plate": ("note", "P4 stands on a base plate on pad; the bolts aren't worked out."),
        "plate_pulled": ("fix", "P4 on pad takes the pull of a corner, end or gate on a plate."),
    }


def test_over_a_slab_no_apron_is_asked_for_and_a_sunk_one_leaves_a_gap() -> None:
    ground = [(0.0, 0.0), (9.0, 0.0), (10.0, -1.25), (12.0, -1.25), (13.0, 0.0), (44.0, 0.0)]
    pad = {"kind": "slab", "from_ft": 9.5, "to_ft": 12.5}

    level = walked(20, surfaces=surfaces(pad={"kind": "slab", "from_ft": 5.0, "to_ft": 9.0}))
    sunk = walked(44, ground, surfaces=surfaces(pad=pad))

    assert codes(level, "fabric") == []
    assert set(level.fabric.bays["P1-P2"].under) == {"soil", "slab"}
    gaps = [finding for finding in sunk.findings if finding.code == "gap_over_floor"]
    assert [finding.says for finding in gaps] == ['Between P1 and P2 the wire ends 3" over the slab; the rule is 1".']


@pytest.mark.closed_form
def test_the_straight_edge_over_steps_leaves_a_riser_over_every_tread_but_the_top_one() -> None:
    """2 ft in 4 treads of 1 ft: 6 in over three of them; each takes a piece 12 in long and 6 + 4 in wide."""
    found = walked(20, [(0.0, 0.0), (8.0, 0.0), (12.0, 2.0), (20.0, 2.0)], surfaces=surfaces(s=STEPS))

    assert [(finding.says, finding.do) for finding in found.findings if finding.code == "gap_over_treads"] == [
        (
            'Between P1 and P2 the straight edge of the wire stands up to 6" over 3 treads.',
            'Cut the wire to every tread; where it is too short, ring in an infill piece 1\' 0" long and 10" wide from 8\' 0", '
            "3 of them, one per tread.",
        )
    ]
    assert "hole_under_wire" not in codes(found, "fabric")
    pieces = [(piece.start_ft, piece.length_ft, piece.width_in) for piece in found.fabric.infills if piece.over == "steps"]
    assert pieces == [(8.0, 1.0, 10.0), (9.0, 1.0, 10.0), (10.0, 1.0, 10.0)]


@settings(max_examples=40, deadline=None)
@given(rise=st.floats(-3, 3).filter(lambda rise: abs(rise) > 0.2), count=st.integers(1, 7), hole=st.floats(0, 2))
@pytest.mark.independent
def test_gaps_over_treads_agree_with_many_samples(rise: float, count: int, hole: float) -> None:
    """The edge is the straight line along the nosings, or hangs over it where the wire ends above: looked at every 1/50 ft."""
    ground = [(0.0, -hole * (rise > 0)), (8.0, -hole), (12.0, rise - hole), (20.0, rise - hole * (rise < 0))]
    found = walked(20, ground, surfaces=surfaces(s={**STEPS, "tread_count": count}))

    apron = found.fabric.bays["P1-P2"]
    told = {round(short.from_ft, 3): -short.least_in for short in apron.short if short.kind == "steps"}
    low, step = -hole, rise / count
    lines = np.linspace(8, 12, count + 1)
    nosings = ([8.0, *lines[:-1].tolist(), 12.0], [low + step, *(low + step * (n + 1) for n in range(count)), low + rise])
    if rise < 0:
        nosings = ([8.0, *lines[1:].tolist(), 12.0], [low, *(low + step * n for n in range(count)), low + step * (count - 1)])
    for n in range(count):
        x = np.linspace(lines[n] + 0.012, lines[n + 1] - 0.012, 50)
        tread = low + step * (n + (rise > 0))
        wire = np.interp(x, apron.stations_ft, np.array(apron.ground_ft) - np.array(apron.apron_in) / 12)
        edge = np.maximum(wire, np.interp(x, *nosings))
        gap_in = 12 * float(np.max(edge - tread))
        if abs(gap_in - 1) > 0.2:
            assert told.get(round(float(lines[n]), 3), 0.0) == pytest.approx(gap_in if gap_in > 1 else 0.0, abs=0.15)


def test_stakes_beside_a_narrow_slab_cover_it_and_a_wide_one_is_fastened() -> None:
    narrow = walked(40, surfaces=surfaces(pad={"kind": "paving", "from_ft": 9.0, "to_ft": 12.0})).staking
    wide = walked(40, surfaces=surfaces(pad={"kind": "paving", "from_ft": 6.0, "to_ft": 16.0})).staking

    assert (narrow.fastened, codes_of(narrow)) == (0, [])
    assert not any(9.01 < at < 11.99 for bay in narrow.bays.values() for at in bay.stations_ft)
    bay = wide.bays["P1-P2"]
    assert bay.fastened_ft == pytest.approx((6 + 10 / 3, 6 + 20 / 3))
    assert {6.0, 16.0} <= set(bay.stations_ft)
    assert (bay.uncovered, codes_of(wide)) == ((), [])
    items = {str(item.key): item.says for item in wide.items}
    assert items["staking.P1-P2.fastened"] == "P1-P2: edge fastened to the hard floor or weighted, 2 spots"


def codes_of(staking: Any) -> list[str]:
    return [finding.code for finding in staking.findings]


@settings(max_examples=40, deadline=None)
@given(edges=st.lists(st.floats(0.5, 39.5), min_size=2, max_size=2), kind=st.sampled_from(["slab", "paving"]))
@example(edges=[21.0, 19.96875], kind="paving")
@pytest.mark.independent
def test_no_stake_stands_on_a_floor_and_no_gap_is_left(edges: list[float], kind: str) -> None:
    """Between neighbours, staked or fastened, never more than 4 ft, looked at from end to end."""
    low, high = sorted(edges)
    if high - low < 0.1:
        return
    found = walked(40, surfaces=surfaces(pad={"kind": kind, "from_ft": low, "to_ft": high})).staking

    stakes = sorted(at for bay in found.bays.values() for at in bay.stations_ft)
    held = sorted({*stakes, *(at for bay in found.bays.values() for at in bay.fastened_ft)})
    assert not any(low + 0.02 < at < high - 0.02 for at in stakes)
    assert all(after - before <= 4 + 1e-6 for before, after in pairwise(held))
    assert codes_of(found) == []
    assert found.fastened == len(held) - len(set(stakes))


@settings(max_examples=40, deadline=None)
@given(away=st.floats(0.5, 4), skew=st.floats(-3, 3))
@pytest.mark.independent
def test_no_stake_reaches_sideways_into_a_buried_lines_zone(away: float, skew: float) -> None:
    """Every stake as a segment 8.49 in to each side against the zone drawn with shapely."""
    points = {"G1": (away, -10.0), "G2": (away + skew, 60.0)}
    gas = {"gas": {"kind": "gas", "points": ["G1", "G2"]}}

    found = walk(straight(40.0, points, utilities=gas)).staking

    zone = shapely.LineString(list(points.values())).buffer(1.5)
    reach = 12 * 2**-0.5 / 12
    stakes = [at for bay in found.bays.values() for at in bay.stations_ft]
    assert all(shapely.LineString([(-reach, at), (reach, at)]).intersection(zone).length < 0.02 for at in stakes)


def test_gaps_over_treads_are_none_for_a_single_step() -> None:
    (steps,) = line_floors(yard(20, surfaces=surfaces(s={**STEPS, "tread_count": 1})), "n", PATH, 20, Profile((8.0, 12.0), (0.0, 0.5)))

    assert list(gaps_over_treads(steps)) == [(8.0, 12.0, 0.5, 0.5, 0.5)]


def test_what_hard_ground_takes_is_counted() -> None:
    """Two short posts on a deck 20 ft long: two plates, 8 bolts and the 5 spots its edge is fastened at."""
    found = walked(60, surfaces=surfaces(porch=DECK))

    rows = {row.stock: row.needed for row in found.takeoff.rows}
    assert found.staking.bays["P2-P3"].fastened_ft == pytest.approx((24, 28, 32, 36, 40))  # a stake holds the wire at 20
    assert (rows["base-plate"], rows["anchor"], rows["post-8"], rows["sleeve-30"]) == (2, 13, 4, 2)


def test_anchors_stay_in_a_deck_whose_post_is_left_out() -> None:
    """8 bolts and 5 spots before; then 4 bolts are asked for, and P2's four can't be had back, as its post and its plate can."""
    plan = {f"P{n + 1}": {"line": "n", "station_ft": 20.0 * n, "kind": "end" if n in (0, 3) else "line"} for n in range(4)}
    deck = all_ticked(
        yard(60, posts={**plan, "P2": {**plan["P2"], **ON_PORCH}, "P3": {**plan["P3"], **ON_PORCH}}, surfaces=surfaces(porch=DECK))
    )
    before, after = ({row.stock: row.used for row in walk(job).takeoff.rows} for job in (deck, edits.drop_post(deck, "P2", LATER, BY)))
    assert [(used["anchor"], used["base-plate"]) for used in (before, after)] == [(13, 2), (13, 1)]


def test_a_plan_from_before_the_slab_gets_plates_when_it_is_laid_out_afresh_and_what_stands_stays() -> None:
    plan = {f"P{n + 1}": {"line": "n", "station_ft": 20.0 * n, "kind": "end" if n in (0, 3) else "line"} for n in range(4)}
    tick = {"posts.P2.driven_depth": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_in": 20}}
    pad = surfaces(pad={"kind": "slab", "from_ft": 15.0, "to_ft": 45.0})
    untouched, driven = (yard(60, posts=plan, surfaces=pad, checks=checks) for checks in ({}, tick))

    fresh, held = (fresh_layout(job, walk(job)).posts for job in (untouched, driven))

    assert [(post.station_ft, post.support, post.at) for post in fresh.values()] == [
        (0.0, "driven", None),
        (20.0, "structure", "pad"),
        (40.0, "structure", "pad"),
        (60.0, "driven", None),
    ]
    # From the post that stands 25 ft reach to the slab's far edge.
    assert [(post.station_ft, post.support) for post in held.values()][1:3] == [(20.0, "driven"), (45.0, "driven")]
