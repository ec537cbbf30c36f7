"""Pieces and packs as a crew calls them."""

import pytest

from engine.job.model.stock_row import StockKind
from engine.paper.pack_words import load_words, needed_words, on_truck_words, packs_words
from engine.stages.takeoff import TakeoffRow


def row(unit: str, needed: float, per_pack: float, packs: int, spare: float = 0.0, loaded: int | None = None, **came: float) -> TakeoffRow:
    """A row of the take-off, as far as its words go."""
    delivered, loose, short = int(came.get("delivered", 0)), came.get("loose", 0.0), int(came.get("short", 0))
    return TakeoffRow("it", "it", unit, needed, spare, per_pack, packs, loaded, delivered, loose, short, 0.0, None, ())


LOCKS = row("locks", 12, 25, 1)
STAKES = row("stakes", 82, 50, 2, spare=9)
POSTS = row("posts", 12, 1, 12)
CABLE = row("ft", 558.4, 500, 2)
TUBE = row("ft", 20.7, 10.5, 2)


@pytest.mark.parametrize(
    ("one", "kind", "packs", "load"),
    [
        (LOCKS, "lock", "1 pack of 25", "25 locks in 1 pack of 25; 12 needed"),
        (STAKES, "stake", "2 packs of 50", "100 stakes in 2 packs of 50; 82 needed and 9 spare"),
        (POSTS, "post", "12 posts", "12 posts"),
        (row("latches", 1, 1, 1), "latch", "1 latch", "1 latch"),
        (row("rods", 3, 1, 4, spare=1), "drop rod", "4 rods", "4 rods; 3 needed and 1 spare"),
        (CABLE, "cable", "2 spools of 500 ft", "1,000 ft in 2 spools of 500 ft; 558 ft needed"),
        (TUBE, "gate tube", "2 lengths of 10' 6\"", "21 ft in 2 lengths of 10' 6\"; 21 ft needed"),
        (row("ft", 17, 50, 1), "brace wire", "1 coil of 50 ft", "50 ft in 1 coil of 50 ft; 17 ft needed"),
        (row("ft", 17, 50, 1), None, "1 piece of 50 ft", "50 ft in 1 piece of 50 ft; 17 ft needed"),
    ],
)
def test_pieces_and_packs_to_load(one: TakeoffRow, kind: StockKind | None, packs: str, load: str) -> None:
    assert packs_words(one, kind) == packs
    assert load_words(one, kind) == load


def test_packs_that_are_there_or_missing_are_packs_and_single_things_are_not() -> None:
    assert on_truck_words(LOCKS, "lock") == "not counted"
    there = row("ft", 265, 100, 3, loaded=1, delivered=1, loose=12.0, short=1)
    assert on_truck_words(there, "wire") == "1 roll loaded, 1 roll delivered, 12 ft loose, 1 roll SHORT"
    assert on_truck_words(row("posts", 12, 1, 12, loaded=9, short=3), "post") == "9 loaded, 3 SHORT"


def test_spare_pieces_are_told_beside_what_is_needed() -> None:
    assert needed_words(STAKES) == "82 needed and 9 spare"
    assert needed_words(CABLE) == "558 ft needed"
