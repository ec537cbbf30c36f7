"""Any rules and stock that a file may hold: a sentence, never a traceback, never a number that is none, on screen or in JSON."""

import re
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from engine.findings import STAGES
from engine.job.model.job import Job
from engine.paper.plan.plan_json import plan_text
from engine.walk import Walk, walk
from tests.demo import demo
from tui import stages
from tui.screens.pictures import picture_of
from tui.stages.cards import card_of
from tui.widgets.card_view import Card, card_lines

NO_NUMBER = re.compile(r"\b(nan|NaN|inf|Infinity|None)\b")


def some(low: float, high: float) -> st.SearchStrategy[float]:
    """A number of the range, its ends more often than chance."""
    return st.sampled_from((low, high)) | st.floats(low, high)


RULES = st.fixed_dictionaries(
    {},
    optional={
        "cables": st.fixed_dictionaries(
            {},
            optional={
                "tension_lbf": some(1e-6, 1000),
                "lean_lbf": some(1e-6, 2000),
                "safety_factor": some(1, 20),
                "set_F": some(-60, 140),
                "cold_F": some(-80, 60),
                "hot_F": some(61, 160),
                "tail_in": some(0, 24),
                "sag_tolerance_in": some(0.01, 50),
                "wind_mph": some(0, 250),
                "pull_read": st.sampled_from(("sag", "hung weight")),
                "hung_weight_lb": some(0.25, 50),
            },
        ),
        "bracing": st.fixed_dictionaries(
            {}, optional={"foot_ft": some(0.5, 30), "band_below_eye_in": some(0, 40), "yield_share": some(0.01, 1)}
        ),
        "gate": st.fixed_dictionaries({}, optional={"leaf_weight_psf": some(0.01, 50), "hinge_inset_in": some(0, 40)}),
        "posts": st.fixed_dictionaries({}, optional={"driven_share": some(0.01, 1)}),
    },
)  # fmt: skip
ROW = st.fixed_dictionaries(
    {},
    optional={
        "diameter_in": some(0.01, 24),
        "wall_in": some(0.001, 2),
        "length_ft": some(0.05, 2000),
        "width_in": some(0.1, 200),
        "strength_lbf": some(0.001, 100_000),
        "weight_plf": some(1e-6, 100),
        "weight_lb": some(0.001, 1000),
        "modulus_psi": some(1, 5e7),
        "yield_psi": some(1, 300_000),
        "wire_in": some(0.001, 1),
        "pitch_in": some(0.01, 20),
    },
)
STOCK = st.dictionaries(
    st.sampled_from(["cable-3-32", "lock", "post-8", "sleeve-30", "brace-8", "wire-48", "mesh-48", "gate-tube", "hinge"]), ROW, max_size=4
)


def said(job: Job, walked: Walk) -> str:
    """All that stands on the screens of the stages that reckon forces, in one text."""
    words = [part for finding in walked.findings for part in (finding.says, finding.do)]
    for name in STAGES:
        words += [line.item.says for line in walked.checklists[name].lines]
        words += [cell for table in stages.figures(name, job, walked) for row in table.rows for cell in row.cells]
    for loop in walked.cables.loops:
        card = card_of(job, walked, loop)
        assert isinstance(card, Card)
        words += [line.plain for line in card_lines(card, 76)]
    for item in walked.cables.items:
        if item.tells is not None:
            words += [item.tells.words(sag_in) for sag_in in (0.0, 0.25, 5.0, 1e6)]
    for kind in ("corner", "profile", "elevation"):
        picture_of(kind, job, walked, "P9")
    return "\n".join(words)


@example({"cables": {"tension_lbf": 1e-6}}, {"cable-3-32": {"weight_plf": 100}})
@example({"cables": {"tension_lbf": 1e-6}}, {"wire-48": {"width_in": 0.1}})
@example({"cables": {"wind_mph": 1.0555209239115118e-57}}, {})
@example({"cables": {"wind_mph": 5.443646042230747e-160}}, {})
@given(RULES, STOCK)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_rules_and_stock_give_sentences(rules: dict[str, Any], stock: dict[str, Any]) -> None:
    data = demo().model_dump(exclude_none=True)
    job = Job.model_validate({**data, "rules": rules, "stock": stock})
    walked = walk(job)
    plan_text(walked)
    assert not NO_NUMBER.findall(said(job, walked))


@pytest.mark.parametrize("kind", ["cable-3-32", "post-8", "sleeve-30", "brace-8", "wire-48", "mesh-48", "gate-tube"])
def test_a_fence_of_stock_that_has_no_row_gives_sentences(kind: str) -> None:
    data = demo().model_dump(exclude_none=True)
    field = {"cable-3-32": "cable", "gate-tube": "gate_tube"}.get(kind, kind.partition("-")[0])
    job = Job.model_validate({**data, "fence": {**data["fence"], field: "own"}, "stock": {"own": {"kind": "other"}}})
    walked = walk(job)
    plan_text(walked)
    assert not NO_NUMBER.findall(said(job, walked))
    assert any("own" in finding.says or "stock" in finding.says for finding in walked.findings)


@pytest.mark.pinned
def test_a_span_longer_than_the_spool_is_told() -> None:
    data = demo().model_dump(exclude_none=True)
    walked = walk(Job.model_validate({**data, "stock": {"cable-3-32": {"length_ft": 50}}}))
    found = [finding for finding in walked.findings if finding.code == "spool_too_short"]
    assert found[0].says == "L4 takes 117' 7 1/8\" of cable, more than a 50' 0\" spool of cable-3-32 holds."


def test_a_cable_weaker_than_its_pull_stops() -> None:
    data = demo().model_dump(exclude_none=True)
    walked = walk(Job.model_validate({**data, "stock": {"cable-3-32": {"strength_lbf": 60}}}))
    found = [finding for finding in walked.findings if finding.code == "cable_too_weak"]
    assert found[0].level == "stop"
    assert found[0].says.startswith("L2 pulls 96 lb, coldest day, wire hung; cable-3-32 may carry 20 lb, 3 to 1 (")


def test_no_tension_at_all_is_refused() -> None:
    data = demo().model_dump(exclude_none=True)
    with pytest.raises(ValidationError, match="greater than 0"):
        Job.model_validate({**data, "rules": {"cables": {"tension_lbf": 0}}})
