"""A sag that was read turns into the tension it means, with what is safe through the year."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft
from engine.job.model.item_key import item_key
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.hung_weight import BARE, HungWeight
from engine.stages.bracing.what_pulls import loop_states
from engine.stages.cables.cable_states import safe_range
from engine.stages.cables.sag_reading import SafeRange, SagMeans
from tests.calc.statics.catenary import catenary
from tests.stages.cables.test_stage import EA_LBF, strung
from tests.stages.layouts import LIGHT, Spot, layout_of, row

CABLE = Cable("cable-3-32", 0.016, 920.0, EA_LBF, 400.0, 500.0)
WIRE = HungWeight(0.08, 0.462)
TELLS = SagMeans(0.016, 25.0, SafeRange(26.0, 114.0), 0.0, 110.0)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("sag_in", "short", "words"),
    [
        (0.25, "about 60 lb", "Means about 60 lb, 48 to 80 by tape. Safe: 26 to 114 lb."),
        (0.0, "240 lb or more", "Too little to read: the cable pulls 240 lb or more. Safe: 26 to 114 lb. Too tight for a 0° day: "
         "pull it less; if it's locked already, cut it and string it again."),
        (1.0, "about 15 lb", "Means about 15 lb, 14 to 16 by tape. Safe: 26 to 114 lb. "
         "Too slack: on a 110° day it hangs loose. Pull it tighter."),
        (31.0, "hangs slack", "The cable hangs slack. Safe: 26 to 114 lb. Pull it tighter, then read it again."),
        (151.0, "can't be right, read it again", "A cable can't hang like that: read it again, "
         "down from a string pulled straight from eye to eye."),
        (-0.5, "can't be right, read it again", "A cable can't hang like that: read it again, "
         "down from a string pulled straight from eye to eye."),
    ],
)  # fmt: skip
def test_what_a_sag_tells(sag_in: float, short: str, words: str) -> None:
    """0.016 x 25^2 / 8 = 1.25 lb ft over the sag: a quarter inch is 60 lb, 3/16 in 80 lb, 5/16 in 48 lb."""
    assert TELLS.short(sag_in) == short
    assert TELLS.words(sag_in) == words


@pytest.mark.closed_form
@pytest.mark.parametrize(("sag_in", "short"), [(29.9, "about 31 lb"), (30.0, "about 31 lb"), (30.1, "hangs slack")])
def test_a_cable_hangs_slack_past_a_tenth_of_its_bay(sag_in: float, short: str) -> None:
    """A cable of 1 lb a foot in 25 ft: 1 x 25^2 / 8 = 78.125 lb ft over 2.5 ft of sag is 31.25 lb."""
    heavy = SagMeans(1.0, 25.0, SafeRange(33.0, 114.0), 0.0, 110.0)
    assert heavy.short(sag_in) == short
    assert ("hangs slack" in heavy.words(sag_in)) == (short == "hangs slack")


def test_a_short_bay_tells_little_and_says_so() -> None:
    short = SagMeans(0.016, 8.0, SafeRange(26.0, 114.0), 0.0, 110.0)
    assert short.words(0.0) == "Too little to read: the cable pulls 25 lb or more. Safe: 26 to 114 lb."


def test_a_lock_too_weak_for_any_pull_is_told() -> None:
    assert "No pull is safe through the year" in SagMeans(0.016, 25.0, SafeRange(26.0, 9.0), 0.0, 110.0).words(0.25)


@given(st.floats(-1e6, 1e6), st.floats(0.01, 60), st.floats(1e-4, 5), st.floats(0, 500), st.floats(0, 500))
@settings(max_examples=100)
def test_any_reading_of_any_cable_gives_a_sentence(sag_in: float, span: float, weight: float, least: float, most: float) -> None:
    tells = SagMeans(weight, span, SafeRange(least, most), 0.0, 110.0)
    for words in (tells.words(sag_in), tells.short(sag_in)):
        assert words
        assert "nan" not in words
        assert "inf" not in words


def _set_lbf(hot_lbf: float, span_ft: float) -> float:
    """The pull at 60 F that becomes `hot_lbf` at 110 F: the cable laid out slack has one length, its own parabolas, and grows by warmth."""

    def slack_ft(pull: float) -> float:
        return parabola_length_ft(span_ft, parabola_sag_ft(0.016, span_ft, pull)) / (1 + pull / EA_LBF)

    return brentq(lambda pull: slack_ft(pull) * (1 + 6.5e-6 * 50) - slack_ft(hot_lbf), hot_lbf, 200.0, xtol=1e-10)


@pytest.mark.independent
def test_the_safe_range_of_a_tight_cable() -> None:
    """A fifth of 50 lb at 110 F by the lengths of the parabola; a third of the lock's 400 lb at 0 F by EA alpha dt."""
    safe = safe_range(CABLE, CableRules(), 25.0, BARE)
    assert safe.least_lbf == pytest.approx(_set_lbf(10.0, 25.0), rel=1e-3)
    assert safe.most_lbf == pytest.approx(400 / 3 - EA_LBF * 6.5e-6 * 60, abs=0.1)


