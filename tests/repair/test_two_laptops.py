"""Two laptops that begin a repair of one signed job, each by itself: their files join as copies of one file do."""

import random
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.logged_places import with_places
from engine.checklist import Item
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.file.store import as_saved, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import same_facts
from engine.repair.begun_alike import begun_alike
from engine.repair.repair_file import repair_job
from engine.stages.standing_line import ASKED_AFTER, MARKS, OF_A_VISIT
from engine.walk import Walk, walk
from tests.demo import BY, FOLDER
from tests.job.merge.test_merge_law import nothing_is_lost, said
from tests.repair.finished import YEARS, finished, opened, signed_file
from tests.repair.test_what_stands import fresh, lines, needed, open_keys
from tests.test_done_means_done import changed
from tui.cli import main

PLUMB = "posts.P5.plumb"


def at_work(job: Job, rng: random.Random, by: str, hour: int) -> Job:
    """One edit of any kind, some of what it asks ticked, and something that stood found to stand no more."""
    job, at = changed(job, rng), YEARS + timedelta(hours=hour)
    asked = [line.item for line in lines(walk(job)).values() if line.state == "open" and line.item.reading is None]
    for item in rng.sample(asked, min(4, len(asked))):
        job = edits.tick(job, item.key, at, by, of=item.of)
    return edits.untick(job, rng.choice([key for key in job.checks if key.what == "plumb"]), at, by)


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=4, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_either_way_round_is_one_repair_that_asks_what_is_new_and_opens_what_either_opened(name: str, seed: int) -> None:
    rng, start = random.Random(seed), as_saved(fresh(name))
    ours, theirs = at_work(start, rng, "Mo", 1), at_work(start, rng, "Teal", 2)
    base = begun_alike(ours, theirs)
    assert base == start
    one, other = merge(base, ours, theirs), merge(base, theirs, ours)
    assert one.job.repair_of == start.repair_of
    if one.conflicts:
        return
    assert one.job == other.job
    assert needed(walk(one.job)) == needed(walk(other.job))
    opened_by_one = {key for key in start.checks if key not in ours.checks or key not in theirs.checks}
    assert not opened_by_one & {key for key, tick in one.job.checks.items() if start.checks.get(key) == tick}
    asked, stood = lines(walk(one.job)), lines(walk(start))
    done_anew = {key for key in start.checks if any(job.checks.get(key) != start.checks[key] for job in (ours, theirs))}
    for key in open_keys(walk(one.job)) & stood.keys() - done_anew:
        assert not same_facts(stood[key].item.of, asked[key].item.of) or key.what in (*MARKS, *OF_A_VISIT, *ASKED_AFTER), key


def chained(job: Job, rng: random.Random, by: str) -> Job:
    """One to five things that a crew does in a repair; what is refused isn't done."""
    for minute in range(rng.randint(1, 5)):
        worked = walk(job)
        try:
            job = with_places(one_more(job, worked, rng, YEARS + timedelta(minutes=minute), by), worked, job)
        except EditRefused:
            continue
    return as_saved(job)


def one_more(job: Job, worked: Walk, rng: random.Random, at: datetime, by: str) -> Job:
    posts, line = list(worked.layout.supports), rng.choice(list(job.lines))
    station_ft = round(rng.uniform(1, worked.survey.lines[line].length_ft - 1), 2)
    ticked = [one.item for one in lines(worked).values() if one.tick]
    asked = [one.item for one in lines(worked).values() if one.state == "open"]
    kinds: tuple[Callable[[], Job], ...] = (
        lambda: edits.untick(job, rng.choice(list(job.checks)), at, by),
        lambda: done_anew(job, rng.choice(ticked), rng, at, by),
        lambda: done_anew(job, rng.choice(asked or ticked), rng, at, by),
        lambda: edits.move_post(job, rng.choice(posts), at, by, along_ft=rng.choice([0.5, -2.0])),
        lambda: edits.drop_post(job, rng.choice(posts), at, by),
        lambda: edits.add_post(job, line, station_ft, at, by),
        lambda: edits.obstacle(job, "rock", line, station_ft, at, by),
        lambda: edits.sleeve_left(job, posts[0], worked.layout.supports[posts[0]].xy, at, by),
        lambda: edits.note(job, f"words of {at:%H:%M}", at, by, about=rng.choice(posts)),
    )
    return rng.choice(kinds)()


def done_anew(job: Job, item: Item, rng: random.Random, at: datetime, by: str) -> Job:
    read = {f"reading_{item.reading.unit}": round((item.reading.wanted or 20.0) + rng.choice([0, 0.25]), 3)} if item.reading else {}
    return edits.tick(job, item.key, at, by, of=item.of, **read)  # type: ignore[arg-type]  # a length


