"""The set-out sheet: every support along its line with its tapes, and plans whose scale is the one that is printed."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from engine.calc.geometry.plane import distance_ft
from engine.drawing.plan_shapes import plan_shapes
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.crew.set_out_sheet import plan_parts, set_out_tables
from engine.paper.drawings.plan_drawing import plan_svg
from engine.walk import walk
from tests.bench.big_job import big_job
from tests.demo import demo, others
from tests.paper.test_record_page import SVG, marks, words
from tests.sheets.test_stage_sheets import MADE

MM_PER_IN = 25.4
DRAWN = ("willow_bend", *others(), "big", "two_leaves")


def tables(job: Job) -> dict[str, Table]:
    return {table.title: table for table in set_out_tables(job, walk(job))}


def test_a_row_says_where_a_support_stands_by_two_tapes_and_a_third() -> None:
    line = tables(demo())["Line back"]
    assert line.columns == ("post", "kind", "station", "off string", "tape", "and tape", "check tape", "bay to the next")
    assert line.rows[1] == (
        "P2",
        "gate",
        "16' 0\"",
        "",
        "15' 9 1/4\" from A",
        "92' 3\" from H",
        "28' 5\" from N1",
        "5' 2\" to P3, gate side",
    )
    assert line.rows[6][1:4] == ("line, oak", "100' 0 1/8\"", '4 7/8" right')
    assert [row[0] for row in line.rows] == [f"P{n}" for n in range(1, 17)]
    assert line.rows[-1][-1] == ""


def test_a_line_that_closes_leads_back_and_one_that_meets_another_says_so() -> None:
    found = tables(others()["ridge_ring"])
    assert found["Line ring"].rows[-1][-1] == "23' 2 1/8\" to P1"
    assert [row[:3] for row in found["Line split"].rows[:: len(found["Line split"].rows) - 1]] == [
        ("P5", "tee, of ring", '0"'),
        ("P15", "tee, of ring", "89' 3 1/8\""),
    ]
    assert found["Strings"].rows[0] == ("ring", "P3 to P5", "29' 11 1/4\"", "P4 15' 1\"")
    assert found["Diagonals across corners"].rows[0] == ("P5 to P11", "91' 5\"")


def test_places_that_tapes_start_from_come_first() -> None:
    """Those of check tapes too."""
    first = next(iter(tables(demo()).values()))
    assert (first.title, first.rows[0]) == (
        "Where the tapes start",
        ("A", "north-west house corner", "16' 4 3/8\" to N1, 65' 9 1/4\" to M, 90' 0\" to H, 108' 2\" to B, 135' 2 3/4\" to C"),
    )
    assert [row[:2] for row in first.rows[-2:]] == [
        ("N1", "point of boundary west"),
        ("N2", "point of boundary west and point of boundary south"),
    ]


@pytest.mark.parametrize("name", DRAWN)
def test_every_support_stands_on_its_line_once_and_every_bay_too(name: str) -> None:
    job = MADE[name]()
    layout, found = walk(job).layout, tables(job)
    for one, line in layout.lines.items():
        rows = found[f"Line {one}"].rows
        assert [row[0] for row in rows] == list(line.supports)
        assert sum(bool(row[-1]) for row in rows) == len(line.bays)


def test_a_job_without_a_fence_has_nothing_to_set_out() -> None:
    assert set_out_tables(Job(), walk(Job())) == ()


@pytest.mark.closed_form
@pytest.mark.parametrize("name", DRAWN)
def test_a_distance_on_paper_is_the_distance_on_site_by_the_scale(name: str) -> None:
    """In mm: a foot is 25.4 mm over the scale in feet an inch; a pixel of the drawing is 1/96 in, its size on paper is given in
    inches. Marks of ends and tees, which reach further to one side of their post, are left out."""
    job = MADE[name]()
    worked = walk(job)
    drawing, supports = plan_shapes(job, worked), worked.layout.supports
    for part in plan_parts(drawing, worked.layout):
        svg = ET.fromstring(plan_svg(drawing, part.sheet))
        mm_per_px = float(svg.attrib["width"].removesuffix("in")) * MM_PER_IN / float(svg.attrib["viewBox"].split()[2])
        placed = marks(svg)
        even = [name for name, one in supports.items() if one.kind not in ("end", "tee") or one.support != "driven"]
        for a, b in pairwise(even):
            apart_mm = distance_ft(placed[a], placed[b]) * mm_per_px
            assert apart_mm == pytest.approx(distance_ft(supports[a].xy, supports[b].xy) * MM_PER_IN / part.sheet.ft_per_in, abs=0.01)
        says = next(words(text) for text in svg.iter(f"{SVG}text") if "1 in on paper" in words(text))
        bar_ft, ft_per_in = map(float, re.findall(r"^(\d+) ft; 1 in on paper is (\d+) ft", says)[0])
        bar_mm = sum(float(rect.attrib["width"]) for rect in svg.iter(f"{SVG}rect") if rect.get("class") in ("bar0", "bar1")) * mm_per_px
        assert ft_per_in == part.sheet.ft_per_in
        assert bar_mm == pytest.approx(bar_ft * MM_PER_IN / ft_per_in, abs=0.02)


def test_a_big_site_is_drawn_line_by_line_and_every_bay_is_in_a_part() -> None:
    job = big_job()
    layout = walk(job).layout
    whole, *parts = plan_parts(plan_shapes(job, walk(job)), layout)
    assert whole.sheet.ft_per_in > 30
    assert [(part.says, part.sheet.ft_per_in) for part in parts] == [
        ("Line ring1, P1 to P1", 25.0), ("Line ring2, P27 to P27", 30.0), ("Line ring3, P52 to P52", 30.0), ("Line ring4, P77 to P77", 30.0)
    ]  # fmt: skip
    assert len({part.says for part in parts}) == len(parts)
    for bay in layout.bays.values():
        ends = [layout.supports[name].xy for name in (bay.from_id, bay.to_id)]
        assert any(all(_on(part.sheet.at(end), part.sheet.width_px, part.sheet.height_px) for end in ends) for part in parts)


@pytest.mark.closed_form
def test_a_line_too_long_for_a_sheet_is_cut_at_posts_and_goes_on_from_the_last() -> None:
    """1,000 ft: a sheet 7 in wide with 0.35 in round about holds 189 ft at 30 ft an inch, nine bays of 20 ft."""
    ends = {"W": {"east_ft": 0, "north_ft": 0}, "E": {"east_ft": 1000, "north_ft": 0}}
    job = Job.model_validate({"points": ends, "lines": {"long": {"points": ["W", "E"]}}})
    layout = walk(job).layout
    _, *parts = plan_parts(plan_shapes(job, walk(job)), layout)
    row = layout.lines["long"].supports
    bays = layout.bays[layout.lines["long"].bays[0]].plan_ft
    per_sheet = int(189 // bays)
    cuts = [*range(0, len(row) - 1, per_sheet), len(row) - 1]
    assert [part.says for part in parts] == [f"Line long, {row[a]} to {row[b]}" for a, b in pairwise(cuts)]
    assert {part.sheet.ft_per_in for part in parts[:-1]} == {30.0}
    assert parts[-1].sheet.ft_per_in >= 20.0


def _on(at: tuple[float, float], wide: float, high: float) -> bool:
    return 0 < at[0] < wide and 0 < at[1] < high


def test_a_small_site_is_drawn_once() -> None:
    job = demo()
    (only,) = plan_parts(plan_shapes(job, walk(job)), walk(job).layout)
    assert (only.says, only.sheet.ft_per_in) == ("The site", 25.0)


def test_only_posts_on_the_sheet_are_named_on_it() -> None:
    job = big_job()
    worked = walk(job)
    drawing = plan_shapes(job, worked)
    for part in plan_parts(drawing, worked.layout)[1:]:
        svg = ET.fromstring(plan_svg(drawing, part.sheet))
        named = {words(text) for text in svg.iter(f"{SVG}text") if text.get("class") == "post"} & set(worked.layout.supports)
        on = {name for name, one in worked.layout.supports.items() if _on(part.sheet.at(one.xy), part.sheet.width_px, part.sheet.height_px)}
        assert named <= on
        assert named
