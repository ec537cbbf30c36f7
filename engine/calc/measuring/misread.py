"""What a reading may have been before it was written down wrong."""

from itertools import pairwise

from engine.calc.limits import require_within


def swapped_figures(reading: float) -> tuple[float, ...]:
    """What a reading would be with two neighbouring figures swapped, as 57.4 for 75.4 and 41.36 for 41.63.

    Zeros after the last decimal aren't written. A reading of more than two decimals wasn't written so: it is feet and inches, and only
    its whole feet are turned.

    reading: as it was written, in any unit, 0 to 1,000,000.
    Returns different values, left figures first, none of them the reading, none of them 0.
    Raises OutOfRange outside that.
    Source: derived: every swap of two figures side by side.
    Valid for: readings of up to two decimals, or in feet and inches.
    """
    require_within(0, 1e6, "a reading of a crew", reading=reading)
    written = f"{reading:.2f}".rstrip("0").rstrip(".")
    whole, part = (written, 0.0) if abs(float(written) - reading) < 1e-9 else (f"{int(reading)}", reading % 1)
    places = [n for n, figure in enumerate(whole) if figure != "."]
    turned = [whole[:a] + whole[b] + whole[a + 1 : b] + whole[a] + whole[b + 1 :] for a, b in pairwise(places)]
    found = dict.fromkeys(round(float(text) + part, 6) for text in turned)
    return tuple(value for value in found if value > 0 and abs(value - reading) > 1e-6)
