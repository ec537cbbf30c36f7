"""Metres, centimetres and millimetres as a crew writes them: `7.25 m`, `38.5 cm`, `4 mm`."""

from functools import lru_cache
from math import floor

MM_PER_FT = 304.8
MM_PER_IN = 25.4
_CM, _M = 10, 1000


def step_mm(denominator: int) -> int:
    """The marks of a metric tape that stand for 1/denominator inch: the coarsest of 1, 5 and 10 mm that isn't coarser than they are, so
    that no two lengths that are told apart in inches are one in metres.

    denominator: 1 or more. Returns 10 for whole and half inches, 5 for quarters (6.35 mm), 1 for all finer ones.
    Source: common practice, no source (marks of a tape).
    Valid for: fractions of an inch on a tape; 32nds and 64ths are read to the millimetre, for no metric tape is finer.
    """
    return 10 if denominator <= 2 else 5 if denominator == 4 else 1


def whole_mm(length_mm: float, step: int = 1) -> int:
    """A length to the nearest mark of so many millimetres, halves away from zero.

    length_mm: mm, finite. step: mm between two marks.
    Returns whole millimetres.
    Source: derived.
    Valid for: any finite length.
    """
    marks = floor(abs(length_mm) / step + 0.5 + 1e-7) * step
    return -marks if length_mm < 0 else marks


@lru_cache(maxsize=4096)
def metres_words(length_mm: int) -> str:
    """A length along the ground or up a post: from a metre on in metres, to the millimetre only where it isn't a whole centimetre.

    length_mm: whole mm. Returns `7.25 m`, `7.253 m`, `38.5 cm`, `4 mm`; `0 m` for none.
    Source: common practice, no source.
    Valid for: any whole number.
    """
    if abs(length_mm) < _M:
        return centimetres_words(length_mm) if length_mm else "0 m"
    return f"{length_mm / _M:.{3 if length_mm % _CM else 2}f} m"


def centimetres_words(length_mm: int) -> str:
    """A depth, a width, a gap: in centimetres however long, under two in millimetres.

    length_mm: whole mm. Returns `121.9 cm`, `38 cm`, `13 mm`; `0 cm` for none.
    Source: common practice, no source.
    Valid for: any whole number.
    """
    if 0 < abs(length_mm) < 2 * _CM:
        return f"{length_mm} mm"
    return f"{length_mm / _CM:.1f} cm" if length_mm % _CM else f"{length_mm // _CM} cm"
