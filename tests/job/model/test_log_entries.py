"""The log: what is struck is kept and read by nobody; going back strikes what the version gone to lacks."""

from datetime import UTC, datetime, timedelta
from typing import Any

from pydantic import TypeAdapter

from engine.job.edit import edits
from engine.job.file.store import load, new
from engine.job.model.cross_checks import problems
from engine.job.model.log_entries import LogEntry, current_entries, live, log_gone_back, posts_since, unstruck
from tests.demo import AT, BY, accepted

LATER = AT + timedelta(hours=1)
ENTRY: TypeAdapter[Any] = TypeAdapter(LogEntry)


def entry(name: str, kind: str = "note", **fields: Any) -> Any:
    held = {"note": {"text": name}, "planned": {"supports": 4}}.get(kind, {})
    return ENTRY.validate_python({"id": name, "at": datetime(2026, 4, 14, tzinfo=UTC), "by": "Mo", "kind": kind, **held, **fields})


A, B, C = entry("a"), entry("b"), entry("c")
STRUCK = entry("b", struck_at=LATER, struck_by="Teal")


def test_what_is_struck_is_not_live_and_stands_as_it_was_once_unstruck() -> None:
    assert live((A, STRUCK, C)) == (A, C)
    assert unstruck(STRUCK) == B
    assert unstruck(A) is A


def test_a_struck_plan_is_no_plan() -> None:
    assert current_entries((A, entry("p", "planned"), B)) == (B,)
    assert current_entries((A, entry("p", "planned", struck_at=LATER), B, STRUCK)) == (A, B)


def test_what_became_of_the_plans_posts() -> None:
    log = (
        entry("1", "drop", post="P1"), entry("2", "planned"), entry("3", "add", post="P4", line="n", station_ft=5),
        entry("4", "drop", post="P2"), entry("5", "swap", post="P3", tree="oak"), entry("6", "drop", post="P4"),
        entry("7", "add", post="P5", line="n", station_ft=9),
    )  # fmt: skip
    since = posts_since(("P1", "P2", "P3"), log)

    assert (since.standing, since.added, since.dropped) == (("P1", "P3", "P5"), {"P5"}, ("P2",))
    assert since.swapped == {"P3": "oak"}
    assert posts_since((), log).standing == ()


def test_going_back_strikes_what_is_on_disk_and_drops_what_is_not() -> None:
    assert log_gone_back((A, B, C), (A,), {"a": A, "b": B}, LATER, "Teal") == (A, STRUCK)


def test_going_on_again_lets_it_stand_and_brings_back_what_was_dropped() -> None:
    assert log_gone_back((A, STRUCK), (A, B, C), {"a": A, "b": STRUCK}, LATER, "Teal") == (A, B, C)


def test_who_struck_it_first_stays() -> None:
    assert log_gone_back((A, STRUCK, C), (A,), {"a": A, "b": STRUCK, "c": C}, LATER + timedelta(hours=1), "Mo")[1] == STRUCK


def test_a_struck_entry_is_read_by_no_edit_and_no_rule_but_its_id_is_not_used_again() -> None:
    job = edits.add_post(accepted(), "back", 220, AT, BY)
    gone = entry("x", struck_at=LATER, text="x")
    added = job.log[-1].model_copy(update={"struck_at": LATER, "line": "nowhere"})
    struck = job.model_copy(update={"log": (*job.log[:-1], added, gone)})
    assert problems(struck) == []
    assert edits.next_post_id(struck) == "P18"
    moved = job.model_copy(update={"log": (*job.log, *edits.move_post(job, "P17", AT, BY, along_ft=1).log[-1:])})
    widowed = moved.model_copy(update={"log": (*accepted().log, added, moved.log[-1])})
    assert [problem.path for problem in problems(widowed)] == [("log", 2, "post")]


def test_struck_entries_are_in_the_file(tmp_path: Any) -> None:
    job = accepted().model_copy(update={"log": (*accepted().log, STRUCK)})
    new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state")
    text = (tmp_path / "yard.toml").read_text(encoding="utf-8")
    assert load(tmp_path / "yard.toml").job == job
    assert 'struck_by = "Teal"' in text
    assert text.count("struck_at") == 1
