"""What the log says of a place or a move that is written wrong: where it is found in the file, and what is left to the walk."""

from typing import Any

import pytest

from engine.job.model.cross_checks import problems
from tests.stages import yards
from tests.stages.flat_yards import AT, logged, posts, straight


@pytest.mark.parametrize(
    ("entry", "field", "words"),
    [
        (
            logged("move", post="P2", along_ft=300.0),
            "along_ft",
            "Log entry e1 moves P2 300' 0\"",
        ),
        (
            logged("move", post="P2", out_ft=-101.0),
            "out_ft",
            "Log entry e1 moves P2 101' 0\"",
        ),
        (logged("add", post="P9", line="n", station_ft=999), "station_ft", "Log entry e1 is at 999' 0\" on line n"),
        (
            logged("obstacle", what="rock", line="n", station_ft=126),
            "station_ft",
            "Log entry e1 is at 126' 0\" on line n, which is 100' 0\" long",
        ),
        (
            logged("obstacle", what="rock", line="n", station_ft=50, offset_ft=-101.1),
            "offset_ft",
            "Log entry e1 is 101' 1 1/4\" off line n, more than 4 bays are long",
        ),
    ],
)
def test_what_is_logged_far_out_is_written_wrong(entry: dict[str, Any], field: str, words: str) -> None:
    """A line of 100 ft with bays of 25 ft at most; struck, or of a plan before, it counts no more."""
    plan = posts("n", 0, 50, 100)
    (found,) = problems(straight(100, posts=plan, log=[entry]))
    assert found.path == ("log", 0, field)
    assert found.message.startswith(words)
    assert problems(straight(100, posts=plan, log=[{**entry, "struck_at": AT}])) == []
    planned = logged("planned", 2, supports=3)
    assert len(problems(straight(100, posts=plan, log=[entry, planned]))) == (entry["kind"] == "obstacle")


def test_what_lies_past_the_end_by_less_or_on_a_measured_line_is_left_to_the_walk() -> None:
    log = [logged("move", post="P2", along_ft=99.0), logged("add", 2, post="P9", line="n", station_ft=124)]
    log.append(logged("obstacle", 3, what="rock", line="n", station_ft=50, offset_ft=101))
    assert problems(straight(100, posts=posts("n", 0, 50, 100), log=log)) == []
    assert problems(yards.build(log=[logged("obstacle", what="rock", line="fence", station_ft=999)])) == []
