"""Captions name every post that a drawing shows, and no other."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.drawing.plan_shapes import plan_shapes
from engine.job.model.job import Job
from engine.paper.drawings.drawing_sheet import sheet_of, sheet_round
from engine.paper.drawings.shown_posts import in_runs, plan_caption, strip_caption
from engine.walk import walk
from tests.demo import others


def test_names_are_told_in_runs() -> None:
    assert in_runs(["P1", "P2", "P3", "P7", "P9", "P10", "P11", "P12"]) == "P1 to P3, P7, P9 to P12"
    assert in_runs(["P10", "P2", "G", "X1", "P9"]) == "G, P2, P9, P10, X1"
    assert in_runs([]) == ""


def test_a_strip_is_told_by_its_ends() -> None:
    assert strip_caption(("P7", "P8", "P9"), 2, 3) == "strip 2 of 3: P7 to P9"
    assert strip_caption(("P1", "P2"), 1, 1) == "P1 to P2"


def test_a_plan_of_a_part_names_what_is_on_it() -> None:
    job = others()["ridge_ring"]
    drawing = plan_shapes(job, walk(job))
    assert plan_caption(drawing, sheet_of(drawing)) == "24 supports: P1 to P24"
    close = sheet_round([walk(job).layout.supports[name].xy for name in ("P14", "P15", "P24")])
    assert plan_caption(drawing, close) == "5 supports: P13 to P16, P24"
    assert plan_caption(plan_shapes(Job(), walk(Job())), sheet_of(plan_shapes(Job(), walk(Job())))) == "No supports yet"


@settings(max_examples=100, deadline=None)
@given(st.sets(st.tuples(st.sampled_from(["P", "A", "G1-"]), st.integers(0, 40)).map(lambda one: f"{one[0]}{one[1]}"), max_size=30))
def test_the_runs_hold_every_name_once(names: set[str]) -> None:
    told: list[str] = []
    for run in filter(None, in_runs(names).split(", ")):
        first, _, last = run.partition(" to ")
        ends = [re.fullmatch(r"(.*?)(\d+)", name) for name in (first, last or first)]
        assert ends[0]
        assert ends[1]
        told += [f"{ends[0][1]}{number}" for number in range(int(ends[0][2]), int(ends[1][2]) + 1)]
    assert sorted(told) == sorted(names)
