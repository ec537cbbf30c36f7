"""What a job left open when it was signed is open in its repair, by its reason: nothing is said to stand, or loaded as if it did."""

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.file.store import new, save
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.paper.built_tables import stands
from engine.paper.client.left_for_client import left_for_client, notes_for_client
from engine.paper.record_office import office_tables
from engine.paper.sealed_facts import facts_to_print
from engine.stages.punch.closing_list import UNTICKED, LeftOpen, PunchLine, closing_lines, left_open
from engine.stages.standing_line import MARKS, OF_A_VISIT, just_begun
from engine.walk import Walk, walk
from tests.demo import BY
from tests.repair.finished import CLIENT, SIGNED, YEARS, finished, opened
from tests.repair.test_sleeves_kept import SOON, asked_of_sleeve, left_at_sign_off
from tests.repair.test_what_stands import fresh, lines, needed, open_keys, repair_of
from tests.test_done_means_done import all_ticked, ticked
from tui.cli import main
from tui.stages.cards import card_of

POST, WAITS, KNOWN = "P10", "the paving comes first", "the client knows"
DEPTH = ItemKey("posts", POST, "driven_depth")
NO_STAKES = "Between P4 and P5 no stake goes in from 44' 5 3/8\" to 49' 5 1/4\": rock ledge."


def asked_at_sign_off(job: Job) -> tuple[LeftOpen, ...]:
    worked = walk(job)
    return left_open(worked.punch, worked.stage_findings, worked.checklists)


def closing(job: Job) -> tuple[PunchLine, ...]:
    worked = walk(job)
    return closing_lines(worked.punch, worked.stage_findings, worked.checklists)


def signed_off(job: Job) -> Job:
    """The job signed off as it is, with a reason for all that is open."""
    reasons = {str(left.key): WAITS if left.key == UNTICKED else KNOWN for left in asked_at_sign_off(job)}
    return edits.sign(job, build_record(job, walk(job), SIGNED, BY, CLIENT, reasons, "Mo"), SIGNED, BY, CLIENT)


def half_done() -> Job:
    """P10 was moved 2 ft along on the last day, and nothing was done of that."""
    return edits.move_post(finished("willow_bend"), POST, SIGNED, BY, along_ft=2.0)


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fence that is signed off so."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    job = half_done()
    return save(new(tmp_path / "old.toml", job, state=tmp_path / "state"), signed_off(job), state=tmp_path / "state").path


@pytest.fixture
def mend(old: Path) -> Path:
    """The repair of it."""
    assert main(["repair", str(old), "-o", str(old.with_name("mend.toml"))]) == 0
    return old.with_name("mend.toml")


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    main([*words])
    return " ".join(capsys.readouterr().out.split())


def standing(job: Job) -> set[str]:
    worked = walk(job)
    return {name for name, built in facts_to_print(job, worked).record.supports.items() if stands(worked, name, built)}


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 10**6))
@example(seed=617)
@example(seed=947269)
def test_nothing_stands_that_the_job_before_had_not_done_and_what_it_left_open_is_open(name: str, seed: int) -> None:
    _nothing_more_stands(left_at_sign_off(name, seed, aside=seed % 5 > 0))


@pytest.mark.parametrize("done", [("pinned",), ("pinned", "band_a")])
def test_a_pin_says_no_more_in_the_repair_of_a_post_that_gave_a_sleeve_up(done: tuple[str, ...]) -> None:
    """P2 was moved within a day, its old sleeve was pulled, and at its new place only the brace was looked at: nor in the next repair."""
    job = edits.move_post(finished("willow_bend"), "P2", SOON, BY, along_ft=2.0)
    keys = [asked_of_sleeve(job), *(ItemKey("bracing", "P2", what) for what in done)]
    for key in keys:
        job = ticked(job, lines(walk(job))[key].item, SIGNED)
    assert "P2" not in standing(job)
    _nothing_more_stands(job)
    _nothing_more_stands(repair_of(job))


