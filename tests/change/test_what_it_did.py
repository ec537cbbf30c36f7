"""What an edit in a form did, in one line: how many items it opened, which stops and fixes it made, and nothing where it did neither."""

import random
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.consequences import consequences
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.renaming import corrected
from engine.change.what_it_did import Did, moved_ticks, what_it_did
from engine.checklist import ChecklistLine
from engine.findings import Finding, Level
from engine.job.edit import edits, entering
from engine.job.edit.entering import rename
from engine.job.errors import JobError
from engine.job.model.fence import Gate
from engine.job.model.job import Job
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted, demo
from tests.test_done_means_done import JOBS, LATER, all_ticked

WIDE = 400
AT_80 = 76
TABLES = ("points", "shots", "trees", "obstacles", "utilities", "decks", "lines", "surfaces", "heights", "gates", "yards", "dogs", "stock")
_TICKED: dict[str, Job] = {}


def ticked(name: str) -> Job:
    """A job with everything done but what every fifth item asks, which is open or not needed."""
    if name not in _TICKED:
        job = all_ticked(JOBS[name]())
        keys = list(job.checks)
        left = {key: tick for key, tick in job.checks.items() if key not in keys[::5]}
        unneeded = {key: tick.model_copy(update={"state": "not needed"}) for key, tick in left.items() if key in keys[1::7]}
        _TICKED[name] = job.model_copy(update={"checks": {**left, **unneeded}})
    return _TICKED[name]


def put_right(job: Job, rng: random.Random) -> Job:
    """The job after one form was saved: a record corrected or under another name, the fence, or a rule; as it was where that is refused."""
    try:
        kind = rng.randrange(8)
        if kind == 0:
            section = rng.choice(list(type(job.rules).model_fields))
            return entering.put(job, "rules", section, otherwise(getattr(job.rules, section), rng))
        if kind == 1:
            return entering.put(job, "fence", None, otherwise(job.fence, rng))
        table = rng.choice([table for table in TABLES if getattr(job, table)])
        name = rng.choice(list(getattr(job, table)))
        if kind == 2 and table != "shots":
            return rename(job, table, name, "anew")
        return corrected(job, table, name, otherwise(getattr(job, table)[name], rng))
    except JobError:
        return job


def otherwise(held: Any, rng: random.Random) -> dict[str, object]:
    """The fields of a record with one figure that is another."""
    fields: dict[str, object] = held.model_dump(exclude_none=True)
    figures = [key for key, value in fields.items() if isinstance(value, (int, float))]
    if figures:
        key = rng.choice(figures)
        value = fields[key]
        fields[key] = not value if isinstance(value, bool) else round(value * rng.choice([0.5, 0.9, 1.02, 1.2]), 2)  # type: ignore[operator]
    return fields


def states(walked: Walk) -> Iterator[tuple[str, str, ChecklistLine]]:
    for checklist in walked.checklists.values():
        yield from ((str(line.item.key), line.state, line) for line in checklist.lines)


def told(did: Did, words: str) -> int:
    """The count in front of such words."""
    found = re.search(rf"(\d+) {words}", did.words(WIDE))
    return int(found[1]) if found else 0


@pytest.mark.independent
@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10**6))
def test_as_many_items_are_told_as_were_done_and_are_open_or_not_asked_any_more(name: str, seed: int) -> None:
    """And taking it back tells the same; nothing is told where no item, no stop and no fix is another."""
    rng = random.Random(seed)
    job = ticked(name)
    there = put_right(job, rng)
    before, after = walk(job), walk(there)
    was, now = ({key: state for key, state, _ in states(walked)} for walked in (before, after))
    opened = [key for key, state in was.items() if state in ("done", "not needed") and now.get(key) == "open"]
    kept = set(map(str, there.checks))
    gone = [key for key, state in was.items() if state == "done" and key not in now and key in kept]
    did, back = what_it_did(before, after), what_it_did(after, before)

    assert (told(did, r"items? opens? again"), told(did, r"done items? gone")) == (len(opened), len(gone))
    assert told(back, r"items? counts? again") == len(opened) + len(gone)
    assert did.sign != "done" or not (opened or gone)
    findings = [{(one.key, one.level) for one in walked.findings if one.level != "note"} for walked in (before, after)]
    if not opened and not gone and findings[0] == findings[1] and before.punch.ways_out == after.punch.ways_out:
        assert told(did, r"items? counts? again") == sum(was.get(key) == "open" != state for key, state in now.items() if key in was)
        assert did.sign == "done"
    whole = {f"{word}{end}" for word in " ".join(way for one in did.parts for way in one.ways).split() for end in ("", ",", ".")}
    whole |= {"and", "more."}
    for room in (60, AT_80, 116):
        line = did.words(room)
        assert len(line) <= room
        assert not line or line.endswith(".")
        assert set(line.split()) <= whole, "no word is cut"


