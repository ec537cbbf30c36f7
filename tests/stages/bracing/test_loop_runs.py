"""Where loops begin and end: at gates, at what stands firm, and where one is closed already."""

from math import cos, radians, sin
from typing import Any

import pytest

from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.stages.bracing.loop_runs import loop_ticks, runs_of
from engine.stages.layout.stage import Layout
from tests.stages.cables.test_stage import all_bays, bays_of, strung
from tests.stages.layouts import Spot, layout_of, row


def ring(*gates: str) -> Layout:
    corners = [(0, 0), (0, 20), (0, 40), (20, 40), (40, 40), (40, 20), (40, 0), (20, 0), (0, 0)]
    spots = [Spot(f"P{n % 8 + 1}", e, north, "line" if n % 2 else "corner") for n, (e, north) in enumerate(corners)]
    return layout_of({"ring": spots}, gates={name: f"G{n}" for n, name in enumerate(gates, 1)})


def test_loops_break_at_gates_and_nowhere_else_needed() -> None:
    spots = [Spot(f"P{n + 1}", east, kind="end" if n in (0, 5) else "line") for n, east in enumerate((0, 20, 40, 45, 65, 85))]

    result = strung(layout_of({"north": spots}, gates={"P3-P4": "G1"}))

    assert bays_of(result) == [["P1-P2", "P2-P3"], ["P4-P5", "P5-P6"]]
    assert result.loop_of == {"P1-P2": "L1", "P2-P3": "L1", "P4-P5": "L2", "P5-P6": "L2"}
    assert result.findings == ()


def test_loops_meet_at_a_corner_rather_than_at_a_line_post() -> None:
    plain, turned = row(6, 20.0), row(6, 20.0)
    turned[3] = turned[3]._replace(kind="corner")

    assert [len(bays) for bays in bays_of(strung(layout_of({"north": plain})))] == [2, 3]
    assert [len(bays) for bays in bays_of(strung(layout_of({"north": turned})))] == [3, 2]


def test_loops_meet_at_a_braced_bend_rather_than_at_a_post_that_stands_alone() -> None:
    """Five 20 ft bays, a line post at 60 ft where the fence turns: 30 degrees want a brace, 10 don't."""

    def turned(by_deg: float) -> Layout:
        far = [(60 + 20 * n * cos(radians(by_deg)), 20 * n * sin(radians(by_deg))) for n in (1, 2)]
        return layout_of({"north": [*row(4, 20.0, last="line"), Spot("P5", *far[0]), Spot("P6", *far[1], kind="end")]})

    assert [len(bays) for bays in bays_of(strung(turned(30)))] == [3, 2]
    assert [len(bays) for bays in bays_of(strung(turned(10)))] == [2, 3]


def test_loops_meet_at_a_tree_rather_than_at_a_line_post() -> None:
    oak = row(6, 20.0)
    oak[3] = oak[3]._replace(support="tree")

    assert [len(bays) for bays in bays_of(strung(layout_of({"north": oak})))] == [3, 2]


def test_two_posts_on_one_spot_have_no_bay_to_string() -> None:
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 20), Spot("P4", 40, kind="end")]

    layout = layout_of({"north": spots})

    assert [[bay.id for bay in run] for run in runs_of(list(layout.bays.values()))] == [["P1-P2", "P3-P4"]]


def test_a_closed_line_is_walked_from_its_gate() -> None:
    whole = strung(ring())
    gated = strung(ring("P4-P5"))

    assert bays_of(whole)[0][0] == "P1-P2"
    assert all_bays(whole) == [f"P{n}-P{n % 8 + 1}" for n in range(1, 9)]
    assert bays_of(gated) == [["P5-P6", "P6-P7"], ["P7-P8", "P8-P1"], ["P1-P2", "P2-P3", "P3-P4"]]


def test_loops_are_numbered_in_line_order() -> None:
    other = [Spot("P7", 0, 50, "end"), Spot("P8", 20, 50), Spot("P9", 40, 50, "end")]

    result = strung(layout_of({"north": row(3, 20.0), "south": other}))

    assert {name: loop.line for name, loop in result.loops.items()} == {"L1": "north", "L2": "south"}


def closed(**of: str) -> dict[str, Any]:
    return {f"cables.{loop}.closed": {"at": "2026-05-04T12:00:00Z", "by": "Mo", "of": ends} for loop, ends in of.items()}


def test_a_loop_that_is_closed_stays_the_loop_it_is_and_keeps_its_name() -> None:
    """Six 20 ft bays go into loops of 40 or 60 ft; P2 to P4 is closed already, so P1-P2 and P4-P7 are what is left."""
    layout = layout_of({"north": row(7, 20.0)})
    assert bays_of(strung(layout)) == [["P1-P2", "P2-P3", "P3-P4"], ["P4-P5", "P5-P6", "P6-P7"]]

    result = strung(layout, checks=closed(L1="P2-P4"))

    assert {name: loop.bays for name, loop in result.loops.items()} == {
        "L2": ("P1-P2",),
        "L1": ("P2-P3", "P3-P4"),
        "L3": ("P4-P5", "P5-P6", "P6-P7"),
    }


