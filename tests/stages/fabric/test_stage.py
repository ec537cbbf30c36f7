"""Wire and mesh: cuts, rolls, rings and ties of each loop, and the apron the ground leaves along every bay."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import Fabric, fabric
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from tests.stages.layouts import Spot, layout_of, row, survey_of

TIGHT = {"rules": {"cables": {"tension_lbf": 1000}}}


def hung(layout: Layout, ground: dict[str, Profile] | None = None, **tables: Any) -> Fabric:
    job = Job.model_validate(tables)
    survey = survey_of(layout, ground)
    work = posts(job, survey_of(layout), layout)
    return fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))


def dip(deep_ft: float, **tables: Any) -> Fabric:
    """One 20 ft bay over a V that is deepest in the middle, pulled so tight that sag hardly counts."""
    ground = {"north": Profile((0.0, 10.0, 20.0), (0.0, -deep_ft, 0.0))}
    return hung(layout_of({"north": row(2, 20.0)}), ground, **{**TIGHT, **tables})


@pytest.mark.closed_form
def test_a_flat_loop_is_cut_and_ringed() -> None:
    """60 ft: 6 in over; rings 60/3 + 1, 60/2.5 + 1, 60/3 + 1; ties at both ends, 6/1 + 1 each."""
    result = hung(layout_of({"north": row(4, 20.0)}))

    (loop,) = result.loops.values()
    assert (loop.wire_cut_ft, loop.mesh_cut_ft) == pytest.approx((60.5, 60.5))
    assert (loop.cable_rings, loop.mesh_rings, loop.seam_rings, loop.corner_ties) == (21, 25, 21, 14)
    assert (result.rings, result.ties) == (67, 14)
    assert (result.wire_width_in, result.mesh_width_in) == (48.0, 48.0)
    assert result.lap_in == pytest.approx(48 - (71.75 - 36))
    assert [(roll.piece_ids, roll.left) for roll in result.wire_rolls.rolls] == [(("L1",), pytest.approx(39.5))]
    assert result.findings == ()


@pytest.mark.closed_form
def test_rings_go_up_every_splice_and_where_two_loops_lap() -> None:
    """Fabric 4 ft high takes 5 rings up a splice, one a foot. Two loops of 60 ft lap once, in wire and in mesh; 40 ft rolls splice each."""
    row_of_seven = layout_of({"north": row(7, 20.0)})
    assert [loop.splice_rings for loop in hung(row_of_seven).loops.values()] == [0, 10]

    short = {"stock": {"wire-48": {"length_ft": 45}}}
    assert [loop.splice_rings for loop in hung(row_of_seven, **short).loops.values()] == [5, 15]


@pytest.mark.closed_form
def test_the_apron_is_what_does_not_hang_from_the_sagging_cable() -> None:
    """48 in of wire from a 3 ft eye; sag w L^2 / 8 T = 0.016 x 20^2 / (8 x 50) = 0.016 ft at mid-bay, 3/4 of it at a quarter."""
    apron = hung(layout_of({"north": row(2, 20.0)})).bays["P1-P2"]

    assert apron.stations_ft == tuple(float(foot) for foot in range(21))
    assert apron.height_in[10] == pytest.approx(36 - 12 * 0.016, abs=1e-6)
    assert apron.apron_in[5] == pytest.approx(12 + 0.75 * 12 * 0.016, abs=1e-6)
    assert (apron.least_apron_in, apron.least_at_ft, apron.short, apron.infill_ft) == (pytest.approx(12.0), 0.0, (), 0)


def test_the_ground_is_looked_at_every_foot_and_every_break() -> None:
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 4.5, kind="end")]})

    apron = hung(layout, {"north": Profile((0.0, 2.3, 4.5), (0.0, -0.2, 0.0))}).bays["P1-P2"]

    assert apron.stations_ft == (0.0, 1.0, 2.0, 2.3, 3.0, 4.0, 4.5)
    assert apron.least_at_ft == 2.3


@pytest.mark.closed_form
def test_a_dip_takes_the_apron_where_it_is_deeper_than_six_inches() -> None:
    """12 in of apron less 1.2 in a foot: under 6 in between 5 and 15 ft."""
    result = dip(1.0)
    apron = result.bays["P1-P2"]

    ((start, end, least_in, _),) = apron.short
    assert (start, end) == (pytest.approx(5.0, abs=0.02), pytest.approx(15.0, abs=0.02))
    assert least_in == apron.least_apron_in == pytest.approx(0.0, abs=0.02)
    assert apron.infill_ft == pytest.approx(10.0, abs=0.03)


def test_a_short_apron_wants_an_infill_piece() -> None:
    result = dip(0.75)

    assert [(str(f.key), f.level, f.says, f.do) for f in result.findings if f.stage == "fabric"] == [
        (
            "apron_short:P1-P2",
            "fix",
            'Between P1 and P2 the apron is 3" at 10\' 0", under the 6" rule.',
            'Ring in an infill piece 6\' 8" long and 7" wide from 6\' 8", or fill the dip.',
        )
    ]
    assert "fabric.P1-P2.infill" in [str(item.key) for item in result.items]


def test_a_hole_under_the_wire_stops_the_job() -> None:
    result = dip(1.5)

    (finding,) = result.findings
    assert (str(finding.key), finding.level) == ("hole_under_wire:P1-P2", "stop")
    assert finding.says == 'Between P1 and P2 the wire hangs 6" over the ground at 10\' 0".'
    assert finding.do == 'Ring in an infill piece 13\' 4" long and 16" wide from 3\' 4", or fill the dip.'


@pytest.mark.parametrize("key", ["fabric.P1-P2.infill", "staking.P1-P2.dips_filled"])
def test_a_filled_bay_is_told_no_more_but_still_asked(key: str) -> None:
    tick = {"at": "2026-04-02T09:00:00Z", "by": "Lee"}

    result = dip(1.5, checks={key: tick})

    assert result.findings == ()
    assert "fabric.P1-P2.infill" in [str(item.key) for item in result.items]


def test_two_dips_in_one_bay_are_two_stretches_and_one_finding() -> None:
    ground = {"north": Profile((0.0, 5.0, 10.0, 15.0, 20.0), (0.0, -1.0, 0.0, -0.8, 0.0))}

    result = hung(layout_of({"north": row(2, 20.0)}), ground, **TIGHT)

    assert [len(bay.short) for bay in result.bays.values()] == [2]
    (finding,) = result.findings
    assert finding.says == 'Between P1 and P2 the apron is 0" at 5\' 0", under the 6" rule; 1 more like it in this bay.'


def test_a_hump_that_the_cable_touches_is_told() -> None:
    ground = {"north": Profile((0.0, 12.0, 20.0), (0.0, 3.2, 0.0))}

    result = hung(layout_of({"north": row(2, 20.0)}), ground)

    assert [(str(f.key), f.says) for f in result.findings] == [
        ("cable_on_ground:P1-P2", "Between P1 and P2 the bottom cable touches the ground at 12' 0\".")
    ]
    assert min(result.bays["P1-P2"].height_in) < 0


@pytest.mark.closed_form
def test_wire_follows_the_ground_and_mesh_the_slope_of_its_cable() -> None:
    """A V of 15 by 20 ft halves in a 40 ft bay: 2 x 25 ft of wire; mesh straight across, 40 ft."""
    ground = {"north": Profile((0.0, 20.0, 40.0), (0.0, -15.0, 0.0))}

    (loop,) = hung(layout_of({"north": row(2, 40.0)}), ground).loops.values()

    assert (loop.wire_cut_ft, loop.mesh_cut_ft) == (pytest.approx(50.5), pytest.approx(40.5))


@pytest.mark.closed_form
def test_a_loop_longer_than_a_roll_is_spliced_at_a_support() -> None:
    result = hung(layout_of({"north": row(4, 20.0)}), stock={"wire-48": {"length_ft": 45}})

    (loop,) = result.loops.values()
    pieces = {piece: roll.capacity - roll.left for roll in result.wire_rolls.rolls for piece in roll.piece_ids}
    assert pieces == pytest.approx({"L1-a": 20.0, "L1-b": 40 + 10 / 12})
    assert loop.wire_cut_ft == pytest.approx(60 + 10 / 12)
    assert result.findings == ()


def test_a_bay_longer_than_a_roll_is_told() -> None:
    result = hung(layout_of({"north": row(3, 20.0)}), stock={"mesh-48": {"length_ft": 15}})

    assert [str(f.key) for f in result.findings] == ["mesh_roll_too_short:L1"]
    assert result.findings[0].says == "L1 takes 20' 10\" of mesh in one piece at the longest, 2 such pieces, and a roll holds 15' 0\"."
    assert len(result.mesh_rolls.unplaced) == 2


def test_mesh_that_ends_above_the_wire_stops_the_job() -> None:
    result = hung(layout_of({"north": row(2, 20.0)}), fence={"height_ft": 8})

    assert result.lap_in == pytest.approx(48 - (95.75 - 36))
    assert [(str(f.key), f.level, f.says) for f in result.findings] == [
        ("lap_short:job", "stop", 'Mesh 48" wide ends 11 3/4" over the wire; the rule is a lap of 4".')
    ]


def test_a_short_lap_is_out_of_rule() -> None:
    result = hung(layout_of({"north": row(2, 20.0)}), fence={"mesh": "mesh-36"})

    assert [(f.code, f.level) for f in result.findings] == [("lap_short", "fix")]
    assert 'laps the wire by 1/4"' in result.findings[0].says


def test_wire_too_narrow_on_level_ground_is_told_once_and_holes_each() -> None:
    ground = {"north": Profile((0.0, 20.0, 30.0, 40.0), (0.0, 0.0, -1.0, 0.0))}

    result = hung(layout_of({"north": row(3, 20.0)}), ground, fence={"wire": "wire-36"})

    assert [str(f.key) for f in result.findings] == ["wire_too_narrow:job", "hole_under_wire:P2-P3"]
    assert result.findings[0].says == 'Wire 36" wide leaves 0" of apron on level ground; the rule is 6".'


@pytest.mark.parametrize(
    ("tables", "codes"),
    [
        ({"fence": {"wire": "none"}}, ["wire_unknown"]),
        ({"fence": {"mesh": "none"}}, ["mesh_unknown"]),
        ({"fence": {"wire": "odd"}, "stock": {"odd": {"kind": "wire", "width_in": 48}}}, ["wire_unknown"]),
    ],
)
def test_stock_that_lacks_sizes_gives_findings(tables: dict[str, Any], codes: list[str]) -> None:
    result = hung(layout_of({"north": row(3, 20.0)}), **tables)

    assert [finding.code for finding in result.findings] == codes
    assert result.loops["L1"].wire_cut_ft == pytest.approx(40.5)


def test_without_a_known_cable_there_are_aprons_but_no_loops() -> None:
    ground = {"north": Profile((0.0, 10.0, 20.0), (0.0, -1.0, 0.0))}

    result = hung(layout_of({"north": row(2, 20.0)}), ground, fence={"cable": "none"})

    assert (result.loops, list(result.bays)) == ({}, ["P1-P2"])
    assert [str(item.key) for item in result.items] == ["fabric.P1-P2.infill"]


def test_checklist_of_a_loop() -> None:
    ground = {"north": Profile((0.0, 20.0, 30.0, 40.0), (0.0, 0.0, -1.0, 0.0))}

    items = hung(layout_of({"north": row(3, 20.0)}), ground).items

    assert [str(item.key) for item in items] == [
        "fabric.L1.wire_hung",
        "fabric.L1.apron_turned",
        "fabric.P2-P3.infill",
        "fabric.L1.slits_lapped",
        "fabric.L1.mesh_hung",
        "fabric.L1.seam_ringed",
        "fabric.L1.corners_tied",
    ]


def test_a_loop_between_line_supports_has_no_corners_to_tie() -> None:
    spots = [Spot("P1", 0), Spot("P2", 20), Spot("P3", 40)]

    result = hung(layout_of({"north": spots}))

    assert result.loops["L1"].corner_ties == 0
    assert "fabric.L1.corners_tied" not in [str(item.key) for item in result.items]


def test_no_layout_gives_nothing() -> None:
    result = hung(layout_of({}))

    assert (result.loops, result.bays, result.rings, result.ties, result.findings, result.items) == ({}, {}, 0, 0, (), ())
    assert result.wire_rolls.rolls == ()


falls = st.lists(st.floats(-2.5, 2.5), min_size=9, max_size=9)


@settings(max_examples=60, deadline=None)
@given(levels=falls, lower=st.integers(0, 8), by=st.floats(0, 2))
@pytest.mark.independent
def test_aprons_agree_with_interpolation_and_a_lower_spot_never_helps(levels: list[float], lower: int, by: float) -> None:
    stations = tuple(2.5 * n for n in range(9))
    layout = layout_of({"north": row(2, 20.0)})
    lowered = [level - by * (place == lower and 0 < place < 8) for place, level in enumerate(levels)]

    apron = hung(layout, {"north": Profile(stations, tuple(levels))}, **TIGHT).bays["P1-P2"]
    after = hung(layout, {"north": Profile(stations, tuple(lowered))}, **TIGHT).bays["P1-P2"]

    at = np.array(apron.stations_ft)
    straight = np.interp(at, [0, 20], [levels[0] + 3, levels[-1] + 3]) - np.interp(at, stations, levels)
    assert np.allclose(apron.height_in, 12 * straight, atol=0.02)
    assert np.allclose(np.add(apron.apron_in, apron.height_in), 48.0)
    assert after.least_apron_in <= apron.least_apron_in + 1e-9
    assert after.infill_ft >= apron.infill_ft - 1e-9
    assert all(0 <= start < end <= 20 and least < 6 for start, end, least, _ in after.short)
