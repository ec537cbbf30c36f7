"""Cable loops: where they begin and end, what to cut, and how they stand cold, heat and a lean."""

from itertools import pairwise
from math import atan, hypot, isfinite, pi, sin
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from scipy.optimize import brentq

from engine.checklist import WantedReading
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import bracing
from engine.stages.bracing.what_pulls import loop_states
from engine.stages.cables.stage import Cables, cables
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from tests.stages.layouts import LIGHT, Spot, layout_of, row, survey_of

EA_LBF = 49 * pi / 4 * (0.09375 / 9) ** 2 * 12e6
"""3/32 in 7x7, as the document rounds it, with a modulus of 12 million psi."""


def strung(layout: Layout, **tables: Any) -> Cables:
    """The cables of a layout; in a breeze, unless the tables say otherwise."""
    rules = tables.get("rules", {})
    job = Job.model_validate({**tables, "rules": {**rules, "cables": {"wind_mph": 10, **rules.get("cables", {})}}})
    work = posts(job, survey_of(layout), layout)
    return cables(job, survey_of(layout), layout, work, bracing(job, survey_of(layout), layout, work))


def bays_of(result: Cables) -> list[list[str]]:
    return [list(loop.bays) for loop in result.loops.values()]


def all_bays(result: Cables) -> list[str]:
    return [bay for loop in result.loops.values() for bay in loop.bays]


@pytest.mark.closed_form
def test_cut_length_is_twice_the_cable_both_sides_tail_and_grip() -> None:
    """Two 20 ft bays, 0.016 lb/ft at 50 lb: sag 0.016 ft, each length L (1 + 8/3 (s/L)^2); sides 2 x 2.979 ft; 6 and 12 in."""
    loop = strung(layout_of({"north": row(3, 20.0)})).loops["L1"]

    along = 2 * 20 * (1 + 8 / 3 * (0.016 / 20) ** 2)
    assert loop.run_ft == 40.0
    assert loop.cut_ft == pytest.approx(2 * along + 2 * 2.9791667 + 1.5, abs=1e-6)
    assert loop.supports == ("P1", "P2", "P3")
    assert (loop.line, loop.within, loop.tension_lbf) == ("north", True, 50.0)


@pytest.mark.closed_form
def test_on_a_slope_the_cable_follows_it() -> None:
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, level_ft=3), Spot("P3", 40, kind="end", level_ft=6)]

    loop = strung(layout_of({"north": spots})).loops["L1"]

    assert loop.run_ft == pytest.approx(2 * hypot(20, 3), abs=0.0006)
    assert loop.cut_ft == pytest.approx(4 * hypot(20, 3) + 2 * 2.9791667 + 1.5, abs=1e-3)
    assert loop.ruling_span_ft == pytest.approx(20.0)


