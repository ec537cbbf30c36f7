"""An estimate in words, alone and beside what was surveyed since: screen, check and paper say the same."""

from collections import Counter
from collections.abc import Iterator

from engine.ahead.estimate import Estimate, FenceCounts, LowHigh, estimate, fence_counts, likely_estimate
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.frozen import dataclass
from engine.calc.length_words import plain_length, round_figure, round_length_words
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, figure, listed, plural, unit_word
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.walk import Walk

NOT_SURVEYED = "Nothing is surveyed yet."
TRIED = "Low and high are the least and most of the lengths tried between; level ground, right-angled corners, gates in mid-stretch."
_HELD: dict[str, str] = {"cable": "spool of cable", "wire": "roll of wire", "mesh": "roll of mesh"}
_AN = ("8", "11", "18")
"""What the widths are that are spoken with a vowel first."""
OPEN = "..."
COLUMNS = ("what", "low", "likely", "high")


@dataclass(frozen=True)
class EstimateInWords:
    """What is said of an estimate: in one line, then what it takes and what it rests on, each with a word for it. `alone` where nothing is
    surveyed yet."""

    alone: bool
    line: str
    more: tuple[tuple[str, str], ...]


def in_words(job: Job, worked: Walk) -> EstimateInWords | None:
    """The estimate of a job in words; None where nothing was said."""
    alone, rough = rests_on_it(job, worked), job.rough
    found = estimate(job) if alone else likely_estimate(job)
    if found is None or rough is None:
        return None
    if not alone:
        return EstimateInWords(False, beside_words(found, fence_counts(worked), job.fence.height_ft), ())
    high = f"{format_ft_in(found.height_ft)} high{'' if rough.height_ft else ' as nobody said'}"
    said = f"{length_words(found)} of fence, {high}{_shape(rough)}. {NOT_SURVEYED}"
    more = (
        ("takes", takes_words(found)),
        ("stock", lacks_words(found)),
        ("price", cost_words(found)),
        ("dogs", rough.dogs),
        ("length", found.rests_on),
        ("tried", TRIED),
    )
    return EstimateInWords(True, said, tuple(row for row in more if row[1]))


def length_words(found: Estimate) -> str:
    """`140 ft (126 to 154)`."""
    length = found.length_ft
    return f"{round_length_words(length.likely)} ({round_figure(length.low)} to {round_figure(length.high)})"


def _shape(rough: Rough) -> str:
    corners = counted(rough.turns, "corner")
    gates = [_gates(width_ft, count, rough.leaves(width_ft)) for width_ft, count in Counter(rough.gates_ft).items()]
    if rough.ring:
        shape = [f"a ring of {corners}"]
    else:
        ends = [_end(rough.start_meets), _end(rough.end_meets)]
        shape = [f"both ends {ends[0]}" if ends[0] == ends[1] else f"one end {ends[0]}, one {ends[1]}", *([corners] if rough.turns else [])]
    return f", {', '.join([*shape, *gates])}"


def _gates(width_ft: float, count: int, leaves: int) -> str:
    width = plain_length(width_ft) if 2 * width_ft == round(2 * width_ft) else format_ft_in(width_ft)
    if count > 1:
        return f"{count} gates of {width}{' in two leaves each' * (leaves > 1)}"
    return f"{'an' if width.startswith(_AN) else 'a'} {width} gate{' of two leaves' * (leaves > 1)}"


def _end(meets: str | None) -> str:
    return {"house": "at the house", "tree": "at a tree", "free": "free"}.get(meets or "", "free, as nobody said")


def span(figures: LowHigh, unit: str = "") -> str:
    """`7 to 8`; `4` where low and high are the same."""
    return figure(figures.low, unit) if figures.low == figures.high else f"{figure(figures.low, unit)} to {figure(figures.high, unit)}"


