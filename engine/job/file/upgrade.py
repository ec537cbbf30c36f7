"""From an older format to this one, a step a format: each step makes the tables of the next format from those of the one before.

A new minor format needs no step: what it adds has a default. A step is only ever added; the steps before it are never changed again.
"""

from collections.abc import Callable, Mapping
from typing import Any

from engine.job.model.job import FORMAT

Tables = dict[str, Any]
Step = Callable[[Tables], Tables]

STEPS: Mapping[int, Step] = {}
"""The step from each older format to the next one, by the older one's number. Format 1 is the first that was released."""


def upgraded(tables: Tables, steps: Mapping[int, Step] = STEPS, to: int = FORMAT) -> Tables:
    """The tables of a file in this program's format. Raises: KeyError where a step is missing, which is a fault of the program."""
    number = int(tables["format"])
    while number < to:
        tables = {**steps[number](tables), "format": number + 1}
        number += 1
    return tables