def test_nothing_is_told_of_what_did_nothing() -> None:
    job = ticked("willow_bend")
    titled = job.model_copy(update={"job": job.job.model_copy(update={"title": "The yard by the river"})})
    assert what_it_did(walk(job), walk(titled)).words(AT_80) == ""
    assert what_it_did(walk(job), walk(rename(job, "gates", "side", "east"))).words(AT_80) == ""
    key = next(iter(job.checks))
    assert what_it_did(walk(job), walk(edits.untick(job, key, AT, BY))).words(AT_80) == ""


def test_a_narrower_gate_opens_its_work_and_leaves_a_way_out() -> None:
    job = all_ticked(accepted())
    narrow = corrected(job, "gates", "side", leaf(4.0))
    did = what_it_did(walk(job), walk(narrow))
    assert did.words(AT_80) == "8 items open again (side), 1 done item gone, 1 new way out, 1 new fix."
    assert what_it_did(walk(narrow), walk(job)).words(AT_80) == (
        "9 items count again (side), 1 way out gone (beside gate side), 1 fix gone."
    )


def leaf(wide_ft: float) -> dict[str, object]:
    held: Gate = accepted().gates["side"]
    return {**held.model_dump(exclude_none=True), "leaf_width_ft": wide_ft}


def found(*findings: Finding) -> Walk:
    """The demo's walk with these findings of the layout."""
    walked = walk(accepted())
    return replace(walked, stage_findings={name: findings if name == "layout" else () for name in walked.stage_findings})


def finding(level: Level, says: str, *subjects: str) -> Finding:
    return Finding("code", level, "layout", subjects, says, "")


def test_a_finding_that_is_graver_or_about_more_is_new_and_one_that_the_line_tells_already_is_not_told_again() -> None:
    note, fix, stop = (finding(level, "P4 is short.", "P4") for level in ("note", "fix", "stop"))
    more = finding("fix", "P4 and 1 more are short.", "P4", "P7")

    assert what_it_did(found(note), found(fix)).words(AT_80) == "1 new fix (P4 is short)."
    assert what_it_did(found(fix), found(stop)).words(AT_80) == "1 new stop (P4 is short)."
    assert what_it_did(found(stop), found(fix)).words(AT_80) == "1 stop gone (P4 is short)."
    assert what_it_did(found(fix), found(more)).words(AT_80) == "1 new fix (P4 and 1 more are short)."
    assert what_it_did(found(more), found(fix)).words(AT_80) == "1 fix gone (P7)."
    assert what_it_did(found(), found(fix), but="Entered: tree T1. P4 is short.").words(AT_80) == ""


def test_of_a_layout_that_is_only_proposed_no_fix_of_its_posts_is_told() -> None:
    """Its posts have other numbers with every line and gate, and what is fixed by hand later is found at every corner of every job."""
    bare = demo().model_copy(update={"gates": {}})
    before, after = walk(bare), walk(demo())
    assert {one.key for one in before.findings if one.level == "fix"} != {one.key for one in after.findings if one.level == "fix"}
    assert what_it_did(before, after).words(AT_80) == "1 fix gone (punch list)."


def test_a_new_way_done_again_and_taken_back_tells_all_that_was_told_before_it_was_accepted() -> None:
    """The ticks of the two loops that it cuts go into its entry, and come back with it."""
    done = all_ticked(accepted())
    after = with_new_way(done, walk(done), given_up(done, walk(done), NewWay("P10", "P12"), LATER), LATER, BY)
    told = len(consequences(walk(done), walk(after)).opened)
    again, back = (
        what_it_did(walk(one), walk(other), moved=moved_ticks(one, other)).words(WIDE) for one, other in ((done, after), (after, done))
    )

    assert told == 39
    assert "26 items open again" in again
    assert "13 done items gone" in again
    assert back.startswith("39 items count again")