@pytest.mark.closed_form
@pytest.mark.parametrize(("weight_plf", "least_lbf"), [(0.016, 10.0), (0.3, 10.0), (0.4, 13.0), (1.0, 32.5)])
def test_the_least_pull_is_a_fifth_of_the_target_or_1_3_times_the_weight_of_the_bay(weight_plf: float, least_lbf: float) -> None:
    """One weather all year: a fifth of 50 lb, or of a heavy cable 1.3 x 25 ft x its weight, where it sags a tenth of the bay and less."""
    cable = Cable("heavy", weight_plf, 920.0, EA_LBF, 400.0, 500.0)
    safe = safe_range(cable, CableRules(set_F=60, cold_F=60, hot_F=60), 25.0, BARE)
    assert safe.least_lbf == pytest.approx(least_lbf, rel=1e-6)


@pytest.mark.closed_form
def test_a_day_of_setting_past_the_year_itself_may_not_be_too_tight_or_too_slack() -> None:
    """Set colder than any day, the working load of 400 / 3 lb holds that day; set hotter than any, a fifth of 50 lb does."""
    assert safe_range(CABLE, CableRules(set_F=-20), 25.0, BARE).most_lbf == pytest.approx(400 / 3)
    assert safe_range(CABLE, CableRules(set_F=130), 25.0, BARE).least_lbf == pytest.approx(10.0)


@given(st.floats(5, 25), st.floats(-40, 40), st.floats(80, 140))
@settings(max_examples=50)
def test_pulled_to_the_ends_of_the_range_the_year_stays_within(ruling: float, cold: float, hot: float) -> None:
    """Change of state forward again: the law that both ends were found by backward."""
    rules = CableRules(cold_F=cold, hot_F=hot)
    safe = safe_range(CABLE, rules, ruling, WIRE)
    tight = loop_states(CABLE, rules.model_copy(update={"tension_lbf": safe.most_lbf}), ruling, WIRE)
    loose = loop_states(CABLE, rules.model_copy(update={"tension_lbf": safe.least_lbf}), ruling, WIRE)
    assert tight.at("hung cold").bottom_lbf == pytest.approx(400 / 3, rel=1e-6)
    assert loose.at("hot").top_lbf == pytest.approx(10, rel=1e-6)


@pytest.mark.independent
def test_sag_on_a_slope_is_that_of_the_catenary_whose_pull_along_it_is_the_target() -> None:
    """3-4-5 slope, 50 lb along the cable: 40 lb level."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, level_ft=15), Spot("P3", 40, level_ft=30, kind="end")]
    bay = strung(layout_of({"north": spots})).bays["P1-P2"]
    assert bay.sag_in / 12 == pytest.approx(catenary(20, 15, 0.016, 40).mid_sag_ft, rel=1e-3)


@pytest.mark.parametrize(
    ("stock", "expected"),
    [({}, (24.5, 114.0)), ({"lock": {"strength_lbf": 30}}, (24.5, 3.7))],
)
def test_a_loop_asks_for_its_sag_with_what_it_tells(stock: dict[str, Any], expected: tuple[float, float]) -> None:
    result = strung(layout_of({"north": row(3, 20.0)}), stock={**LIGHT, **stock})
    sag = next(item for item in result.items if item.key == item_key("cables.L1.sag"))
    safe = result.loops["L1"].safe
    assert sag.tells is not None
    assert sag.tells.short(0.25) == "about 38 lb"
    assert (safe.least_lbf, safe.most_lbf) == (pytest.approx(expected[0], abs=1), pytest.approx(expected[1], abs=1))


@pytest.mark.independent
def test_a_sag_that_leaves_the_cable_loose_or_too_tight_does_not_pass() -> None:
    """Least safe 24.5 lb: 0.016 x 20^2 / (8 x 24.5) ft is 0.392 in, under the rule's inch over 0.192; most 113.8 lb: 0.084 in."""
    sag = next(item for item in strung(layout_of({"north": row(3, 20.0)}), stock=LIGHT).items if item.key == item_key("cables.L1.sag"))
    assert sag.reading is not None
    assert sag.reading.high == pytest.approx(12 * 0.016 * 400 / (8 * _set_lbf(10.0, 20.0)), rel=1e-3)
    assert sag.reading.low == pytest.approx(12 * 0.016 * 400 / (8 * (400 / 3 - EA_LBF * 6.5e-6 * 60)), rel=1e-3)
    assert [sag.reading.passes(read) for read in (0.0, 0.125, 0.375, 0.5)] == [False, True, True, False]
