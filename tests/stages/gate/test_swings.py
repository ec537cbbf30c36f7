"""A leaf swung over ground that was shot beside the line: by brute force, what is known of it, what to shoot, how high to hang."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import cos, radians, sin
from typing import Any

import numpy as np
import pytest

from engine.job.model.job import Job
from engine.stages.gate.frame_tubes import frame_tubes
from engine.stages.gate.stage import Gates, gate
from engine.stages.posts.stage import posts
from tests.stages.layouts import Spot, layout_of, survey_of

OPENING_FT = 5 + 2 / 12
END_FT = 20 + OPENING_FT
Beside = tuple[tuple[float, float, float], ...]


PLAIN = (Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", END_FT, kind="gate"), Spot("P4", 45, kind="end"))
"""A straight line due east on level ground with a 5 ft gate from 20 ft; left is north."""


def gates(beside: Beside, asked: dict[str, Any] | None = None, spots: Sequence[Spot] = PLAIN, shots: int = 4, **tables: Any) -> Gates:
    """The gate between P2 and P3, hinged at its start, with levels shot beside its line."""
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})
    survey = survey_of(layout)
    survey = replace(survey, lines={"north": replace(survey.lines["north"], beside=beside, level_shots=shots)})
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20, **(asked or {})}}, **tables})
    return gate(job, survey, layout, posts(job, survey_of(layout), layout))


def codes(result: Gates) -> list[str]:
    return [finding.code for finding in result.findings]


def square(off_ft: float, level_ft: float, other_ft: float | None = None) -> Beside:
    """What the program asks for: levels a leaf's width off the line at both posts and midway."""
    far_ft = level_ft if other_ft is None else other_ft
    return ((20.0, off_ft, level_ft), (20 + OPENING_FT / 2, off_ft, (level_ft + far_ft) / 2), (END_FT, off_ft, far_ft))


@pytest.mark.independent
@pytest.mark.parametrize(("off_ft", "rise_ft"), [(-5.0, 0.4), (-5.0, -0.4), (5.0, 0.15), (5.0, 0.6)])
def test_a_bank_square_to_the_line_by_brute_force(off_ft: float, rise_ft: float) -> None:
    """Ground rises evenly from the line to 5 ft off it: under the edge at r and a degrees lies rise x r sin(a) / 5."""
    side = "left" if off_ft < 0 else "right"
    (swing,) = (swing for swing in gates(square(off_ft, rise_ft)).gates["G1"].swings if swing.side == side)
    clearances = [2 - 12 * rise_ft * (r / 100) * 5 * sin(radians(a)) / 5 for a in range(91) for r in range(101)]
    assert swing.least_in == pytest.approx(min(clearances), abs=1e-6)
    assert swing.clear == (min(clearances) >= 0.5)
    assert swing.raise_in == pytest.approx(max(0.0, 0.5 - min(clearances)), abs=1e-6)
    assert swing.known_share == 1.0


@pytest.mark.independent
def test_a_bank_that_rises_along_the_line_too_by_brute_force() -> None:
    """Left of it the ground is the plane through (20, 0, 0), (25, 0, 0) and rises 0.5 ft at 5 ft off, at both posts alike."""
    level_ft = 0.5
    (left, _) = gates(square(-5.0, level_ft)).gates["G1"].swings
    worst = min(
        (2 - 12 * level_ft * (r * sin(radians(a))) / 5, a, r)
        for a in range(0, 91, 2)
        for r in (n / 4 for n in range(21))
        if 20 + r * cos(radians(a)) <= END_FT
    )
    assert (left.least_in, left.of_worst.at_deg, left.of_worst.at_ft) == pytest.approx(worst, abs=1e-6)


def test_the_side_that_was_not_shot_counts_as_level_and_is_not_known() -> None:
    left, right = gates(square(-5.0, 0.6)).gates["G1"].swings
    assert (right.least_in, right.known_share) == (pytest.approx(2.0), 0.0)
    assert left.known_share == 1.0


