"""The text of what a tick was made for."""

import pytest

from engine.job.model.tick_facts import Size, TickFacts, at_place, same_facts, tick_facts


@pytest.mark.parametrize("nothing", [0.0, -0.0, -0.0004])
def test_a_place_has_one_text_whichever_way_nothing_was_worked_out(nothing: float) -> None:
    facts = TickFacts((at_place("P2", (nothing, 20.0)),))
    assert str(facts) == "P2 at 0.000 E 20.000 N"
    assert tick_facts(str(facts)) == facts


@pytest.mark.parametrize(("what", "inches", "same"), [("1 stake along", 0.95, True), ("1 stake along", 1.1, False), ("cut", 0.95, False)])
def test_a_stake_an_inch_along_is_where_it_was_and_no_other_length_is(what: str, inches: float, same: bool) -> None:
    one, other = (TickFacts(sizes=(Size(what, 4.0 + off_ft),)) for off_ft in (0.0, inches / 12))
    assert same_facts(one, other) is same