def _nothing_more_stands(old: Job) -> None:
    mend = repair_of(old)
    before, after = lines(walk(old)), lines(walk(mend))
    assert {key: line.state for key, line in after.items() if line.tick is not None} == {
        key: before[key].state for key, line in after.items() if line.tick is not None
    }
    left = {key for key, line in before.items() if line.state == "open" and key.what != "old_sleeve"}
    assert left <= open_keys(walk(mend))
    assert {key.what for key in open_keys(walk(mend)) - left} <= {*MARKS, *OF_A_VISIT}
    assert {key for key, line in after.items() if line.left is not None} <= left
    assert standing(mend) == standing(old)
    driven = {name for name, support in walk(mend).layout.supports.items() if support.support == "driven"}
    assert needed(walk(mend)).get(mend.fence.sleeve, 0) >= len(driven - standing(mend))


def test_what_does_not_stand_is_told_by_every_word(mend: Path, old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = told(capsys, "repair", str(old), "-o", str(old.with_name("again.toml")))
    assert "15 of 16 supports stand, 19 items left open then are to be done." in said
    checked = told(capsys, "check", str(mend))
    assert "19 items left open then are open still." in checked
    assert "No call to the one-call centre is entered." in checked
    load = told(capsys, "load", str(mend))
    assert "round steel post 1 5/8 in, 8 ft: 1 post" in load
    assert "steel sleeve 30 in: 1 sleeve" in load
    record = told(capsys, "record", str(mend))
    assert "P10 line not driven 156' 6\" on back" in record
    assert "Sleeves and posts: P10: sleeve driven, depth the paving comes first" in record
    assert "sleeves and posts 0 of 4" in record
    assert just_begun(opened(mend).job)


def test_the_closing_list_and_the_sign_off_name_what_was_left_and_why(mend: Path) -> None:
    job = opened(mend).job
    by_key = {line.key.of: line for line in closing(job)}
    assert by_key[DEPTH].do == "Left open before this repair: the paving comes first"
    assert by_key[item_key("survey.job.marks_seen")].do == ""
    left = {line.says: line.group for line in by_key.values() if line.level == "note"}
    assert left[f"As it stood: {NO_STAKES} Left so then: the client knows"] == "left before"
    (unticked,) = (left for left in asked_at_sign_off(job) if left.key == UNTICKED)
    assert unticked.says.endswith("19 of 24 were left open before this repair.")
    assert unticked.why_left == ""
    for key in (key for key in open_keys(walk(job)) if key.what in (*MARKS, *OF_A_VISIT)):
        job = ticked(job, lines(walk(job))[key].item, YEARS)
    (unticked,) = (left for left in asked_at_sign_off(job) if left.key == UNTICKED)
    assert unticked.why_left == WAITS


def test_what_was_given_as_a_reason_ends_before_what_is_advised(mend: Path) -> None:
    job = opened(mend).job
    (bay,) = (one.subject for one in walk(job).findings if one.says.startswith(f"As it stood: {NO_STAKES}"))
    card = card_of(job, walk(job), bay)
    assert card is not None
    assert any("Left so then: the client knows. Weight the apron down there" in str(line) for line in card.lines)


def test_the_client_is_told_what_was_left_before_and_after_it_is_signed_again(mend: Path, tmp_path: Path) -> None:
    job = opened(mend).job
    told = left_for_client(job, walk(job))
    assert [says for says, _ in told.stops] == ["No call to the one-call centre is entered."]
    stood = f"As it stood: {NO_STAKES} Left so then: the client knows"
    assert stood in [says for says, _ in told.others]
    assert {"sleeves and posts", "wire and mesh", "staking"} <= set(told.unticked)
    assert told.unticked_why == "Some of it was left open before this repair: the paving comes first"
    sealed = save(opened(mend), signed_off(job), state=tmp_path / "state").job
    told = left_for_client(sealed, walk(sealed))
    assert stood in [says for says, _ in told.others]
    assert stood not in notes_for_client(sealed, walk(sealed))[0]
    assert "sleeves and posts" in told.unticked
    assert told.unticked_why == "Reason given: the paving comes first"
    again = repair_of(job)
    assert lines(walk(again))[DEPTH].left is not None
    assert lines(walk(again))[DEPTH].state == "open"


def test_a_finished_fence_has_nothing_to_be_done_and_tells_what_was_found_and_left() -> None:
    job = fresh("willow_bend")
    told = left_for_client(job, walk(job))
    assert (told.stops, told.unticked) == ((), ())
    assert f"As it stood: {NO_STAKES} Left so then: the client knows" in [says for says, _ in told.others]


def test_what_is_done_in_the_repair_is_left_open_no_more(mend: Path) -> None:
    job = all_ticked(opened(mend).job, YEARS)
    assert open_keys(walk(job)) == set()
    tables = {table.title: table.rows for table in office_tables(job, walk(job))}
    assert {reason for _, reason in tables["Left open before this repair"]} == {KNOWN}
    assert needed(walk(job))[job.fence.sleeve] == 1
    assert {row.stock: row.used for row in walk(job).takeoff.rows}[job.fence.sleeve] == 1


@pytest.mark.parametrize(
    ("left", "loaded"),
    [
        (("plumb",), {}),
        (("driven_depth",), {}),
        (("driven_depth", "solid", "plumb"), {}),
        (("plumb", "eyes"), {"post-8": 1, "cap": 1, "eye": 2}),
        (("driven_depth", "solid", "plumb", "eyes"), {"sleeve-30": 1, "post-8": 1, "cap": 1, "eye": 2}),
    ],
)
def test_only_what_is_not_there_is_loaded_whatever_of_it_nobody_ticked(left: tuple[str, ...], loaded: dict[str, int]) -> None:
    old = finished("willow_bend")
    keys = [ItemKey("posts", POST, what) for what in left]
    mend = repair_of(old.model_copy(update={"checks": {key: tick for key, tick in old.checks.items() if key not in keys}}))
    assert {key for key in open_keys(walk(mend)) if key.stage == "posts"} == set(keys)
    rows = {row.stock: (row.needed, row.used) for row in walk(mend).takeoff.rows if row.needed or row.used}
    assert rows == {stock: (amount, 0) for stock, amount in loaded.items()}
    rows = {row.stock: (row.needed, row.used) for row in walk(all_ticked(mend, YEARS)).takeoff.rows if row.needed or row.used}
    assert rows == {stock: (amount, amount) for stock, amount in loaded.items()}


def stops(worked: Walk) -> set[str]:
    return {finding.code for finding in worked.findings if finding.level == "stop"}


@pytest.mark.parametrize(("done", "sleeves"), [((), 1), (("solid",), 0)])
def test_a_sleeve_is_loaded_for_a_post_of_which_it_was_only_said_that_its_depth_is_not_needed(done: tuple[str, ...], sleeves: int) -> None:
    old = finished("willow_bend")
    of = old.checks[DEPTH].of
    kept = {key: tick for key, tick in old.checks.items() if (key.stage, key.subject) != ("posts", POST) or key.what in done}
    mend = repair_of(edits.tick(old.model_copy(update={"checks": kept}), DEPTH, SIGNED, BY, of=of, needed=False, note="tape forgotten"))
    assert needed(walk(mend)).get(mend.fence.sleeve, 0) == sleeves


@pytest.mark.parametrize("what", ["driven_depth", "foot_a", "footed", "flush"])
def test_what_goes_into_the_ground_in_a_repair_needs_the_notice_and_the_marks(what: str) -> None:
    """Before it is driven, and once it is: a tick is no leave to dig."""
    done = finished("willow_bend")
    key = next(key for key in done.checks if key.what == what)
    mend = repair_of(edits.untick(done, key, SIGNED, BY))
    assert "notice_not_called" in stops(walk(mend))
    assert {item_key("survey.job.marks_called"), item_key("survey.job.marks_seen")} <= open_keys(walk(mend))
    driven = ticked(mend, lines(walk(mend))[key].item, YEARS)
    assert lines(walk(driven))[key].state == "done"
    assert "notice_not_called" in stops(walk(driven))
    assert item_key("survey.job.marks_seen") in open_keys(walk(driven))


def test_a_sleeve_that_was_left_open_may_not_be_driven_before_the_marks_are_seen(mend: Path) -> None:
    work = walk(opened(mend).job).posts.work
    assert (work[POST].drivable, work[POST].why_not) == (False, "the utility marks have not been seen")
    assert work["P11"].drivable


def test_a_post_that_a_small_correction_left_in_its_sleeve_stands_in_the_repair_too() -> None:
    """Its items are open again; no other sleeve is loaded."""
    old = edits.move_post(finished("willow_bend"), POST, SIGNED, BY, along_ft=0.3)
    assert lines(walk(old))[DEPTH].state == "open"
    mend = repair_of(old)
    assert POST in standing(mend)
    assert mend.fence.sleeve not in needed(walk(mend))
    assert repair_of(mend).repair_of.sleeves == {}  # type: ignore[union-attr]  # a repair
    assert POST in standing(repair_of(mend))