@pytest.mark.closed_form
def test_what_to_shoot_is_told_until_it_was_shot_and_is_no_finding() -> None:
    assert gates(()).gates["G1"].to_shoot_ft == pytest.approx((20.0, 20 + 31 / 12, 20 + 62 / 12))
    assert gates(square(-5.0, 0.0)).gates["G1"].to_shoot_ft == ()
    assert (codes(gates(())), codes(gates(square(-5.0, 0.0)))) == ([], [])


def share_of_swing(inside: Callable[[float, float], bool], hinge_ft: float = 20.0, ahead: bool = True) -> float:
    """Share of what a 5 ft leaf sweeps to the left, by angle and radius, that lies inside."""
    sign = 1 if ahead else -1
    swept = [(hinge_ft + sign * r * cos(radians(a)), r * sin(radians(a))) for a in range(1, 91) for r in np.linspace(0.05, 5, 100)]
    return sum(inside(east, north) for east, north in swept) / len(swept)


@pytest.mark.independent
def test_one_shot_makes_the_triangle_between_it_and_the_line_known() -> None:
    """Known from two leaf widths before the gate, 10 ft, to as far past it, 35 ft 2 in, up to the shot 3 ft left of the post at 20."""
    left, _ = gates(((20.0, -3.0, 0.0),)).gates["G1"].swings
    inside = share_of_swing(lambda e, n: n <= 3 * (END_FT + 10 - e) / (END_FT - 10))
    assert left.known_share == pytest.approx(inside, abs=0.05)


@pytest.mark.independent
def test_where_the_line_ends_no_ground_is_known_past_it() -> None:
    """The line ends at the latch post: the shot 2 ft before the hinge makes the triangle down to that post known, no more."""
    spots = (*PLAIN[:2], PLAIN[2]._replace(kind="end"))
    left, _ = gates(((18.0, -5.0, 0.0),), spots=spots).gates["G1"].swings
    inside = share_of_swing(lambda e, n: n <= 5 * (END_FT - e) / (END_FT - 18))
    assert left.known_share == pytest.approx(inside, abs=0.05)


@pytest.mark.independent
def test_of_two_leaves_the_one_over_less_known_ground_is_told() -> None:
    """The shot lies 4 ft past the far post, so that less of the near leaf's swing lies between it and 10 ft on the line."""
    spots = (*PLAIN[:2], Spot("P3", 30 + 2 / 12, kind="gate"), Spot("P4", 45, kind="end"))
    (left, _) = gates(((34.0, -5.0, 0.0),), {"leaves": 2}, spots).gates["G1"].swings
    near = share_of_swing(lambda e, n: n <= 5 * (e - 10) / 24)
    far = share_of_swing(lambda e, n: n <= 5 * (e - 10) / 24, hinge_ft=30 + 2 / 12, ahead=False)
    assert left.known_share == pytest.approx(near, abs=0.05)
    assert near + 0.15 < far


@pytest.mark.parametrize(("station_ft", "counts"), [(9.9, False), (10.1, True), (35.1, True), (35.3, False)])
def test_shots_within_two_leaf_widths_of_the_opening_count(station_ft: float, counts: bool) -> None:
    left, _ = gates(((station_ft, -3.0, 0.0),)).gates["G1"].swings
    assert (left.known_share > 0) == counts


def test_a_level_shot_on_the_line_by_a_hair_is_that_of_the_line() -> None:
    """It says 1 ft, the line says 0: the leaf swings clear by its 2 in."""
    left, _ = gates(((22.0, -0.01, 1.0), *square(-5.0, 0.0))).gates["G1"].swings
    assert left.least_in == pytest.approx(2.0)


