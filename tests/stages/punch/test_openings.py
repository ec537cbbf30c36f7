"""Openings one by one: where each lies, what closes it and how much of that, and from which size on it counts."""

from dataclasses import replace
from typing import Any

import pytest

from engine.job.model.job import Job
from engine.stages.fabric.infills import Infill
from engine.stages.fabric.stage import Fabric
from engine.stages.layout.stage import Layout
from engine.stages.punch.openings import ClosingPiece, Place, at_walls, below_decks, house_ends, open_ends, open_yards, under_wire
from engine.stages.survey.stage import Survey, survey
from engine.stages.survey.survey_facts import YardArea
from engine.walk import walk
from tests.stages import yards
from tests.stages.flat_yards import straight, yard
from tests.stages.layouts import Spot, layout_of
from tests.stages.survey.test_floors import DECK, surfaces

TICK = {"at": "2026-04-02T09:00:00Z", "by": "Lee"}


def infill(bay: str, length_ft: float, count: int) -> Infill:
    return Infill("I1", bay, 0.0, length_ft, 12.0, count, 6.0, "soil", "1")


def dipped() -> tuple[Job, Layout, Fabric]:
    """A dip of 18 in at 90 ft of the line: 30 ft east of T1 on the north run, in the bay between the gate and T2."""
    job = yards.sloping(((0, 0), (85, 0), (90, -1.5), (95, 0), (160, 0)))
    done = walk(job)
    return job, done.layout, done.fabric


@pytest.mark.closed_form
def test_a_hole_lies_where_its_station_says() -> None:
    (hole,) = under_wire(*dipped())

    assert (hole.line, hole.station_ft) == ("fence", pytest.approx(90.0))
    assert hole.spot == pytest.approx((30.0, 60.0), abs=0.001)


@pytest.mark.closed_form
def test_a_hole_takes_the_pieces_of_its_own_bay() -> None:
    """Two of 3 ft side by side; the 7 ft of another bay close that. Without any piece, as long as the hole is."""
    job, layout, hung = dipped()
    (hole,) = under_wire(job, layout, hung)
    bay = hole.subject

    pieces = replace(hung, infills=(infill(bay, 3.0, 2), infill("P1-P2", 7.0, 1)))
    bare = replace(hung, infills=(infill("P1-P2", 7.0, 1),))
    (cut,), (whole,) = under_wire(job, layout, pieces), under_wire(job, layout, bare)

    assert cut.pieces == (ClosingPiece("wire-48", 6.0, "ft"),)
    assert whole.pieces == (ClosingPiece("wire-48", hung.bays[bay].infill_ft, "ft"),)


@pytest.mark.closed_form
def test_a_deck_is_open_below_until_it_was_closed() -> None:
    """A floor 2 1/2 ft over the ground from 20 to 40 ft of the line."""
    job = straight(60.0, surfaces=surfaces(porch=DECK))
    hung = walk(job).fabric
    (way,) = below_decks(job, hung)
    (bare,) = below_decks(job, replace(hung, infills=(infill("other", 7.0, 1),)))
    closed = Job.model_validate({**job.model_dump(exclude_none=True), "checks": {"fabric.porch.under_closed": TICK}})

    assert (way.kind, way.subject, way.line, way.station_ft, way.opening_in) == ("under", "porch", "n", 20.0, pytest.approx(30.0))
    assert (way.pieces, bare.pieces) == ((ClosingPiece("wire-48", 20.0, "ft"),), ())
    assert tuple(below_decks(closed, walk(closed).fabric)) == ()


def met(support: Any, off_ft: float, known: tuple[str, ...] = ("W1", "W2"), **tables: Any) -> list[Place]:
    """A line due north from a wall along the east; its first post so far off the wall."""
    corners = {"W1": (-10.0, 0.0), "W2": (10.0, 0.0), "E": (0.0, 20.0)}
    corners = {name: spot for name, spot in corners.items() if name in (*known, "E")}
    line = {"points": ["W1", "E"], "start_meets": "structure", "start_at": "wall"}
    job = yard(corners, {"n": line}, structures={"wall": {"kind": "house", "points": ["W1", "W2"]}}, **tables)
    spots = [Spot("P1", 0, off_ft, "end", support=support), Spot("P2", 0, 20, "end")]
    layout = layout_of({"n": spots})
    return list(at_walls(job, survey(job), layout, house_ends(job, layout, ())))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("support", "off_ft", "opening_in"),
    [
        ("driven", 0.040, []),
        ("driven", 0.045, [0.54]),  # half an inch is no gap
        ("structure", 0.49, []),
        ("structure", 0.52, [6.24]),  # a line's end is drawn no nearer than half a foot
    ],
)
def test_a_gap_at_a_wall_counts_past_half_an_inch_or_past_what_drawing_gives(support: str, off_ft: float, opening_in: list[float]) -> None:
    found = met(support, off_ft)

    assert [place.opening_in for place in found] == pytest.approx(opening_in)
    assert [[(piece.stock, piece.amount) for piece in place.pieces] for place in found] == [
        [("wire-48", pytest.approx(off_ft)), ("mesh-48", pytest.approx(off_ft))] for _ in opening_in
    ]