@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=4, deadline=None)
@given(seed=st.integers(0, 10**6), keep=st.booleans(), known=st.booleans())
def test_nothing_that_either_did_is_lost_or_undone_unasked_whichever_is_named_first(name: str, seed: int, keep: bool, known: bool) -> None:
    """What stood and was opened on one laptop, or done anew there, is never what stands of both; where nothing tells what they began from
    too."""
    rng, start = random.Random(seed), as_saved(fresh(name))
    ours, theirs = chained(start, rng, "Mo"), chained(start, rng, rng.choice(["Teal", "Mo"]))
    assert begun_alike(ours, theirs) == start
    base = start if known else None
    one, other = merge(base, ours, theirs, "ours" if keep else "theirs"), merge(base, theirs, ours, "theirs" if keep else "ours")
    assert said(one.job) == said(other.job)
    assert len(one.conflicts) == len(other.conflicts)
    nothing_is_lost(start, ours, theirs, one)
    asked = {conflict.path for conflict in one.conflicts}
    for side in (ours, theirs):
        for key, tick in start.checks.items():
            undone = side.checks.get(key) != tick and one.job.checks.get(key) == tick
            assert not undone or ("checks", str(key)) in asked or ("plan",) in asked, key
    for side in (ours, theirs, start):
        again = merge(side, one.job, side)
        assert (again.job, again.conflicts) == (one.job, ())


def test_two_files_join_though_the_signed_one_was_called_otherwise_on_the_other_laptop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for laptop, signed in (("a", "alder_row"), ("b", "row")):
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / f"state_{laptop}"))
        (tmp_path / f"{signed}.toml").write_bytes((FOLDER / "alder_row.toml").read_bytes())
        assert main(["repair", str(tmp_path / f"{signed}.toml"), "-o", str(tmp_path / f"{laptop}.toml")]) == 0
    ours, theirs = opened(tmp_path / "a.toml"), opened(tmp_path / "b.toml")
    save(ours, edits.untick(edits.drop_post(ours.job, "P6", YEARS, BY), item_key(PLUMB), YEARS, BY), state=tmp_path)
    save(theirs, edits.move_post(theirs.job, "P8", YEARS, BY, along_ft=2), state=tmp_path)
    capsys.readouterr()
    files = [str(tmp_path / name) for name in ("a.toml", "b.toml", "c.toml")]
    assert main(["merge", *files[:2], "-o", files[2]]) == 1
    assert "1. The job before's file: alder_row.toml in a.toml; row.toml in b.toml." in capsys.readouterr().err
    assert main(["merge", *files[:2], "-o", files[2], "--keep", "1=a"]) == 0
    joined = opened(tmp_path / "c.toml").job
    assert ("P6" in walk(joined).layout.supports, item_key(PLUMB) in joined.checks) == (False, False)
    assert walk(joined).layout.supports["P8"].moved


def test_two_files_join_though_only_one_laptop_knows_what_stood_in_the_signed_one_before_it_was_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state_b"))
    signed = signed_file(tmp_path / "old.toml", finished("willow_bend")).path
    signed.write_text(signed.read_text().replace("reading_in = 30.0", "reading_in = 29.0", 1))
    theirs = repair_job(opened(signed), anyway=True, state=tmp_path / "state_b")
    ours = repair_job(opened(signed), anyway=True, state=tmp_path / "state")
    assert ours.repair_of is not None
    assert theirs.repair_of is not None
    assert ours.repair_of.changed == ('P2 driven depth: 30" when it was signed, 29" now.',)
    assert theirs.repair_of.changed == ("The reading of P2 driven depth was changed.",)
    base = begun_alike(ours, theirs)
    assert base == begun_alike(theirs, ours)
    for joined in (merge(base, ours, theirs), merge(base, theirs, ours)):
        assert joined.conflicts == ()
        assert joined.job.repair_of == ours.repair_of


def test_what_one_laptop_did_anew_stands_beside_a_note_of_the_other_and_what_it_opened_is_open() -> None:
    """Each repair was saved by itself; the wire that the other one hung again is as long as before, and was ticked later."""
    wire, lock = item_key("fabric.L3.wire_hung"), item_key("cables.L3.closed")
    start = as_saved(fresh("willow_bend"))
    of = lines(walk(start))[wire].item.of
    hung = edits.tick(edits.untick(start, wire, YEARS, "Teal"), wire, YEARS + timedelta(hours=1), "Teal", of=of)
    for mine in (edits.note(start, "x", YEARS, "Mo"), edits.untick(start, lock, YEARS, "Mo")):
        base = begun_alike(as_saved(mine), as_saved(hung))
        for joined in (merge(base, as_saved(mine), as_saved(hung)), merge(base, as_saved(hung), as_saved(mine))):
            assert joined.conflicts == ()
            assert (joined.job.checks[wire].by, joined.job.checks[wire].at) == ("Teal", YEARS + timedelta(hours=1))
            assert (lock in joined.job.checks) == (lock in mine.checks)
            assert {entry.id for entry in joined.job.log} == {entry.id for side in (mine, hung) for entry in side.log}
