"""The height of each bay and gate, by which record goes before which; and the heights that meet at a post."""

from typing import Any

import pytest

from engine.job.model.job import Job
from engine.stages.posts.heights import bay_heights
from engine.stages.posts.stage import posts
from tests.stages.layouts import Spot, layout_of, survey_of

SPOTS = [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 40, kind="gate"), Spot("P4", 44, kind="gate"), Spot("P5", 64, kind="end")]
LAYOUT = layout_of({"n": SPOTS, "other": [Spot("P6", 0, 50, "end"), Spot("P7", 20, 50, "end")]}, gates={"P3-P4": "G1"})
GATE = {"line": "n", "station_ft": 40, "leaf_width_ft": 4}


def stretch(from_ft: float, to_ft: float, height_ft: float, line: str = "n") -> dict[str, Any]:
    return {"line": line, "from_ft": from_ft, "to_ft": to_ft, "height_ft": height_ft}


def deck(from_ft: float, to_ft: float, **fields: Any) -> dict[str, Any]:
    return {"line": "n", "kind": "deck", "from_ft": from_ft, "to_ft": to_ft, "height_ft": 2.0, **fields}


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tables", "heights"),
    [
        ({}, [6, 6, 6, 6, 6]),
        ({"heights": {"a": stretch(0, 20, 4)}}, [4, 6, 6, 6, 6]),
        ({"heights": {"a": stretch(0, 9.9, 4)}}, [6, 6, 6, 6, 6]),  # the middle of the first bay lies at 10
        ({"heights": {"a": stretch(10, 30, 4)}}, [4, 4, 6, 6, 6]),  # both middles lie on its ends
        ({"heights": {"a": stretch(0, 20, 4, "other")}}, [6, 6, 6, 6, 4]),
        ({"heights": {"a": stretch(0, 20, 4), "b": stretch(0, 64, 5)}}, [4, 5, 5, 5, 6]),  # the first of two
        ({"heights": {"a": stretch(0, 64, 5)}, "gates": {"G1": {**GATE, "height_ft": 4}}}, [5, 5, 4, 5, 6]),
        ({"surfaces": {"d": deck(0, 20, rail_ft=3)}, "heights": {"a": stretch(0, 64, 5)}}, [3, 5, 5, 5, 6]),
        ({"surfaces": {"d": deck(38, 46, rail_ft=3)}, "gates": {"G1": {**GATE, "height_ft": 4}}}, [6, 6, 4, 6, 6]),
        ({"surfaces": {"d": deck(38, 46, rail_ft=3)}, "gates": {"G1": GATE}}, [6, 6, 3, 6, 6]),
    ],
)
def test_a_gate_s_own_height_goes_before_a_rail_and_that_before_a_stretch(tables: dict[str, Any], heights: list[float]) -> None:
    job = Job.model_validate({"fence": {"height_ft": 6}, **tables})

    assert [hang.height_ft for hang in bay_heights(job, LAYOUT).values()] == heights


@pytest.mark.parametrize(
    ("floor", "decks"),
    [
        (deck(10, 30), ["d", "d", "", "", ""]),
        (deck(10.1, 29.9), ["", "", "", "", ""]),
        ({"line": "n", "kind": "deck", "from_ft": 0.0, "to_ft": 64.0}, ["", "", "", "", ""]),  # level with the ground
        ({"line": "n", "kind": "slab", "from_ft": 0.0, "to_ft": 64.0}, ["", "", "", "", ""]),
    ],
)
def test_a_bay_runs_over_the_raised_deck_that_its_middle_lies_on(floor: dict[str, Any], decks: list[str]) -> None:
    hangs = bay_heights(Job.model_validate({"surfaces": {"d": floor}}), LAYOUT)

    assert [hang.deck for hang in hangs.values()] == decks


def test_the_heights_that_meet_at_a_post_are_the_deck_s_first_then_the_highest_and_a_gate_s_only_alone() -> None:
    tables = {
        "fence": {"height_ft": 6},
        "heights": {"a": stretch(46, 64, 7)},
        "surfaces": {"d": deck(0, 20, rail_ft=3)},
        "gates": {"G1": {**GATE, "height_ft": 4}},
    }
    job = Job.model_validate(tables)
    meeting = posts(job, survey_of(LAYOUT), LAYOUT).heights

    assert {name: [(hang.deck, hang.height_ft) for hang in row] for name, row in meeting.items()} == {
        "P1": [("d", 3.0)],
        "P2": [("d", 3.0), ("", 6.0)],
        "P3": [("", 6.0)],
        "P4": [("", 7.0)],
        "P5": [("", 7.0)],
        "P6": [("", 6.0)],
        "P7": [("", 6.0)],
    }
    alone = layout_of({"n": SPOTS[2:4]}, gates={"P3-P4": "G1"})
    only = posts(job, survey_of(alone), alone).heights
    assert [[hang.height_ft for hang in row] for row in only.values()] == [[4.0], [4.0]]
