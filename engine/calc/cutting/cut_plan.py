"""Which piece to cut from which roll, spool or length of stock, with least of it opened.

Lengths are in one unit of the caller's choice. Inside they are whole 1/48000 of it, so that thousandths of a foot and thirty-seconds of
an inch are exact and three pieces of 16 ft 8 in fill 50 ft.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import fsum, inf

from engine.calc.cutting.bin_packing import pack
from engine.calc.cutting.fewest_bins import fewest_bins
from engine.calc.frozen import dataclass
from engine.calc.limits import require_positive
from engine.calc.remember import remembered

UNITS = 48_000


@dataclass(frozen=True)
class Stock:
    """What is cut from: as many as it takes, each of this length."""

    id: str
    length: float


@dataclass(frozen=True)
class Roll:
    """One roll to cut: its pieces, the longest first, and what is left of it after the last cut."""

    stock_id: str
    capacity: float
    piece_ids: tuple[str, ...]
    left: float
    is_offcut: bool = False


@dataclass(frozen=True)
class Unplaced:
    """A piece that comes from no roll, and why."""

    piece_id: str
    why: str = "longer than any stock"


@dataclass(frozen=True)
class CutPlan:
    """The rolls, offcuts first; pieces without one; and how good the plan is.

    `lower_bound`: no plan that cuts all pieces short enough for the stock opens fewer new rolls.  `proven`: this one opens no more.
    `waste`: length of the rolls cut that goes into no piece.
    """

    rolls: tuple[Roll, ...]
    unplaced: tuple[Unplaced, ...]
    lower_bound: int
    proven: bool
    waste: float


def plan_cuts(pieces: Mapping[str, float], stock: Stock | None, offcuts: Mapping[str, float] | None = None) -> CutPlan:
    """A plan that cuts every piece that fits, offcuts first, and opens as few new rolls as a search of limited effort finds.

    An offcut takes the longest pieces it can. A cut takes no length.
    pieces, offcuts: length by id, above 0.  stock: of a length above 0; None where it isn't known.  All lengths are in one unit.
    Returns: the plan; each piece stands in it once, in a roll or as unplaced. The same input gives the same plan on every machine.
    Raises: OutOfRange for a value outside these ranges.
    Source: derived: the cutting stock problem with few of each length is bin packing, see `bin_packing.pack`.
    Valid for: lengths told apart by 1/48000 unit; with offcuts the plan is often good but unproven.
    Example: pieces of 42, 42, 36, 24, 24 and 18 ft from 100 ft rolls: two rolls, 14 ft waste, proven.
    """
    return _planned(tuple(pieces.items()), stock, tuple((offcuts or {}).items()))


@remembered
def _planned(given_pieces: tuple[tuple[str, float], ...], stock: Stock | None, given_offcuts: tuple[tuple[str, float], ...]) -> CutPlan:
    pieces, offcuts = dict(given_pieces), dict(given_offcuts)
    for length in (*pieces.values(), *offcuts.values(), *((stock.length,) if stock else ())):
        if not 0 < length < inf:
            require_positive(length=length)
    sizes = {each: round(length * UNITS) for each, length in sorted(pieces.items(), key=lambda item: (-item[1], item[0]))}
    rooms = {each: round(length * UNITS) for each, length in offcuts.items()}
    longest = round(stock.length * UNITS) if stock else 0
    from_offcuts = _fill_offcuts(sizes, rooms) if rooms else {}
    taken = {each for ids in from_offcuts.values() for each in ids}
    to_cut = {each: size for each, size in sizes.items() if each not in taken and size <= longest}
    rolls = [_roll(each, offcuts[each], ids, pieces, is_offcut=True) for each, ids in from_offcuts.items()]
    bound = 0
    if stock is not None and to_cut:
        packing = pack(list(to_cut.values()), longest)
        bins, bound = sorted(packing.bins, key=lambda filling: (-sum(filling), filling)), packing.lower_bound
        rolls += [_roll(stock.id, stock.length, ids, pieces) for ids in _named(bins, to_cut)]
    opened = len(rolls) - len(from_offcuts)
    placed = {each for roll in rolls for each in roll.piece_ids}
    if rooms:
        bound = _bound_beside_offcuts([size for size in sizes.values() if size <= longest], list(rooms.values()), longest)
    return CutPlan(
        rolls=tuple(rolls),
        unplaced=tuple(Unplaced(each) for each in sizes if each not in placed),
        lower_bound=bound,
        proven=opened == bound,
        waste=round(fsum([roll.capacity for roll in rolls]) - fsum(map(pieces.__getitem__, placed)), 6),
    )


def _fill_offcuts(sizes: Mapping[str, int], rooms: Mapping[str, int]) -> dict[str, list[str]]:
    """Ids cut from each offcut that is used: each piece, longest first, from the offcut it leaves least of."""
    left = dict(sorted(rooms.items()))
    filled: dict[str, list[str]] = {}
    for each, size in sizes.items():
        fitting = [(room, offcut) for offcut, room in left.items() if room >= size]
        if fitting:
            room, offcut = min(fitting)
            left[offcut] = room - size
            filled.setdefault(offcut, []).append(each)
    return dict(sorted(filled.items()))


def _named(bins: Iterable[Sequence[int]], sizes: Mapping[str, int]) -> list[list[str]]:
    """The ids of the pieces in each bin of sizes."""
    waiting: dict[int, list[str]] = {}
    for each in reversed(list(sizes)):
        waiting.setdefault(sizes[each], []).append(each)
    return [[waiting[size].pop() for size in filling] for filling in bins]


def _roll(stock_id: str, capacity: float, ids: Sequence[str], pieces: Mapping[str, float], *, is_offcut: bool = False) -> Roll:
    left = capacity - fsum(map(pieces.__getitem__, ids))
    return Roll(stock_id, capacity, tuple(ids), round(max(0.0, left), 6), is_offcut)


def _bound_beside_offcuts(sizes: Sequence[int], rooms: Sequence[int], longest: int) -> int:
    """Fewest new rolls: for pieces that fit no offcut, and for what the offcuts can't hold all together."""
    if not longest:
        return 0
    fit_none = [size for size in sizes if size > max(rooms)]
    return max(fewest_bins(fit_none, longest), -(-(sum(sizes) - sum(rooms)) // longest), 0)
