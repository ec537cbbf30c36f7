"""Keep-outs: the ground each record of the site takes."""

from typing import Any

import pytest

from engine.calc.geometry.plane import area_ft2
from engine.stages.layout.keep_outs import KeepOutId, blocked_on, keep_outs
from engine.stages.layout.stage import KeepOut
from engine.stages.posts.adjoining import ground_of, keep_outs_at
from engine.stages.survey.stage import survey
from tests.stages.flat_yards import coded, laid, logged, straight

SQUARE = {"C1": (10.0, 0.0), "C2": (10.0, 20.0), "C3": (30.0, 20.0), "C4": (30.0, 0.0)}


def drawn(**tables: object) -> dict[str, KeepOut]:
    """Keep-outs of a straight line with a 20 ft square of points beside it."""
    return {str(area.id): area for area in laid(straight(40, SQUARE, **tables)).keep_outs}


def spread(area: KeepOut) -> tuple[float, float, float, float]:
    """West, south, east and north edge."""
    easts, norths = zip(*area.polygon, strict=True)
    return min(easts), min(norths), max(easts), max(norths)


@pytest.mark.closed_form
def test_a_buried_line_takes_half_its_width_and_its_tolerance() -> None:
    area = drawn(utilities={"u": {"kind": "electric", "points": ["C1", "C2"], "width_in": 6}})["utility:u"]
    assert spread(area) == pytest.approx((8.25, -1.75, 11.75, 21.75))
    assert area.kind == "electric"
    assert area_ft2(area.polygon) == pytest.approx(3.5 * 20 + 3.14159 * 1.75**2, rel=2e-3)


@pytest.mark.closed_form
def test_a_tree_takes_its_trunk_and_its_roots() -> None:
    area = drawn(trees={"t": {"point": "C1", "diameter_in": 18}})["tree:t"]
    assert spread(area) == pytest.approx((8.25, -1.75, 11.75, 1.75))


@pytest.mark.closed_form
def test_a_house_takes_its_inside_and_a_wall_only_its_footing() -> None:
    house = drawn(structures={"h": {"points": ["C1", "C2", "C3", "C4", "C1"]}})["structure:h"]
    wall = drawn(structures={"h": {"points": ["C1", "C2"]}})["structure:h"]
    assert area_ft2(house.polygon) == pytest.approx(21 * 21, rel=1e-3)
    assert area_ft2(wall.polygon) == pytest.approx(20 + 3.14159 * 0.25, rel=1e-3)


@pytest.mark.closed_form
def test_decks_and_obstacles() -> None:
    areas = drawn(
        decks={"d": {"points": ["C1", "C2", "C3", "C4"]}},
        obstacles={"bed": {"kind": "bed", "points": ["C1", "C2", "C3"]}, "pit": {"kind": "pit", "points": ["C1"], "radius_ft": 3}},
    )
    assert area_ft2(areas["deck:d"].polygon) == pytest.approx(400)
    assert area_ft2(areas["obstacle:bed"].polygon) == pytest.approx(200)
    assert spread(areas["obstacle:pit"]) == pytest.approx((7, -3, 13, 3))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("size", "edges", "ft2"),
    [
        ({}, (1, 14, 3, 16), 3.14159),
        ({"long_ft": 6}, (1, 11, 3, 19), 3.14159 + 6 * 2),
        ({"wide_ft": 4}, (-1, 14, 5, 16), 3.14159 + 4 * 2),
        ({"long_ft": 6, "wide_ft": 4}, (-1, 11, 5, 19), 24 + 2 * (6 + 4) + 3.14159),
    ],
)
def test_what_was_found_takes_its_size_and_a_foot_all_round(size: dict[str, float], edges: tuple[float, ...], ft2: float) -> None:
    """2 ft right of the line north at 15 ft: a spot, a strip along it, a strip across it, and a slab."""
    area = drawn(log=[logged("obstacle", what="slab", line="n", station_ft=15, offset_ft=2, radius_ft=1, **size)])["log:e1"]
    assert spread(area) == pytest.approx(edges)
    assert area_ft2(area.polygon) == pytest.approx(ft2, rel=2e-3)


@pytest.mark.closed_form
def test_a_ring_of_irrigation_leaves_the_ground_inside_open() -> None:
    areas = drawn(utilities={"u": {"kind": "irrigation", "points": ["C1", "C2", "C3", "C4", "C1"]}})
    assert list(areas) == [f"utility:u:{n}" for n in range(1, 5)]
    assert spread(areas["utility:u:1"]) == pytest.approx((8.5, -1.5, 11.5, 21.5))


def test_an_outline_that_crosses_itself_is_taken_whole_and_told() -> None:
    found = laid(straight(40, SQUARE, decks={"d": {"points": ["C1", "C3", "C2", "C4"]}}))
    assert area_ft2(found.keep_outs[0].polygon) == pytest.approx(400)
    assert coded(found, "outline_crosses")[0].subjects == ("d",)


