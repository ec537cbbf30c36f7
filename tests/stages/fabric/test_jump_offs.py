"""Over the fence: what a jumping dog can stand on near it, and stretches lower than the dogs want."""

from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.stages.fabric.jump_offs import jump_offs
from engine.stages.posts.stage import posts
from engine.stages.survey.stage import survey
from engine.walk import Walk, walk
from tests.stages.flat_yards import ring, straight
from tests.stages.layouts import Spot, layout_of
from tests.stages.survey.test_floors import DECK, surfaces
from tests.stages.yards import known

REX = {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "jumps": True}
CORNERS = {"D1": (3.0, 20.0), "D2": (13.0, 20.0), "D3": (13.0, 30.0), "D4": (3.0, 30.0)}


def site(dog: dict[str, Any] | None = None, corners: Any = CORNERS, height_ft: float = 2.5, **tables: Any) -> Walk:
    """A line from (0, 0) to (0, 60) and a deck 3 ft east of it."""
    decks = {"porch": {"points": list(corners), "height_ft": height_ft}}
    return walk(straight(60.0, corners, decks=decks, dogs={"rex": dog or REX}, **tables))


def told(found: Walk, code: str = "jump_off") -> list[tuple[str, str]]:
    return [(finding.says, finding.do) for finding in found.findings if finding.code == code]


def ways_out(found: Walk) -> list[str]:
    return [way.closes_with for way in found.punch.ways_out if way.kind == "over"]


@pytest.mark.closed_form
def test_a_deck_near_the_fence_leaves_so_much_less_of_it() -> None:
    """6 ft less 2 1/2 ft; rex suits 6 ft from up there too: 8 ft 6 in is more than any fence here, so no raising."""
    assert told(site()) == [
        (
            "From porch, 2' 6\" up and 3' 0\" from the fence at 20' 0\", 3' 6\" of fence is left, and rex needs 6' 0\".",
            "Keep dogs off porch; or take a new way there, 3' 0\" further off, where boundary and ground let it.",
        )
    ]
    assert ways_out(site()) == ["porch moved 6' 0\" off"]


def test_mesh_that_closes_it_is_said_with_what_it_takes() -> None:
    """7 ft 6 in is more than posts and mesh of most jobs reach: raised with those, mesh ends over the wire and posts are too short. It
    closes once it is as high beside every bay that the deck is near to."""
    up = "mesh up to 7' 6\" on posts that reach so high, all along where porch is within 6' 0\" of it"
    low = site(height_ft=1.5)
    assert told(low)[0][1].endswith(f"let it; or carry {up}.")
    assert ways_out(low) == [f"porch moved 6' 0\" off, or {up}"]
    (jump,) = low.fabric.jump_offs
    raised = site(height_ft=1.5, heights={"up": {"line": "n", "from_ft": 0, "to_ft": 60, "height_ft": 7.5}})
    assert (jump.left_ft, told(raised), ways_out(raised)) == (4.5, [], [])


@pytest.mark.parametrize(
    "changed",
    [
        {"dog": {**REX, "jumps": False}},
        {"dog": {**REX, "shoulder_in": 10}, "height_ft": 1.0},
        {"height_ft": 4.5},
        {"corners": {name: (east + 4, north) for name, (east, north) in CORNERS.items()}},
        {"rules": {"fabric": {"jump_reach_ft": 2.5}}},
    ],
)
def test_what_is_no_way_over(changed: dict[str, Any]) -> None:
    """No jumper, enough left, too high to get onto, too far off, another reach."""
    assert told(site(**changed)) == []


def test_rocks_and_walls_with_a_height_count_and_those_without_do_not() -> None:
    points = {"R": (4.0, 40.0), "W1": (2.0, 5.0), "W2": (2.0, 10.0)}
    obstacles = {"rock": {"kind": "rock", "points": ["R"], "radius_ft": 2.0, "height_ft": 2.0}}
    walls = {"wall": {"kind": "wall", "points": ["W1", "W2"], "height_ft": 3.0, "holds_eyes": False}}
    high = walk(straight(60.0, points, dogs={"rex": REX}, obstacles=obstacles, structures=walls))
    del obstacles["rock"]["height_ft"], walls["wall"]["height_ft"]
    bare = walk(straight(60.0, points, dogs={"rex": REX}, obstacles=obstacles, structures=walls))

    assert [(jump.thing, jump.left_ft, jump.away_ft) for jump in high.fabric.jump_offs] == [("wall", 3.0, 2.0), ("rock", 4.0, 2.0)]
    assert bare.fabric.jump_offs == ()


