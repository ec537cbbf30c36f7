"""Under a gate: a dog that digs, hard ground that it can't, and a dog smaller than the rule."""

from dataclasses import replace

import pytest

from engine.job.model.job import Job
from engine.stages.gate.stage import gate
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from engine.stages.survey.stage import Floor
from tests.stages.layouts import Spot, layout_of, survey_of

GATE = {"G1": {"line": "north", "station_ft": 20}}


def yard(end_level_ft: float) -> Layout:
    """A gate from 20 ft to 25 ft 2 in, the ground higher past it."""
    ft = 20 + 62 / 12
    spots = [
        Spot("P1", 0),
        Spot("P2", 20, kind="gate"),
        Spot("P3", ft, kind="gate", level_ft=end_level_ft),
        Spot("P4", 45, level_ft=end_level_ft),
    ]
    return layout_of({"north": spots}, gates={"P2-P3": "G1"})


@pytest.mark.parametrize(
    ("rise_in", "floor", "found"),
    [
        (1.0, None, []),  # 3 in is the rule
        (1.5, None, ["gate_gap_lets_dog_out"]),
        (1.5, {"from_ft": 19.0, "to_ft": 26.0}, ["gate_gap_over_rule"]),  # nothing digs a slab
        (1.5, {"from_ft": 19.0, "to_ft": 24.0}, ["gate_gap_lets_dog_out"]),  # a foot of soil is enough
    ],
)
def test_a_dog_that_digs_makes_any_gap_over_the_rule_wide_enough(rise_in: float, floor: dict[str, float] | None, found: list[str]) -> None:
    layout = yard(rise_in / 12)
    tables = {"dogs": {"rex": {"weight_lb": 60, "shoulder_in": 28, "body_in": 36, "digs": True}}, "gates": GATE}
    job = Job.model_validate(tables)
    survey = survey_of(layout)
    floors = (Floor("slab1", "slab", **floor),) if floor else ()
    lines = {name: replace(line, floors=floors) for name, line in survey.lines.items()}
    result = gate(job, replace(survey, lines=lines), layout, posts(job, survey, layout))

    assert [finding.code for finding in result.findings] == found
    assert result.gates["G1"].digs == (found != ["gate_gap_over_rule"])


def test_a_reading_is_judged_by_the_rule_and_by_a_dog_smaller_than_it() -> None:
    layout = yard(0.0)
    for shoulder_in, most_in in ((13.0, 3.0), (8.0, 2.4)):
        job = Job.model_validate({"gates": GATE, "dogs": {"rex": {"weight_lb": 9, "shoulder_in": shoulder_in, "body_in": 12}}})
        (item,) = [
            item
            for item in gate(job, survey_of(layout), layout, posts(job, survey_of(layout), layout)).items
            if item.key.what == "bottom_gap"
        ]
        assert item.reading is not None
        assert item.reading.high == pytest.approx(most_in)
