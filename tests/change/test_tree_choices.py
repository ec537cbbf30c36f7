"""Trees that may take a post's place, the nearest first."""

from math import pi

import pytest

from engine.change.tree_choices import tree_choices
from engine.job.edit import edits
from engine.walk import walk
from tests.demo import AT, BY, accepted


@pytest.mark.independent
def test_a_tree_is_told_with_its_distance_its_girth_and_what_it_carries() -> None:
    job = edits.swap_to_tree(accepted(), "P11", "dogwood", AT, BY)
    walked = walk(job)
    choices = tree_choices(job, walked, "P10")
    assert [choice.away_ft for choice in choices] == sorted(choice.away_ft for choice in choices)
    assert {choice.tree for choice in choices} == {"oak", "hickory", "dogwood"}
    dogwood = next(choice for choice in choices if choice.tree == "dogwood")
    assert dogwood.carries == ("P11",)
    assert dogwood.girth_in == pytest.approx(pi * job.trees["dogwood"].diameter_in)
    assert dogwood.words.endswith("carries P11")
