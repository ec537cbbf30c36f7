"""Strips of a line are at one scale, and a drawing says how long every bay is that it shows, or none."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from engine.calc.lengths import format_ft_in
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.job.model.job import Job
from engine.paper.drawings.drawing_sheet import NO_LENGTHS, sheet_of, sheet_round
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.drawings.profile_drawing import ProfileStrip, profile_strips
from engine.walk import walk
from tests.bench.big_job import big_job
from tests.demo import accepted, others
from tests.drawing.drawn_jobs import there
from tests.paper.test_record_page import SVG, words
from tests.stages.yards import build

SCALE = r"1 in on paper is [\d.]+ ft along the line[^<]*"


def drawn_jobs() -> dict[str, Job]:
    return {"willow_bend": accepted(), **others(), "big": big_job(2)}


def strips(job: Job, line: str) -> tuple[ProfileStrip, ...]:
    return profile_strips(there(profile_shapes(walk(job), line)))


@pytest.mark.parametrize("name", drawn_jobs())
def test_all_strips_of_a_line_are_at_one_scale_and_join(name: str) -> None:
    job = drawn_jobs()[name]
    for line, laid in walk(job).layout.lines.items():
        cut = strips(job, line)
        scales = {re.findall(SCALE, strip.svg)[0] for strip in cut}
        assert len(scales) == 1
        assert [one.posts[-1] for one, _ in pairwise(cut)] == [other.posts[0] for _, other in pairwise(cut)]
        assert {post for strip in cut for post in strip.posts} >= set(laid.supports)


@pytest.mark.closed_form
def test_a_line_is_shared_out_among_its_strips() -> None:
    posts = [strip.posts for strip in strips(accepted(), "back")]
    assert [(one[0], one[-1]) for one in posts] == [("P1", "P6"), ("P6", "P11"), ("P11", "P16")]


@pytest.mark.parametrize("name", drawn_jobs())
def test_a_plan_says_how_long_every_bay_is_or_none_and_where_it_stands(name: str) -> None:
    job = drawn_jobs()[name]
    worked_out = walk(job)
    svg = plan_svg(plan_shapes(job, worked_out))
    said = [words(text) for text in ET.fromstring(svg).iter(f"{SVG}text")]
    bays = [words(text) for text in ET.fromstring(svg).iter(f"{SVG}text") if text.attrib["class"] == "bay"]
    fence = [format_ft_in(bay.slope_ft) for bay in worked_out.layout.bays.values() if bay.gate is None]
    gates = [f"gate {bay.gate}, {format_ft_in(bay.slope_ft)}" for bay in worked_out.layout.bays.values() if bay.gate]
    if NO_LENGTHS in svg:
        assert bays == []
        assert [gate for gate in gates if gate in said] == []
    else:
        assert sorted(bays) == sorted(fence)
        assert [gate for gate in gates if gate not in said] == []


def test_the_demos_say_all_lengths_and_a_plan_too_small_for_them_says_none() -> None:
    job = others()["ridge_ring"]
    drawing = plan_shapes(job, walk(job))
    assert NO_LENGTHS not in plan_svg(drawing)
    places = [support.xy for support in walk(job).layout.supports.values()]
    small = plan_svg(drawing, sheet_round(places, 200.0))
    assert NO_LENGTHS in small
    assert 'class="bay"' not in small
    assert "gate upper" in small


def test_a_plan_of_a_part_asks_for_no_length_of_a_bay_that_it_cuts() -> None:
    job = others()["ridge_ring"]
    drawing = plan_shapes(job, walk(job))
    places = [walk(job).layout.supports[name].xy for name in ("P23", "P24")]
    part = plan_svg(drawing, sheet_round(places))
    assert NO_LENGTHS not in part
    assert "24&#x27; 9 1/2&quot;" in part
    assert sheet_of(drawing).ft_per_in == 25.0


def test_narrow_bays_have_their_lengths_and_stations_in_rows_below_each_other() -> None:
    job = build(
        gates={"G1": {"line": "fence", "station_ft": 60, "leaf_width_ft": 2}, "G2": {"line": "fence", "station_ft": 64, "leaf_width_ft": 2}}
    )
    worked_out = walk(job)
    for strip in strips(job, "fence"):
        found = list(ET.fromstring(strip.svg).iter(f"{SVG}text"))
        spots = [(float(text.attrib["x"]), float(text.attrib["y"])) for text in found if text.attrib["class"] in ("bay", "small")]
        assert len(set(spots)) == len(spots)
    said = [words(text) for strip in strips(job, "fence") for text in ET.fromstring(strip.svg).iter(f"{SVG}text")]
    assert [bay.id for bay in worked_out.layout.bays.values() if format_ft_in(bay.slope_ft) not in said] == []


def test_a_rock_is_full_of_stones_and_a_small_one_is_one() -> None:
    for name, rocks in (("ridge_ring", 1), ("willow_bend", 1)):
        job = drawn_jobs()[name]
        svg = plan_svg(plan_shapes(job, walk(job)))
        assert svg.count('class="keepout rock"') == rocks + 1
        assert svg.count('class="stone"') == rocks + 1 if name == "ridge_ring" else 1
    assert 'class="keepout rock"' not in plan_svg(plan_shapes(others()["alder_row"], walk(others()["alder_row"])))
