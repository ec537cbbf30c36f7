"""What is carried onto the truck in pieces and in packs, as a crew calls it: spool, roll, coil, length, pack, or the thing itself."""

from engine.ahead.estimate import EstimatedRow
from engine.calc.length_words import plain_length, round_length_words
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, figure, measured, plural
from engine.job.model.stock_row import StockKind
from engine.stages.takeoff import TakeoffRow

HELD_IN: dict[StockKind, str] = {"cable": "spool", "wire": "roll", "mesh": "roll", "brace wire": "coil", "gate tube": "length"}


def packs_words(row: TakeoffRow, kind: StockKind | None, packs: int | None = None) -> str:
    """So many packs, those to load unless others are given: `1 pack of 25`, `2 rolls of 100 ft`; of what comes one by one, `7 posts`."""
    return packs_of(row.packs if packs is None else packs, row, kind)


def packs_of(count: float, row: TakeoffRow | EstimatedRow, kind: StockKind | None) -> str:
    """So many packs of what a row holds in one."""
    if row.unit == "ft":
        return f"{count:,.0f} {plural(round(count), held_in(row, kind))} of {_length(row.per_pack)}"
    if row.per_pack == 1:
        return measured(count, row.unit)
    return f"{count:,.0f} {plural(round(count), 'pack')} of {row.per_pack:,.0f}"


def load_words(row: TakeoffRow, kind: StockKind | None) -> str:
    """Pieces and packs to load, and what is needed of them: `25 locks in 1 pack of 25; 8 needed`."""
    packs, needed = packs_words(row, kind), needed_words(row)
    if row.unit != "ft" and row.per_pack == 1:
        return packs if row.packs == row.needed and not row.spare else f"{packs}; {needed}"
    return f"{measured(row.packs * row.per_pack, row.unit)} in {packs}; {needed}"


def needed_words(row: TakeoffRow) -> str:
    """`8 needed`, `88 needed and 6 spare`, `163 ft needed`."""
    spare = f" and {figure(row.spare, row.unit)} spare" if row.spare else ""
    return f"{round_length_words(row.needed) if row.unit == 'ft' else f'{row.needed:,.0f}'} needed{spare}"


def held_in(row: TakeoffRow | EstimatedRow, kind: StockKind | None) -> str:
    """What one of those is that are loaded and counted: a spool, a roll, a pack; nothing where each piece is its own."""
    if row.unit == "ft":
        return HELD_IN.get(kind, "piece") if kind else "piece"
    return "" if row.per_pack == 1 else "pack"


def on_truck_words(row: TakeoffRow, kind: StockKind | None) -> str:
    """What is there of it: `2 rolls loaded, 1 delivered, 1 SHORT`; `not counted`."""
    held = held_in(row, kind)
    has = "not counted" if row.loaded is None else f"{_so_many(row.loaded, held)} loaded"
    came = f", {_so_many(row.delivered, held)} delivered" if row.delivered else ""
    loose = f", {measured(row.loose, row.unit)} loose" if row.loose else ""
    return f"{has}{came}{loose}{f', {_so_many(row.short, held)} SHORT' if row.short else ''}"


def _so_many(count: int, held: str) -> str:
    return counted(count, held) if held else f"{count}"


def _length(length_ft: float) -> str:
    return plain_length(length_ft, 0) if length_ft == round(length_ft) else format_ft_in(length_ft)
