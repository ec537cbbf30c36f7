"""Units in force: those of the innermost block, in its own thread only, else those of the job in hand."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest

from engine.calc.units import FEET_INCHES, METRES, Units, bare_unit, in_hand, in_units, unit_called, unit_ft, units_now


def test_a_block_counts_until_it_ends_and_the_job_in_hand_outside() -> None:
    assert units_now() == FEET_INCHES
    with in_units(METRES):
        with in_units(FEET_INCHES):
            assert units_now() == FEET_INCHES
        assert units_now() == METRES
    in_hand(METRES)
    assert units_now() == METRES
    with in_units(FEET_INCHES):
        assert units_now() == FEET_INCHES


def test_a_block_that_fails_ends_too() -> None:
    with pytest.raises(ValueError, match="ended"), in_units(METRES):
        raise ValueError("ended")
    assert units_now() == FEET_INCHES


def test_threads_have_blocks_of_their_own_and_one_job_in_hand() -> None:
    both = Barrier(2)

    def inside(units: Units) -> Units:
        with in_units(units):
            both.wait()
            now = units_now()
            both.wait()
        return now

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(inside, (METRES, FEET_INCHES))) == [METRES, FEET_INCHES]
        in_hand(METRES)
        assert pool.submit(units_now).result() == METRES


@pytest.mark.closed_form
def test_what_a_number_alone_means() -> None:
    assert [(bare_unit(place), unit_called(place)) for place in ("ft", "in")] == [("ft", "feet"), ("in", "inches")]
    with in_units(METRES):
        assert [(bare_unit(place), unit_called(place)) for place in ("ft", "in")] == [("m", "metres"), ("cm", "centimetres")]
        assert unit_ft("ft") * 0.3048 == pytest.approx(1.0, rel=1e-15)
        assert unit_ft("in") * 30.48 == pytest.approx(1.0, rel=1e-15)
