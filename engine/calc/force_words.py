"""Forces, weights, winds and temperatures in words: pounds, miles an hour and degrees Fahrenheit, or newtons, kilograms, kilometres an
hour and degrees Celsius where metres are in force."""

from math import isfinite
from typing import NamedTuple

from engine.calc.units import metric


class MetricUnit(NamedTuple):
    """What a unit is where metres are in force: its name, how many of it one is, and what is taken off first."""

    name: str
    factor: float
    less: float = 0.0


OF_UNIT = {
    "lb": MetricUnit("kg", 0.45359237),
    "lbf": MetricUnit("N", 4.4482216152605),
    "mph": MetricUnit("km/h", 1.609344),
    "F": MetricUnit("°C", 5 / 9, 32.0),
    "psi": MetricUnit("MPa", 0.0068947572931684),
    "plf": MetricUnit("kg/m", 0.45359237 / 0.3048),
    "psf": MetricUnit("kg/sq m", 0.45359237 / 0.3048**2),
}
"""By what a field ends in. Source: NIST Special Publication 811 (2008), appendix B; from memory."""
NAMED = {
    "lb": ("lb",), "lbf": ("lb", "lbf"), "mph": ("mph",), "F": ("F", "°F"), "psi": ("psi",), "plf": ("lb/ft",), "psf": ("psf",),
}  # fmt: skip
"""How the units of files may be named behind a number."""
PLACES = 6
"""Decimals that a file keeps of what was typed in a metric unit: enough that it is shown as it was typed."""
SHOWN_PLACES = 3


def unit_shown(unit: str, otherwise: str = "") -> str:
    """What a unit is called where metres are in force.

    unit: what a field ends in, such as "lbf". otherwise: its name where feet are, or where it is no unit of these; empty for `unit`.
    Returns the name.
    Source: common practice, no source.
    Valid for: any text.
    """
    return OF_UNIT[unit].name if metric() and unit in OF_UNIT else otherwise or unit


def amount_shown(amount: float, unit: str) -> float:
    """An amount of a unit as a number of the one in force, to a thousandth where it was worked out.

    amount: finite. unit: what its field ends in. Returns the number.
    Source: NIST Special Publication 811 (2008), appendix B; from memory.
    Valid for: any unit; one without another name where metres are in force is left as it is.
    """
    if not metric() or unit not in OF_UNIT:
        return amount
    return round((amount - OF_UNIT[unit].less) * OF_UNIT[unit].factor, SHOWN_PLACES) + 0.0


def amount_typed(text: str, unit: str) -> float | str:
    """What was typed as the amount that a file keeps: a bare number is of the unit in force, one may be named; `amount_shown` gives back
    what was typed with up to three decimals.

    text: what was typed, such as `145`, `145 km/h` or `90 mph`. unit: what its field ends in.
    Returns the amount; the text itself where it needs no change, or where it is none, for whoever reads it then to refuse.
    Source: NIST Special Publication 811 (2008), appendix B; from memory.
    Valid for: any text and unit.
    """
    if unit not in OF_UNIT:
        return text
    for name in ("", *NAMED[unit], OF_UNIT[unit].name):
        number = _number(text.strip().removesuffix(name)) if text.strip().endswith(name) else None
        if number is None or (not name and not metric()):
            continue
        return number if name in NAMED[unit] else round(number / OF_UNIT[unit].factor + OF_UNIT[unit].less, PLACES)
    return text


def _number(text: str) -> float | None:
    """A finite number, its decimals behind a point or a comma."""
    try:
        number = float(text.replace(",", ".", 1))
    except ValueError:
        return None
    return number if isfinite(number) else None


def pull_words(force_lbf: float) -> str:
    """A force to the pound or the newton: `130 lb`, `578 N`.

    force_lbf: pounds-force, finite.
    Returns the force with its unit.
    Source: common practice, no source.
    Valid for: any finite force.
    """
    return f"{pull_figure(force_lbf)} {'N' if metric() else 'lb'}"


def pull_figure(force_lbf: float) -> str:
    """The figure of `pull_words`, without its unit.

    force_lbf: pounds-force, finite.
    Returns the figure.
    Source: common practice, no source.
    Valid for: any finite force.
    """
    return f"{amount_shown(force_lbf, 'lbf'):.0f}"


def lean_words(force_lbf: float) -> str:
    """A force that somebody chose, with as many figures as it has: `62.5 lb`; to the newton where metres are in force.

    force_lbf: pounds-force, finite.
    Returns the force with its unit.
    Source: common practice, no source.
    Valid for: any finite force.
    """
    return pull_words(force_lbf) if metric() else f"{force_lbf:g} lb"


def weight_words(weight_lb: float, places: int | None = None) -> str:
    """What weighs so much: `60 lb`, `27.2 kg`.

    weight_lb: pounds, 0 or more. places: decimals of the pounds; None for as many as there are. Kilograms have three figures.
    Returns the weight with its unit.
    Source: common practice, no source.
    Valid for: any finite weight.
    """
    if not metric():
        return f"{weight_lb:g} lb" if places is None else f"{weight_lb:.{places}f} lb"
    weight_kg = amount_shown(weight_lb, "lb")
    return f"{f'{weight_kg:.3g}' if weight_kg < 99.95 else f'{weight_kg:.0f}'} kg"


def wind_words(wind_mph: float, places: int | None = None) -> str:
    """A wind: `90 mph`, `145 km/h`.

    wind_mph: miles an hour, 0 or more. places: decimals of the miles; None for as many as there are. Kilometres are whole.
    Returns the wind with its unit.
    Source: common practice, no source.
    Valid for: any finite wind.
    """
    return f"{wind_figure(wind_mph, places)} {unit_shown('mph')}"


def wind_figure(wind_mph: float, places: int | None = None) -> str:
    """The figure of `wind_words`, without its unit.

    wind_mph, places: as in `wind_words`.
    Returns the figure.
    Source: common practice, no source.
    Valid for: any finite wind.
    """
    if metric():
        return f"{amount_shown(wind_mph, 'mph'):.0f}"
    return f"{wind_mph:g}" if places is None else f"{wind_mph:.{places}f}"


def degrees_words(day_F: float) -> str:
    """How warm a day is: `110°`, `43°C`.

    day_F: degrees Fahrenheit.
    Returns the temperature.
    Source: common practice, no source.
    Valid for: any temperature.
    """
    return f"{amount_shown(day_F, 'F'):.0f}°C" if metric() else f"{day_F:g}°"