def sloped(from_ft: float, start_ft: float, end_ft: float) -> tuple[Spot, ...]:
    """A gate from a station of the line, its posts' ground at those levels, level beyond."""
    to_ft = from_ft + OPENING_FT
    before = (Spot("P1", 0, kind="end", level_ft=start_ft),) if from_ft else ()
    gate_posts = (Spot("P2", from_ft, kind="gate", level_ft=start_ft), Spot("P3", to_ft, kind="gate", level_ft=end_ft))
    return (*before, *gate_posts, Spot("P4", 45, kind="end", level_ft=end_ft))


@pytest.mark.closed_form
@pytest.mark.parametrize("from_ft", [20.0, 4.0, 0.0])
@pytest.mark.parametrize(("hinge", "least_in"), [("start", 6 - 4 * 5 / OPENING_FT), ("end", 2.0)])
def test_a_leaf_over_a_slope_is_nearest_to_the_ground_when_shut(from_ft: float, hinge: str, least_in: float) -> None:
    """The ground rises 4 in along the opening and the edge hangs 2 in over its top: 6 in over the first post, less 4 x r / 5' 2"."""
    left, right = gates((), {"hinge": hinge}, sloped(from_ft, 0.0, 4 / 12)).gates["G1"].swings
    assert (left.least_in, right.least_in) == pytest.approx((least_in, least_in), abs=1e-6)


@pytest.mark.parametrize(("start_ft", "end_ft"), [(0.0, -4.9), (-4.9, 0.0)])
@pytest.mark.parametrize("hinge", ["start", "end"])
def test_a_leaf_hangs_at_most_5_ft_over_the_ground_at_its_own_hinge(start_ft: float, end_ft: float, hinge: str) -> None:
    """2 in over the high post is 5 ft and 0.8 in over the low one."""
    found = gates((), {"hinge": hinge}, sloped(20.0, start_ft, end_ft))
    low = "start" if start_ft < end_ft else "end"
    assert ("gate_not_worked" in codes(found)) == (hinge == low)


@pytest.mark.closed_form
@pytest.mark.parametrize(("bottom_gap_in", "clear"), [(0.5, True), (0.49, False)])
def test_half_an_inch_is_clear(bottom_gap_in: float, clear: bool) -> None:
    swings = gates((), rules={"gate": {"bottom_gap_in": bottom_gap_in}}).gates["G1"].swings
    assert [swing.clear for swing in swings] == [clear, clear]


@pytest.mark.parametrize(("rise_in", "better"), [(0.05, "left"), (0.2, "right")])
def test_a_side_better_by_less_than_a_tape_s_mark_is_no_reason_to_open_to_it(rise_in: float, better: str) -> None:
    assert gates(square(-5.0, rise_in / 12)).gates["G1"].better == better


def test_a_part_of_the_swing_that_was_shot_is_told_with_its_share() -> None:
    work = gates(((20.0, -5.0, 0.0),)).gates["G1"]
    assert 0 < work.swings[0].known_share < 0.99
    assert len(work.to_shoot_ft) == 3


def test_where_no_level_was_shot_along_the_line_nothing_is_asked_beside_it() -> None:
    assert gates((), shots=0).gates["G1"].to_shoot_ft == ()


def test_a_gate_on_a_line_that_is_not_surveyed_is_left_to_the_survey() -> None:
    layout = layout_of({"north": PLAIN}, gates={"P2-P3": "G1"})
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20}}})
    assert gate(job, replace(survey_of(layout), lines={}), layout, posts(job, survey_of(layout), layout)) == Gates({}, (), ())


def test_stations_to_shoot_come_in_the_order_of_the_line() -> None:
    assert gates((), spots=sloped(8.0, 0.0, 0.0)).gates["G1"].to_shoot_ft == pytest.approx((8.0, 8 + 31 / 12, 8 + 62 / 12))


