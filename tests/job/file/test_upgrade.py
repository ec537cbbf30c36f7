"""The chain from older formats to this one: a step a format, each pure, none missing."""

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.job.file.upgrade import STEPS, Tables, upgraded
from engine.job.model.job import FORMAT


def renamed(tables: Tables) -> Tables:
    """A made-up step: `[crew]` becomes `[people]`."""
    return {("people" if name == "crew" else name): table for name, table in tables.items()}


def in_feet(tables: Tables) -> Tables:
    """Another: inches of every post become feet."""
    posts = {name: {"depth_ft": post["depth_in"] / 12} for name, post in tables.get("posts", {}).items()}
    return {**tables, "posts": posts}


MADE_UP = {1: renamed, 2: in_feet}
OLD = {"format": 1, "crew": {"lead": "Ana"}, "posts": {"P1": {"depth_in": 30}}}


def test_there_is_a_step_from_every_format_ever_released() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT))


def test_steps_are_taken_in_turn_up_to_the_format_wanted() -> None:
    assert upgraded(OLD, MADE_UP, to=2) == {"format": 2, "people": {"lead": "Ana"}, "posts": {"P1": {"depth_in": 30}}}
    assert upgraded(OLD, MADE_UP, to=3) == {"format": 3, "people": {"lead": "Ana"}, "posts": {"P1": {"depth_ft": 2.5}}}


def test_a_file_of_this_format_stays_as_it_is() -> None:
    assert upgraded(OLD) == {**OLD, "format": FORMAT}
    assert upgraded({**OLD, "format": 3}, MADE_UP, to=3) == {**OLD, "format": 3}


@given(st.dictionaries(st.text(max_size=5), st.integers(), max_size=5), st.integers(1, 3))
def test_what_is_handed_in_stays_as_it_was_and_in_two_goes_it_is_the_same(more: dict[str, int], stop: int) -> None:
    tables: Tables = {**more, **copy.deepcopy(OLD)}
    before = copy.deepcopy(tables)
    whole = upgraded(tables, MADE_UP, to=3)
    assert tables == before
    assert upgraded(upgraded(tables, MADE_UP, to=stop), MADE_UP, to=3) == whole


def test_a_missing_step_is_a_fault_and_never_passed_over() -> None:
    with pytest.raises(KeyError):
        upgraded(OLD, {2: in_feet}, to=3)