def test_a_deck_without_area_or_a_line_at_one_spot_is_no_trouble() -> None:
    found = laid(
        straight(40, {**SQUARE, "D1": (10.0, 0.0)}, decks={"d": {"points": ["C1", "C2", "C1"]}},
                 utilities={"u": {"kind": "gas", "points": ["C1", "D1"]}})
    )  # fmt: skip
    assert [str(area.id) for area in found.keep_outs] == ["utility:u"]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("points", "ft2"),
    [
        (["C1", "C2", "C3", "C1"], 200 + (20 + 20 + 20 * 2**0.5) * 0.5 + 3.14159 * 0.25),  # three corners and back: a house
        (["C1", "C2", "C3", "C4"], 60 + 2 * 0.25 + 3.14159 * 0.25 - 2 * 0.25),  # round three sides: a wall, its inner corners once
        (["C1", "C2", "C1"], 20 + 3.14159 * 0.25),  # there and back: a wall
    ],
)
def test_a_structure_is_taken_whole_where_its_points_come_back_to_the_first(points: list[str], ft2: float) -> None:
    """Half a foot all round, its outer corners round."""
    area = drawn(structures={"h": {"points": points}})["structure:h"]
    assert area_ft2(area.polygon) == pytest.approx(ft2, abs=0.3)


@pytest.mark.closed_form
def test_a_hollow_outline_is_not_filled() -> None:
    """An L of 10 ft arms in the 20 ft square."""
    corners = {"M1": (20.0, 0.0), "M2": (20.0, 10.0), "M3": (30.0, 10.0), **SQUARE}
    found = laid(straight(40, corners, decks={"d": {"points": ["C1", "C2", "C3", "M3", "M2", "M1"]}}))
    assert area_ft2(found.keep_outs[0].polygon) == pytest.approx(300)
    assert coded(found, "outline_crosses") == []


def test_a_court_that_a_buildings_clearance_shuts_in_is_taken_with_it() -> None:
    """A line through a court with a mouth of 9 in, half a foot of footing each side: layout and posts say the same of a post in it."""
    south = {"C1": (-10.0, 2.0), "C4": (10.0, 2.0), "M1": (-5.0, 2.0), "M4": (-4.25, 2.0)}
    north = {"C2": (-10.0, 22.0), "C3": (10.0, 22.0), "M2": (-5.0, 17.0), "M3": (5.0, 17.0), "M5": (-4.25, 7.0), "M6": (5.0, 7.0)}
    walls = ["C1", "C2", "C3", "C4", "M4", "M5", "M6", "M3", "M2", "M1", "C1"]
    job = straight(40, {**south, **north}, structures={"h": {"points": walls}})
    ground = keep_outs(job, survey(job), {})
    assert blocked_on(((0.0, 0.0), (0.0, 40.0)), (0.0, 40.0), ground) == [(pytest.approx(1.5), pytest.approx(22.5), 0)]
    assert keep_outs_at([(0.0, 12.0)], ground.areas) == [ground.areas[0]]


def test_a_line_that_crosses_itself_is_no_outline() -> None:
    tables = {"utilities": {"u": {"kind": "gas", "points": ["C1", "C3", "C2", "C4"]}}}
    assert coded(laid(straight(40, SQUARE, **tables)), "outline_crosses") == []


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        ({"obstacles": {"o": {"kind": "rock", "points": ["C1"]}}}, ["o"]),
        ({"obstacles": {"o": {"kind": "rock", "points": ["C1", "C2"]}}}, ["o"]),
        ({"obstacles": {"o": {"kind": "rock", "points": ["C1"], "radius_ft": 1}}}, []),
        ({"obstacles": {"o": {"kind": "rock", "points": ["C1", "C2", "C3"]}}}, []),
        ({"structures": {"o": {"points": ["C1", "C2"]}}, "rules": {"layout": {"structure_clear_ft": 0}}}, []),
    ],
)
def test_an_obstacle_without_size_is_told_and_takes_no_ground(tables: dict[str, Any], told: list[str]) -> None:
    found = laid(straight(40, SQUARE, **tables))
    assert [finding.subjects[0] for finding in coded(found, "obstacle_without_size")] == told
    assert len(found.keep_outs) == (0 if told or "structures" in tables else 1)


@pytest.mark.parametrize(
    ("floor", "keeps_out"), [({"kind": "slab"}, True), ({"kind": "slab", "drive_through": True}, False), ({"kind": "paving"}, False)]
)
def test_a_floor_that_posts_may_be_driven_through_is_no_keep_out(floor: dict[str, Any], keeps_out: bool) -> None:
    surface = {"line": "n", "from_ft": 10.0, "to_ft": 14.0, **floor}
    areas = laid(straight(40, surfaces={"floor": surface})).keep_outs
    assert [str(area.id) for area in areas] == (["surface:floor"] if keeps_out else [])


@pytest.mark.closed_form
@pytest.mark.parametrize(("away_ft", "blocked"), [(0.0, []), (-1.0, [(9.0, 11.0)])])
def test_a_run_that_only_touches_a_corner_is_not_blocked(away_ft: float, blocked: list[tuple[float, float]]) -> None:
    """A square on its corner, at the line 10 ft along it, or a foot over it."""
    corners = ((10.0, away_ft), (12.0, away_ft + 2), (10.0, away_ft + 4), (8.0, away_ft + 2))
    ground = ground_of((KeepOut(KeepOutId("obstacle", "rock"), "rock", corners, "the rock"),))
    parts = blocked_on(((0.0, 0.0), (20.0, 0.0)), (0.0, 20.0), ground)
    assert [(low, high) for low, high, _ in parts] == [pytest.approx(part) for part in blocked]
