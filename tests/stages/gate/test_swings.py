"""A leaf swung over ground that was shot beside the line: by brute force, what is known of it, what to shoot, how high to hang."""

from dataclasses import replace
from math import cos, radians, sin
from typing import Any

import pytest

from engine.job.model.job import Job
from engine.stages.gate.frame_tubes import frame_tubes
from engine.stages.gate.stage import Gates, gate
from engine.stages.posts.stage import posts
from tests.stages.layouts import Spot, layout_of, survey_of

OPENING_FT = 5 + 2 / 12
END_FT = 20 + OPENING_FT
Beside = tuple[tuple[float, float, float], ...]


def gates(beside: Beside, asked: dict[str, Any] | None = None, **tables: Any) -> Gates:
    """A straight line due east on level ground with a 5 ft gate from 20 ft, hinged at its start; left is north."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", END_FT, kind="gate"), Spot("P4", 45, kind="end")]
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})
    survey = survey_of(layout)
    survey = replace(survey, lines={"north": replace(survey.lines["north"], beside=beside)})
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20, **(asked or {})}}, **tables})
    return gate(job, survey, layout, posts(job, layout))


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
    assert (left.least_in, left.at_deg, left.at_ft) == pytest.approx(worst, abs=1e-6)


def test_the_side_that_was_not_shot_counts_as_level_and_is_not_known() -> None:
    left, right = gates(square(-5.0, 0.6)).gates["G1"].swings
    assert (right.least_in, right.known_share) == (pytest.approx(2.0), 0.0)
    assert left.known_share == 1.0


def test_half_of_the_square_makes_part_of_the_swing_known() -> None:
    left, _ = gates(((20.0, -5.0, 0.0),)).gates["G1"].swings
    assert 0.3 < left.known_share < 0.99


def test_the_note_says_what_to_shoot_and_goes_once_it_was_shot() -> None:
    (note,) = (finding for finding in gates(()).findings if finding.code == "swing_ground")
    assert note.says == "The ground left of gate G1 isn't shot; the rest counts as level square to the line."
    assert note.do.startswith("Shoot levels 5' 0\" left of north at 20' 0\", 22' 7\", 25' 2\"")
    assert [finding.code for finding in gates(square(-5.0, 0.0)).findings] == []


@pytest.mark.closed_form
def test_a_leaf_that_drags_both_ways_is_told_how_high_to_hang() -> None:
    """7.2 in rise to the left, 9.6 in to the right; 2 - 7.2 = -5.2 in, so 5.7 in higher to the left: 7.7 in, over a 12 in dog's 6."""
    found = gates(square(-5.0, 0.6) + square(5.0, 0.8), dogs={"rex": {"weight_lb": 20, "shoulder_in": 12, "body_in": 20}})
    work = found.gates["G1"]
    (drags,) = (finding for finding in found.findings if finding.code == "gate_drags")
    assert (work.better, work.hang_in, work.gap_then_in) == ("left", pytest.approx(7.7), pytest.approx(7.7))
    assert '7 3/4" over the highest ground' in drags.do
    assert "a strip of wire below the rail" in drags.do


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
    work = gate(job, survey_of(layout), layout, posts(job, layout)).gates["G1"]
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
