"""Every finding that comes, goes or is about others is told by what it is about, and none is told that stands where it stood."""

import random
import re
from collections.abc import Callable, Mapping
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.tolerances import SAME_SPOT_FT
from engine.change.changed_findings import FindingChange
from engine.change.consequences import Consequences, consequences
from engine.checklist import DONE_BEFORE
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.stages.punch.stage import WAYS_OUT
from engine.walk import Walk, walk
from tests.demo import AT, BY, accepted
from tests.test_done_means_done import JOBS, all_ticked, changed
from tui.boxes.change.preview import summary

POST = re.compile(r"\bP\d+\b")
LENGTH = re.compile(r"(\d+)' (\d+)(?: (\d+)/(\d+))?\"")


def rows(walked: Walk) -> dict[str, tuple[str, ...]]:
    """Bays and loops by their names, with the posts that they run along; gates, points and lines with none."""
    bays = {name: ("bay", bay.from_id, bay.to_id) for name, bay in walked.layout.bays.items()}
    loops = {name: ("loop", *loop.supports) for name, loop in walked.cables.loops.items()}
    return {name: (name,) for name in (*walked.gate.gates, *walked.survey.points, *walked.survey.lines)} | bays | loops


def names_then(before: Walk, after: Walk) -> dict[str, str]:
    """What each thing of before is called after, by the spots of posts and what is between them; where its name is another's by then, what
    nothing is called."""
    was, now = before.layout.supports, after.layout.supports
    posts = called_then(
        {name: [other for other in now if hypot(one.east_ft - now[other].east_ft, one.north_ft - now[other].north_ft) <= SAME_SPOT_FT]
         for name, one in was.items()}
    )  # fmt: skip
    there = rows(after)
    runs = {name: (kind, *(posts.get(one, one) for one in row)) for name, (kind, *row) in rows(before).items()}
    return {**posts, **called_then({name: [other for other, row in there.items() if row == runs[name]] for name in runs})}


def called_then(there: Mapping[str, list[str]]) -> dict[str, str]:
    found = {name: name if name in alike or not alike else alike[0] for name, alike in there.items()}
    taken = {other for name, other in found.items() if name != other}
    return {name: f"{name} before" if name == other and name in taken else other for name, other in found.items()}


def abouts(walked: Walk, called: Mapping[str, str]) -> dict[tuple[str, str], str]:
    """Of every finding its code with each thing that it is about, as that is called after, and what it is called in this walk."""
    told_apart = (WAYS_OUT, DONE_BEFORE)
    findings = [one for one in walked.findings if one.code not in told_apart]
    return {(one.code, called[name]): name for one in findings for name in one.subjects if name in called}


def told(found: Consequences, code: str, name: str, *, new: bool) -> bool:
    """Whether what is told of one code names a thing, or tells a whole sentence about it alone as new, as gone or as what another was."""
    appear, go = ([one for one in findings if one.code == code] for findings in (found.appear, found.go))
    if any(name in one.subjects and not one.each for one in (appear if new else go)):
        return True
    whole = [change for change in found.changed if change.now.code == code and not change.now.each and change.was.says != change.now.says]
    if any(name in (change.now if new else change.was).subjects for change in whole):
        return True
    of_code = Consequences(appear=tuple(appear), go=tuple(go), changed=tuple(one for one in found.changed if one.now.code == code))
    return re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", summary("", of_code).plain) is not None


def one_thing(says: str, other: str) -> bool:
    """Whether two sentences say the same but for names of posts and lengths that differ by less than a foot."""
    if LENGTH.sub("#", POST.sub("#", says)) != LENGTH.sub("#", POST.sub("#", other)):
        return False
    return all(abs(feet(*a) - feet(*b)) < 1 for a, b in zip(LENGTH.findall(says), LENGTH.findall(other), strict=True))


def feet(whole: str, inches: str, over: str, under: str) -> float:
    return float(whole) + (float(inches) + float(over or 0) / float(under or 1)) / 12


@pytest.mark.parametrize("way", [lambda job: edits.drop_post(job, "P5", AT, BY), lambda job: edits.add_post(job, "back", 53.0, AT, BY)])
def test_a_rock_whose_bay_is_called_otherwise_is_told_once(way: Callable[[Job], Job]) -> None:
    before, after = walk(accepted()), walk(way(accepted()))
    (was,), (now,) = ([one for one in walked.findings if one.code == "apron_unstaked" and "rock" in one.says] for walked in (before, after))
    assert was.subjects != now.subjects
    found = consequences(before, after)
    assert [one for one in (*found.appear, *found.go) if one.code == "apron_unstaked"] == []
    assert FindingChange(was, now) in found.changed


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_whatever_a_finding_is_about_that_it_was_not_is_named_and_whatever_it_is_about_no_more(name: str, seed: int) -> None:
    rng, job = random.Random(seed), JOBS[name]()
    job = all_ticked(job) if rng.random() < 0.5 else job
    there = job
    for _ in range(rng.randint(1, 3)):
        there = changed(there, rng)
    before, after = walk(job), walk(there)
    found = consequences(before, after)
    was, now = abouts(before, names_then(before, after)), abouts(after, {name: name for name in (*after.layout.supports, *rows(after))})
    came, went = (
        [(code, name) for (code, then), name in one.items() if (code, then) not in other] for one, other in ((now, was), (was, now))
    )
    assert [one for one in came if not told(found, *one, new=True)] == []
    assert [one for one in went if not told(found, *one, new=False)] == []
    for change in found.changed:
        assert all((change.now.code, name) in came for name in change.came)
        assert all((change.was.code, name) in went for name in change.went)
    assert [(one, other) for one in found.appear for other in found.go if one_thing(one.says, other.says)] == []
    assert not any(change.was == change.now for change in found.changed)
