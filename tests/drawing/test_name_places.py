"""Names never lie on each other, on a mark or across a line, and what is left out gave way to what matters more; shapely is the judge."""

from itertools import combinations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import Point
from engine.drawing.name_places import Name, NameSpot, Taken, crosses, outward, overlap, place_names, spots_round, turned_spot

FRAME = NameSpot(0.0, 0.0, 80.0, 40.0)
HAIR = 1e-6
spans = st.floats(0, 80).map(lambda x: round(x, 2))
points = st.tuples(spans, spans)
lines = st.lists(st.tuples(points, points), max_size=8)
upright = st.tuples(points, st.floats(1, 12), st.floats(1, 4)).map(
    lambda one: tuple(spots_round(one[0], round(one[1], 1), round(one[2], 1), (1.5, 0.5)))
)
aslant = st.tuples(points, st.floats(2, 14), st.floats(1, 4), st.integers(-90, 90)).map(
    lambda one: tuple(turned_spot((one[0][0], one[0][1] + off), round(one[1], 1), round(one[2], 1), one[3]) for off in (-5, 5))
)
names = st.lists(st.tuples(st.integers(0, 5), st.one_of(upright, aslant)), max_size=14).map(lambda some: [Name(*one) for one in some])


def ground(spot: NameSpot) -> shapely.Polygon:
    """What a spot covers."""
    return shapely.Polygon(spot.corners) if spot.corners else shapely.box(spot.left, spot.top, spot.right, spot.bottom)


def share(one: NameSpot, other: NameSpot) -> bool:
    return bool(ground(one).intersection(ground(other)).area > HAIR)


@settings(max_examples=100, deadline=None)
@given(names, lines, st.lists(points, max_size=6))
def test_no_two_names_overlap_and_none_lies_on_a_line_or_a_mark(
    wanted: list[Name], drawn: list[tuple[Point, Point]], at: list[Point]
) -> None:
    taken = Taken(FRAME, drawn)
    marks = [NameSpot(x, y, x + 1, y + 1) for x, y in at]
    for mark in marks:
        taken.add(mark)
    placed = [spot for spot in place_names(wanted, taken) if spot is not None]
    assert not [pair for pair in combinations(placed, 2) if share(*pair)]
    assert not [spot for spot in placed if any(share(spot, mark) for mark in marks)]
    inner = [ground(spot).buffer(-HAIR) for spot in placed]
    assert not [line for line in drawn for spot in inner if spot.intersects(shapely.LineString(line))]
    assert all(shapely.box(*FRAME[:4]).buffer(HAIR).contains(ground(spot)) for spot in placed)


@settings(max_examples=100, deadline=None)
@given(names, lines)
def test_a_name_is_left_out_only_where_lines_or_names_that_matter_as_much_take_all_its_spots(
    wanted: list[Name], drawn: list[tuple[Point, Point]]
) -> None:
    bare = Taken(FRAME, drawn)
    placed = place_names(wanted, bare.copy())
    for name, spot in zip(wanted, placed, strict=True):
        ahead = [
            other for one, other in zip(wanted, placed, strict=True) if other is not None and one.rank <= name.rank and one is not name
        ]
        free = [one for one in name.spots if bare.is_free(one) and not any(overlap(one, other) for other in ahead)]
        assert spot is not None or not free


@settings(max_examples=100)
@given(st.lists(st.one_of(upright, aslant), min_size=2, max_size=2), points, points)
def test_overlap_and_crossing_are_judged_as_shapely_judges_them(spots: list[tuple[NameSpot, ...]], a: Point, b: Point) -> None:
    one, other = spots[0][0], spots[1][0]
    shared = ground(one).intersection(ground(other)).area
    assert overlap(one, other) is (shared > 0) or shared < HAIR
    run = shapely.LineString((a, b))
    if ground(one).buffer(-HAIR).intersects(run):
        assert crosses(one, a, b)
    if not ground(one).buffer(HAIR).intersects(run):
        assert not crosses(one, a, b)


def test_names_keep_clear_of_a_line_by_as_much_as_is_asked() -> None:
    name = NameSpot(2.0, 3.0, 6.0, 4.0)
    line = ((0.0, 4.2), (80.0, 4.2))
    assert Taken(FRAME, [line]).is_free(name)
    assert not Taken(FRAME, [line], (0.0, 0.25)).is_free(name)
    turned = turned_spot((4.0, 3.5), 4.0, 1.0, 0.0)
    assert Taken(FRAME, [line]).is_free(turned)
    assert not Taken(FRAME, [line], (0.0, 0.25)).is_free(turned)


def test_the_first_spot_lies_outward_right_beside_the_place() -> None:
    at = (10.0, 10.0)
    first = {way: next(iter(spots_round(at, 4.0, 1.0, (1.5, 0.5), way))) for way in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))}
    assert first == {
        (1.0, 0.0): NameSpot(11.5, 9.5, 15.5, 10.5),
        (-1.0, 0.0): NameSpot(4.5, 9.5, 8.5, 10.5),
        (0.0, 1.0): NameSpot(8.0, 10.5, 12.0, 11.5),
        (0.0, -1.0): NameSpot(8.0, 8.5, 12.0, 9.5),
    }


def test_outward_is_square_off_the_run_away_from_its_inner_side() -> None:
    run = ((0.0, 0.0), (10.0, 0.0))
    assert outward((5.0, 0.0), run, (4.0, -3.0)) == (0.0, 1.0)
    assert outward((5.0, 0.0), run, (4.0, 3.0)) == (0.0, -1.0)
    assert outward((5.0, 0.0), ((1.0, 1.0), (1.0, 1.0)), (5.0, 2.0)) == (0.0, -1.0)
    assert outward((5.0, 0.0), run, None) == (0.0, 0.0)


def test_a_shared_ground_is_not_written_on_by_a_copy() -> None:
    taken = Taken(FRAME, [])
    copied = taken.copy()
    copied.add(NameSpot(1.0, 1.0, 5.0, 2.0))
    assert taken.is_free(NameSpot(1.0, 1.0, 5.0, 2.0))
    assert not copied.is_free(NameSpot(4.0, 1.0, 8.0, 2.0))
