"""Checklists: what passes, how ticks answer items, what is kept of an item that is gone, and readings out of range."""

from datetime import UTC, datetime
from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.answers import answer
from engine.calc.lengths import parse_length_ft
from engine.calc.units import METRES, in_units
from engine.checklist import Item, ReadingUnit, WantedReading, changed_findings, reading_findings
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import At, TickFacts

AT = datetime(2026, 4, 14, 9, 30, tzinfo=UTC)


def tick(*, reading_in: float | None = None, reading_ft: float | None = None, note: str = "", needed: bool = True) -> Tick:
    return Tick(state="done" if needed else "not needed", at=AT, by="Mo", reading_in=reading_in, reading_ft=reading_ft, note=note)


def depth(told: bool = False) -> Item:
    return Item(ItemKey("posts", "P4", "driven_depth"), "P4: sleeve driven, depth", WantedReading("in", 30, 15, 30, told))


FLAG = Item(ItemKey("layout", "P4", "flag"), "P4: flag set")


@pytest.mark.parametrize(
    ("reading", "value", "passes"),
    [
        (WantedReading("in", low=15, high=30), 15, True),
        (WantedReading("in", low=15, high=30), 30, True),
        (WantedReading("in", low=15, high=30), 14.875, False),
        (WantedReading("in", low=15, high=30), 30.125, False),
        (WantedReading("in", low=15), 14.875, False),
        (WantedReading("in", low=15), 1000, True),
        (WantedReading("in", high=3), 0, True),
        (WantedReading("in", high=3), 3.125, False),
        (WantedReading("in"), 0, True),
        (WantedReading("ft", low=5, high=5), 5, True),
        (WantedReading("ft", low=5, high=5), 5 + 1 / 96, False),
        (WantedReading("ft", low=5, high=5), 5 - 1 / 96, False),
    ],
)
def test_both_ends_of_a_range_pass_and_the_next_mark_of_the_tape_does_not(reading: WantedReading, value: float, passes: bool) -> None:
    assert reading.passes(value) is passes


@settings(max_examples=100)
@given(st.sampled_from(["ft", "in"]), st.floats(0.1, 300))
def test_what_the_range_prints_is_a_reading_that_passes(unit: ReadingUnit, end: float) -> None:
    """A loop to be cut 39.461 ft long prints as 39' 5 1/2", which is a hair less; a crew that cuts to it has done as told."""
    reading = WantedReading(unit, low=end, high=end)
    read = round(parse_length_ft(reading.words(end), unit) * (12 if unit == "in" else 1), 4)
    assert reading.passes(read)


@settings(max_examples=100)
@given(st.sampled_from(["ft", "in"]), st.floats(0.1, 300), st.floats(-0.3, 0.3))
def test_a_reading_passes_just_when_what_is_printed_of_it_is_within_what_is_printed_of_the_range(
    unit: ReadingUnit, end: float, off: float
) -> None:
    """Else a crew could read: `15" was read, 15" to 30" is wanted`."""
    reading = WantedReading(unit)
    value = end + off / (1 if unit == "in" else 12)
    printed, limit = (parse_length_ft(reading.words(each), unit) for each in (value, end))
    assert WantedReading(unit, low=end).passes(value) is (printed >= limit)
    assert WantedReading(unit, high=end).passes(value) is (printed <= limit)


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (WantedReading("in", low=15, high=30), '15" to 30"'),
        (WantedReading("ft", low=39.5, high=40.5), "39' 6\" to 40' 6\""),
        (WantedReading("in", low=6), 'at least 6"'),
        (WantedReading("ft", high=25), "at most 25' 0\""),
        (WantedReading("in", low=0, high=2.125), '0" to 2 1/8"'),
        (WantedReading("in", wanted=3), "any"),
    ],
)
def test_the_range_in_words(reading: WantedReading, words: str) -> None:
    assert reading.range_words == words


def test_a_reading_is_written_in_its_own_unit() -> None:
    assert WantedReading("in").words(62.5) == '62 1/2"'
    assert WantedReading("ft").words(62.5) == "62' 6\""


def test_items_keep_their_order_and_each_has_its_own_tick() -> None:
    done = tick()
    found = answer((FLAG, Item(ItemKey("layout", "P5", "flag"), "P5: flag set")), {ItemKey("layout", "P5", "flag"): done}, {})
    assert [(line.item.subject, line.state, line.tick) for line in found.lines] == [("P4", "open", None), ("P5", "done", done)]
    assert [line.passes for line in found.lines] == [None, None]
    assert found.done == 1


def test_not_needed_counts_as_done() -> None:
    found = answer((FLAG,), {FLAG.key: tick(needed=False)}, {})
    assert (found.lines[0].state, found.done) == ("not needed", 1)


@pytest.mark.parametrize(
    ("given_tick", "passes"),
    [(tick(reading_in=20), True), (tick(reading_in=14), False), (tick(), None), (tick(needed=False), None), (None, None)],
)
def test_a_line_says_whether_its_reading_passes(given_tick: Tick | None, passes: bool | None) -> None:
    checks = {} if given_tick is None else {depth().key: given_tick}
    assert answer((depth(),), checks, {}).lines[0].passes is passes


def test_a_reading_of_an_item_that_asks_for_none_is_no_reading() -> None:
    line = answer((FLAG,), {FLAG.key: tick(reading_in=3)}, {}).lines[0]
    assert (line.state, line.passes) == ("done", None)