def test_a_wall_without_a_face_leaves_no_gap() -> None:
    assert met("driven", 2.0, known=("W1",)) == []


def test_a_house_that_was_closed_has_no_gap_at_its_wall_and_one_of_which_that_is_not_needed_has() -> None:
    assert met("driven", 2.0, checks={"punch.job.house_closed": TICK}) == []
    (way,) = met("driven", 2.0, checks={"punch.job.house_closed": {**TICK, "state": "not needed"}})
    assert way.where == "between P1 and wall"


@pytest.mark.closed_form
@pytest.mark.parametrize(("tree", "opening_in"), [({"OAK": (3.0, 0.0)}, [30.0]), ({"OAK": (0.2, 0.0)}, []), ({}, [])])
def test_a_gap_at_a_tree_is_from_its_bark(tree: dict[str, tuple[float, float]], opening_in: list[float]) -> None:
    """A trunk of 12 in: 3 ft off less half a foot; a post inside the bark, or a tree without a place, leaves none."""
    line = {"points": ["S", "E"], "start_meets": "tree", "start_at": "oak"}
    places = {"S": (0.0, 0.0), "E": (0.0, 20.0), **tree}
    job = yard(places, {"n": line}, trees={"oak": {"point": "OAK", "diameter_in": 12}})
    spots = [Spot("P1", 0, 0, "end"), Spot("P2", 0, 20, "end")]

    layout = layout_of({"n": spots})
    found = at_walls(job, survey(job), layout, house_ends(job, layout, ()))
    assert [place.opening_in for place in found] == pytest.approx(opening_in)


def an_open(gap_ft: float) -> YardArea:
    return YardArea("back", False, (), 0.0, 0.0, gap_ft, ((0.0, 0.0), (gap_ft, 0.0)), 0.0)


CLOSED = YardArea("side", True, ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)), 40.5, 30.7, None, None, 0.0)
UNKNOWN = replace(CLOSED, name="far", closed=False, ring=())


@pytest.mark.closed_form
@pytest.mark.parametrize(("gap_ft", "posts"), [(25.0, 0), (25.1, 1), (60.0, 2), (75.0, 2), (75.1, 3)])
def test_what_fence_closes_a_yard_s_gap(gap_ft: float, posts: int) -> None:
    """A post for every bay of at most 25 ft but the last, between two things that stand; two cables, wire and mesh all along."""
    base = Survey({}, {}, (), 0, (), (), {}, {"back": an_open(gap_ft), "side": CLOSED, "far": UNKNOWN}, None, (), ())
    (gap,) = open_yards(Job(), base)

    stands = [("post-8", posts, "posts"), ("sleeve-30", posts, "sleeves")] if posts else []
    rolls = [("cable-3-32", 2 * gap_ft, "ft"), ("wire-48", gap_ft, "ft"), ("mesh-48", gap_ft, "ft")]
    assert [(piece.stock, piece.amount, piece.unit) for piece in gap.pieces] == [*stands, *rolls]
    assert (gap.opening_in, gap.spot) == (pytest.approx(12 * gap_ft), (0.0, 0.0))


def free_line(**yards_of: YardArea) -> list[Place]:
    """A line with two free ends 30 ft apart; another without any post."""
    job = yard({"S": (0.0, 0.0), "E": (0.0, 30.0)}, {"n": ["S", "E"], "bare": ["S", "E"]})
    found = replace(survey(job), yards=yards_of)
    return list(open_ends(job, found, layout_of({"n": [Spot("P1", 0, 0, "end"), Spot("P2", 0, 30, "end")], "bare": []})))


@pytest.mark.parametrize(
    ("yards_of", "ends"),
    [
        ({}, ["P1", "P2"]),
        ({"side": CLOSED}, []),
        ({"side": CLOSED, "far": UNKNOWN}, ["P1", "P2"]),  # nobody knows what the far yard ends at
        ({"back": an_open(30.0), "side": CLOSED}, []),
        ({"back": an_open(30.0), "far": UNKNOWN}, ["P2"]),  # P1 stands at the gap that is told already
    ],
)
def test_free_ends_count_unless_every_yard_is_known_to_close_or_where_it_does_not(yards_of: dict[str, YardArea], ends: list[str]) -> None:
    assert [place.subject for place in free_line(**yards_of)] == ends