def test_a_closed_loop_whose_end_is_gone_holds_nothing_and_its_name_is_not_given_again() -> None:
    result = strung(layout_of({"north": row(4, 20.0)}), checks=closed(L1="P2-P9"))

    assert {name: loop.supports for name, loop in result.loops.items()} == {"L2": ("P1", "P2", "P3", "P4")}


def test_closing_a_loop_says_between_which_supports() -> None:
    items = {str(item.key): item.of for item in strung(layout_of({"north": row(4, 20.0)})).items}

    assert [at.support for at in items["cables.L1.closed"].places] == ["P1", "P4"]
    assert [at.support for at in items["cables.L1.sag"].places] == ["P1", "P2", "P3", "P4"]


def test_ends_with_hyphens_in_their_names_are_read_out_of_an_older_file() -> None:
    spots = [spot._replace(id=f"back-{n}") for n, spot in enumerate(row(7, 20.0), 1)]

    result = strung(layout_of({"north": spots}), checks=closed(L1="back-2-back-4"))

    assert result.loops["L1"].supports == ("back-2", "back-3", "back-4")


@pytest.mark.parametrize(
    ("bays", "of", "strung_as"),
    [
        (6, {"L1": "P2-P4", "L2": "P3-P5"}, ["P1-P2", "P2-P4 L1", "P4-P7"]),  # the one that begins first stands
        (6, {"L2": "P1-P3", "L1": "P6-P7"}, ["P1-P3 L2", "P3-P6", "P6-P7 L1"]),
        (6, {"L1": "P2-P5"}, ["P1-P2", "P2-P5 L1", "P5-P7"]),
        (3, {"L1": "P2-P3"}, ["P1-P2", "P2-P3 L1", "P3-P4"]),
        (3, {"L1": "P9-P3"}, ["P1-P4"]),
        (3, {"L1": "P3-P2"}, ["P1-P4"]),  # not along the line
    ],
)
def test_closed_loops_of_a_run_and_what_is_left_of_it(bays: int, of: dict[str, str], strung_as: list[str]) -> None:
    result = strung(layout_of({"north": row(bays + 1, 20.0)}), checks=closed(**of))

    found = [(f"{loop.supports[0]}-{loop.supports[-1]}", f" {name}" if name in of else "") for name, loop in result.loops.items()]
    assert [ends + name for ends, name in found] == strung_as


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("cables.L1.closed", {"of": ""}),
        ("cables.L1.closed", {"of": "P2"}),
        ("cables.L1.closed", {"state": "not needed"}),
        ("fabric.L1.closed", {}),
    ],
)
def test_only_a_loop_ticked_as_closed_between_two_supports_is_strung(key: str, change: dict[str, str]) -> None:
    tick = Tick.model_validate({"at": "2026-05-04T12:00:00Z", "by": "Mo", "of": "P2-P4", **change})

    assert not [one for one in loop_ticks({item_key(key): tick}, ("P2", "P4")) if one.what == "closed"]


def done(key: str, *row: str, day: int = 4) -> dict[str, Any]:
    places = ", ".join(f"{support} at 0.000 E 0.000 N" for support in row)
    return {key: {"at": f"2026-05-{day:02}T12:00:00Z", "by": "Mo", "of": places}}


@pytest.mark.parametrize(
    ("checks", "strung_as"),
    [
        (done("cables.L5.tail", "P2", "P4"), {"L1": "P1-P2", "L5": "P2-P4", "L2": "P4-P7"}),
        (done("fabric.L5.wire_hung", "P2", "P3", "P4"), {"L1": "P1-P2", "L5": "P2-P4", "L2": "P4-P7"}),
        (done("fabric.L5.wire_hung", "P2", "P4"), {"L1": "P1-P4", "L2": "P4-P7"}),  # P3 was set since
        (
            done("cables.L5.tail", "P2", "P4") | done("fabric.L5.mesh_hung", "P2", "P4", day=5),
            {"L1": "P1-P2", "L5": "P2-P4", "L2": "P4-P7"},
        ),
        (done("cables.L5.cut_length", "P2", "P4"), {"L1": "P1-P4", "L2": "P4-P7"}),  # a cut cable is strung nowhere yet
        (done("cables.L5.tail", "P2", "P4") | closed(L1="P3-P5"), {"L2": "P1-P3", "L1": "P3-P5", "L3": "P5-P7"}),
        (done("cables.L1.tail", "P1", "P4") | closed(L1="P4-P7"), {"L2": "P1-P4", "L1": "P4-P7"}),
        (done("cables.L4.tail", "P1", "P4") | done("cables.L2.tail", "P4", "P7"), {"L4": "P1-P4", "L2": "P4-P7"}),
        (done("cables.L4.tail", "P1", "P4") | done("cables.L2.tail", "P1", "P4", day=5), {"L2": "P1-P4", "L1": "P4-P7"}),  # the latest
    ],
)
def test_a_loop_whose_lock_was_opened_again_stays_where_what_was_done_at_it_since_stands(
    checks: dict[str, Any], strung_as: dict[str, str]
) -> None:
    result = strung(layout_of({"north": row(7, 20.0)}), checks=checks)

    assert {name: f"{loop.supports[0]}-{loop.supports[-1]}" for name, loop in result.loops.items()} == strung_as
