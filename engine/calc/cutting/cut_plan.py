"""Which piece to cut from which roll, spool or length of stock, with least of it opened.

Lengths are in one unit of the caller's choice. Inside they are whole 1/48000 of it, so that thousandths of a foot and thirty-seconds of
an inch are exact and three pieces of 16 ft 8 in fill 50 ft.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from math import fsum, gcd, inf

from engine.calc.cutting.bin_packing import FULL_EFFORT, pack
from engine.calc.cutting.fewest_bins import fewest_bins
from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.remember import remembered

UNITS = 48_000


@dataclass(frozen=True)
class Stock:
    """One kind of stock: its length, and how many there are (none: as many as it takes)."""

    id: str
    length: float
    count: int | None = None


Supply = Sequence[tuple[int, Stock]]
Opened = list[tuple[Stock, Sequence[int]]]


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
    why: str


@dataclass(frozen=True)
class CutPlan:
    """The rolls, offcuts first; pieces without one; and how good the plan is.

    `lower_bound`: no plan that cuts all pieces short enough for the stock opens fewer new rolls.  `proven`: this one cuts them all, and
    none opens fewer new rolls (stock of one length) or less length of new stock (several).  `waste`: length of the rolls cut that goes
    into no piece.
    """

    rolls: tuple[Roll, ...]
    unplaced: tuple[Unplaced, ...]
    lower_bound: int
    proven: bool
    waste: float


def plan_cuts(
    pieces: Mapping[str, float],
    stocks: Sequence[Stock],
    kerf: float = 0.0,
    offcuts: Mapping[str, float] | None = None,
    effort: int = FULL_EFFORT,
) -> CutPlan:
    """A plan that cuts every piece that fits, offcuts first, and opens as little new stock as a search of limited effort finds.

    Each cut takes `kerf` out of the roll; a cut at the very end of a roll needs no more than what is there. An offcut takes the longest
    pieces it can. Of one stock length the fewest rolls are looked for; of several the least total length, by trying each length
    alone and a roll at a time, each roll then the shortest that holds its pieces.
    pieces, offcuts: length by id, above 0.  stocks: lengths above 0, counts 0 or more, ids all different.  kerf: 0 or more.
    All lengths are in one unit.
    effort: see `bin_packing.pack`, shared among the stock lengths tried; no clock, so the same input gives the same plan on every machine.
    Returns: the plan; each piece stands in it once, in a roll or as unplaced.
    Raises: OutOfRange for a value outside these ranges.
    Source: derived: the cutting stock problem with few of each length is bin packing, see `bin_packing.pack`; the lower bound for several
    lengths is that their sums are multiples of their greatest common divisor.
    Valid for: lengths told apart by 1/48000 unit; with offcuts, several lengths or too few rolls the plan is often good but unproven.
    Example: pieces of 42, 42, 36, 24, 24 and 18 ft from 100 ft rolls: two rolls, 14 ft waste, proven.
    """
    return _planned(tuple(pieces.items()), tuple(stocks), kerf, tuple((offcuts or {}).items()), effort)


@remembered
def _planned(
    given_pieces: tuple[tuple[str, float], ...],
    stocks: tuple[Stock, ...],
    kerf: float,
    given_offcuts: tuple[tuple[str, float], ...],
    effort: int,
) -> CutPlan:
    pieces, offcuts = dict(given_pieces), dict(given_offcuts)
    _check(pieces, stocks, kerf, offcuts)
    sizes = {each: _units(length + kerf) for each, length in sorted(pieces.items(), key=lambda item: (-item[1], item[0]))}
    rooms = {each: _units(length + kerf) for each, length in offcuts.items()}
    supply = [(_units(stock.length + kerf), stock) for stock in sorted(stocks, key=lambda stock: stock.length)]
    longest = max((capacity for capacity, _ in supply), default=0)
    from_offcuts = _fill_offcuts(sizes, rooms)
    taken = {each for ids in from_offcuts.values() for each in ids}
    to_cut = {each: size for each, size in sizes.items() if each not in taken and size <= longest}
    opened, bound = _open(list(to_cut.values()), supply, effort)
    named = _named([filling for _, filling in opened], to_cut)
    rolls = [_roll(each, offcuts[each], ids, pieces, kerf, is_offcut=True) for each, ids in from_offcuts.items()]
    rolls += [_roll(stock.id, stock.length, ids, pieces, kerf) for (stock, _), ids in zip(opened, named, strict=True)]
    placed = {each for roll in rolls for each in roll.piece_ids}
    if rooms:
        bound = _bound_beside_offcuts([size for size in sizes.values() if size <= longest], list(rooms.values()), longest)
    least = _least_length([pieces[each] for each, size in sizes.items() if size <= longest], stocks, offcuts)
    one_length = len({capacity for capacity, _ in supply}) == 1
    as_good = len(opened) == bound if one_length else sum(_units(stock.length) for stock, _ in opened) == least
    return CutPlan(
        rolls=tuple(rolls),
        unplaced=tuple(_unplaced(each, to_cut) for each in sizes if each not in placed),
        lower_bound=bound,
        proven=as_good and placed.issuperset(to_cut),
        waste=round(fsum(roll.capacity for roll in rolls) - fsum(pieces[each] for each in placed), 6),
    )


def _check(pieces: Mapping[str, float], stocks: Sequence[Stock], kerf: float, offcuts: Mapping[str, float]) -> None:
    for length in pieces.values():
        require_positive(piece_length=length)
    for length in offcuts.values():
        require_positive(offcut_length=length)
    for stock in stocks:
        require_positive(stock_length=stock.length)
        require_within(0, inf, "a count isn't negative", stock_count=stock.count or 0)
    require_within(0, inf, "a cut takes nothing or something", kerf=kerf)
    if len({stock.id for stock in stocks}) < len(stocks):
        raise OutOfRange("stocks", len(stocks), "of different ids", "a roll is known by the id of its stock")


def _units(length: float) -> int:
    return round(length * UNITS)


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


def _open(sizes: Sequence[int], supply: Supply, effort: int) -> tuple[Opened, int]:
    """Rolls to open with what is cut from each, the best of the ways tried, and the fewest rolls that any plan opens."""
    if not sizes:
        return [], 0
    capacities = sorted({capacity for capacity, _ in supply})
    share = effort // (2 * len(capacities) - 1)
    packings = {capacity: pack([size for size in sizes if size <= capacity], capacity, share) for capacity in capacities}
    tries = [_a_roll_at_a_time(sizes, supply)] if len(capacities) > 1 else []
    for capacity, packing in packings.items():
        longer = pack([size for size in sizes if size > capacity], capacities[-1], share)
        tries.append(_assign([*longer.bins, *packing.bins], supply))
    return min(tries, key=_worse), packings[capacities[-1]].lower_bound


def _worse(opened: Opened) -> tuple[int, float, int]:
    """Less cut, then more length opened, then more rolls."""
    return -sum(sum(filling) for _, filling in opened), fsum(stock.length for stock, _ in opened), len(opened)


def _assign(bins: Iterable[Sequence[int]], supply: Supply) -> Opened:
    """For each bin, the fullest first, the shortest stock left that holds it; bins that none is left for are dropped."""
    used: Counter[str] = Counter()
    opened: Opened = []
    for filling in sorted(bins, key=lambda filling: (-sum(filling), filling)):
        stock = next((stock for capacity, stock in supply if capacity >= sum(filling) and _is_left(stock, used)), None)
        if stock:
            used[stock.id] += 1
            opened.append((stock, filling))
    return opened


def _a_roll_at_a_time(sizes: Sequence[int], supply: Supply) -> Opened:
    """Each time the stock that the longest piece left, and what fits beside it, leave the smallest share of; the longer of equals."""
    remaining = sorted(sizes, reverse=True)
    used: Counter[str] = Counter()
    opened: Opened = []
    while remaining:
        fillings = [(capacity, stock, _fill(remaining, capacity)) for capacity, stock in supply if _is_left(stock, used)]
        fitting = [(sum(filling) / capacity, capacity, stock, filling) for capacity, stock, filling in fillings if capacity >= remaining[0]]
        if not fitting:
            del remaining[0]
            continue
        _, _, stock, filling = max(fitting, key=lambda option: option[:2])
        used[stock.id] += 1
        opened.append((stock, filling))
        for size in filling:
            remaining.remove(size)
    return opened


def _is_left(stock: Stock, used: Mapping[str, int]) -> bool:
    return stock.count is None or used.get(stock.id, 0) < stock.count


def _fill(falling: Sequence[int], capacity: int) -> list[int]:
    filling = []
    for size in falling:
        if size <= capacity:
            filling.append(size)
            capacity -= size
    return filling


def _named(bins: Iterable[Sequence[int]], sizes: Mapping[str, int]) -> list[list[str]]:
    """The ids of the pieces in each bin of sizes."""
    waiting: dict[int, list[str]] = {}
    for each in reversed(list(sizes)):
        waiting.setdefault(sizes[each], []).append(each)
    return [[waiting[size].pop() for size in filling] for filling in bins]


def _roll(stock_id: str, capacity: float, ids: Sequence[str], pieces: Mapping[str, float], kerf: float, *, is_offcut: bool = False) -> Roll:
    left = capacity - fsum(pieces[each] for each in ids) - kerf * len(ids)
    return Roll(stock_id, capacity, tuple(ids), round(max(0.0, left), 6), is_offcut)


def _unplaced(piece_id: str, to_cut: Mapping[str, int]) -> Unplaced:
    return Unplaced(piece_id, "no stock left" if piece_id in to_cut else "longer than any stock")


def _bound_beside_offcuts(sizes: Sequence[int], rooms: Sequence[int], longest: int) -> int:
    """Fewest new rolls: for pieces that fit no offcut, and for what the offcuts can't hold all together."""
    if not longest:
        return 0
    fit_none = [size for size in sizes if size > max(rooms)]
    return max(fewest_bins(fit_none, longest), -(-(sum(sizes) - sum(rooms)) // longest), 0)


def _least_length(lengths: Iterable[float], stocks: Sequence[Stock], offcuts: Mapping[str, float]) -> int:
    """The least multiple of the stocks' greatest common divisor, in units, that holds what the offcuts can't."""
    if not stocks:
        return 0
    step = gcd(*(_units(stock.length) for stock in stocks))
    beyond = sum(_units(length) for length in lengths) - sum(_units(length) for length in offcuts.values())
    return max(0, -(-beyond // step) * step)
