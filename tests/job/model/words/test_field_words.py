"""What fields of forms are called."""

import pytest

from engine.job.model.words.field_words import field_words


@pytest.mark.parametrize(
    ("table", "field", "called"),
    [
        ("rules", "hung_weight_lb", "Hung weight (lb)"),
        ("stock", "weight_lb", "Weight (lb)"),
        ("rules", "tension_lbf", "Tension (lbf)"),
        ("rules", "ice_in", "Ice"),
    ],
)
def test_a_unit_that_is_no_length_stands_in_brackets(table: str, field: str, called: str) -> None:
    assert field_words(table, field) == called
