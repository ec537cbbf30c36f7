"""Infill pieces: how big, how many, and how they come out of the roll."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile
from engine.stages.fabric.infills import StripNumber
from engine.stages.fabric.stage import Fabric
from tests.stages.fabric.test_stage import TIGHT, dip, hung
from tests.stages.layouts import layout_of, row

TICK = {"at": "2026-04-02T09:00:00Z", "by": "Lee"}


@pytest.mark.closed_form
def test_a_piece_laps_the_wire_closes_the_hole_and_lies_on_the_ground() -> None:
    """A dip 1 1/2 ft deep leaves a 6 in hole: 4 + 6 + 6 in wide; under the 6 in rule from 3 1/3 to 16 2/3 ft: 13 ft 4 in long."""
    (piece,) = dip(1.5).infills

    assert (piece.id, piece.bay, piece.length_ft, piece.width_in, piece.count) == ("I1", "P1-P2", pytest.approx(13 + 4 / 12), 16.0, 1)
    assert (piece.open_in, piece.over, piece.ticked_as) == (pytest.approx(6.0, abs=0.02), "soil", "infill")


@pytest.mark.closed_form
def test_a_fold_over_the_cable_takes_its_width_from_the_apron() -> None:
    """48 in less 2 in of fold, from a 3 ft eye: 10 in on level ground."""
    folded = hung(layout_of({"north": row(2, 20.0)}), rules={"cables": {"tension_lbf": 1000}, "fabric": {"fold_in": 2}})

    assert folded.bays["P1-P2"].least_apron_in == pytest.approx(10.0)
    assert folded.findings == ()


def test_pieces_come_out_of_what_the_loops_leave_of_their_rolls() -> None:
    plain, dipped = hung(layout_of({"north": row(2, 20.0)})), dip(1.5)

    assert len(dipped.wire_rolls.rolls) == len(plain.wire_rolls.rolls) == 1
    assert "strip 1" in dipped.wire_rolls.rolls[0].piece_ids
    assert dict(dipped.strips) == {StripNumber(1): pytest.approx(13 + 4 / 12)}


@pytest.mark.parametrize(("ticks", "count"), [(("fabric.P1-P2.infill",), 1), (("staking.P1-P2.dips_filled",), 0)])
def test_a_dip_that_was_filled_takes_no_piece(ticks: tuple[str, ...], count: int) -> None:
    assert len(dip(1.5, checks={key: TICK for key in ticks}).infills) == count


def test_a_hole_wider_than_the_roll_takes_pieces_side_by_side() -> None:
    (piece,) = dip(4.5).infills

    assert (piece.count, piece.width_in) == (2, 48.0)  # 4 + 6 + 42 in wanted
    assert dip(4.5).strips[StripNumber(1)] == pytest.approx(2 * piece.length_ft)


@pytest.mark.closed_form
@pytest.mark.parametrize(("deep_ft", "strips"), [(26 / 12, ["strip 1", "strip 1"]), (27 / 12, ["strip 1", "strip 2"])])
def test_two_pieces_of_half_the_roll_s_width_lie_side_by_side(deep_ft: float, strips: list[str]) -> None:
    """A hole of 14 in takes 4 + 6 + 14, half of 48; one of 15 takes 25."""
    ground = {"north": Profile((0.0, 10.0, 20.0, 30.0, 40.0), (0.0, -deep_ft, 0.0, -deep_ft, 0.0))}
    pieces = hung(layout_of({"north": row(3, 20.0)}), ground, **TIGHT).infills

    assert [str(piece.strip) for piece in pieces] == strips
    assert [piece.width_in for piece in pieces] == [12 * deep_ft - 2] * 2


def test_where_the_wire_is_too_narrow_all_along_only_holes_take_a_piece() -> None:
    """36 in of wire from 3 ft: nothing to turn in the first bay, a hole in the second."""
    ground = {"north": Profile((0.0, 20.0, 30.0, 40.0), (0.0, 0.0, -1.0, 0.0))}
    result = hung(layout_of({"north": row(3, 20.0)}), ground, fence={"wire": "wire-36", "cable": "none"})

    assert [piece.bay for piece in result.infills] == ["P2-P3"]


ground = st.lists(st.floats(-2.5, 1.0), min_size=17, max_size=17)


@settings(max_examples=50, deadline=None)
@given(levels=ground, apron=st.floats(2, 9))
@pytest.mark.independent
def test_every_short_spot_is_under_a_piece_wide_enough_and_strips_fit_the_roll(levels: list[float], apron: float) -> None:
    """Looked at every tenth of a foot against the ground itself."""
    stations = tuple(5.0 * n for n in range(17))
    rules: dict[str, Any] = {**TIGHT["rules"], "fabric": {"apron_min_in": apron}}
    found: Fabric = hung(layout_of({"north": row(5, 20.0)}), {"north": Profile(stations, tuple(levels))}, rules=rules)

    for bay in range(4):
        x = np.arange(20.0 * bay, 20.0 * bay + 20.01, 0.1)
        eyes = [levels[4 * bay] + 3, levels[4 * bay + 4] + 3]
        left = 48 - 12 * (np.interp(x, [20.0 * bay, 20.0 * bay + 20], eyes) - np.interp(x, stations, levels))
        for station, left_in in zip(x.tolist(), left.tolist(), strict=True):
            if left_in < apron - 0.2:
                over = [p for p in found.infills if p.start_ft - 0.02 <= station <= p.start_ft + p.length_ft + 0.02]
                assert any(4 + apron - left_in <= p.width_in * p.count + 0.2 for p in over)
    for strip, cut_ft in found.strips.items():
        pieces = [piece for piece in found.infills if piece.strip == strip]
        assert sum(piece.width_in if piece.count == 1 else 48.0 for piece in pieces) <= 48.0
        assert cut_ft == pytest.approx(max(piece.length_ft * piece.count for piece in pieces))
