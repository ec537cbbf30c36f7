"""Lengths and angles as people write them: the one place that parses and prints them."""

from __future__ import annotations

import math
import re
import unicodedata
from functools import lru_cache

from engine.calc.metric_lengths import MM_PER_FT, MM_PER_IN, centimetres_words, metres_words, step_mm, whole_mm
from engine.calc.typed_length import TypedLength
from engine.calc.units import LengthUnit, bare_unit, metric

MAX_LENGTH_FT = 52_800.0
"""Ten miles: a longer length in a yard job is a slip of the keyboard."""

_M_PER_FT = 0.3048
_FT_PER_UNIT = {"ft": 1.0, "in": 1 / 12, "m": 1 / _M_PER_FT, "cm": 0.01 / _M_PER_FT, "mm": 0.001 / _M_PER_FT}
_DENOMINATORS = (1, 2, 4, 8, 16, 32, 64)
_LONGEST_TEXT = 60

_LOOKALIKES = str.maketrans(
    dict.fromkeys("′’‘ʹ´`", "'") | dict.fromkeys("″”“ʺ", '"') | dict.fromkeys("−–", "-") | {"⁄": "/"} | dict.fromkeys("º˚", "°")
)

_NUMBER = r"[0-9]+[- ][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*|\.[0-9]+"
_IN_MARK = r"\"|inches|inch|in\.?"
_FEET_AND_INCHES = re.compile(rf"(?P<feet>{_NUMBER}) ?(?:'|feet|foot|ft\.?)(?:[- ]?(?P<inches>{_NUMBER}) ?(?:{_IN_MARK})?)?")
_FEET_UNMARKED = re.compile(rf"(?P<feet>[0-9]+\.?[0-9]*)[- ](?P<inches>[0-9]+\.?[0-9]*(?:[- ][0-9]+/[0-9]+)?) ?(?:{_IN_MARK})?")
_ONE_UNIT = re.compile(rf"(?P<number>{_NUMBER}) ?(?:(?P<inches>{_IN_MARK})|(?P<metric>mm|cm|m))?")

_METRIC = ("m", "cm", "mm")
_DECIMAL = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_COMMA_IN_NUMBER = re.compile("(?<=[0-9]),(?=[0-9])")
_DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]+ ?(?:m|cm)?")

_PART = r"[0-9]+(?:\.[0-9]*)?"
_ANGLE = re.compile(rf"({_PART})(?: ?(?:°|deg)|(?: ?(?:°|deg) ?| )({_PART})(?: ?'|(?: ?' ?| )({_PART})(?: ?\")?)?)?")
_QUADRANT = re.compile(r"([ns]) ?([^nsew]+?) ?([ew])")


class LengthError(ValueError):
    """A length that can't be read or printed; the message is one sentence for the crew."""


class AngleError(ValueError):
    """A bearing or an angle that can't be read or printed; the message is one sentence for the crew."""


