"""Pacing: how long a step is by counts over a taped length, and between what bounds a paced length lies."""

from collections.abc import Sequence
from math import cos, inf, pi, sin, sqrt, tan
from typing import NamedTuple

from engine.calc.limits import OutOfRange, require_positive
from engine.calc.roots import rising_root

NINE_IN_TEN = 0.9
"""Share of paced lengths that lie between the bounds that are told."""
_NORMAL = 1.6448536269514722
"""How many standard errors hold nine in ten either way of the middle. Source: any table of the normal distribution, from memory."""
_WHOLE_STEP = 1 / sqrt(12)
"""Standard error of a count told to the whole step. Source: closed form, the standard deviation of a uniform distribution one wide."""


class StepLength(NamedTuple):
    """A step by its calibration: mean length, and the scatter of one count of about `steps` steps as a share of it. `counts` is how often
    it was counted; with one count the scatter is a judgement."""

    mean_ft: float
    scatter: float
    steps: float
    counts: int


def step_length(taped_ft: float, counts: Sequence[float], judged_scatter: float) -> StepLength:
    """A step's mean length and scatter from counts of steps over one taped length.

    taped_ft: the taped length, ft, over 0. counts: single steps each time, one or more, each over 0. judged_scatter: standard error of one
    count as a share of it, taken where there is only one count.
    Returns: StepLength; counts are told to the whole step, so the scatter is never less than the rounding of that.
    Raises: OutOfRange without a length or a count.
    Source: US Army map-reading manual, pace count: the taped course over the mean count; sample standard deviation, closed form.
    Valid for: counts by one person over ground like the job's.
    """
    require_positive(taped_ft=taped_ft, counts=min(counts, default=0.0))
    mean = sum(counts) / len(counts)
    squares = sum((count - mean) ** 2 for count in counts)
    scatter = max(sqrt(squares / (len(counts) - 1)), _WHOLE_STEP) / mean if len(counts) > 1 else judged_scatter
    return StepLength(taped_ft / mean, scatter, mean, len(counts))


def paced_share(step: StepLength, paces: float) -> float:
    """How far a paced length may be off either way, as a share of it: nine in ten lie inside.

    The error of the mean step and of the count itself by propagation of error: scatter² (1/n + 1), times more where fewer steps are counted
    than over the taped length, whose scatter evens out less. For n counts that is the prediction interval of Student's t at n - 1 degrees
    of freedom; with one count, whose scatter is a judgement, that of the normal distribution.
    step: of `step_length`. paces: single steps counted, over 0.
    Returns: a share, over 0, as large as it comes out.
    Raises: OutOfRange without paces.
    Source: closed form: prediction interval of one more observation from a normal sample; propagation of error to the first order.
    Valid for: steps like those of the calibration; scatter well under the length.
    """
    require_positive(paces=paces)
    wide = _NORMAL if step.counts < 2 else student_t(step.counts - 1)
    return wide * step.scatter * sqrt(1 / step.counts + max(1.0, step.steps / paces))


def student_t(freedom: int) -> float:
    """Half width that holds nine in ten of Student's t distribution.

    freedom: degrees of freedom, 1 or more.
    Returns: standard errors either way of the middle.
    Raises: OutOfRange below 1 degree.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4, from memory.
    Valid for: whole degrees of freedom.
    """
    if not 1 <= freedom < inf:
        raise OutOfRange("freedom", freedom, "1 or more", "degrees of freedom")
    angle = rising_root(lambda theta: _within(theta, freedom) - NINE_IN_TEN, 0.0, pi / 2)
    return sqrt(freedom) * tan(angle)


def _within(theta: float, freedom: int) -> float:
    """Share of the distribution within tan(theta) sqrt(freedom) of the middle: a finite series by odd or even degrees."""
    even = freedom % 2 == 0
    term, total = (1.0 if even else cos(theta)), 0.0
    for n in range(1 if even else 2, freedom, 2):
        total += term
        term *= cos(theta) ** 2 * n / (n + 1)
    return sin(theta) * total if even else (theta + sin(theta) * total) * 2 / pi
