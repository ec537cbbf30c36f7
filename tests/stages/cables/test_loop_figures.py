"""A loop's own figures: the parts of its cut, the most it sees, which loop and bay are named as the worst, and where its sag is read."""

from math import atan, hypot, pi, sin, sqrt
from typing import Any

import pytest
from scipy.optimize import brentq

from engine.job.model.item_key import item_key
from engine.stages.cables.stage import Cables
from tests.stages.cables.test_stage import EA_LBF, on_trees, strung
from tests.stages.layouts import LIGHT, Spot, layout_of, row

WEAK_CABLE = {"cable-3-32": {"modulus_psi": 10_000}}
"""So soft that a hard lean bends it over 45 degrees."""


GUARDED = {"dogs": {"rex": {"weight_lb": 100, "shoulder_in": 28, "body_in": 40, "jumps": True}}}


def found(result: Cables) -> list[str]:
    return [str(finding.key) for finding in result.findings]


def uneven(*east_ft: float) -> list[Spot]:
    """Spots due east, the first and last ends."""
    last = len(east_ft) - 1
    return [Spot(f"P{n + 1}", east, kind="end" if n in (0, last) else "line") for n, east in enumerate(east_ft)]


@pytest.mark.closed_form
def test_each_part_of_the_cut_length() -> None:
    """Four cables of 20 ft, each longer than straight by 8/3 x 0.016^2 / 20 ft; two uprights of 2.979 ft; 6 and 12 in."""
    parts = strung(layout_of({"north": row(3, 20.0)})).loops["L1"].parts

    assert (parts.bays_ft, parts.tail_ft, parts.lock_ft) == (80.0, 0.5, 1.0)
    assert parts.sag_ft == pytest.approx(4 * 8 / 3 * 0.016**2 / 20, rel=1e-5)
    assert parts.sides_ft == pytest.approx(2 * 2.9791667, abs=1e-6)


@pytest.mark.closed_form
def test_a_lean_bends_the_bay_as_long_as_it_is_on_the_slope() -> None:
    """8 ft up over 15 ft, and 17 ft level."""
    steep = strung(layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 15, level_ft=8, kind="end")]})).bays["P1-P2"]
    level = strung(layout_of({"north": uneven(0, 17)})).bays["P1-P2"]

    assert (steep.push_out_in, steep.free_lbf) == pytest.approx((level.push_out_in, level.free_lbf), rel=1e-4)


