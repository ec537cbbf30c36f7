"""A checklist that takes over lines of the one before: after any change of items, ticks and log it is the one that is answered afresh."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.answers import NOT_ANSWERED, answer, answered_again
from engine.checklist import Item, Stood, StoodAt, WantedReading
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import At, TickFacts

AT = datetime(2026, 4, 14, 9, 30, tzinfo=UTC)
POSTS = ("P1", "P2", "P3", "P4")
PLACES = (0.0, 1.0)


class Change(NamedTuple):
    """What is asked after a change: of which posts, in order, where each stands, which items were made anew, ticks, and where the log says
    that posts stood."""

    posts: tuple[str, ...]
    east_ft: tuple[float, ...]
    made_anew: bool
    ticks: Mapping[ItemKey, Tick]
    stood: Stood


def item(post: str, what: str, east_ft: float) -> Item:
    of = TickFacts((At(post, east_ft, 0.0),)) if what != "asked" else TickFacts(words=(f"{east_ft:.0f}",))
    return Item(ItemKey("posts", post, what), f"{post}: {what}", WantedReading("in", 30, 15, 30) if what == "depth" else None, of)


ITEMS = {(post, what, east): item(post, what, east) for post in POSTS for what in ("depth", "plumb", "asked") for east in PLACES}
FACTS = st.just(TickFacts()) | st.sampled_from([one.of for one in ITEMS.values()])
STATES = st.sampled_from(["done", "not needed", "left open", "not asked"])
TICKED = Tick(at=AT, by="Mo")
READINGS = st.sampled_from([{}, {"reading_in": 10.0}, {"reading_in": 20.0}, {"reading_ft": 2.0}])
TICKS = st.builds(lambda state, of, read: Tick(state=state, at=AT, by="Mo", of=of, **read), STATES, FACTS, READINGS)
MOVES = st.builds(lambda east_ft, days: (StoodAt(AT - timedelta(days=days), (east_ft, 0.0)),), st.sampled_from(PLACES), st.integers(-1, 1))
CHANGES = st.builds(
    Change,
    st.lists(st.sampled_from(POSTS), unique=True).map(tuple),
    st.tuples(*[st.sampled_from(PLACES)] * len(POSTS)),
    st.booleans(),
    st.dictionaries(st.sampled_from(sorted({one.key for one in ITEMS.values()})), TICKS, max_size=12),
    st.dictionaries(st.sampled_from(POSTS), MOVES, max_size=2),
)


@settings(max_examples=300, deadline=None)
@given(st.lists(CHANGES, min_size=2, max_size=5), st.lists(st.booleans(), min_size=10, max_size=10))
def test_what_is_taken_over_is_what_would_be_answered_afresh(changes: list[Change], keep: list[bool]) -> None:
    """`keep` leaves ticks, and the log, the very objects of the change before."""
    before, checks, stood = NOT_ANSWERED, changes[0].ticks, changes[0].stood
    for change, keeps_ticks, keeps_log in zip(changes, keep[::2], keep[1::2], strict=False):
        checks, stood = checks if keeps_ticks else change.ticks, stood if keeps_log else change.stood
        east_ft = dict(zip(POSTS, change.east_ft, strict=True))
        items = [ITEMS[post, what, east_ft[post]] for post in change.posts for what in ("depth", "plumb", "asked")]
        items = [Item(*one) for one in items] if change.made_anew else items
        before = answered_again(items, checks, stood, before)
        fresh = answer(items, checks, stood)
        assert before.checklist == fresh
        told = {what: dict(ticks) for what, ticks in before.checklist.tally.done.items() if ticks}
        assert told == {what: dict(ticks) for what, ticks in fresh.tally.done.items() if ticks}
        left = tuple(line for line in fresh.lines if checks.get(line.item.key, TICKED).state == "left open")
        assert before.checklist.left_open == left
        assert {line.state for line in left} <= {"open"}


def test_a_checklist_of_which_nothing_changed_is_the_very_same() -> None:
    """Also where its items were made anew in the same words; another order of them is another checklist."""
    items = [ITEMS[post, "plumb", 0.0] for post in POSTS]
    checks = {items[1].key: Tick(at=AT, by="Mo", of=items[1].of)}
    first = answered_again(items, checks, {}, NOT_ANSWERED)
    again = answered_again([Item(*one) for one in items], checks, {}, first)
    assert again.checklist is first.checklist
    turned = answered_again(items[::-1], checks, {}, again)
    assert turned.checklist.lines == first.checklist.lines[::-1]
    assert all(line in first.checklist.lines for line in turned.checklist.lines)


def test_a_tick_of_an_older_file_is_asked_anew_wherever_the_log_says_that_its_post_stood() -> None:
    plumb = ITEMS["P1", "plumb", 0.0]
    checks = {plumb.key: Tick(at=AT, by="Mo")}
    before = answered_again([plumb], checks, {}, NOT_ANSWERED)
    for east_ft, state in ((1.0, "open"), (0.0, "done")):
        before = answered_again([plumb], checks, {"P1": (StoodAt(None, (east_ft, 0.0)),)}, before)
        assert [line.state for line in before.checklist.lines] == [state]
