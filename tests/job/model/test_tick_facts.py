"""The text of what a tick was made for."""

import pytest

from engine.job.model.tick_facts import TickFacts, at_place, tick_facts


@pytest.mark.parametrize("nothing", [0.0, -0.0, -0.0004])
def test_a_place_has_one_text_whichever_way_nothing_was_worked_out(nothing: float) -> None:
    facts = TickFacts((at_place("P2", (nothing, 20.0)),))
    assert str(facts) == "P2 at 0.000 E 20.000 N"
    assert tick_facts(str(facts)) == facts
