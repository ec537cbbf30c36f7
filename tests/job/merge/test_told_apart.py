"""Posts of one name told apart: a key with hyphens follows only the post that it names, whole or as an end of its bay."""

from datetime import timedelta

import pytest

from engine.job.edit.edits import add_post, tick
from engine.job.merge.told_apart import told_apart
from engine.job.model.item_key import ItemKey, item_key
from tests.job.merge.test_merge import BASE, changed
from tests.job.small import NOW

HYPHENED = {"end-P2": 30.0, "P2-a": 35.0, "a": 36.0}
"""Posts of the plan before, whose names hold the new post's between hyphens."""


@pytest.mark.parametrize(
    ("key", "called"),
    [
        ("posts.P2.plumb", "posts.P3.plumb"),
        ("fabric.P1-P2.mesh", "fabric.P1-P3.mesh"),
        ("fabric.P2-P1.mesh", "fabric.P3-P1.mesh"),
        ("fabric.P2-end-P2.mesh", "fabric.P3-end-P2.mesh"),
        ("fabric.end-P2-P2.mesh", "fabric.end-P2-P3.mesh"),
        ("posts.end-P2.plumb", "posts.end-P2.plumb"),
        ("posts.P2-a.plumb", "posts.P2-a.plumb"),
        ("fabric.P1-end-P2.mesh", "fabric.P1-end-P2.mesh"),
        ("fabric.P2-a-P1.mesh", "fabric.P2-a-P1.mesh"),
        ("gate.P2-side.latch", "gate.P2-side.latch"),
        ("fabric.P12-P1.mesh", "fabric.P12-P1.mesh"),
    ],
)
def test_a_key_follows_its_post_and_no_other_whose_name_looks_like_it(key: str, called: str) -> None:
    row = BASE.posts["P1"].model_dump()
    base = changed(BASE, posts={"P1": row, **{name: {**row, "station_ft": at} for name, at in HYPHENED.items()}})
    ours = tick(add_post(base, "fence", 20, NOW, "Ana"), item_key(key), NOW, "Ana")
    theirs = add_post(base, "fence", 40, NOW - timedelta(minutes=1), "Bo")
    sides = told_apart(base, ours, theirs)
    ticked: list[ItemKey] = [one for one in sides.ours.checks if one not in base.checks]
    assert [str(one) for one in ticked] == [called]
