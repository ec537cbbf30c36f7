"""Yards: areas that close, and the gap of those that do not."""

from itertools import pairwise
from random import Random

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from engine.calc.tolerances import ROUNDING_FT
from engine.stages.survey.stage import survey
from engine.stages.survey.yards import _closed
from tests.stages import yards
from tests.stages.yards import offset, said


@pytest.mark.closed_form
def test_a_yard_closed_by_line_gate_and_wall() -> None:
    area = survey(yards.plain()).yards["back"]
    assert area.closed
    assert area.area_ft2 == pytest.approx(2400, abs=0.01)
    assert area.perimeter_ft == pytest.approx(200, abs=0.001)
    assert area.gap_ft is None


@pytest.mark.closed_form
def test_a_yard_without_the_house_has_its_gap() -> None:
    base = yards.tables()
    base["lines"]["fence"].update(end_meets="free")
    del base["lines"]["fence"]["end_at"]
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "E"]
    base["shots"]["E1"] = offset("E", 40, 4, "left")
    result = survey(yards.build(base))
    area = result.yards["back"]
    assert not area.closed
    assert area.gap_ft == pytest.approx(4, abs=0.01)
    assert area.gap_ends == (pytest.approx((40, 4), abs=0.01), pytest.approx((40, 0), abs=0.01))
    assert said(result, "yard_open")[0] == "Yard back doesn't close: 4' 0\" is open between E and house."


def test_a_line_that_stops_inches_from_the_wall_meets_it() -> None:
    base = yards.tables()
    base["lines"]["fence"]["points"] = ["A", "T1", "T2", "E"]
    base["shots"]["E1"] = offset("E", 40, 0.4, "left")
    assert survey(yards.build(base)).yards["back"].closed


@pytest.mark.closed_form
def test_a_line_from_wall_to_fence_makes_two_yards() -> None:
    """A fence down the middle, from (20, 60) on the north run to (20, 0) on the wall."""
    base = yards.tables()
    base["shots"].update(N1=offset("N1", 20, 59.8, "left"), N2=offset("N2", 20, 0, "left"), W=offset("W", 10, 30, "left"))
    base["shots"]["S3"] = offset("IN", 30, 30, "left")
    base["lines"]["middle"] = {
        "points": ["N1", "N2"], "start_meets": "line", "start_at": "fence", "end_meets": "structure", "end_at": "house",
    }  # fmt: skip
    base["yards"] = {"west": {"inside": "W"}, "east": {"inside": "IN"}}
    base["dogs"]["rex"]["yard"] = "west"
    result = survey(yards.build(base)).yards
    assert result["west"].area_ft2 == pytest.approx(1200, abs=0.1)
    assert result["east"].area_ft2 == pytest.approx(1200, abs=0.1)


@pytest.mark.closed_form
def test_a_shed_inside_the_yard_takes_its_ground() -> None:
    shed = {"E": (10.0, 40.0), "F": (18.0, 40.0), "G": (18.0, 50.0), "H": (10.0, 50.0)}
    structures = {**yards.tables()["structures"], "shed": {"kind": "shed", "points": ["E", "F", "G", "H", "E"]}}
    job = yards.build(points=yards.known({**yards.HOUSE, **shed}), structures=structures)
    assert survey(job).yards["back"].area_ft2 == pytest.approx(2400 - 80, abs=0.01)


def test_two_lines_that_end_at_one_tree_close_round_its_trunk() -> None:
    base = yards.tables()
    base["shots"].update(
        O=offset("O", 20, 60, "left"), E=offset("E", 19.2, 60, "left"), F=offset("F", 20.8, 60, "left"),
    )  # fmt: skip
    base["trees"] = {"oak": {"point": "O", "diameter_in": 18}}
    west = {"points": ["A", "T1", "E"], "start_meets": "structure", "start_at": "house", "end_meets": "tree", "end_at": "oak"}
    east = {"points": ["B", "T2", "F"], "start_meets": "structure", "start_at": "house", "end_meets": "tree", "end_at": "oak"}
    base["lines"] = {"west": west, "east": east}
    assert survey(yards.build(base, gates={})).yards["back"].closed
    free = {**east, "end_meets": "free"}
    del free["end_at"]
    base["lines"] = {"west": west, "east": free}
    assert survey(yards.build(base, gates={})).yards["back"].gap_ft == pytest.approx(1.6, abs=0.01)


def test_a_missing_point_leaves_the_gap_along_its_line() -> None:
    base = yards.tables()
    del base["shots"]["S2"]
    base["shots"]["S3"] = offset("IN", 8, 10, "left")
    area = survey(yards.build(base)).yards["back"]
    assert area.gap_ends == (pytest.approx((0, 60), abs=0.01), pytest.approx((40, 0), abs=0.01))


def test_a_yard_with_nothing_round_it() -> None:
    result = survey(yards.build(lines={}, gates={}))
    assert result.yards["back"].gap_ft is None
    assert said(result, "yard_open")[0] == "Yard back doesn't close: no lines or walls go round IN."


def test_a_yard_whose_point_floats() -> None:
    base = yards.tables()
    del base["shots"]["S3"]
    assert said(survey(yards.build(base)), "yard_unplaced")[0] == "Yard back has no place: its point IN has none."


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), min_size=3, max_size=9, unique=True), st.randoms(use_true_random=False))
def test_pieces_that_meet_at_their_ends_close_what_they_close_when_they_are_cut_where_they_meet(
    corners: list[tuple[int, int]], chance: Random
) -> None:
    spots = [(10 * e + chance.uniform(0, 2), 10 * n + chance.uniform(0, 2)) for e, n in corners]
    pieces = [*pairwise([*spots, spots[0]]), *(tuple(chance.sample(spots, 2)) for _ in range(chance.randrange(3)))]
    chance.shuffle(pieces)
    cut = shapely.union_all(shapely.linestrings(np.array(pieces)), grid_size=ROUNDING_FT)
    wanted = shapely.get_parts(shapely.polygonize(shapely.get_parts(cut)))
    faces = _closed(tuple(pieces))
    assert [face.wkb for face in faces] == [face.wkb for face in wanted]
