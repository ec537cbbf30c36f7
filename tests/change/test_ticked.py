"""An item ticked: its reading stands in the unit that it asks for."""

import pytest

from engine.change.ticked import ticked
from engine.checklist import Item, ReadingUnit, WantedReading
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from tests.demo import AT, BY


@pytest.mark.parametrize(("unit", "read"), [("ft", (5.5, None)), ("in", (None, 5.5))])
def test_a_reading_goes_into_the_unit_asked_for(unit: ReadingUnit, read: tuple[float | None, float | None]) -> None:
    item = Item(item_key("gate.G1.bottom_gap"), "bottom gap", WantedReading(unit, 2.0, 0.0, 3.0))

    tick = ticked(Job(), item, AT, BY, 5.5, "humpy").checks[item.key]

    assert ((tick.reading_ft, tick.reading_in), tick.state, tick.note) == (read, "done", "humpy")


def test_an_item_without_a_reading_is_done_without_one() -> None:
    item = Item(item_key("gate.G1.hung"), "hung")

    tick = ticked(Job(), item, AT, BY).checks[item.key]

    assert (tick.reading, tick.state, tick.note) == (None, "done", "")


@pytest.mark.parametrize(("value", "wants"), [(1.9, True), (2.0, False), (3.0, False), (3.2, True)])
def test_a_reading_out_of_range_wants_a_reason(value: float, wants: bool) -> None:
    assert WantedReading("in", 2.5, 2.0, 3.0).wants_reason(value) is wants