@pytest.mark.closed_form
def test_sag_grows_with_the_square_of_the_span() -> None:
    """wL^2/8H: 0.016 x 22^2 / 400 ft = 0.2323 in."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 22), Spot("P3", 44 - 11, kind="end")]

    result = strung(layout_of({"north": spots}))

    assert result.bays["P1-P2"].sag_in == pytest.approx(0.23232)
    assert result.bays["P2-P3"].sag_in == pytest.approx(0.05808)


@pytest.mark.parametrize(("day", "warming_F"), [("cold_lbf", -60.0), ("hot_lbf", 50.0)])
@pytest.mark.independent
def test_weather_solves_the_state_equation(day: str, warming_F: float) -> None:
    loop = strung(layout_of({"north": row(3, 22.0)})).loops["L1"]
    hung = (0.016 * 22) ** 2 / 24

    def state(after_lbf: float) -> float:
        return after_lbf**2 * (after_lbf - 50 + EA_LBF * (6.5e-6 * warming_F + hung / 50**2)) - EA_LBF * hung

    assert getattr(loop, day) == pytest.approx(brentq(state, 1.0, 200.0, xtol=1e-12), abs=1e-6)


@pytest.mark.independent
@pytest.mark.parametrize(
    ("rules", "most_lbf"),
    [
        ({"lean_lbf": 0.1}, 50 + EA_LBF * 6.5e-6 * 60),  # cooled from 60 to 0 F
        ({"lean_lbf": 0.1, "cold_F": 60}, 50),
        ({"lean_lbf": 0.1, "hot_F": 20, "cold_F": 20}, 50 + EA_LBF * 6.5e-6 * 40),  # never warmer than when it was pulled
        ({"lean_lbf": 0.1, "set_F": -40}, 50),  # never as cold again
    ],
)
def test_the_most_a_loop_sees_is_its_coldest_day_or_its_target(rules: dict[str, Any], most_lbf: float) -> None:
    """EA alpha dt of a cable so light that its sag hardly gives; a lean of a tenth of a pound adds next to nothing."""
    loop = strung(layout_of({"north": row(3, 20.0)}), rules={"cables": rules}, stock=LIGHT).loops["L1"]

    assert loop.most_lbf == pytest.approx(most_lbf, rel=0.005)
    assert (loop.cable_factor, loop.lock_factor) == (pytest.approx(920 / loop.most_lbf), pytest.approx(400 / loop.most_lbf))


@settings(max_examples=100)
@given(
    span=st.floats(1, 100), weight=st.floats(0.001, 2), tension=st.floats(0.5, 500), day=st.floats(-60, 140),
    cold=st.floats(-80, 140), warmer=st.floats(0, 20),
)  # fmt: skip
def test_no_hot_day_pulls_a_loop_harder_than_the_coldest(
    span: float, weight: float, tension: float, day: float, cold: float, warmer: float
) -> None:
    rules = CableRules(tension_lbf=tension, set_F=day, cold_F=cold, hot_F=cold + warmer)
    year = loop_states(Cable("any", weight, 920.0, EA_LBF, None, None), rules, span, None)
    assert year.at("hot").top_lbf <= year.at("cold").top_lbf * (1 + 1e-9)


def test_a_coldest_day_warmer_than_the_hottest_is_refused() -> None:
    with pytest.raises(ValidationError, match="cold_F is over"):
        Job.model_validate({"rules": {"cables": {"cold_F": 50, "hot_F": 40}}})


@pytest.mark.parametrize("set_F", [121, -1])
def test_a_day_of_setting_outside_the_year_is_told_of_a_file_that_says_so(set_F: float) -> None:
    found, calm = (strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"set_F": day_F, "hot_F": 120}}) for day_F in (set_F, 120))
    (told,) = [one for one in found.findings if one.code == "set_outside_year"]
    assert (told.level, told.subjects) == ("fix", ("job",))
    assert f"pulled on a day of {set_F}°, but the coldest day is 0°, the hottest 120°" in told.says
    assert "set_outside_year" not in [one.code for one in calm.findings]


@pytest.mark.closed_form
def test_a_lean_is_in_balance_and_stretches_the_whole_loop() -> None:
    result = strung(layout_of({"north": row(3, 22.0)}))
    leaned, loop = result.bays["P1-P2"], result.loops["L1"]

    slope = leaned.push_out_in / 12 / 11
    stretch = 22 * (hypot(1, slope) - 1)
    assert 2 * leaned.free_lbf * sin(atan(slope)) == pytest.approx(50.0)
    assert leaned.free_lbf == pytest.approx(50 + EA_LBF * stretch / (loop.cut_ft - 1.5), rel=1e-3)
    assert loop.safety == pytest.approx(400 / leaned.push_tension_lbf)


def test_a_bay_longer_than_a_loop_may_be_is_told() -> None:
    result = strung(layout_of({"north": row(2, 70.0)}), stock=LIGHT)

    assert [(str(f.key), f.level, f.says, f.do) for f in result.findings] == [
        (
            "loop_too_long:L1:P1-P2",
            "fix",
            "L1 is 70' 0\" long, over the 60' 0\" limit, and no support splits P1-P2.",
            "See what a post in that bay would do.",
        )
    ]
    assert not result.loops["L1"].within


def test_a_loop_of_just_the_limit_is_within_it() -> None:
    third = [Spot(f"P{n + 1}", n * 59.9999999 / 3 + 1e-8 * n, kind="line") for n in range(4)]

    result = strung(layout_of({"north": [*third[:3], third[3]._replace(east_ft=60.0000001)]}))

    assert [loop.within for loop in result.loops.values()] == [True]


def test_short_loops_are_one_note() -> None:
    other = [Spot("P7", 0, 50, "end"), Spot("P8", 15, 50, "end")]

    result = strung(layout_of({"north": row(2, 20.0), "south": other}))

    assert [(str(f.key), f.level) for f in result.findings] == [("loop_short:L2:L1", "note")]
    assert result.findings[0].says == "L2 is 15' 0\" long, under the usual 40' 0\" (1 more is too)."


def test_a_tension_over_the_working_load_stops_the_job() -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"tension_lbf": 350}}, stock=LIGHT)

    assert [(str(f.key), f.level) for f in result.findings] == [
        ("cable_too_weak:L1", "stop"),
        ("lock_too_weak:L1", "fix"),
        ("lock_in_bay_leaned:L1:P1-P2:P2-P3", "note"),
    ]
    assert result.findings[0].says == "L1 pulls 370 lb, coldest day, wire hung; cable-3-32 may carry 307 lb, 3 to 1."
    assert result.findings[1].says == "L1 pulls 370 lb, coldest day, wire hung; the lock may carry 133 lb, 3 to 1."


def on_trees(spots: list[Spot]) -> list[Spot]:
    """The same on trees, which don't give."""
    return [spot._replace(support="tree") for spot in spots]


