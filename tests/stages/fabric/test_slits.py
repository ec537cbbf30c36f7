"""What wire and apron are slit round: obstacles within an apron's width of a loop, each where it lies and how far across it is."""

import pytest

from engine.job.model.tick_facts import Size
from engine.stages.fabric.slits import HungWire, slit_round
from engine.stages.layout.keep_outs import KeepOut, KeepOutId, Source

LOOPS = {"L1": HungWire(((0.0, 0.0), (0.0, 20.0), (0.0, 40.0)), 1.0), "L2": HungWire(((0.0, 40.0), (0.0, 80.0)), 0.5)}


def block(east_ft: float, north_ft: float, half_ft: float = 0.5, source: Source = "log") -> KeepOut:
    ends = [(-half_ft, -half_ft), (half_ft, -half_ft), (half_ft, half_ft), (-half_ft, half_ft)]
    return KeepOut(KeepOutId(source, "e1"), "rock", tuple((east_ft + e, north_ft + n) for e, n in ends), "rock")


@pytest.mark.closed_form
def test_a_rock_counts_for_every_loop_whose_apron_may_reach_it() -> None:
    """Half a foot out from its middle on each side: an apron of 1 ft reaches one whose middle is 1 1/2 ft off."""
    near, far, both = block(1.5, 10.0), block(-1.6, 10.0), block(0.0, 40.0, 1.0)
    found = slit_round((near, far, both), LOOPS)
    rock = [Size("rock east", 1.5), Size("rock north", 10.0), Size("rock across", 1.0)]
    shared = (Size("rock east", 0.0), Size("rock north", 40.0), Size("rock across", 2.0))
    assert found == {"L1": (*rock, *shared), "L2": shared}


@pytest.mark.parametrize("source", ["tree", "structure", "utility", "deck", "surface"])
def test_what_was_there_for_other_reasons_is_no_rock(source: Source) -> None:
    assert slit_round((block(0, 10, source=source),), LOOPS) == {"L1": (), "L2": ()}


def test_without_rocks_or_loops_there_is_nothing() -> None:
    assert slit_round((), LOOPS) == {"L1": (), "L2": ()}
    assert slit_round((block(0, 10),), {}) == {}
