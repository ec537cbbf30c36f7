"""Lengths that stand in text in another way than on a tape: round ones, areas, ranges, scales, and those in fixed sentences."""

import re

from engine.calc.force_words import degrees_words, lean_words, weight_words
from engine.calc.lengths import LengthError, format_ft_in, format_in, parse_length_ft
from engine.calc.metric_lengths import MM_PER_FT, centimetres_words, whole_mm
from engine.calc.units import metric

_MM_PER_M = 1000
_M_PER_FT = MM_PER_FT / _MM_PER_M
_KPA_PER_PSF = 0.0478802589803358
"""Source: NIST Special Publication 811 (2008), appendix B; from memory."""
_ALSO = {
    "Feet east": "Metres east", "feet east": "metres east", "a few inches": "a few centimetres", "by inches": "by centimetres",
    "half an inch": "a centimetre", "weight (2 lb)": "weight (1 kg)",
}  # fmt: skip
"""Lengths without a figure, and what is rounder than its figure is, as they are said in metres."""
_NUMBER = r"\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?"
_IN_SENTENCE = re.compile(
    rf"(?<![\d/.])(?P<first>{_NUMBER})(?:(?P<between> to | and | or | x )(?P<last>{_NUMBER}))? (?P<unit>ft|in)\b(?! \d)"
)

_COMMAS, _COMMAS_IN_METRES = re.compile(","), re.compile("(?<![0-9]),|,(?![0-9])")
FROM = " from "
"""Between a tape and what it is taped from."""
A_LENGTH = "A number alone is feet: 2, 2' 6\", 30 in."


def round_length_words(length_ft: float, places: int = 0) -> str:
    """A length as a round figure: `1,240 ft`, `378.0 m`.

    length_ft: feet, finite. places: decimals of the feet; metres have one more.
    Returns the figure with its unit.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    return f"{round_figure(length_ft, places)} {'m' if metric() else 'ft'}"


def round_figure(length_ft: float, places: int = 0) -> str:
    """The figure of `round_length_words`, without its unit.

    length_ft: feet, finite. places: decimals of the feet; metres have one more.
    Returns the figure.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    return f"{length_ft * _M_PER_FT:,.{places + 1}f}" if metric() else f"{length_ft:,.{places}f}"


def plain_length(length_ft: float, places: int | None = None) -> str:
    """A length with the unit behind a plain number: `4 ft`, `3.5 ft`; `1.22 m` in metres.

    length_ft: feet, finite. places: decimals of the feet; None for as many as there are.
    Returns the length.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    if metric():
        return format_ft_in(length_ft)
    return f"{length_ft:g} ft" if places is None else f"{length_ft:,.{places}f} ft"


def plain_width(width_in: float) -> str:
    """A width with the unit behind a plain number: `6 in`, `5.5 in`; `14 cm` in metres.

    width_in: inches, finite.
    Returns the width.
    Source: common practice, no source.
    Valid for: any finite width.
    """
    return format_in(width_in) if metric() else f"{width_in:g} in"


def place_figure(length_ft: float) -> str:
    """How far east or north, to a hundredth of the unit that the head names; zero has no sign.

    length_ft: feet, finite.
    Returns the figure.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    return f"{round(length_ft * _M_PER_FT if metric() else length_ft, 2) + 0.0:.2f}"


def area_words(area_ft2: float) -> str:
    """An area as a round figure: `2,400 sq ft`, `223.0 sq m`.

    area_ft2: square feet, finite.
    Returns the figure with its unit.
    Source: common practice, no source.
    Valid for: any finite area.
    """
    return f"{area_figure(area_ft2)} sq {'m' if metric() else 'ft'}"


def area_figure(area_ft2: float) -> str:
    """The figure of `area_words`, without its unit.

    area_ft2: square feet, finite.
    Returns the figure.
    Source: common practice, no source.
    Valid for: any finite area.
    """
    return f"{area_ft2 * _M_PER_FT**2:,.1f}" if metric() else f"{area_ft2:,.0f}"


