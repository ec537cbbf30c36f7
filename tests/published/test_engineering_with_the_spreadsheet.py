"""Engineering with the Spreadsheet, ASCE (2006), figure 16-1: pole embedment.

Load 0.51 kip (shown as 0.5), 4 ft up, 266 psf per ft, 1.0 ft wide.
"""

import pytest

from engine.calc.statics.embedment import nonconstrained_depth_ft

# On the calculation: 266 psf per ft is no soil class that a job may name, and no fence pulls a post by 510 lb at 4 ft.

pytestmark = pytest.mark.published


def test_free_at_the_ground() -> None:
    assert nonconstrained_depth_ft(510, 4, 1.0, 266) == pytest.approx(5.02, abs=0.005)
