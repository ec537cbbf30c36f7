"""The large libraries come when they are first used, and are the ones anybody imports then."""

import subprocess
import sys

from tests.source import ROOT

SCRIPT = """
import sys
from engine.calc.large_libraries import np, shapely

print("numpy" in sys.modules, "shapely" in sys.modules)
spot = shapely.Point(3.0, 4.0)
import numpy
import shapely as imported
print(np.hypot is numpy.hypot, isinstance(spot, imported.Point), shapely.ops is imported.ops)
print(hasattr(np, "no_such_name"))
"""


def test_a_library_is_there_once_something_of_it_is_used() -> None:
    done = subprocess.run([sys.executable, "-c", SCRIPT], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "False False\nTrue True True\nFalse\n"
