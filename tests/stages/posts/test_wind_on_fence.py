"""Wind on fabric, lap, cables, gate and post of a fence as it hangs."""

from typing import Any

import pytest

from engine.calc.statics.blown_fence import Push
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.stages.posts.heights import bay_heights
from engine.stages.posts.stage import posts
from engine.stages.posts.wind_on_fence import FenceWind, bay_wind, fence_wind, half_bay, wind_on_post
from tests.stages.layouts import Spot, layout_of, row, survey_of

PLAIN = FenceWind(wire_psf=1.0, mesh_psf=2.0, mesh_ft=4.0, cable_plf=0.1, post_plf=1.5)


def wind_of(**tables: Any) -> FenceWind | None:
    job = Job.model_validate(tables)
    return fence_wind(job.fence, job.rules.cables.exposure, stock_of(job.stock))


@pytest.mark.closed_form
def test_a_hundred_miles_an_hour_on_each_part() -> None:
    """0.00256 Kz 0.85 x 100^2, Kz 0.5747; x 0.85 x coefficient x solid share, or x thickness in feet."""
    pressure = 0.85 * 0.00256 * 2.01 * (15 / 1200) ** (2 / 7) * 0.85 * 100**2
    wire, mesh = 1 - (1 - 0.08 / 2) * (1 - 0.08 / 4), 1 - (1 - 0.06 / 1.75) ** 2

    assert wind_of() == pytest.approx(
        (pressure * 1.2 * wire, pressure * 2.0 * mesh, 4.0, pressure * 1.2 * 0.09375 / 12, pressure * 1.2 * 1.625 / 12)
    )


@pytest.mark.parametrize("lacks", ["wire_in", "pitch_in"])
@pytest.mark.parametrize("fabric", ["wire", "mesh"])
def test_fabric_whose_wire_or_pitch_nobody_knows_has_no_wind(fabric: str, lacks: str) -> None:
    sizes = {"wire_in": 0.08, "pitch_in": 2.0}
    del sizes[lacks]
    assert wind_of(fence={fabric: "own"}, stock={"own": {"kind": fabric, "width_in": 48, **sizes}}) is None


@pytest.mark.closed_form
def test_the_lap_and_the_cables_are_in_it() -> None:
    """Eyes at 3 and 6 ft: mesh from 6 down to 2 ft, wire from 3 ft to the ground, 0.1 lb/ft on either cable."""
    assert bay_wind(PLAIN, 3.0, 6.0) == pytest.approx((3 + 0.1, 3 + 2 * 2.5 / 3 + 1.5 + 0.1, 2 * 0.5 / 3 + 1.5))


@pytest.mark.closed_form
def test_a_post_carries_half_of_every_bay_and_gate_and_itself() -> None:
    """20 ft either side; a gate of 6 ft gives what would go to the ground to its posts as well."""
    job = Job.model_validate({"gates": {"G": {"line": "north", "station_ft": 40}}, "rules": {"posts": {"cap_in": 0}}})
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 40, kind="gate"), Spot("P4", 46, kind="gate")]
    layout = layout_of({"north": spots}, {"P3-P4": "G"})
    hangs = bay_heights(job, layout)
    top, bottom, ground = bay_wind(PLAIN, 3.0, 6.0)
    beside = {name: [bay for bay in layout.bays.values() if name in (bay.from_id, bay.to_id)] for name in layout.supports}
    found = {name: wind_on_post(PLAIN, 50.0, 6.0, [(bay, hangs[bay.id]) for bay in bays]) for name, bays in beside.items()}

    bending, own = top * 6 + bottom * 3, Push(1.5 * 6, 1.5 * 18)
    assert found["P2"] == pytest.approx(((20 * (top + bottom) + own[0]) / 4, (20 * bending + own[1]) / 4))
    assert found["P3"] == pytest.approx(((13 * (top + bottom) + 3 * ground + own[0]) / 4, (13 * bending + own[1]) / 4))
    assert half_bay(PLAIN, layout.bays["P1-P2"], hangs["P1-P2"]).height_ft == pytest.approx(bending / (top + bottom))


def test_trees_and_walls_are_not_asked() -> None:
    layout = layout_of(
        {"north": [Spot("P1", 0, kind="end", support="structure"), Spot("P2", 20, support="tree"), Spot("P3", 40, kind="end")]}
    )
    assert list(posts(Job(), survey_of(layout), layout).winds) == ["P3"]


def test_no_wind_is_no_push() -> None:
    layout = layout_of({"north": row(3, 20.0)})
    calm = Job.model_validate({"rules": {"cables": {"wind_mph": 0}}})
    found = posts(calm, survey_of(layout), layout).winds
    assert found["P2"] == (0, 0)
    assert found["P2"].height_ft == 0
