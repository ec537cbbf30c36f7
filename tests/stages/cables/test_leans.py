"""A lean on a bay by the dogs of its yards, or by the rule where the crew set one."""

from typing import Any

import pytest

from engine.job.model.people import Dog
from engine.stages.cables.leans import lean_of_lbf
from engine.walk import walk
from tests.stages import yards


def dog(weight_lb: float, **habits: Any) -> Dog:
    return Dog(weight_lb=weight_lb, shoulder_in=20, body_in=28, **habits)


@pytest.mark.parametrize(
    ("dogs", "lean_lbf"),
    [
        ([], 50.0),
        ([dog(24)], 24.0),
        ([dog(70), dog(40, jumps=True)], 80.0),
        ([dog(20, count=6)], 20.0),
        ([dog(90, climbs=True, digs=True)], 90.0),
    ],
)
def test_the_hardest_of_the_dogs_leans_with_its_weight_or_twice_that_where_it_jumps(dogs: list[Dog], lean_lbf: float) -> None:
    assert lean_of_lbf(dogs) == lean_lbf


def leans(**tables: Any) -> set[float]:
    return {bay.lean_lbf for bay in walk(yards.build(**tables)).cables.bays.values()}


def test_each_bay_is_leaned_on_by_the_dogs_of_its_yard() -> None:
    away = {"weight_lb": 90, "shoulder_in": 28, "body_in": 40, "yard": "front"}
    here = {"weight_lb": 45, "shoulder_in": 22, "body_in": 30, "yard": "back"}
    tables = {"points": {**yards.tables()["points"], "FAR": {"east_ft": 200.0, "north_ft": 200.0}}}
    two = {**yards.tables()["yards"], "front": {"inside": "FAR"}}

    assert leans(**tables, yards=two, dogs={"ada": here, "pip": away}) == {45.0}
    assert leans(**tables, yards=two, dogs={"pip": away}) == {90.0}  # no dog of this yard: every dog counts
    assert leans(dogs={"ada": here}, rules={"cables": {"lean_lbf": 61}}) == {61.0}
    assert leans(dogs={}) == {50.0}