@pytest.mark.closed_form
def test_a_leaf_that_drags_both_ways_is_told_how_high_to_hang() -> None:
    """7.2 in rise to the left, 9.6 in to the right; 2 - 7.2 = -5.2 in, so 5.7 in higher to the left: 7.7 in, over a 12 in dog's 3.6."""
    found = gates(square(-5.0, 0.6) + square(5.0, 0.8), dogs={"rex": {"weight_lb": 20, "shoulder_in": 12, "body_in": 20}})
    work = found.gates["G1"]
    (drags,) = (finding for finding in found.findings if finding.code == "gate_drags")
    assert (work.better, work.hang_in, work.gap_then_in) == ("left", pytest.approx(7.7), pytest.approx(7.7))
    assert '7 3/4" over the highest ground' in drags.do
    assert "a strip of wire below the rail" in drags.do


def test_a_leaf_that_was_seen_to_swing_clear_drags_no_more_until_it_hangs_otherwise() -> None:
    """Hung as high as is told it is ticked, and nobody has to give a reason for it at the end; a wider leaf was never swung."""
    bank = square(-5.0, 0.6) + square(5.0, 0.8)
    (item,) = (item for item in gates(bank).items if item.key.what == "swing_clear")
    tick = {str(item.key): {"at": "2026-04-02T09:00:00Z", "by": "Lee", "of": item.of}}
    wider = {"leaf_width_ft": 4.5}
    told = [[one.code for one in gates(bank, asked=asked, checks=tick).findings].count("gate_drags") for asked in ({}, wider)]
    assert told == [0, 1]


def test_a_dog_too_tall_for_the_gap_asks_for_no_strip() -> None:
    found = gates(square(-5.0, 0.6) + square(5.0, 0.8), dogs={"rex": {"weight_lb": 60, "shoulder_in": 26, "body_in": 30}})
    (drags,) = (finding for finding in found.findings if finding.code == "gate_drags")
    assert "strip" not in drags.do


@pytest.mark.closed_form
def test_gaps_posts_and_screws_of_one_leaf_and_of_two() -> None:
    """62 in between the posts less 60 in of leaf: 1 in each side. Level ground: both posts as high as the fence."""
    one = gates(()).gates["G1"]
    assert (one.side_gap_in, one.screws) == (pytest.approx(1.0), 16)
    assert one.post_heights_ft == (pytest.approx(6.0), pytest.approx(6.0))
    two = gates((), asked={"leaves": 2, "leaf_width_ft": 2.5}).gates["G1"]
    assert (two.side_gap_in, two.screws) == (pytest.approx(2 / 3), 32)


@pytest.mark.closed_form
def test_posts_on_a_slope_are_as_much_longer_as_the_ground_is_lower() -> None:
    """The far post stands 0.5 ft lower, so it is 6.5 ft over its ground where the near one is 6."""
    spots = [
        Spot("P1", 0, kind="end"),
        Spot("P2", 20, kind="gate"),
        Spot("P3", END_FT, kind="gate", level_ft=-0.5),
        Spot("P4", 45, kind="end", level_ft=-0.5),
    ]
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20}}})
    work = gate(job, survey_of(layout), layout, posts(job, survey_of(layout), layout)).gates["G1"]
    assert work.post_heights_ft == (pytest.approx(6.0), pytest.approx(6.5))


@pytest.mark.closed_form
def test_every_piece_of_the_frame_is_cut_from_a_tube() -> None:
    """Two uprights of 5' 6 5/8" and two rails of 4' 8 5/8" from 10 1/2 ft tubes: one of each a tube, 2 5/8" left of both."""
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20}}})
    plan = frame_tubes(job, gates(()))
    assert plan is not None
    assert [sorted(roll.piece_ids) for roll in plan.rolls] == [["G1 rail 1", "G1 upright 1"], ["G1 rail 2", "G1 upright 2"]]
    assert [12 * roll.left for roll in plan.rolls] == [pytest.approx(126 - 66.625 - 56.625, abs=1e-3)] * 2
    assert (plan.proven, frame_tubes(job, Gates({}, (), ()))) == (True, None)
