"""Power-line textbook problem 15.3 with ice and wind (answers printed; bartleby copy). Kilograms-force, metres, degrees Celsius.

240 mm^2, 20 mm, 1.0 kg/m, ultimate 8,000 kg with a factor of 2, E 9,320 kg/mm^2, 1.0 cm of ice at 910 kg/m^3, wind 40 kg/m^2,
-5 to 65 degrees, 300 m. The book prints ten times the true growth of its metal, 18.44e-5; its answers follow from that.
"""

from math import hypot, pi

import pytest

from engine.calc.statics.cable_sag import parabola_sag_ft
from engine.calc.statics.elastic_cable import change_of_state_lbf, working_load_lbf
from engine.calc.statics.ice import radial_ice_plf

# On the calculation: no bay is 300 m long, and the book's own growth of the metal is ten times that of a job's cable.

pytestmark = pytest.mark.published


def test_still_air_after_ice_and_wind() -> None:
    """Published: 541.9 kg, 20.76 m."""
    ice = 910 * pi / 4 * (0.040**2 - 0.020**2)
    worst = hypot(1.0 + ice, 40 * 0.040)
    tension = change_of_state_lbf(working_load_lbf(8000, 2), 300, worst, 70, 9320 * 240, 18.44e-5, weight_after_plf=1.0)
    assert tension == pytest.approx(541.9, abs=0.05)
    assert parabola_sag_ft(1.0, 300, tension) == pytest.approx(20.76, abs=0.005)


def test_ice_of_a_centimetre() -> None:
    """Published: 0.8577 kg a metre, on 20 mm at 910 kg a cubic metre; here in pounds and feet."""
    plf = radial_ice_plf(20 / 25.4, 10 / 25.4, 910 * 0.3048**3 / 0.45359237)
    assert plf * 0.45359237 / 0.3048 == pytest.approx(0.8577, abs=0.00005)