@pytest.mark.closed_form
def test_a_run_is_rounded_to_a_thousandth() -> None:
    """Twice hypot(20, 3) is 40.44750 ft."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, level_ft=3), Spot("P3", 40, kind="end", level_ft=6)]
    assert strung(layout_of({"north": spots})).loops["L1"].run_ft == 40.447


def test_the_target_is_the_most_where_no_day_is_colder_and_a_lean_is_past_the_formula() -> None:
    rules = {"cables": {"lean_lbf": 500, "set_F": -40}}
    loop = strung(layout_of({"north": row(3, 20.0)}), rules=rules, stock={**LIGHT, **WEAK_CABLE}).loops["L1"]

    assert loop.cold_lbf < 50
    assert (loop.most_lbf, loop.most_in) == (pytest.approx(50, abs=1e-3), "wire hung")


def leaned_lbf(span_ft: float, loop_ft: float, from_lbf: float = 50) -> float:
    """300 lb on mid-bay: where both halves, stretched out of so much cable from what it pulled before, just carry it (scipy)."""

    def tension_lbf(slope: float) -> float:
        return from_lbf + EA_LBF * span_ft * (hypot(1, slope) - 1) / loop_ft

    return tension_lbf(brentq(lambda slope: 2 * tension_lbf(slope) * sin(atan(slope)) - 300, 1e-6, 1.0))


def gripped_lbf(span_ft: float, from_lbf: float, plf: float = 0.016 + 3 * 490 / 12 * pi / 4 * 0.08**2 * 0.75) -> float:
    """The same in one bay alone, of wire with its cable where nothing else is said, by the lengths of both halves as parabolas (scipy)."""

    def over_ft(pull_lbf: float) -> float:
        bent = 1 / sqrt(1 - (150 / pull_lbf) ** 2) - 1
        sags = (plf**2 * span_ft**3 / 24) * (1 / from_lbf**2 - 1 / pull_lbf**2)
        return (pull_lbf - from_lbf) * span_ft / EA_LBF - span_ft * bent + sags

    return brentq(over_ft, 250.0, 2000.0)


@pytest.mark.independent
def test_a_lean_is_told_with_the_cable_running_free_and_with_eyes_that_grip() -> None:
    """On trees; where they grip on the coldest day with wire hung, whose slack the lean takes up."""
    result = strung(layout_of({"north": on_trees(uneven(0, 10, 32))}), rules={"cables": {"lean_lbf": 300}})

    loop_ft = result.loops["L1"].cut_ft - 1.5
    cold_lbf = next(pull.bottom_lbf for pull in result.loops["L1"].states if pull.state == "hung cold")
    for bay, span_ft in (("P1-P2", 10), ("P2-P3", 22)):
        assert result.bays[bay].free_lbf == pytest.approx(leaned_lbf(span_ft, loop_ft), rel=1e-3)
        assert result.bays[bay].push_tension_lbf == pytest.approx(gripped_lbf(span_ft, cold_lbf), rel=1e-3)
        assert result.bays[bay].gripped_in == "hung cold"
        assert result.bays[bay].push_out_in > result.bays[bay].gripped_out_in
    assert result.loops["L1"].most_lbf == pytest.approx(max(gripped_lbf(10, cold_lbf), gripped_lbf(22, cold_lbf)), rel=1e-3)


def test_the_bay_that_is_leaned_on_hardest_is_named() -> None:
    result = strung(layout_of({"north": row(3, 22.0)}), **GUARDED)

    assert [bay.lean_lbf for bay in result.bays.values()] == [200.0, 200.0]
    assert found(result) == ["lock_too_weak_leaned:L1:P1-P2:P2-P3"]
    assert result.findings[0].do == "Use stronger stock: a shorter bay pulls about as hard."


@pytest.mark.parametrize(("lean_lbf", "breaks"), [(50, False), (300, True)])
def test_a_loop_breaks_where_its_lock_holds_less_than_a_lean_pulls(lean_lbf: float, breaks: bool) -> None:
    assert strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"lean_lbf": lean_lbf}}).loops["L1"].breaks == breaks


@pytest.mark.independent
def test_the_loop_that_pulls_hardest_in_the_cold_is_named() -> None:
    """20 lb at 60 F: in 20 ft bays nearly all of EA alpha dt, 19.5 lb, comes on top; one bay of 60 ft gives way by its sag."""
    rules = {"cables": {"tension_lbf": 20, "safety_factor": 11, "lean_lbf": 1}}
    far = [Spot("P4", 0, 50, "end"), Spot("P5", 20, 50), Spot("P6", 40, 50, "end")]
    result = strung(layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 60, kind="end")], "south": far}), rules=rules, stock=LIGHT)

    assert result.loops["L1"].cold_lbf < 37 < result.loops["L2"].cold_lbf < 20 + EA_LBF * 6.5e-6 * 60
    assert "lock_too_weak:L2" in found(result)


@pytest.mark.closed_form
def test_a_target_over_the_working_load_is_told_though_every_day_is_warmer() -> None:
    """310 lb at 40 below: 13 lb less at 0 F, under the 306.7 of a 920 lb cable 3 to 1."""
    result = strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"tension_lbf": 310, "set_F": -40}})

    assert result.loops["L1"].cold_lbf == pytest.approx(310 - EA_LBF * 6.5e-6 * 40, abs=0.2)
    assert "cable_too_weak:L1" in found(result)


def test_a_loop_of_just_the_limit_is_not_told() -> None:
    assert found(strung(layout_of({"north": row(4, 20.0)}))) == []


def test_a_lock_whose_strength_nobody_knows_has_no_factor_and_the_cable_decides() -> None:
    loop = strung(layout_of({"north": row(3, 20.0)}), stock={"own": {"kind": "lock"}}).loops["L1"]

    assert loop.lock_factor is None
    assert loop.safety == loop.cable_factor == pytest.approx(920 / loop.most_lbf)


def test_a_cable_that_nobody_strings_is_not_asked_for() -> None:
    assert strung(layout_of({}), fence={"cable": "none"}).findings == ()


def sag_item(result: Cables) -> Any:
    return next(item for item in result.items if item.key == item_key("cables.L1.sag"))


@pytest.mark.closed_form
def test_sag_is_read_in_the_longest_bay() -> None:
    """0.016 x 22^2 / 400 ft = 0.2323 in, not the 0.192 of 20 ft."""
    item = sag_item(strung(layout_of({"north": uneven(0, 20, 42, 60)})))

    assert item.reading.wanted == pytest.approx(0.23232)
    assert item.tells.span_ft == 22.0


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("bay_ft", "rules", "low_in", "high_in"),
    [
        (20.0, {"sag_tolerance_in": 0.1}, 0.0844, 0.292),  # the rule's tenth over 0.192, less than the slackest safe sag of 0.392
        (8.0, {}, 0.0135, 0.15572),  # an eighth over 0.03072, for no tape tells the slackest safe sag of 0.06
        (20.0, {"tension_lbf": 350}, 0.0274286, 0.1524286),  # over the safe most of 113.8 lb the target itself is the tightest
    ],
)
def test_what_passes_as_a_sag(bay_ft: float, rules: dict[str, Any], low_in: float, high_in: float) -> None:
    """12 x 0.016 L^2 / 8H in: low at 113.8 lb, the most that is safe, or at a harder target."""
    reading = sag_item(strung(layout_of({"north": row(5, bay_ft)}), rules={"cables": rules}, stock=LIGHT)).reading

    assert (reading.low, reading.high) == (pytest.approx(low_in, abs=0.0001), pytest.approx(high_in, abs=0.0001))


@pytest.mark.closed_form
def test_a_bay_of_a_hair_leans_like_one_of_a_hundredth_of_a_foot() -> None:
    """A lean of 0.1 lb bends 50 lb to a slope of 0.001: 0.06 in out per 0.01 ft of bay, times 0.001."""
    hair = strung(layout_of({"north": uneven(0, 0.004)}), rules={"cables": {"lean_lbf": 0.1}})

    assert hair.bays["P1-P2"].push_out_in == pytest.approx(0.01 * 12 / 2 * 0.001, rel=1e-3)
    assert hair.bays["P1-P2"].span_ft == pytest.approx(0.004)
