"""Setting out: tape ties, strings, diagonals and clearances, worked by hand."""

from dataclasses import replace
from math import cos, radians, sin

import pytest

from engine.stages.layout.set_out import spot_ties
from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.flat_yards import coded, laid, logged, posts, ring, straight, yard


@pytest.mark.closed_form
def test_a_support_is_taped_from_the_pair_that_crosses_square() -> None:
    """P2 at (0, 30): 30 to A south of it, 40 to C east of it, and 50 to B as the check."""
    points = {"A": (0.0, 0.0), "B": (40.0, 0.0), "C": (40.0, 30.0), "S": (-20.0, 30.0), "E": (20.0, 30.0)}
    plan = posts("n", 0, 20, 40)
    tie = laid(yard(points, {"n": ["S", "E"]}, posts=plan)).ties["P2"]
    assert (tie.from_a, tie.tape_a_ft, tie.from_b, tie.tape_b_ft) == ("S", 20.0, "A", 30.0)
    far = {name: place for name, place in points.items() if name in "ABC"} | {"S": (-160.0, 30.0), "E": (160.0, 30.0)}
    tie = laid(yard(far, {"n": ["S", "E"]}, posts=posts("n", 0, 160, 320))).ties["P2"]
    assert (tie.from_a, tie.tape_a_ft, tie.from_b, tie.tape_b_ft) == ("A", 30.0, "C", 40.0)
    assert (tie.angle_deg, tie.check) == (pytest.approx(90), ("B", 50.0))


def test_nothing_is_taped_from_the_middle_of_a_tree() -> None:
    points = {"A": (0.0, 0.0), "K": (40.0, 30.0), "S": (-160.0, 30.0), "E": (160.0, 30.0)}
    job = yard(points, {"n": ["S", "E"]}, posts=posts("n", 0, 160, 320), trees={"oak": {"point": "K", "diameter_in": 9}})
    found = laid(job)
    assert "P2" not in found.ties
    assert "P2" in coded(found, "no_tape_tie")[0].subjects


@pytest.mark.parametrize(
    ("sigma_ft", "of", "tapes"),
    [
        (0.09, "structures", True),
        (0.11, "structures", False),  # twice a tape's own 0.05 ft is as loose as a point may be
        (0.09, "trees", False),
        (0.09, "nothing", False),  # no mark on the ground
        (0.0, "nothing", True),  # a known point
    ],
)
def test_tapes_start_at_known_points_and_at_well_surveyed_corners(sigma_ft: float, of: str, tapes: bool) -> None:
    """C, square across from the known point A as seen from (0, 30)."""
    points = {"A": (0.0, 0.0), "C": (40.0, 30.0), "D": (40.0, 60.0)}
    tables = {"structures": {"h": {"points": ["C", "D"]}}, "trees": {"oak": {"point": "C", "diameter_in": 9}}}
    job = yard(points, {}, **({of: tables[of]} if of in tables else {}))
    found = survey(job)
    loose = {name: replace(point, sigma_ft=9.0 if name == "D" else sigma_ft * (name == "C")) for name, point in found.points.items()}

    assert ("P" in spot_ties(job, replace(found, points=loose), {"P": (0.0, 30.0)})) == tapes


@pytest.mark.closed_form
def test_strings_run_between_fixed_supports_with_those_between_to_set() -> None:
    """Plain yard: two 60 ft sides with two posts each; nothing stands between corner, gate posts and corner."""
    first, second = laid(yards.plain()).strings
    assert (first.from_id, first.to_id, first.length_ft) == ("P1", "P4", pytest.approx(60, abs=1e-3))
    assert [name for name, _, _ in first.along] == ["P2", "P3"]
    assert [along for _, along, _ in first.along] == pytest.approx([20, 40], abs=1e-3)
    assert (second.from_id, second.to_id) == ("P7", "P10")


@pytest.mark.closed_form
def test_a_moved_post_is_set_off_its_string() -> None:
    found = laid(straight(60, posts=posts("n", 0, 20, 40, 60), log=[logged("move", post="P2", along_ft=1, out_ft=2)]))
    assert found.strings[0].along == (("P2", pytest.approx(21), pytest.approx(2)), ("P3", pytest.approx(40), pytest.approx(0)))


@pytest.mark.closed_form
def test_a_closed_lines_last_string_comes_back_to_its_first_corner() -> None:
    found = laid(ring())
    assert [(string.from_id, string.to_id) for string in found.strings] == [("P1", "P3"), ("P3", "P5"), ("P5", "P7"), ("P7", "P1")]
    assert found.strings[-1].along == (("P8", pytest.approx(20), pytest.approx(0)),)


@pytest.mark.closed_form
def test_square_corners_get_a_diagonal_across_their_fixed_neighbours() -> None:
    """Each corner of the 40 ft square: 40 sqrt 2 from the corner before to the corner after."""
    pairs = [(a, b, pytest.approx(40 * 2**0.5)) for a, b in (("P1", "P5"), ("P3", "P7"), ("P5", "P1"), ("P7", "P3"))]
    assert list(laid(ring()).diagonals) == pairs


@pytest.mark.closed_form
@pytest.mark.parametrize(("turn_deg", "across_ft"), [(59, None), (61, 17.2326), (119, 10.1508), (121, None)])
@pytest.mark.parametrize("hand", [1, -1])
def test_a_corner_within_30_degrees_of_square_gets_a_diagonal(turn_deg: float, across_ft: float | None, hand: int) -> None:
    """Two runs of 10 ft at an angle of 180 degrees less the turn: 2 x 10 x cos(turn / 2) across."""
    turn = radians(turn_deg)
    points = {"S": (0.0, 0.0), "C": (0.0, 10.0), "E": (hand * 10 * sin(turn), 10 + 10 * cos(turn))}
    found = laid(yard(points, {"n": ["S", "C", "E"]})).diagonals
    assert found == (() if across_ft is None else (("P1", "P3", pytest.approx(across_ft, abs=1e-3)),))


@pytest.mark.closed_form
def test_clearances_are_told_for_every_support_and_boundary() -> None:
    points = {"B1": (-5.0, -9.0), "B2": (-5.0, 49.0), "B3": (30.0, 49.0)}
    bounds = {
        "west": {"points": ["B1", "B2"], "client_side": "right"},
        "north": {"points": ["B3", "B2"], "client_side": "left", "setback_ft": 3},
    }
    found = laid(straight(40, points, boundaries=bounds)).clearances
    rows = [(clear.support, clear.boundary, clear.inside_ft, clear.setback_ft) for clear in found]
    assert rows[:4] == [("P1", "west", 5, 0), ("P1", "north", 49, 3), ("P2", "west", 5, 0), ("P2", "north", 29, 3)]


def test_a_boundary_without_a_place_is_left_out() -> None:
    assert laid(straight(40, boundaries={"west": {"points": ["B1", "B2"], "client_side": "right"}})).clearances == ()
