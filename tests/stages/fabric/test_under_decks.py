"""Open space under decks: where a line runs over one, passes under one's edge or ends at it, and what closes it."""

from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.stages.fabric.under_decks import under_decks
from engine.stages.survey.stage import survey
from engine.walk import Walk, walk
from tests.stages.flat_yards import straight
from tests.stages.survey.test_floors import DECK, surfaces, walked

TICK = {"at": "2026-04-02T09:00:00Z", "by": "Lee"}


def drawn(west: float, east: float, south: float, north: float, **fields: Any) -> Walk:
    """A deck with four corners beside or across the line from (0, 0) to (0, 60)."""
    corners = {"D1": (west, south), "D2": (east, south), "D3": (east, north), "D4": (west, north)}
    return walk(straight(60.0, corners, decks={"back": {"points": list(corners), "height_ft": 2.5, **fields}}))


def told(found: Walk) -> list[str]:
    return [finding.says for finding in found.findings if finding.code == "under_deck_open"]


@pytest.mark.closed_form
def test_a_deck_that_the_line_runs_over_is_open_below_as_high_as_its_lowest_ground() -> None:
    """A floor 2 1/2 ft over the ground at 20 ft, and the ground half a foot lower at 30."""
    found = walked(60, [(0.0, 0.0), (20.0, 0.0), (30.0, -0.5), (40.0, 0.0)], surfaces=surfaces(porch=DECK))

    assert told(found) == ['Deck porch is open below, 36" high and 20\' 0" wide, from 20\' 0".']
    (piece,) = [piece for piece in found.fabric.infills if piece.over == "under deck"]
    assert (piece.bay, piece.length_ft, piece.width_in, piece.count) == ("porch", 20.0, 46.0, 1)
    assert piece.strip in found.fabric.strips


def test_a_skirted_deck_and_one_that_was_closed_are_not_told() -> None:
    assert told(walked(60, surfaces=surfaces(porch={**DECK, "open_under": False}))) == []
    closed = walked(60, surfaces=surfaces(porch=DECK), checks={"fabric.porch.under_closed": TICK})
    assert told(closed) == []
    assert "fabric.porch.under_closed" in [str(item.key) for item in closed.fabric.items]


@pytest.mark.parametrize(
    ("deck", "says"),
    [
        ((-5, 5, 20, 30), ['Deck back is open below, 30" high and 11\' 0" wide, from 19\' 6".']),
        ((0.3, 8, 20, 30), ['Deck back is open below, 30" high and 10\' 10" wide, from 19\' 7".']),
        ((3, 8, 20, 30), []),
        ((-5, 5, 60, 70), ['Line n ends at deck back, which is open below, 30" high.']),
        ((-5, 5, 61, 70), []),
    ],
)
def test_a_deck_of_the_site_counts_where_the_line_meets_it(deck: tuple[float, float, float, float], says: list[str]) -> None:
    assert told(drawn(*deck)) == says


def openings(corners: dict[str, tuple[float, float]], **tables: Any) -> list[tuple[str, float, float]]:
    """Deck, from and to of every opening under the line from (0, 0) to (0, 60) and a deck of the site."""
    job = straight(60.0, corners, decks={"back": {"points": list(corners), "height_ft": 2.5}}, **tables)
    return [(one.deck, one.from_ft, one.to_ft) for one in under_decks(job, survey(job))]


def box(south: float, north: float) -> dict[str, tuple[float, float]]:
    return {"D1": (-5.0, south), "D2": (5.0, south), "D3": (5.0, north), "D4": (-5.0, north)}


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("corners", "from_ft", "to_ft"),
    [
        (box(-10, 0), 0.0, 0.0),  # it only begins at the edge
        (box(60, 70), 59.5, 59.5),
        (box(-10, 10), 0.0, 10.5),  # it begins on it and runs over it
        ({"D1": (0.3, 30.0), "D2": (8.0, 25.0), "D3": (8.0, 35.0)}, 29.6, 30.4),  # past a corner 0.3 ft off: 2 x 0.4 ft within half a foot
    ],
)
def test_a_line_that_only_ends_at_a_deck_has_an_opening_of_no_known_width(
    corners: dict[str, tuple[float, float]], from_ft: float, to_ft: float
) -> None:
    assert openings(corners) == [("back", pytest.approx(from_ft, abs=0.01), pytest.approx(to_ft, abs=0.01))]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("south", "north", "decks"),
    [
        (8, 18.4, ["back", "porch"]),  # to 18.9 ft, more than a foot before the floor at 20
        (8, 18.6, ["porch"]),
        (41.4, 50, ["porch"]),
        (41.6, 50, ["porch", "back"]),  # from 41.1, more than a foot past the floor's end at 40
    ],
)
def test_a_deck_of_the_site_within_a_foot_of_a_floor_is_that_floor(south: float, north: float, decks: list[str]) -> None:
    assert [deck for deck, _, _ in openings(box(south, north), surfaces=surfaces(porch=DECK))] == decks


def test_a_deck_without_height_and_one_in_both_tables_are_told_once_or_not() -> None:
    assert told(drawn(-5, 5, 20, 30, height_ft=0)) == []
    corners = {"D1": (-5.0, 20.0), "D2": (5.0, 20.0), "D3": (5.0, 40.0)}
    both = walk(straight(60.0, corners, decks={"back": {"points": list(corners), "height_ft": 2.5}}, surfaces=surfaces(porch=DECK)))
    assert len(told(both)) == 1


@settings(max_examples=40, deadline=None)
@given(west=st.floats(-8, 3), wide=st.floats(1, 10), south=st.floats(2, 40), deep=st.floats(2, 15))
@pytest.mark.independent
def test_openings_agree_with_points_walked_along_the_line(west: float, wide: float, south: float, deep: float) -> None:
    """Every half inch of the line: is it within half a foot of the deck?"""
    corners = {"D1": (west, south), "D2": (west + wide, south), "D3": (west + wide, south + deep), "D4": (west, south + deep)}
    job = straight(60.0, corners, decks={"back": {"points": list(corners), "height_ft": 2.5}})
    deck = shapely.box(west, south, west + wide, south + deep)

    found = under_decks(job, survey(job))

    near = [n / 24 for n in range(24 * 60 + 1) if deck.distance(shapely.Point(0, n / 24)) < 0.5]
    if len(near) < 30:
        return
    (one,) = found
    assert (one.from_ft, one.to_ft) == (pytest.approx(near[0], abs=0.06), pytest.approx(near[-1], abs=0.06))
