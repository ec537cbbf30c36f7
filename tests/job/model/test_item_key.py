"""A key of a checklist item: its text is read back as the same key, and files hold that text."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.file.job_tables import tables_of
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job

PART = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,10}", fullmatch=True)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("posts.P7.plumb", ItemKey("posts", "P7", "plumb")),
        ("layout.P1-P2.taped", ItemKey("layout", "P1-P2", "taped")),
        ("posts.P7", ItemKey("posts", "", "P7")),
        ("gate.side.front.hung", ItemKey("gate", "side.front", "hung")),
    ],
)
def test_a_key_and_its_text(text: str, key: ItemKey) -> None:
    assert item_key(text) == key
    assert str(key) == text


@settings(max_examples=100)
@given(st.lists(PART, min_size=2, max_size=4))
def test_every_text_is_read_back_as_it_was(parts: list[str]) -> None:
    text = ".".join(parts)
    assert str(item_key(text)) == text


def test_a_job_holds_keys_and_its_file_their_text() -> None:
    tick = {"at": "2026-04-02T09:00:00Z", "by": "Lee"}
    job = Job.model_validate({"checks": {"posts.P7.plumb": tick}})
    assert list(job.checks) == [ItemKey("posts", "P7", "plumb")]
    assert list(tables_of(job)["checks"]) == ["posts.P7.plumb"]
    assert Job.model_validate({"checks": job.checks}) == job
