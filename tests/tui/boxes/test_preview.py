"""The preview's words: what is bad news says so by a sign, not by colour alone."""

import pytest

from engine.change.consequences import Consequences, Difference, WayChange
from tui.boxes.preview import summary


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (Consequences(), ["No figure changes."]),
        (Consequences((Difference("P1", "stands at", "1", "2"),)), ["1 figure changes."]),
        (Consequences(ways_before=1, ways_after=1), ["Ways out for a dog: 1 before, 1 after.", "No figure changes."]),
        (
            Consequences(ways=(WayChange("under the wire", 8.25, 26.0),), ways_before=1, ways_after=1),
            ["X Ways out for a dog: 1 before, 1 after.", "X under the wire: 8 1/4\" before, 26\" after", "No figure changes."],
        ),
        (
            Consequences(ways=(WayChange("under the wire", 8.25, None),), ways_before=1),
            ["✓ Ways out for a dog: 1 before, none after.", "✓ under the wire: 8 1/4\" before, none after", "No figure changes."],
        ),
    ],
)  # fmt: skip
def test_what_becomes_of_ways_out_is_told_by_sign(found: Consequences, told: list[str]) -> None:
    assert summary("", found).plain.splitlines() == told