@pytest.mark.parametrize(
    ("unit", "kept", "wanted"),
    [
        ("in", tick(reading_ft=1.875), (None, 22.5)),
        ("ft", tick(reading_in=62.0), (5.1667, None)),
        ("in", tick(reading_in=22.5), (None, 22.5)),
        ("ft", tick(reading_ft=5.25), (5.25, None)),
    ],
)
def test_a_reading_kept_in_the_other_unit_is_turned_into_the_one_asked_for(
    unit: ReadingUnit, kept: Tick, wanted: tuple[float | None, float | None]
) -> None:
    """Feet and inches are told apart by their field, so a file written by hand may hold either."""
    item = Item(ItemKey("gate", "side", "opening"), "side: opening", WantedReading(unit))
    line = answer((item,), {item.key: kept}, {}).lines[0]
    assert line.tick is not None
    assert (line.tick.reading_ft, line.tick.reading_in) == wanted
    assert (line.tick.at, line.tick.by) == (AT, "Mo")


def test_a_tick_whose_item_is_gone_answers_nothing() -> None:
    gone, elsewhere = tick(note="before it was moved"), tick()
    checks = {ItemKey("posts", "P9", "plumb"): gone, ItemKey("postscript", "P9", "x"): elsewhere}
    found = answer((depth(),), checks, {})
    assert [(line.item, line.tick) for line in found.lines] == [(depth(), None)]
    assert found.done == 0


def test_a_reading_out_of_range_is_found_with_its_numbers_and_the_reason() -> None:
    found = reading_findings("posts", answer((depth(),), {depth().key: tick(reading_in=14, note="solid rock below")}, {}))
    assert [(one.code, one.level, one.stage, one.subjects) for one in found] == [
        ("reading_out_of_range", "fix", "posts", ("P4", "driven_depth")),
    ]
    assert found[0].says == 'P4: sleeve driven, depth: 14" was read, 15" to 30" is wanted. Reason given: solid rock below.'
    assert found[0].do == "Put it right and read it again, or leave the reason for the record."


def test_without_a_reason_none_is_told() -> None:
    found = reading_findings("posts", answer((depth(),), {depth().key: tick(reading_in=31)}, {}))
    assert found[0].says.endswith('31" was read, 15" to 30" is wanted.')


def test_two_readings_of_one_subject_are_two_findings() -> None:
    items = tuple(
        Item(ItemKey("gate", "side", f"diagonal_{letter}"), f"side: diagonal {letter}", WantedReading("ft", 7.5, 7.4, 7.6))
        for letter in "ab"
    )
    found = reading_findings("gate", answer(items, {item.key: tick(reading_ft=8) for item in items}, {}))
    assert [str(one.key) for one in found] == ["reading_out_of_range:side:diagonal_a", "reading_out_of_range:side:diagonal_b"]


def test_a_short_reading_that_its_stage_tells_of_itself_is_not_told_twice() -> None:
    checks = {depth().key: tick(reading_in=14)}
    assert reading_findings("posts", answer((depth(told=True),), checks, {})) == ()
    assert len(reading_findings("posts", answer((depth(told=False),), checks, {}))) == 1


def test_a_sleeve_read_deeper_than_it_is_long_is_told_where_only_a_short_one_is_its_stages() -> None:
    found = reading_findings("posts", answer((depth(told=True),), {depth().key: tick(reading_in=40)}, {}))
    assert [str(one.key) for one in found] == ["reading_out_of_range:P4:driven_depth"]


@pytest.mark.parametrize("given_tick", [tick(reading_in=20), tick(reading_in=15), tick(), tick(needed=False), None])
def test_no_finding_for_what_passes_is_open_or_was_not_read(given_tick: Tick | None) -> None:
    checks = {} if given_tick is None else {depth().key: given_tick}
    assert reading_findings("posts", answer((depth(),), checks, {})) == ()


def test_no_finding_for_a_tick_whose_item_is_gone() -> None:
    found = answer((FLAG,), {ItemKey("layout", "P9", "taped"): tick(reading_ft=99)}, {})
    assert reading_findings("layout", found) == ()


def test_what_was_done_before_it_changed_is_one_finding_a_stage() -> None:
    here, there = (TickFacts((At("P4", 10.0 + off_ft, 0.0),)) for off_ft in (0.0, 2.0))
    items = [Item(ItemKey("posts", "P4", what), f"P4: {what}", of=there) for what in ("solid", "plumb")]
    done = {item.key: Tick(at=AT, by="Mo", of=here) for item in items}
    changed = answer(items, done, {})

    assert [(line.state, line.was) for line in changed.lines] == [("open", done[item.key]) for item in items]
    (found,) = changed_findings("posts", changed)
    assert (found.code, found.level, found.subjects) == ("done_before_it_changed", "note", ("P4",))
    assert found.says == "2 items were done before P4 changed: they are open again."
    assert changed_findings("posts", answer(items, {key: tick.model_copy(update={"of": there}) for key, tick in done.items()}, {})) == ()


@settings(max_examples=100)
@given(value_mm=st.integers(1, 9_000), low_in=st.floats(0.1, 300), asked_mm=st.integers(0, 40))
def test_in_metres_a_reading_passes_where_it_is_printed_within_the_range_and_wherever_it_passed_in_inches(
    value_mm: int, low_in: float, asked_mm: int
) -> None:
    reading = WantedReading("in", low=low_in, high=low_in + asked_mm / 25.4)
    value = round(value_mm / 25.4, 5)
    with in_units(METRES):
        low_mm, high_mm = (floor(end * 25.4 + 0.5) for end in (low_in, low_in + asked_mm / 25.4))
        passes = reading.passes(value)
        assert passes or not low_mm <= value_mm <= high_mm
    assert passes or not reading.passes(value)
