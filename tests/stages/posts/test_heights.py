"""Changes of the fence's height: where they take hold, and what follows them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.walk import Walk, walk
from tests.stages.flat_yards import posts, straight


def lowered(from_ft: float, to_ft: float, height_ft: float = 4.0, base_ft: float = 6.0) -> Walk:
    """Five bays of 20 ft, a stretch of them lower."""
    row = {"low": {"line": "n", "from_ft": from_ft, "to_ft": to_ft, "height_ft": height_ft}}
    return walk(straight(100.0, posts=posts("n", 0, 20, 40, 60, 80, 100), heights=row, fence={"height_ft": base_ft}))


@settings(max_examples=50, deadline=None)
@given(edges=st.lists(st.floats(0.5, 99.5), min_size=2, max_size=2))
@pytest.mark.independent
def test_a_height_changes_at_the_supports_nearest_to_its_ends(edges: list[float]) -> None:
    low, high = sorted(edges)
    if high - low < 1 or any(abs(edge % 20 - 10) < 0.01 for edge in edges):
        return

    hangs = lowered(low, high).posts.hangs

    snapped = [20 * round(edge / 20) for edge in (low, high)]
    assert [hang.height_ft == 4.0 for hang in hangs.values()] == [snapped[0] <= 20 * n < snapped[1] for n in range(5)]


@pytest.mark.closed_form
def test_eyes_posts_and_loops_follow_and_the_step_is_at_a_post() -> None:
    found = lowered(40, 80)
    work = found.posts.work

    assert [round(work[f"P{n}"].top_level_ft, 4) for n in range(1, 7)] == [6, 6, 6, 4, 6, 6]
    assert (work["P4"].eye_low_ft, work["P4"].eye_high_ft) == (2.0, pytest.approx(4 - 0.25 / 12))
    assert [loop.bays for loop in found.cables.loops.values()] == [("P1-P2", "P2-P3"), ("P3-P4", "P4-P5"), ("P5-P6",)]
    items = {item.key: item.says for item in found.posts.items}
    assert items["posts.P3.eyes"].endswith("eyes at 3' 0\" and 5' 11 3/4\" over the ground, and 2' 0\" and 3' 11 3/4\" over the ground")


@pytest.mark.closed_form
def test_a_loops_uprights_are_those_of_its_own_height() -> None:
    """Level bays alike: the lower loop takes 2 x (35 3/4 - 23 3/4) in less cable, where both run 40 ft."""
    found = lowered(60, 100)
    loops = {loop.bays: loop.cut_ft for loop in found.cables.loops.values()}
    whole = walk(straight(40.0, posts=posts("n", 0, 20, 40))).cables.loops["L1"].cut_ft

    assert whole - loops["P4-P5", "P5-P6"] == pytest.approx(2 * (35.75 - 23.75) / 12, abs=1e-6)


@pytest.mark.closed_form
def test_the_apron_hangs_from_the_lower_cable_there() -> None:
    """48 in of wire from a 2 ft eye leaves 24 in."""
    found = lowered(40, 80)

    assert found.fabric.bays["P3-P4"].apron_in[0] == pytest.approx(24.0)
    assert found.fabric.bays["P1-P2"].apron_in[0] == pytest.approx(12.0)


def test_mesh_is_judged_by_the_highest_part() -> None:
    """Eyes 5 3/4 in further apart than the mesh is wide, in an 8 ft stretch of a 6 ft fence."""
    assert [f.code for f in lowered(0, 40, height_ft=8.0).findings if f.code == "lap_short"] == ["lap_short"]


def test_a_post_at_a_step_takes_two_pairs_of_eyes() -> None:
    """Six posts, two of them at the ends of the lower stretch: 2 x 6 + 2 x 2."""
    assert {row.stock: row.needed for row in lowered(40, 80).takeoff.rows}["eye"] == 16


def test_a_higher_stretch_counts_for_the_wind_on_every_post_and_a_lower_one_for_none() -> None:
    plain, lower, higher = (walk(straight(20.0)), lowered(40, 80, 4.0), lowered(40, 80, 8.0))

    assert lower.posts.work["P2"].depth_load_in == lowered(40, 80, 6.0).posts.work["P2"].depth_load_in
    assert (higher.posts.work["P2"].depth_load_in or 0) > (lower.posts.work["P2"].depth_load_in or 0) > 0
    assert plain.posts.work["P1"].depth_load_in is not None