def takes_words(found: Estimate) -> str:
    """Posts, braces, loops and rolls: `7 to 8 posts, 4 braces, 3 cable loops, 1 spool of cable, 2 rolls of wire, 2 rolls of mesh.`"""
    things = [(found.posts, "post"), (found.braces, "brace"), (found.loops, "cable loop")]
    things += [(row.packs, _HELD[row.kind]) for row in found.rows if row.kind in _HELD]
    return f"{listed([_so_many(figures, one) for figures, one in things])}."


def _so_many(figures: LowHigh, one: str) -> str:
    first, _, rest = one.partition(" of ")
    many = plural(2 if figures.low != figures.high else round(figures.high), first)
    return f"{span(figures)} {many}{' of ' * bool(rest)}{rest}"


def lacks_words(found: Estimate) -> str:
    """What of the stock won't do for the fence, nothing where all will."""
    return f"WON'T DO: {' '.join(f'{finding.says} {finding.do}' for finding in found.lacks)}" if found.lacks else ""


def cost_words(found: Estimate) -> str:
    """What the packs cost together, nothing where none has a price: `980.00 to 1,240.50 for all packs; 3 rows without a price.`"""
    if found.cost is None:
        return ""
    low, high = f"{found.cost.low:,.2f}", f"{found.cost.high:,.2f}"
    unpriced = f"; {counted(found.unpriced, 'row')} without a price" if found.unpriced else ""
    return f"{low if low == high else f'{low} to {high}'} for all packs{unpriced}."


def beside_words(found: Estimate, surveyed: FenceCounts, height_ft: float) -> str:
    """`estimate 140 ft (126 to 154); surveyed 151' 4", inside the spread; 1 brace more`."""
    length = found.length_ft
    where = "inside the spread"
    if not length.low <= surveyed.length_ft <= length.high:
        off_ft = length.low - surveyed.length_ft if surveyed.length_ft < length.low else surveyed.length_ft - length.high
        where = f"{format_ft_in(off_ft, 1)} {'under' if surveyed.length_ft < length.low else 'over'} the spread"
    parts = [f"estimate {length_words(found)}", f"surveyed {format_ft_in(surveyed.length_ft, 1)}, {where}", *_otherwise(found, surveyed)]
    if found.height_ft != height_ft:
        parts.append(f"said {format_ft_in(found.height_ft)} high, planned {format_ft_in(height_ft)}")
    return "; ".join(parts)


def _otherwise(found: Estimate, surveyed: FenceCounts) -> Iterator[str]:
    """What the surveyed fence takes more or fewer of than the likely one."""
    for figures, now, one in (
        (found.posts, surveyed.posts, "post"),
        (found.braces, surveyed.braces, "brace"),
        (found.loops, surveyed.loops, "cable loop"),
    ):
        more = now - round(figures.likely)
        if more:
            yield f"{counted(abs(more), one)} {'more' if more > 0 else 'fewer'}"


def estimate_rows(found: Estimate) -> tuple[tuple[str, str, str, str], ...]:
    """What is counted of the fence, low, likely and high; whole feet, for nobody knows it closer. Low and high stay open until they are
    worked out."""
    counts = (("posts", found.posts), ("braces", found.braces), ("cable loops", found.loops))
    rows = [(name, *three(figures)) for name, figures in counts]
    rows += [("price of all packs", *three(found.cost, ",.2f"))] if found.cost else []
    told = rows if found.whole else [(name, OPEN, likely, OPEN) for name, _, likely, _ in rows]
    return ((f"length, {unit_word('ft')}", *three_of(found.length_ft, "ft")), *told)


def three_of(figures: LowHigh, unit: str) -> tuple[str, str, str]:
    """Low, likely and high of what is counted in a unit, without it."""
    return figure(figures.low, unit), figure(figures.likely, unit), figure(figures.high, unit)


def three(figures: LowHigh, how: str = ",.0f") -> tuple[str, str, str]:
    """Low, likely and high as they are written."""
    return f"{figures.low:{how}}", f"{figures.likely:{how}}", f"{figures.high:{how}}"
