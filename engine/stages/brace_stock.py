"""What the braces of one support take of the stock."""

from typing import NamedTuple

from engine.calc.remember import remembered_columns
from engine.stages.bracing.foot_ground import plate_of_post_in
from engine.stages.bracing.stage import SupportPull


class BraceStock(NamedTuple):
    """Each brace by its support and letter, plates under feet and how wide they are, in, and whether the post is pinned."""

    legs: tuple[tuple[str, str], ...]
    plates: int
    plates_in: float
    pinned: bool


@remembered_columns
def brace_stock(pull: SupportPull) -> BraceStock:
    """What is taken at many supports."""
    loose = [leg.loose.ground for leg in pull.legs if leg.loose]
    plates_in = plate_of_post_in(loose) if loose else 0.0
    legs = tuple((leg.support, leg.letter) for leg in pull.legs)
    return BraceStock(legs, len(loose), plates_in, pull.lift is not None and pull.lift.lifts)
