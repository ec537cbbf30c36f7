"""What is left out of the client's copy where there is more than its pages hold: words are cut, lists share the room there is."""

from collections.abc import Iterable, Sequence

from engine.job.errors import shown
from engine.paper.client.paper_heights import LETTERS_PT, NARROWEST, PAGE_WIDE_PT, line_count
from engine.paper.markup import LONGEST

ENDS_CUT = "..."
"""What words end in that were cut."""
CUT = f" {ENDS_CUT}"

NAME_LETTERS = 80
"""Of a name in a sentence."""


def short(name: str) -> str:
    """A name as it stands in a sentence."""
    return shown(name, NAME_LETTERS)


def cut_to(text: str, lines: int, wide_pt: float = PAGE_WIDE_PT, letters_pt: float = LETTERS_PT) -> str:
    """Text that takes no more than so many lines, cut behind a word where it would."""
    said = "\n".join(shown(line, LONGEST) for line in text.strip().splitlines())
    low, high = 0, int((lines + 1) * wide_pt / letters_pt / NARROWEST)
    if len(said) <= high and line_count(said, wide_pt, letters_pt) <= lines:
        return said
    high = min(high, len(said))
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if line_count(said[:middle] + CUT, wide_pt, letters_pt) <= lines else (low, middle)
    whole = said[:low].rstrip()
    behind_word = whole if said[low : low + 1].isspace() else whole.rpartition(" ")[0]
    return ((behind_word if 2 * len(behind_word) > low else whole).rstrip(",;: \n") + CUT).lstrip()


def shared(lists: Sequence[Sequence[float]], first_pt: Sequence[float], room_pt: float) -> tuple[int, ...]:
    """How many rows of each list there is room for, by the heights of the rows. Each has its first row, then its own so many points of the
    room; what is left goes to the lists in their order."""
    counts, left_pt = [0] * len(lists), room_pt
    one_each = [heights[0] if heights else 0.0 for heights in lists]
    for most in (one_each, first_pt, [room_pt] * len(lists)):
        for at, heights in enumerate(lists):
            more, used_pt = _as_many(heights[counts[at] :], min(left_pt, most[at]))
            counts[at] += more
            left_pt -= used_pt
    return tuple(counts)


def _as_many(heights: Iterable[float], room_pt: float) -> tuple[int, float]:
    count, used_pt = 0, 0.0
    for high in heights:
        if used_pt + high > room_pt:
            break
        count, used_pt = count + 1, used_pt + high
    return count, used_pt
