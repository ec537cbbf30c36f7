"""Sleeves and posts: depth by practice and by load, eyes, the even top line, what to cut, and what the crew is asked."""

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.statics.blown_fence import Push
from engine.calc.statics.short_pile import cohesive_pile_lbf
from engine.checklist import WantedReading
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.stages.layout.stage import Layout
from engine.stages.posts import stage
from engine.stages.posts.depths import eye_heights, footing_depth_in
from engine.stages.posts.heights import bay_heights
from engine.stages.posts.stage import Posts
from engine.stages.posts.top_line import cut_post, straight_tops_ft
from tests.stages.layouts import Spot, layout_of, row, square, survey_of

SEEN = {"marks_seen": True}
NO_WIND = {"cables": {"wind_mph": 0}}


def posts(job: Job, layout: Layout) -> Posts:
    return stage.posts(job, survey_of(layout), layout)


def job_of(**tables: Any) -> Job:
    return Job.model_validate({"utility_notice": SEEN, **tables})


def tops_of(lines: Any, **tables: Any) -> Mapping[str, float]:
    layout, job = layout_of(lines), job_of(**tables)
    return straight_tops_ft(layout, bay_heights(job, layout), job.fence.height_ft)


def read(post: str, depth_in: float) -> dict[str, Any]:
    return {f"posts.{post}.driven_depth": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_in": depth_in}}


@pytest.mark.parametrize(
    ("height", "low", "high"),
    [
        (6.0, 3.0, 5.9791667), (5.01, 3.0, 4.9891667), (5.0, 2.0, 4.9791667), (3.5, 2.0, 3.4791667),
        (3.0, 2.0, 2.9791667), (2.4, 1.2, 2.3791667),
    ],
)  # fmt: skip
@pytest.mark.closed_form
def test_eyes_stand_at_the_heights_of_practice_less_the_cap(height: float, low: float, high: float) -> None:
    eyes = eye_heights(height, 0.25)

    assert eyes.low_ft == low
    assert eyes.high_ft == pytest.approx(high, abs=1e-6)


@pytest.mark.parametrize("lacks", ["length_ft", "diameter_in"])
def test_a_sleeve_whose_size_nobody_knows_asks_for_no_depth(lacks: str) -> None:
    sizes = {"length_ft": 2.5, "diameter_in": 1.9}
    del sizes[lacks]
    job = job_of(fence={"sleeve": "own"}, stock={"own": {"kind": "sleeve", **sizes}})

    work = posts(job, layout_of({"north": row(3, 25.0)})).work["P2"]
    assert (work.depth_half_in, work.depth_load_in, work.depth_wanted_in) == (None, None, None)


@pytest.mark.parametrize(("double", "depth_in"), [(False, 12 * 4.95), (True, 12 * 3.73)])
@pytest.mark.independent
def test_what_a_footing_formula_asks_of_a_slim_sleeve(double: bool, depth_in: float) -> None:
    """50 lb at 3 ft on 1.900 in in sand: 4.95 ft, doubled 3.73 ft, worked apart from this program by iterating IBC eq. 18-1."""
    rules = Rules.model_validate({"posts": {"soil": "sand", "soil_double": double}}).posts

    assert footing_depth_in(Push(50.0, 150.0), 1.9, rules) == pytest.approx(depth_in, abs=0.06)
    assert footing_depth_in(Push(0.0, 0.0), 1.9, rules) == 0.0
    assert footing_depth_in(Push(25_000.0, 75_000.0), 1.9, rules) is None


@pytest.mark.independent
def test_the_depth_that_the_wind_asks_of_a_short_pile() -> None:
    """90 mph on 25 ft of a 6 ft fence, fabric, lap, cables and post: short pile in clay of 750 psf, its depth tried inch by inch."""
    pressure = 0.85 * 0.00256 * 2.01 * (15 / 1200) ** (2 / 7) * 0.85 * 90**2
    mesh, wire, top_ft = pressure * 2.0 * (1 - (1 - 0.06 / 1.75) ** 2), pressure * 1.2 * 0.0592, 6 - 0.25 / 12
    bending = 25 * (mesh * (top_ft**2 - (top_ft - 4) ** 2) / 2 + wire * 3**2 / 2 + pressure * 1.2 * 0.09375 / 12 * (3 + top_ft))
    upper, lap = top_ft - 3, 3 - (top_ft - 4)
    level = 25 * (mesh * (upper + lap * (3 - lap / 2) / 3) + wire * 3 / 2 + 2 * pressure * 1.2 * 0.09375 / 12)
    post = pressure * 1.2 * 1.625 / 12 * 6
    level, bending = level + post, bending + post * 3
    needed = next(inch for inch in range(1, 31) if cohesive_pile_lbf(1.9 / 12, inch / 12, bending / level, 750) >= level)

    middle = posts(job_of(), layout_of({"north": row(3, 25.0)})).work["P2"]

    assert middle.depth_half_in == 15.0
    assert middle.depth_load_in == pytest.approx(needed - 0.5, abs=0.51)
    assert middle.depth_wanted_in == 30.0


def test_wanted_depth_is_half_the_sleeve_where_that_holds_the_wind_and_all_of_it_elsewhere() -> None:
    layout = layout_of({"north": row(3, 25.0)})

    calm = posts(job_of(rules=NO_WIND), layout)
    breeze = posts(job_of(rules={"cables": {"wind_mph": 40}}), layout)
    gale = posts(job_of(rules={"posts": {"soil": "sand"}}), layout)

    assert [work.depth_wanted_in for work in calm.work.values()] == [30.0, 15.0, 30.0]  # braced ends all of it
    assert 0 < (breeze.work["P2"].depth_load_in or 0) < breeze.work["P2"].depth_wanted_in == 15.0
    assert gale.work["P2"].depth_load_in is None
    assert gale.work["P2"].depth_wanted_in == 30.0
    assert (calm.findings, gale.findings) == ((), ())


def test_what_a_code_asks_of_the_post_that_the_wind_bends_most_is_a_figure() -> None:
    found = posts(job_of(), layout_of({"north": row(3, 25.0)}))
    hurricane = posts(job_of(rules={"cables": {"wind_mph": 250}, "posts": {"soil_double": False}}), layout_of({"north": row(3, 25.0)}))

    assert found.footing_at == "P2"
    assert found.footing_in is not None
    assert 6 * 12 < found.footing_in < 8 * 12
    assert (hurricane.footing_at, hurricane.footing_in) == ("P2", None)


@pytest.mark.parametrize(
    ("middle_level", "top", "cut", "in_sleeve_in"),
    [
        (0.0, 6.0, 8.0, 24.0),
        (-0.5, 6.0, 8.0, 18.0),
        (-1.5, 5.25, 8.0, 15.0),
        (1.0, 7.0, 8.0, 24.0),
    ],
)
@pytest.mark.closed_form
def test_even_top_line(middle_level: float, top: float, cut: float, in_sleeve_in: float) -> None:
    """8 ft post, 30 in sleeve: a dip takes post length out of the sleeve down to 15 in; a crest is never cut below the height."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, level_ft=middle_level), Spot("P3", 40, kind="end")]

    work = posts(job_of(), layout_of({"north": spots})).work["P2"]

    assert work.top_level_ft == pytest.approx(top)
    assert work.post_cut_ft == pytest.approx(cut)
    assert work.in_sleeve_in == pytest.approx(in_sleeve_in)
    assert work.post_off_in == pytest.approx(0.0)


@pytest.mark.closed_form
def test_top_line_is_straight_by_distance_between_fixed_supports() -> None:
    spots = [
        Spot("P1", 0, kind="end"),
        Spot("P2", 10),
        Spot("P3", 30, level_ft=-1),
        Spot("P4", 40, kind="corner", level_ft=2),
        Spot("P5", 60),
    ]

    tops = tops_of({"north": spots})

    assert tops == pytest.approx({"P1": 6.0, "P2": 6.5, "P3": 7.5, "P4": 8.0, "P5": 6.0})


@pytest.mark.closed_form
def test_top_line_of_a_closed_line_comes_back_to_its_first_corner() -> None:
    spots = [
        Spot("P1", 0, 0, "corner", 1.0),
        Spot("P2", 0, 40, "corner"),
        Spot("P3", 40, 40, "corner"),
        Spot("P4", 20, 20),
        Spot("P1", 0, 0, "corner", 1.0),
    ]

    assert tops_of({"ring": spots})["P4"] == pytest.approx(6.5)


def test_a_sleeve_stopped_short_is_told_and_not_cut() -> None:
    result = posts(job_of(rules=NO_WIND, checks=read("P2", 8)), layout_of({"north": row(3, 20.0)}))

    assert [(f.code, f.level, f.subjects, f.says) for f in result.findings] == [
        (
            "sleeve_stopped_short",
            "fix",
            ("P2",),
            'P2\'s sleeve stopped at 8"; half of it is 15".',
        )
    ]
    assert result.work["P2"].sleeve_cut_in is None
    assert result.work["P2"].in_sleeve_in == pytest.approx(8.0)
    assert result.work["P2"].post_cut_ft == pytest.approx(6 + 8 / 12)


@pytest.mark.parametrize(("driven_in", "cut_in"), [(15.0, 13.0), (20.0, 8.0), (29.0, 0.0), (30.0, None)])
def test_a_sleeve_solid_part_way_is_cut_to_two_inches(driven_in: float, cut_in: float | None) -> None:
    work = posts(job_of(checks=read("P2", driven_in)), layout_of({"north": row(3, 20.0)})).work["P2"]

    assert work.driven_in == driven_in
    assert work.sleeve_cut_in == cut_in


def test_a_depth_kept_in_feet_is_read_as_inches() -> None:
    tick = {"posts.P2.driven_depth": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_ft": 1.5}}

    assert posts(job_of(checks=tick), layout_of({"north": row(3, 20.0)})).work["P2"].driven_in == 18.0


def test_a_stock_post_too_short_is_one_finding_for_all() -> None:
    result = posts(job_of(rules=NO_WIND, fence={"post": "post-7"}), layout_of({"north": row(3, 20.0)}))

    assert [str(finding.key) for finding in result.findings] == ["post_too_short:P1:P2:P3"]
    assert result.findings[0].says == 'P1 needs a post of 7\' 3", 3" longer than post-7 (2 more are short too).'
    assert result.work["P1"].post_off_in == pytest.approx(-3.0)


def test_nothing_is_driven_before_marks_are_seen_or_in_a_keep_out() -> None:
    layout = layout_of({"north": row(3, 20.0)}, keep_outs=[square(20, 0, 1)])

    seen = posts(job_of(), layout).work
    unseen = posts(Job(), layout).work

    assert [(work.drivable, work.why_not) for work in seen.values()] == [(True, ""), (False, "the rock"), (True, "")]
    assert unseen["P1"].why_not == "the utility marks have not been seen"
    assert not any(work.drivable for work in unseen.values())


def test_trees_and_structures_carry_eyes_and_no_sleeve() -> None:
    spots = [Spot("P1", 0, kind="end", support="structure"), Spot("P2", 20, support="tree"), Spot("P3", 40, kind="end")]

    result = posts(job_of(rules=NO_WIND), layout_of({"north": spots}))

    assert (result.driven_count, result.tree_count, result.structure_count) == (1, 1, 1)
    for name in ("P1", "P2"):
        work = result.work[name]
        lengths = (work.depth_half_in, work.depth_load_in, work.depth_wanted_in, work.post_cut_ft, work.post_off_in, work.in_sleeve_in)
        assert lengths == (None,) * 6
        assert (work.eye_low_ft, work.top_level_ft, work.drivable) == (3.0, 6.0, False)


def test_checklist_asks_each_kind_of_support_its_own() -> None:
    spots = [Spot("P1", 0, kind="end", support="structure"), Spot("P2", 20, support="tree"), Spot("P3", 40, kind="end")]

    items = posts(job_of(rules=NO_WIND), layout_of({"north": spots})).items

    assert [str(item.key) for item in items] == [
        "posts.P1.eyes",
        "posts.P2.diameter",
        "posts.P2.eyes",
        "posts.P3.driven_depth",
        "posts.P3.solid",
        "posts.P3.plumb",
        "posts.P3.eyes",
    ]
    assert items[0].says == "P1: eyes at 3' 0\" and 5' 11 3/4\", into solid wood away from an edge"
    assert items[1].reading == WantedReading("in", low=6.0)
    assert items[3].says == "P3: sleeve driven, depth"
    assert items[3].reading == WantedReading("in", wanted=30.0, low=15.0, high=30.0, told=True)


@pytest.mark.parametrize(
    ("tables", "codes"),
    [
        ({"fence": {"sleeve": "none"}}, ["sleeve_unknown"]),
        ({"fence": {"post": "none"}}, ["post_unknown"]),
        ({"fence": {"mesh": "none"}}, ["wind_unknown"]),
        ({"stock": {"wire-48": {"wire_in": 1.0, "pitch_in": 1.1}}}, ["wind_unknown"]),
        ({"stock": {"wire-48": {"wire_in": 1.0, "pitch_in": 1.0}}}, ["wind_unknown"]),
    ],
)
def test_stock_that_lacks_sizes_gives_findings(tables: dict[str, Any], codes: list[str]) -> None:
    result = posts(job_of(**tables), layout_of({"north": row(3, 20.0)}))

    assert [finding.code for finding in result.findings] == codes
    assert list(result.work) == ["P1", "P2", "P3"]


def test_no_layout_gives_nothing() -> None:
    result = posts(Job(), layout_of({}))

    assert (result.work, result.findings, result.items) == ({}, (), ())
    assert result.eye_low_ft == 3.0


lengths = st.floats(0.1, 20.0)


@settings(max_examples=100)
@given(ground=st.floats(-50, 50), straight=st.floats(-60, 80), stock=lengths, depth=lengths, share=st.floats(0, 1))
def test_a_cut_post_reaches_height_and_adds_up(ground: float, straight: float, stock: float, depth: float, share: float) -> None:
    cut = cut_post(ground, 6.0, straight, stock, depth, depth * share)

    assert cut.top_level_ft >= ground + 6.0 - 1e-9
    assert depth * share - 1e-9 <= cut.in_sleeve_ft <= depth + 1e-9
    assert cut.cut_ft == pytest.approx(cut.top_level_ft - ground + cut.in_sleeve_ft)
    assert cut.off_ft == pytest.approx(stock - cut.cut_ft)
    assert cut.off_ft >= -1e-9 or cut.in_sleeve_ft == pytest.approx(depth * share)