def test_a_lean_that_would_break_the_lock_is_told() -> None:
    """Running free 300 lb pull 536 lb, and no place for the lock helps; 120 lb do so only in a bay whose eyes grip."""
    hard, less = (
        strung(layout_of({"north": on_trees(row(3, 20.0))}), rules={"cables": {"lean_lbf": lean_lbf}}, stock=LIGHT)
        for lean_lbf in (300, 120)
    )

    assert [(str(f.key), f.level, f.says) for f in hard.findings] == [
        (
            "lock_too_weak_leaned:L1:P1-P2:P2-P3",
            "fix",
            "A 300 lb lean on P1-P2 pulls L1 to 536 lb even where its cable runs free; the lock holds 400 lb "
            "(1 more is leaned on too hard).",
        )
    ]
    assert (hard.loops["L1"].safety < 1, hard.loops["L1"].breaks) == (True, True)
    (found,) = less.findings
    assert (str(found.key), found.level) == ("lock_in_bay_leaned:L1:P1-P2:P2-P3", "note")
    assert found.says_of("L1").startswith("A 120 lb lean on P1-P2 pulls L1")
    assert found.says_of("P2-P3").startswith("A 120 lb lean on P2-P3 pulls L1")
    assert found.do.startswith("Close these loops with the lock on an upright at an end")
    assert (less.loops["L1"].safety < 1, less.loops["L1"].breaks) == (True, False)


def test_a_lean_past_the_formula_is_told_and_not_guessed() -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"lean_lbf": 500}}, stock={"cable-3-32": {"modulus_psi": 10_000}})

    assert [(str(f.key), f.level) for f in result.findings] == [("lean_too_hard:P1-P2:P2-P3", "stop")]
    assert (result.bays["P1-P2"].push_out_in, result.bays["P1-P2"].push_tension_lbf) == (0.0, 0.0)


def test_a_cable_slack_in_the_heat_is_noted_once() -> None:
    spots = [*row(3, 20.0)]
    other = [Spot("P7", 0, 50, "end"), Spot("P8", 20, 50), Spot("P9", 40, 50, "end")]

    result = strung(layout_of({"north": spots, "south": other}), rules={"cables": {"set_F": -20, "cold_F": -20, "hot_F": 150}})

    assert [(str(f.key), f.level) for f in result.findings] == [("cable_slack:L1:L2", "note")]
    assert 0 < result.loops["L1"].hot_lbf < 10


def test_a_target_too_slack_for_any_weather_is_a_finding() -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), rules={"cables": {"tension_lbf": 0.1}})

    assert "cable_slack" in {finding.code for finding in result.findings}
    assert (result.loops["L1"].cold_lbf, result.loops["L1"].hot_lbf) == (0.0, 0.0)
    assert isfinite(result.loops["L1"].cut_ft)


