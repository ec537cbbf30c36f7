"""Changes of the fence's height: where they take hold, and what follows them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.walk import Walk, walk
from tests.source import files, where
from tests.stages.flat_yards import posts, straight, yard


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
    items = {str(item.key): item.says for item in found.posts.items}
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


def test_each_post_carries_the_wind_of_its_own_bays() -> None:
    """P4 stands between two bays of the changed stretch, P2 between two of the rest."""
    plain, lower, higher = (lowered(40, 80, height_ft).posts.work for height_ft in (6.0, 4.0, 8.0))

    assert lower["P2"].depth_load_in == plain["P2"].depth_load_in == higher["P2"].depth_load_in
    assert (lower["P4"].depth_load_in or 0) < (plain["P4"].depth_load_in or 0) < (higher["P4"].depth_load_in or 0)


@pytest.mark.closed_form
def test_ties_up_a_post_are_as_many_as_the_fence_is_high_there() -> None:
    """One a foot: 7 up the end of a 6 ft loop, 5 up the end of a 4 ft one."""
    loops = {loop.bays[-1]: loop for loop in lowered(40, 100).cables.loops.values()}
    found = lowered(40, 100).fabric

    assert {name: found.loops[loop.id].corner_ties for name, loop in loops.items()} == {"P2-P3": 7, "P5-P6": 5}
    assert found.ties == 12


def test_wire_too_narrow_for_a_higher_stretch_is_no_rule_for_the_rest() -> None:
    """A 3 ft roll leaves 1 ft from a 2 ft eye and nothing from a 3 ft one; a dip of 9 in in the lower part is told all the same."""
    levels = {
        f"s{n}": {"method": "level", "line": "n", "station_ft": at, "level_ft": level_ft}
        for n, (at, level_ft) in enumerate([(0, 0), (80, 0), (90, -0.75), (100, 0)])
    }
    row = {"high": {"line": "n", "from_ft": 0, "to_ft": 40, "height_ft": 6}}
    job = straight(100.0, posts=posts("n", 0, 20, 40, 60, 80, 100), heights=row, fence={"height_ft": 5}, shots=levels)
    found = walk(job)

    assert [f.subjects for f in found.findings if f.code == "wire_too_narrow"] == [("job",)]
    assert [f.subjects for f in found.findings if f.code == "apron_short"] == [("P5-P6",)]
    assert [piece.bay for piece in found.fabric.infills] == ["P5-P6"]


@pytest.mark.closed_form
def test_a_gate_of_its_own_height_stands_on_the_deck_that_it_is_in() -> None:
    """A 5 ft gate in a 3 ft rail on a deck 2 ft up: its posts reach 7 ft, and so does nothing beside it."""
    deck = {"D": {"line": "n", "from_ft": 20, "to_ft": 80, "kind": "deck", "height_ft": 2, "rail_ft": 3}}
    gates = {"G": {"line": "n", "station_ft": 40, "height_ft": 5, "leaf_width_ft": 4}}
    plan = posts("n", 0, 20, 40, 44.1, 80, 100, kinds={2: "gate", 3: "gate"})
    on_deck = {name: {**row, "support": "structure", "at": "D"} for name, row in plan.items() if name not in ("P1", "P6")}
    found = walk(straight(100.0, posts={**plan, **on_deck}, surfaces=deck, gates=gates))

    (gate,) = (found.posts.hangs[bay.id] for bay in found.layout.bays.values() if bay.gate)
    assert (gate.height_ft, gate.deck) == (5.0, "D")
    assert [found.posts.work[f"P{n}"].top_level_ft for n in (3, 4)] == pytest.approx([7.0, 7.0])


def test_where_two_decks_meet_the_higher_rail_comes_first() -> None:
    decks = {
        "A": {"line": "n", "from_ft": 20, "to_ft": 60, "kind": "deck", "height_ft": 2, "rail_ft": 4},
        "B": {"line": "n", "from_ft": 60, "to_ft": 80, "kind": "deck", "height_ft": 2, "rail_ft": 3},
    }
    found = walk(straight(100.0, posts=posts("n", 0, 20, 40, 60, 80, 100), surfaces=decks))

    assert [hang.height_ft for hang in found.posts.heights["P4"]] == [4.0, 3.0]
    assert found.posts.work["P4"].eye_high_ft == pytest.approx(4 - 0.25 / 12)


def test_the_wind_on_a_higher_stretch_is_on_the_fabric_that_is_bought() -> None:
    """A 5 ft fence is of the narrow wire all along; a denser wide wire, which nobody takes, changes no depth."""
    row = {"high": {"line": "n", "from_ft": 0, "to_ft": 40, "height_ft": 6}}
    plan = {"posts": posts("n", 0, 20, 40, 60, 80, 100), "heights": row, "fence": {"height_ft": 5}}
    bought, denser = (walk(straight(100.0, **plan, stock=stock)) for stock in ({}, {"wire-48": {"pitch_in": 1, "pitch2_in": 1}}))

    assert denser.posts.work["P2"].depth_load_in == bought.posts.work["P2"].depth_load_in


def test_the_jobs_own_height_is_asked_for_no_place() -> None:
    """What is meant of a place comes out of the heights; here the fence as a whole is meant."""
    asking = {where(path) for path in [*files("engine"), *files("tui")] if "fence.height_ft" in path.read_text(encoding="utf-8")}
    meant = {
        *(f"engine/ahead/{name}.py" for name in ("estimate", "estimate_words", "rough_job")),  # one height was said of the whole fence
        "engine/job/model/cross_checks.py",  # a stock post as long as the fence is high
        "engine/job/model/stock_table.py",  # the rolls that are bought
        "engine/paper/client/client_words.py",  # what was built, with every stretch of another height after it
        "engine/paper/record_page.py",  # the head of the record
        "engine/stages/posts/heights.py",
        "engine/stages/survey/before_digging.py",  # the dogs and the fence, before there is a bay
        "tui/stages/survey.py",
    }
    assert asking == meant


@pytest.mark.closed_form
@pytest.mark.parametrize(("wall_ft", "holds", "told"), [(4.5, True, True), (5.99, True, False), (None, True, False), (4.5, False, False)])
def test_a_wall_found_lower_than_the_eyes_in_it_is_told(wall_ft: float | None, holds: bool, told: bool) -> None:
    """The top eye of a fence of 6 ft is a quarter inch under its top, at 5' 11 3/4"."""
    rows = posts("n", 0, 20, 40) | {"P3": {"line": "n", "station_ft": 40, "kind": "end", "support": "structure", "at": "shed"}}
    shed = {"points": ["E", "F"], "height_ft": wall_ft, "holds_eyes": holds}
    line = {"points": ["S", "E"], "end_meets": "structure", "end_at": "shed"}
    points = {"S": (0.0, 0.0), "E": (0.0, 40.0), "F": (10.0, 40.0)}
    found = walk(yard(points, {"n": line}, posts=rows, structures={"shed": shed}, fence={"height_ft": 6.0})).posts.findings
    assert [(one.subjects, one.level, one.says) for one in found if one.code == "wall_low"] == (
        [(("P3", "shed"), "fix", "P3's top eye is at 5' 11 3/4\", and shed, which holds it, is 4' 6\" high.")] if told else []
    )
