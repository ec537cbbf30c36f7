"""Whatever is written down of hard ground and heights, the walk goes through and its plan can be kept."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.stages.flat_yards import ring, straight
from tests.stages.yards import levels

DOG = {"rex": {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "jumps": True}}

kinds = st.one_of(
    st.fixed_dictionaries({"kind": st.sampled_from(["slab", "paving"])}, optional={"drive_through": st.booleans()}),
    st.fixed_dictionaries({"kind": st.just("steps"), "tread_count": st.sampled_from([1, 3, 100])}),
    st.fixed_dictionaries(
        {"kind": st.just("deck"), "height_ft": st.sampled_from([0.0, 0.01, 2.5, 9.0])},
        optional={"rail_ft": st.sampled_from([2.0, 3.0, 8.0])},
    ),
)
stretches = st.lists(st.tuples(st.floats(0, 20), st.sampled_from([0.01, 0.3, 2.0, 8.0, 40.0]), kinds), max_size=4)


@settings(max_examples=40, deadline=None)
@given(
    closed=st.booleans(),
    rows=stretches,
    low=st.tuples(st.floats(0, 50), st.floats(1, 60), st.sampled_from([3.0, 4.0, 8.0])),
    ground=st.lists(st.floats(-4, 4), min_size=3, max_size=3),
)
def test_any_hard_ground_is_walked(closed: bool, rows: list[tuple[float, float, dict[str, Any]]], low: Any, ground: list[float]) -> None:
    base, line = (ring(), "r") if closed else (straight(60.0), "n")
    surfaces: dict[str, Any] = {}
    at = 0.0
    for number, (gap, long, row) in enumerate(rows):
        start = round(at + gap, 3)
        at = round(start + long, 3)
        surfaces[f"s{number}"] = {"line": line, "from_ft": start, "to_ft": at, **row}
    heights = {"low": {"line": line, "from_ft": low[0], "to_ft": low[0] + low[1], "height_ft": low[2]}}
    shots = levels(line, list(zip((0.0, 17.0, 55.0), ground, strict=True)))
    tables = {**base.model_dump(exclude_none=True), "surfaces": surfaces, "heights": heights, "shots": shots, "dogs": DOG}
    job = Job.model_validate(tables)

    found = walk(job)
    accepted = job.model_copy(update={"posts": planned_posts(found.layout)})

    assert problems(accepted) == []
    assert walk(accepted).layout.bays.keys() == found.layout.bays.keys()
    assert all(hang.height_ft > 0 for hang in found.posts.hangs.values())
    assert all(len(apron.under) == len(apron.stations_ft) for apron in found.fabric.bays.values())