def parse_length_ft(text: str, bare: LengthUnit = "ft") -> float:
    """Length in feet from trade notation.

    Reads feet and inches (`23' 4 1/2"`, `5ft 2in`, `3' 6`), one unit (`7.5 ft`, `4 in`, `7 m`, `35 cm`, `350 mm`) or a
    bare number, mixed number or fraction in the unit `bare`. Two whole numbers without a mark are feet and inches in any
    place: `22 4`, `22 4 3/8`, `22-4-3/8`. One and a fraction are one number in the unit `bare`: `22 1/2`; with a hyphen,
    `22-1/2`, they are that in a place for inches, and refused in one for feet, where it may be read two ways.
    Curly quotes, primes and fraction characters are read as their plain forms; a leading minus covers the whole length.
    Inches after feet stay under 12. Where metres are in force a bare number in a place for feet is metres and in one for inches
    centimetres, its decimals may stand behind a comma, and two numbers without a mark are refused, for they may be read two ways.

    text: what was written, at most 60 characters. bare: unit of a number without a mark, "ft" or "in".
    Returns feet, -52,800 to 52,800; what was typed in metric units keeps that (`TypedLength`).
    Raises LengthError for anything else.
    Source: common practice, no source (tape notation); 85 FR 62698, 5 Oct 2020 (1 ft = 0.3048 m exactly).
    Valid for: lengths up to 10 miles either way.

    >>> parse_length_ft("5' 3\\"")
    5.25
    """
    plain = _plain(text)
    if not plain:
        raise LengthError(f"No length was written: write one like {_like()}.")
    body = plain.removeprefix("-").lstrip().replace(" - ", "-")
    if metric() and _DECIMAL_COMMA.fullmatch(body):
        body = body.replace(",", ".")
    kept = ""
    short = len(text) <= _LONGEST_TEXT  # in a long one no pattern is sought: that takes the cube of its length
    two_units = short and (_FEET_AND_INCHES.fullmatch(body) or _FEET_UNMARKED.fullmatch(body))
    one_unit = _ONE_UNIT.fullmatch(body) if short else None
    if not (two_units or one_unit):
        raise LengthError(f"{_shown(text)} is not a length: write it like {_like(others=True)}.")
    if two_units:
        if metric() and not _FEET_AND_INCHES.fullmatch(body):
            raise LengthError(f"{_shown(text)} has no unit: write it like {_like(others=True)}.")
        length_ft = _feet_and_inches_ft(two_units["feet"], two_units["inches"], text)
    else:
        assert one_unit is not None
        unit = "in" if one_unit["inches"] else one_unit["metric"] or bare_unit(bare)
        if body == one_unit["number"] and "-" in body and bare == "ft":
            raise _two_readings(body, text)
        length_ft = _number(one_unit["number"], text) * _FT_PER_UNIT[unit]
        kept = f"{one_unit['number']} {unit}" if unit in _METRIC and _DECIMAL.fullmatch(one_unit["number"]) else ""
    if length_ft > MAX_LENGTH_FT:
        raise LengthError(f"{_shown(text)} is over {'16 km' if metric() else '10 miles'}: write a length on the site, like {_like()}.")
    minus = plain.startswith("-") and length_ft != 0
    length_ft = -length_ft if minus else length_ft
    return TypedLength(length_ft, f"{'-' if minus else ''}{kept}") if kept else length_ft


def _like(others: bool = False) -> str:
    """A length as an example."""
    if metric():
        return "7.25 m, 38 cm or 380 mm" if others else "7.25 m"
    return "23' 4 1/2\", 22 1/2 in or 7 m" if others else "23' 4 1/2\""


def format_ft_in(length_ft: float, denominator: int = 8) -> str:
    """Length in tape notation: feet and inches to the nearest 1/denominator inch.

    Halves round away from zero, fractions are reduced, a full 12 inches carries to the next foot, and below one foot
    only inches are written (above it `3' 0 1/2"` keeps its 0, so that the fraction is not taken for feet). Where metres are in force,
    metres from one metre on, else centimetres, to marks no coarser than those (`step_mm`).

    length_ft: feet, finite. denominator: 1, 2, 4, 8, 16, 32 or 64.
    Returns text that `parse_length_ft` reads back.
    Raises LengthError outside those.
    Source: common practice, no source.
    Valid for: any finite length.

    >>> format_ft_in(23.375)
    '23\\' 4 1/2"'
    """
    if metric():
        return metres_words(_mm(length_ft * MM_PER_FT, denominator))
    return _feet_inches(_ticks(length_ft * 12, denominator), denominator)


@lru_cache(maxsize=4096)
def _feet_inches(ticks: int, denominator: int) -> str:
    feet, rest = divmod(abs(ticks), 12 * denominator)
    sign = "-" if ticks < 0 else ""
    inches = _inches(rest, denominator)
    if not feet:
        return f'{sign}{inches}"'
    return f"{sign}{feet}' {'0 ' if 0 < rest < denominator else ''}{inches}\""


