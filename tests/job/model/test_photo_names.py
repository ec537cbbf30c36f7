"""A photo is named from the folder of the job: what leads elsewhere, or is no name on some machine, is refused with a sentence."""

import pytest

from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.log_entries import PhotoEntry
from tests.demo import AT, BY, accepted

ELSEWHERE = (
    "../gate.jpg", "photos/../../gate.jpg", "/tmp/gate.jpg", "C:/gate.jpg", "C:gate.jpg", "photos\\gate.jpg", "photos//gate.jpg", ".",
    "./gate.jpg", "photos/", "photos/ gate.jpg", "gate\u202e.jpg", "gate\n.jpg",
)  # fmt: skip


@pytest.mark.parametrize("name", ELSEWHERE)
def test_what_leads_elsewhere_is_refused(name: str) -> None:
    with pytest.raises(EditRefused, match="isn't a file beside the job") as refused:
        edits.photo(accepted(), name, AT, BY)
    assert refused.value.field == "file"


@pytest.mark.parametrize("name", ["gate.jpg", "IMG 0042.JPG", "photos/day 2/gate.webp", "P7..old.jpg", "été.png"])
def test_a_plain_name_or_one_in_a_folder_stands_as_it_was_written(name: str) -> None:
    (entry,) = edits.photo(accepted().model_copy(update={"log": ()}), name, AT, BY).log
    assert isinstance(entry, PhotoEntry)
    assert entry.file == name


def test_an_empty_name_and_an_unknown_line_are_refused() -> None:
    with pytest.raises(EditRefused, match=r"Name the picture file, such as gate\.jpg\."):
        edits.photo(accepted(), " ", AT, BY)
    with pytest.raises(EditRefused, match="There is no line front"):
        edits.photo(accepted(), "gate.jpg", AT, BY, line="front", station_ft=3)