def test_spools_are_cut_for_every_loop() -> None:
    result = strung(layout_of({"north": row(7, 20.0)}))

    assert [(roll.stock_id, sorted(roll.piece_ids)) for roll in result.spools.rolls] == [("cable-3-32", ["L1", "L2"])]
    assert result.total_ft == pytest.approx(sum(loop.cut_ft for loop in result.loops.values()))
    assert result.spools.rolls[0].left == pytest.approx(500 - result.total_ft, abs=1e-3)
    assert (result.cable_weight_plf, result.strength_lbf) == (0.016, 920.0)


def test_a_spool_shorter_than_a_loop_is_told() -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), stock={"cable-3-32": {"length_ft": 50}})

    assert [(str(f.key), f.says) for f in result.findings] == [
        ("spool_too_short:L1", "L1 takes 87' 5 1/2\" of cable, more than a 50' 0\" spool of cable-3-32 holds.")
    ]


def test_checklist_asks_for_each_loop() -> None:
    items = strung(layout_of({"north": row(3, 20.0)}), stock=LIGHT).items

    assert [str(item.key) for item in items] == [
        *("cables.L1.cut_length", "cables.L1.closed", "cables.L1.sag", "cables.L1.tail", "cables.job.round_again")
    ]
    cut, closed, sag, _, again = items
    assert again.of.places == (*closed.of.places,)
    assert cut.reading is not None
    assert cut.reading.wanted == cut.reading.low == pytest.approx(87.458, abs=0.001)
    assert cut.reading.high == pytest.approx(88.458, abs=0.001)
    assert closed.says == "L1: closed with a lock, P1 to P3"
    assert sag.says == "L1: sag in the middle of P1-P2"
    assert sag.reading == WantedReading("in", 0.192, pytest.approx(0.0844, abs=0.0001), pytest.approx(0.3918, abs=0.0001))


@pytest.mark.parametrize(
    ("tables", "codes", "loops"),
    [
        ({"fence": {"cable": "none"}}, ["cable_unknown"], 0),
        ({"stock": {"thin": {"kind": "cable", "weight_plf": 0.01}}, "fence": {"cable": "thin"}}, ["cable_unknown"], 0),
        (
            {
                "stock": {
                    "own": {
                        "kind": "cable",
                        "weight_plf": 0.016,
                        "strength_lbf": 900,
                        "diameter_in": 0.09375,
                        "construction": "7x7",
                        "modulus_psi": 12e6,
                    }
                },
                "fence": {"cable": "own"},
            },
            ["spool_unknown"],
            1,
        ),
    ],
)
def test_stock_that_lacks_sizes_gives_findings(tables: dict[str, Any], codes: list[str], loops: int) -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), **tables)

    assert [finding.code for finding in result.findings] == codes
    assert len(result.loops) == loops


def test_no_layout_gives_nothing() -> None:
    result = strung(layout_of({}))

    assert (result.loops, result.bays, result.findings, result.items, result.total_ft) == ({}, {}, (), (), 0)


@settings(max_examples=50)
@given(bays=st.lists(st.floats(0.5, 80), min_size=1, max_size=12), gate=st.integers(0, 11), tension=st.floats(1, 400))
def test_every_bay_is_in_one_loop_and_every_loop_in_one_run(bays: list[float], gate: int, tension: float) -> None:
    stations = [sum(bays[:n]) for n in range(len(bays) + 1)]
    spots = [Spot(f"P{n}", east, kind="end" if n in (0, len(bays)) else "line") for n, east in enumerate(stations)]
    layout = layout_of({"north": spots}, gates={f"P{gate}-P{gate + 1}": "G1"})

    result = strung(layout, rules={"cables": {"tension_lbf": tension}})

    assert all_bays(result) == [bay.id for bay in layout.bays.values() if bay.gate is None]
    for loop in result.loops.values():
        laid = [layout.bays[name] for name in loop.bays]
        assert all(one.to_id == after.from_id for one, after in pairwise(laid))
        assert loop.cut_ft >= 2 * loop.run_ft + 2 * 2.979 - 0.002
        assert all(isfinite(value) for value in (loop.cold_lbf, loop.hot_lbf, loop.safety))
        assert loop.hot_lbf <= tension <= loop.cold_lbf or loop.hot_lbf == 0 or loop.cold_lbf == 0