def format_in(length_in: float, denominator: int = 8) -> str:
    """Length in inches to the nearest 1/denominator inch.

    Halves round away from zero; fractions are reduced; feet are never split off. Centimetres where metres are in force.

    length_in: inches, finite. denominator: 1, 2, 4, 8, 16, 32 or 64.
    Returns text such as `22 1/2"`.
    Raises LengthError outside those.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    if metric():
        return centimetres_words(_mm(length_in * MM_PER_IN, denominator))
    ticks = _ticks(length_in, denominator)
    return f'{"-" if ticks < 0 else ""}{_inches(abs(ticks), denominator)}"'


def format_ft(length_ft: float) -> str:
    """Length in decimal feet, such as `26.2 ft`, or to the centimetre where metres are in force.

    A length that rounds to nothing is written without a sign.

    length_ft: feet, finite.
    Returns text that `parse_length_ft` reads back.
    Raises LengthError where it isn't.
    Source: common practice, no source.
    Valid for: any finite length.
    """
    if not math.isfinite(length_ft):
        raise LengthError(f"A length of {length_ft} ft can't be written: it must be a finite number, like 26.2.")
    if metric():
        return metres_words(_mm(length_ft * MM_PER_FT, 1))
    return f"{round(length_ft, 1) or 0.0:.1f} ft"


def understood(length_ft: float, unit: LengthUnit = "ft") -> str:
    """A length that was read, as it is shown back: `= 22' 4 3/8"`; `about 22' 4 5/16"` where no mark of a tape gives it exactly.

    Exact to 1/64 inch where that is exact, else to the nearest 1/16; where metres are in force, to the millimetre. The words after `=` or
    `about` read back to it, to a millionth of an inch or to 1/32 inch.

    length_ft: feet, finite. unit: "ft" for feet and inches, "in" for inches alone.
    Returns one line.
    Raises LengthError for a length that isn't finite.
    Source: common practice, no source (a tape's finest marks are sixteenths).
    Valid for: any finite length.

    >>> understood(22.36)
    'about 22\\' 4 5/16"'
    """
    if metric():
        length_mm = length_ft * MM_PER_FT
        whole = math.isfinite(length_mm) and abs(length_mm - round(length_mm)) < 1e-6 * MM_PER_IN
        return f"{'=' if whole else 'about'} {format_in(length_ft * 12) if unit == 'in' else format_ft_in(length_ft)}"
    in_64ths = length_ft * 12 * 64
    exact = math.isfinite(in_64ths) and abs(in_64ths - round(in_64ths)) < 64e-6
    denominator = 64 if exact else 16
    written = format_in(length_ft * 12, denominator) if unit == "in" else format_ft_in(length_ft, denominator)
    return f"{'=' if exact else 'about'} {written}"


def parse_azimuth_deg(text: str) -> float:
    """Azimuth in degrees, clockwise from north, from a quadrant bearing or a plain azimuth.

    Reads `S 68°05'35" W`, `N 45 30 E`, `N45E` (degrees, minutes and seconds from north or south towards east or west)
    and `226°54'23"` or `226.9`; `226,9` where metres are in force. NE = angle, SE = 180 - angle, SW = 180 + angle, NW = 360 - angle.

    text: what was written.
    Returns degrees, 0 <= azimuth < 360.
    Raises AngleError for anything else: a quadrant angle over 90°, an azimuth over 360°, minutes or seconds of 60 or more.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations" (bearing to azimuth).
    Valid for: every direction on the plane.

    >>> parse_azimuth_deg("S 45 30 W")
    225.5
    """
    plain = _COMMA_IN_NUMBER.sub(".", _plain(text)) if metric() else _plain(text)
    quadrant = _QUADRANT.fullmatch(plain)
    angle_deg = _angle_deg(quadrant[2] if quadrant else plain, text)
    limit_deg = 90 if quadrant else 360
    if angle_deg > limit_deg:
        rule = "a bearing stays within 90°, like S 68 05 35 W" if quadrant else "an azimuth stays within 360°, like 226.9"
        raise AngleError(f"{_shown(text)} isn't a direction: {rule}.")
    if not quadrant:
        return angle_deg % 360
    towards_north, towards_east = quadrant[1] == "n", quadrant[3] == "e"
    if towards_north:
        return angle_deg if towards_east else (360 - angle_deg) % 360
    return 180 - angle_deg if towards_east else 180 + angle_deg


def format_bearing(azimuth_deg: float) -> str:
    """Quadrant bearing to the whole second, such as `S 68°05'35" W`.

    Due east is written N 90 E, due west N 90 W, due south S 0 E.

    azimuth_deg: degrees clockwise from north, 0 to 360.
    Returns text that `parse_azimuth_deg` reads back.
    Raises AngleError outside 0 to 360.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations" (bearing to azimuth, turned round).
    Valid for: every direction on the plane.
    """
    if not 0 <= azimuth_deg <= 360:
        raise AngleError(f"An azimuth of {azimuth_deg}° can't be written as a bearing: it must be 0° to 360°.")
    quarter = 90 * 3600
    seconds = round(azimuth_deg * 3600) % (4 * quarter)
    if seconds <= quarter:
        return f"N {_dms(seconds)} E"
    if seconds <= 2 * quarter:
        return f"S {_dms(2 * quarter - seconds)} E"
    if seconds < 3 * quarter:
        return f"S {_dms(seconds - 2 * quarter)} W"
    return f"N {_dms(4 * quarter - seconds)} W"


def _plain(text: str) -> str:
    """Lower case, single blanks, and every look-alike mark or fraction character in its plain form."""
    spelled = "".join(map(_spelled, text.translate(_LOOKALIKES)))
    return " ".join(spelled.replace("''", '"').split()).lower()


def _spelled(character: str) -> str:
    if not unicodedata.decomposition(character).startswith("<fraction>"):
        return character
    return " " + unicodedata.normalize("NFKC", character).replace("⁄", "/")


def _shown(text: str) -> str:
    """The text as it may stand in a message: short, and nothing in it that a terminal would obey."""
    clean = "".join(character if character.isprintable() else "?" for character in text.strip())
    return clean if len(clean) <= _LONGEST_TEXT else clean[:_LONGEST_TEXT] + "..."


def _number(written: str, text: str) -> float:
    *whole, last = written.replace("-", " ").split()
    above, slash, below = last.partition("/")
    if slash and float(below) == 0:
        raise LengthError(f"{_shown(text)} divides by zero: write a fraction like 1/2.")
    part = float(above) / float(below) if slash else float(last)
    if whole and part >= 1:
        raise LengthError(f"{_shown(text)} has a fraction of 1 or more after a whole number: write it like 22 1/2.")
    return part + float(whole[0]) if whole else part


def _feet_and_inches_ft(feet_written: str, inches_written: str | None, text: str) -> float:
    feet = _number(feet_written, text)
    if inches_written is None:
        return feet
    inches = _number(inches_written, text)
    if feet % 1:
        raise LengthError(f"{_shown(text)} has part of a foot and inches too: write whole feet first, like 23' 4 1/2\".")
    if inches >= 12:
        raise LengthError(f"{_shown(text)} has 12 inches or more after the feet: carry them over, like 6' 2\" for 5' 14\".")
    return feet + inches / 12


def _two_readings(body: str, text: str) -> LengthError:
    whole, _, fraction = body.partition("-")
    return LengthError(f"{_shown(text)} may be {whole} {fraction} ft or {whole}' 0 {fraction}\": write it as one of them.")


def _mm(length_mm: float, denominator: int) -> int:
    """A length to the marks of a metric tape that stand for 1/denominator inch."""
    if not math.isfinite(length_mm):
        raise LengthError(f"A length of {length_mm} m can't be written: it must be a finite number, like 7.25.")
    return whole_mm(length_mm, step_mm(denominator))


def _ticks(length_in: float, denominator: int) -> int:
    """Signed count of 1/denominator inch, halves away from zero."""
    if not math.isfinite(length_in):
        raise LengthError(f"A length of {length_in} in can't be written: it must be a finite number, like 22.5.")
    if denominator not in _DENOMINATORS:
        raise LengthError(f"A tape has no 1/{denominator} inch marks: use 1, 2, 4, 8, 16, 32 or 64.")
    ticks = math.floor(abs(length_in) * denominator + 0.5)
    return -ticks if length_in < 0 else ticks


def _inches(ticks: int, denominator: int) -> str:
    whole, rest = divmod(ticks, denominator)
    if not rest:
        return str(whole)
    shared = math.gcd(rest, denominator)
    fraction = f"{rest // shared}/{denominator // shared}"
    return f"{whole} {fraction}" if whole else fraction


def _angle_deg(written: str, text: str) -> float:
    match = _ANGLE.fullmatch(written)
    if len(text) > _LONGEST_TEXT or not match:
        raise AngleError(f"{_shown(text)} is not a direction: write a bearing like S 68°05'35\" W or an azimuth like 226.9.")
    *larger, smallest = (part for part in match.groups() if part)
    if any(float(part) % 1 for part in larger):
        raise AngleError(f"{_shown(text)} has a decimal before the last part: write it like 226°54'23\" or 226.9.")
    if any(float(part) >= 60 for part in [*larger, smallest][1:]):
        raise AngleError(f"{_shown(text)} has 60 or more minutes or seconds: they stay under 60, like 226°54'23\".")
    return math.fsum(float(part) / scale for part, scale in zip([*larger, smallest], (1, 60, 3600), strict=False))


def _dms(seconds: int) -> str:
    minutes, second = divmod(seconds, 60)
    degree, minute = divmod(minutes, 60)
    return f"{degree}°{minute:02d}'{second:02d}\""
