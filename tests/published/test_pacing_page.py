"""UK navigation-skills page (smw-ab): 62 double paces to 100 m, so 450 m is 4 x 62 + 31 = 279 double paces."""

import pytest

from engine.calc.lengths import parse_length_ft
from engine.calc.measuring.taping import paced_ft


@pytest.mark.published
def test_279_double_paces_are_450_m() -> None:
    assert paced_ft(279, parse_length_ft("100 m") / 62) == pytest.approx(parse_length_ft("450 m"), abs=1e-9)
