"""A lean on the bay beside a brace."""

from typing import Any

import pytest

from engine.stages.cables.stage import Cables
from engine.walk import walk
from tests.bench.big_job import big_job
from tests.demo import accepted, others
from tests.stages.cables.test_loop_figures import gripped_lbf
from tests.stages.cables.test_stage import strung
from tests.stages.layouts import layout_of, row


def leaned(lean_lbf: float, **tables: Any) -> Cables:
    """Two bays of 20 ft whose posts the stock doesn't give the wall of: they count as standing still."""
    stock = {"own": {"kind": "post", "length_ft": 8}, **tables.pop("stock", {})}
    rules = {"cables": {"lean_lbf": lean_lbf}}
    return strung(layout_of({"north": row(3, 20.0)}), rules=rules, fence={"post": "own"}, stock=stock, **tables)


@pytest.mark.independent
def test_a_lean_on_the_top_cable_bends_the_post_most() -> None:
    """300 lb at 5 ft 11 3/4 in on the coldest day, the bottom cable as it hangs, against a brace banded 6 in lower."""
    result = leaned(300.0)
    cold = next(pull for pull in result.loops["L1"].states if pull.state == "hung cold")
    one = result.leaned["P1-a"]
    assert (one.support, one.bay, one.lean_lbf) == ("P1", "P1-P2", 300.0)
    by_hand = (gripped_lbf(20, cold.top_lbf, 0.016 + 0.08) * 5.9791667 + cold.bottom_lbf * 3) / 5.4791667
    assert one.thrust_lbf == pytest.approx(by_hand, rel=2e-3)


def test_braces_and_feet_of_the_demos_take_what_their_dogs_do() -> None:
    """It pushes them up to five times as hard as the coldest day does for good."""
    found = [(walked, one) for walked in map(walk, (accepted(), big_job(), *others().values())) for one in walked.cables.leaned.values()]
    assert len(found) > 20
    assert [one for _, one in found if one.gives] == []
    most = max(one.thrust_lbf / min(leg.thrust_lbf for leg in walked.bracing.pulls[one.support].legs) for walked, one in found)
    assert 4 < most < 5.5


def test_a_brace_that_bows_under_a_lean_is_told_once() -> None:
    slim = {"brace-8": {"diameter_in": 0.5, "wall_in": 0.05}}
    (found,) = [one for one in leaned(200.0, stock=slim).findings if one.code == "lean_pushes_brace"]
    assert (found.level, found.subjects) == ("note", ("P1", "P3"))
    assert found.says.startswith("A 200 lb lean on P1-P2 pushes P1's brace level with 7")
    assert " lb where the eyes grip; it bows at " in found.says
    assert "lean_pushes_brace" not in [one.code for one in leaned(100.0).findings]
