"""Which foot is the best one: clear, then in its bay, then in reach, then nearest to the wanted distance; and the ground it stands on."""

from typing import Any

import pytest

from engine.calc.geometry.ground import Profile
from engine.job.model.rules import BraceRules
from engine.stages.bracing.brace_feet import farthest_ft
from engine.stages.layout.stage import KeepOut
from tests.stages.bracing.test_stage import braced
from tests.stages.layouts import Spot, layout_of, row, square

FAULTS = ("foot_in_keep_out", "foot_past_bay", "brace_too_short")


def feet(bay_ft: float, keep_outs: tuple[KeepOut, ...] = (), brace_ft: float = 8.0, **rules: Any) -> tuple[list[float], list[str]]:
    """Distances of the feet of P1 in one bay due east, and what is wrong with them."""
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", bay_ft, kind="end")]}, keep_outs=keep_outs)
    result = braced(layout, rules={"bracing": rules}, stock={"brace-8": {"length_ft": brace_ft}})
    faults = [finding.code for finding in result.findings if finding.code in FAULTS and finding.subjects == ("P1", "P2")]
    return [leg.foot_distance_ft for leg in result.pulls["P1"].legs], faults


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("bay_ft", "keep_outs", "brace_ft", "distance_ft", "faults"),
    [
        (20.0, (), 8.0, 5.0, []),
        (4.6, (), 8.0, 4.5, []),  # the first try within the bay, 4 1/2 to 5 1/2 ft in steps of 3 in
        (5.0, (), 8.0, 4.75, []),  # at 5 ft stands the next support
        (4.6, (square(4.5, 0, 0.1),), 8.0, 5.0, ["foot_past_bay"]),  # a clear foot is better than one within the bay
        (20.0, (square(4.9, 0, 0.3),), 8.5, 5.25, []),
        (20.0, (square(4.9, 0, 0.3),), 8.0, 4.5, []),  # 5 1/4 ft out takes 8.09 ft of brace
        (20.0, (square(5.1, 0, 0.3),), 8.5, 4.75, []),
        (20.0, (square(5.0, 0, 0.3),), 8.5, 4.5, []),  # of 4 1/2 and 5 1/2 the nearer to the post
    ],
)
def test_the_best_foot(bay_ft: float, keep_outs: tuple[KeepOut, ...], brace_ft: float, distance_ft: float, faults: list[str]) -> None:
    assert feet(bay_ft, keep_outs, brace_ft) == ([distance_ft], faults)


def test_no_foot_stands_at_or_behind_its_post() -> None:
    """Wanted 3 in out, give or take 6: -3 in, 0, 3, 6 and 9 in; the first two are none, 3 and 6 lie in the keep-out."""
    assert feet(20.0, (square(0.25, 0, 0.35),), foot_ft=0.25) == ([0.75], [])


@pytest.mark.closed_form
def test_a_foot_at_the_end_of_a_line_stands_on_the_ground_before_it() -> None:
    """The last post at 40 ft, its foot at 35: a bench of 1 ft from 32 to 38 ft of the line."""
    ground = {"north": Profile((0.0, 31.0, 32.0, 38.0, 39.0, 40.0), (0.0, 0.0, 1.0, 1.0, 0.0, 0.0))}

    (leg,) = braced(layout_of({"north": row(3, 20.0)}), ground).pulls["P3"].legs

    assert leg.foot == pytest.approx((35.0, 0.0))
    assert leg.foot_level_ft == pytest.approx(1.0)


@pytest.mark.parametrize(("tolerance_in", "farthest"), [(0.5, 5.0), (12.0, 6.0)])
def test_a_foot_is_looked_for_as_far_as_the_tolerance_has_whole_steps(tolerance_in: float, farthest: float) -> None:
    assert farthest_ft(BraceRules(foot_ft=5.0, foot_tolerance_in=tolerance_in)) == pytest.approx(farthest)
