"""What a new job's file is called after its title."""

import pytest

from tui.boxes.new_job_box import file_name


@pytest.mark.parametrize(
    ("title", "name"),
    [("2619 Ridge ring", "2619_ridge_ring"), ("  Grün's yard! ", "gr_n_s_yard"), ("Con", "con_job"), ("COM1", "com1_job"), ("!?", "")],
)
def test_a_title_becomes_a_name_that_every_laptop_takes(title: str, name: str) -> None:
    assert file_name(title) == name