def limit_words(length_ft: float) -> str:
    """A limit as a crew says it: `25'`, not `25' 0"`; `7.62 m` in metres, for what is in force is nothing rounder.

    length_ft: feet, finite.
    Returns the limit.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    return f"{length_ft:.0f}'" if length_ft == round(length_ft) and not metric() else format_ft_in(length_ft)


def a_length() -> str:
    """What a number alone is in a place for feet, and what else may be written there.

    Returns one sentence.
    Source: common practice, no source.
    Valid for: any time.
    """
    return "A number alone is metres: 0.6, 60 cm, 600 mm." if metric() else A_LENGTH


def parting_commas() -> re.Pattern[str]:
    """What finds the commas that part one thing from the next; where metres are in force one between two digits is a decimal comma.

    Returns a pattern.
    Source: common practice, no source.
    Valid for: any text.
    """
    return _COMMAS_IN_METRES if metric() else _COMMAS


def range_words(low_in: float, high_in: float) -> str:
    """From one width or depth to another, the unit said once: `20 to 24"`, `50.8 to 61 cm`.

    low_in, high_in: inches, finite.
    Returns the range.
    Source: common practice, no source.
    Valid for: any two.
    """
    low, high = format_in(low_in), format_in(high_in)
    unit = " cm" if metric() else '"'
    return f"{low.removesuffix(unit) if high.endswith(unit) else low} to {high}"


def tape_words(words: str) -> str:
    """A tape as a record says it, `22' 4" from A`, in the units in force: records that were sealed before metres were shown hold feet.

    words: a length, ` from ` and a name; or anything else.
    Returns the words; unchanged where they are in those units or no tape.
    Source: derived.
    Valid for: any text.
    """
    tape = tape_parts(words) if metric() else None
    return words if tape is None or words.partition(FROM)[0].endswith("m") else f"{format_ft_in(tape[0])}{FROM}{tape[1]}"


def tape_parts(words: str) -> tuple[float, str] | None:
    """How long a tape of a record is and what it is taped from.

    words: as `tape_words` takes them.
    Returns feet and a name; None where they are no tape.
    Source: derived.
    Valid for: any text.
    """
    length, origin, name = words.partition(FROM)
    try:
        return (parse_length_ft(length), name) if origin else None
    except LengthError:
        return None


def said_in_units(text: str) -> str:
    """A fixed sentence in the units in force: `every 3 to 4 ft` is `every 91 cm to 1.22 m` in metres, rounded as sentences are.

    text: a sentence whose lengths are written as `3 ft`, `6 to 12 in`, `1 5/8 in`, weights as `2 lb`, forces as `50 lbf`, pressures as
    `750 psf`, a day's warmth as `15°F`.
    Returns the sentence; where feet are in force unchanged but for forces, which are pounds, and days.
    Source: common practice, no source.
    Valid for: sentences of the program; never for what people wrote.
    """
    plain = text
    for words, instead in _ALSO.items() if metric() else ():
        plain = plain.replace(words, instead)
    plain = re.sub(r"\b(\d+) (lbf?)\b", lambda found: (lean_words if found[2] == "lbf" else weight_words)(float(found[1])), plain)
    plain = re.sub(r"\b(\d+)°F", lambda found: degrees_words(float(found[1])), plain)
    if not metric():
        return plain
    plain = _IN_SENTENCE.sub(_metric, plain.replace(A_LENGTH, a_length()))
    return re.sub(r"\b(\d+) psf\b", lambda found: f"{float(found[1]) * _KPA_PER_PSF:.3g} kPa", plain)


def _metric(found: re.Match[str]) -> str:
    unit = "ft" if found["unit"] == "ft" else "in"
    words = [_one(number, unit) for number in (found["first"], found["last"]) if number]
    if len(words) == 1:
        return words[0]
    last_unit = words[1].rpartition(" ")[2]
    return f"{words[0].removesuffix(f' {last_unit}')}{found['between']}{words[1]}"


def _one(number: str, unit: str) -> str:
    """A round length of a sentence: three figures from a metre on, under it whole centimetres, under a tenth of it halves."""
    length_mm = parse_length_ft(f"{number} {unit}") * MM_PER_FT
    if length_mm >= _MM_PER_M:
        return f"{length_mm / _MM_PER_M:.3g} m"
    return centimetres_words(whole_mm(length_mm, 10 if length_mm >= 100 else 5 if length_mm >= 20 else 1))