AROUND = {"T1": (-20.0, -10.0), "T2": (20.0, -10.0), "T3": (20.0, 70.0), "T4": (-20.0, 70.0)}
"""Ten feet off and more all round the line."""


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tables", "away_ft"),
    [
        ({"decks": {"it": {"points": list(AROUND), "height_ft": 1.5}}}, [0.0]),
        ({"obstacles": {"it": {"kind": "bed", "points": list(AROUND), "height_ft": 1.5}}}, [0.0]),
        ({"structures": {"it": {"kind": "wall", "points": [*AROUND, "T1"], "height_ft": 1.5, "holds_eyes": False}}}, [0.0]),
        (
            {"structures": {"it": {"kind": "wall", "points": list(AROUND), "height_ft": 1.5, "holds_eyes": False}}},
            [],
        ),  # a wall on three sides
    ],
)
def test_a_fence_in_the_middle_of_a_thing_is_at_it(tables: dict[str, Any], away_ft: list[float]) -> None:
    job = straight(60.0, AROUND, dogs={"rex": REX}, **tables)
    spots = [Spot("P1", 0, 0, "end"), Spot("P2", 0, 20), Spot("P3", 0, 60, "end")]
    layout = layout_of({"n": spots})

    found = jump_offs(job, survey(job), layout, posts(job, survey(job), layout).hangs)

    assert [jump.away_ft for jump in found] == away_ft


def test_of_several_bays_beside_a_thing_the_lowest_and_then_the_nearest_is_told() -> None:
    """The deck lies beside both bays, 3 ft off the first and 4 off the second; a 5 ft stretch makes the second the worse one."""
    corners = {"D1": (3.0, 10.0), "D2": (13.0, 10.0), "D3": (14.0, 30.0), "D4": (4.0, 30.0)}
    tables = {"decks": {"porch": {"points": list(corners), "height_ft": 2.5}}, "dogs": {"rex": REX}}
    layout = layout_of({"n": [Spot("P1", 0, 0, "end"), Spot("P2", 0, 20), Spot("P3", 0, 60, "end")]})

    def worst(**more: Any) -> list[tuple[str, float]]:
        job = straight(60.0, corners, **tables, **more)
        return [(jump.bay, jump.left_ft) for jump in jump_offs(job, survey(job), layout, posts(job, survey(job), layout).hangs)]

    assert worst() == [("P1-P2", 3.5)]
    assert worst(heights={"dip": {"line": "n", "from_ft": 20, "to_ft": 60, "height_ft": 5}}) == [("P2-P3", 2.5)]


def test_a_dog_of_a_yard_that_is_not_known_to_close_counts_everywhere() -> None:
    assert len(told(site({**REX, "yard": "y"}, yards={"y": {"inside": "D1"}}))) == 1


def test_only_what_stands_in_the_dogs_yard_counts() -> None:
    """A closed yard of 40 by 40 ft: a deck inside it and one 4 ft outside."""
    inside = {"A1": (3.0, 10.0), "A2": (10.0, 10.0), "A3": (10.0, 20.0)}
    outside = {"B1": (-4.0, 10.0), "B2": (-10.0, 10.0), "B3": (-10.0, 20.0)}
    tables = {
        "decks": {"in": {"points": list(inside), "height_ft": 2.0}, "out": {"points": list(outside), "height_ft": 2.0}},
        "dogs": {"rex": {**REX, "yard": "y"}},
        "yards": {"y": {"inside": "M"}},
    }
    base = ring().model_dump(exclude_none=True)
    job = ring().model_validate({**base, **tables, "points": {**base["points"], **known({**inside, **outside, "M": (20.0, 20.0)})}})

    assert [jump.thing for jump in walk(job).fabric.jump_offs] == ["in"]


@settings(max_examples=40, deadline=None)
@given(west=st.floats(0.5, 9), south=st.floats(-10, 60), wide=st.floats(1, 8), height=st.floats(0.5, 5))
@pytest.mark.independent
def test_things_within_reach_agree_with_points_walked_along_the_fence(west: float, south: float, wide: float, height: float) -> None:
    corners = {"D1": (west, south), "D2": (west + wide, south), "D3": (west + wide, south + wide), "D4": (west, south + wide)}
    deck = shapely.box(west, south, west + wide, south + wide)

    jumps = site(corners=corners, height_ft=height).fabric.jump_offs

    away = min(deck.distance(shapely.Point(0, n / 20)) for n in range(1201))
    if abs(away - 6) > 0.05:
        assert bool(jumps) == (away < 6 and round(height, 4) <= 4)
    if jumps:
        assert (jumps[0].away_ft, jumps[0].left_ft) == (pytest.approx(away, abs=0.05), pytest.approx(6 - height, abs=1e-3))


def test_a_low_stretch_and_a_low_rail_are_told_once_each() -> None:
    low = {"low": {"line": "n", "from_ft": 0, "to_ft": 40, "height_ft": 4}}
    found = walk(
        straight(100.0, heights=low, dogs={"rex": REX}, surfaces=surfaces(porch={**DECK, "from_ft": 60, "to_ft": 80, "rail_ft": 3}))
    )

    assert [says for says, _ in told(found, "low_part")] == [
        "From P1 the fence is only 4' 0\" high; rex needs 6' 0\".",
        "On porch the fence is only 3' 0\" high; rex needs 6' 0\".",
    ]
    assert told(walk(straight(100.0, heights=low)), "low_part") == []
