"""Sleeves and posts: depth by practice and by load, eyes, the even top line, what to cut, and what the crew is asked."""

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.checklist import WantedReading
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_table import default_rows, stock_of
from engine.stages.layout.stage import Layout
from engine.stages.posts import stage
from engine.stages.posts.depths import eye_heights, load_depths_in, wind_plf
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


@pytest.mark.closed_form
def test_wind_on_a_foot_of_fence_is_pressure_on_wire_and_mesh() -> None:
    pressure = 0.00256 * 2.01 * (15 / 1200) ** (2 / 7) * 0.85 * 90**2
    wire, mesh = 0.0592, 1 - (1 - 0.06 / 1.75) ** 2
    by_hand = pressure * 0.85 * (1.2 * wire * 3 + 2.0 * mesh * 3)

    assert wind_plf(6.0, Job().fence, Rules(), default_rows()) == pytest.approx(by_hand, rel=1e-3)
    assert by_hand == pytest.approx(5.32, abs=0.005)


@pytest.mark.parametrize("lacks", ["wire_in", "pitch_in"])
@pytest.mark.parametrize("fabric", ["wire", "mesh"])
def test_fabric_whose_wire_or_pitch_nobody_knows_has_no_wind(fabric: str, lacks: str) -> None:
    sizes = {"wire_in": 0.08, "pitch_in": 2.0}
    del sizes[lacks]
    job = job_of(fence={fabric: "own"}, stock={"own": {"kind": fabric, "width_in": 48, **sizes}})

    assert wind_plf(6.0, job.fence, job.rules, stock_of(job.stock)) is None


@pytest.mark.parametrize("lacks", ["length_ft", "diameter_in"])
def test_a_sleeve_whose_size_nobody_knows_asks_for_no_depth(lacks: str) -> None:
    sizes = {"length_ft": 2.5, "diameter_in": 1.9}
    del sizes[lacks]
    job = job_of(fence={"sleeve": "own"}, stock={"own": {"kind": "sleeve", **sizes}})

    work = posts(job, layout_of({"north": row(3, 25.0)})).work["P2"]
    assert (work.depth_half_in, work.depth_load_in, work.depth_wanted_in) == (None, None, None)


@pytest.mark.parametrize(("double", "depth_in"), [(False, 12 * 4.95), (True, 12 * 3.73)])
@pytest.mark.independent
def test_load_depth_of_a_slim_sleeve(double: bool, depth_in: float) -> None:
    """50 lb at 3 ft on 1.900 in in sand: 4.95 ft, doubled 3.73 ft, worked apart from this program by iterating IBC eq. 18-1."""
    rules = Rules.model_validate({"posts": {"soil": "sand", "soil_double": double}})

    depths = load_depths_in(2.0, 6.0, rules, 1.9, {0.0, 25.0})

    assert depths[25.0] == pytest.approx(depth_in, abs=0.06)
    assert depths[0.0] == 0.0


def test_a_load_past_twelve_feet_has_no_depth() -> None:
    assert load_depths_in(1000.0, 6.0, Rules(), 1.9, {25.0}) == {25.0: None}


@pytest.mark.independent
def test_wanted_depth_follows_the_load_between_half_and_whole_sleeve() -> None:
    job = job_of(rules={"cables": {"wind_mph": 20}})
    load_lbf = 5.317 * (20 / 90) ** 2 * 25
    depth_ft = 1.0
    for _ in range(200):
        a = 2.34 * load_lbf / (200 * depth_ft / 3 * 1.9 / 12)
        depth_ft = (depth_ft + 0.5 * a * (1 + (1 + 4.36 * 3 / a) ** 0.5)) / 2

    middle = posts(job, layout_of({"north": row(3, 25.0)})).work["P2"]

    assert middle.depth_half_in == 15.0
    assert middle.depth_load_in == pytest.approx(12 * depth_ft, abs=0.02)
    assert middle.depth_wanted_in == middle.depth_load_in


def test_wanted_depth_is_half_the_sleeve_without_wind_and_all_of_it_in_a_gale() -> None:
    layout = layout_of({"north": row(3, 25.0)})

    calm = posts(job_of(rules=NO_WIND), layout)
    gale = posts(job_of(), layout)

    assert [work.depth_wanted_in for work in calm.work.values()] == [15.0, 15.0, 15.0]
    assert [work.depth_wanted_in for work in gale.work.values()] == [30.0, 30.0, 30.0]
    assert calm.findings == ()
    assert [str(finding.key) for finding in gale.findings] == ["deeper_than_sleeve:P2"]
    assert gale.findings[0].level == "note"
    assert gale.findings[0].says == (
        'Wind of 90 mph in clay asks for 6\' 8" at P2, 4\' 2" deeper than a 30" sleeve reaches; guidance only.'
    )


def test_past_the_formula_the_note_says_over_twelve_feet() -> None:
    gale = posts(job_of(rules={"cables": {"wind_mph": 250}, "posts": {"soil_double": False}}), layout_of({"north": row(3, 25.0)}))

    assert gale.work["P1"].depth_load_in is None
    assert gale.work["P2"].depth_wanted_in == 30.0
    assert gale.findings[0].says == "Wind of 250 mph in clay asks for over 12' at P1, more than a 30\" sleeve reaches; guidance only."


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
    assert items[3].reading == WantedReading("in", wanted=15.0, low=15.0, told=True)


@pytest.mark.parametrize(
    ("tables", "codes"),
    [
        ({"fence": {"sleeve": "none"}}, ["sleeve_unknown"]),
        ({"fence": {"post": "none"}}, ["post_unknown", "deeper_than_sleeve"]),
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


def test_a_sleeve_driven_by_practice_is_held_against_soil_and_wind() -> None:
    """30 mph on 20 ft asks for more than half a sleeve, 90 mph for more than a sleeve."""
    layout = layout_of({"north": row(4, 20.0)})
    job = job_of(rules={"cables": {"wind_mph": 30}}, checks={**read("P2", 16), **read("P3", 18)})
    result = posts(job, layout)
    asked_in = result.work["P2"].depth_load_in
    assert asked_in is not None
    assert 18 < asked_in < 30
    (found,) = [finding for finding in result.findings if finding.code == "depth_short_of_load"]
    assert (found.level, found.subjects) == ("note", ("P2", "P3"))
    assert found.says.startswith("P2's sleeve was read at 16\"; wind of 30 mph in clay asks for 2")
    assert found.says.endswith("(1 more is short of it too); guidance only.")
    windy = posts(job_of(checks=read("P2", 16)), layout).findings
    assert [finding.says for finding in windy if finding.code == "depth_short_of_load"] == [
        'P2\'s sleeve was read at 16"; wind of 90 mph in clay asks for 30", as deep as a sleeve goes; guidance only.'
    ]


@pytest.mark.parametrize("depth_in", [8.0, 30.0])
def test_a_sleeve_too_shallow_by_practice_or_all_in_is_told_once_or_not(depth_in: float) -> None:
    result = posts(job_of(checks=read("P2", depth_in)), layout_of({"north": row(4, 20.0)}))
    assert "depth_short_of_load" not in [finding.code for finding in result.findings]
