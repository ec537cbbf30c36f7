"""Jobs in feet and in metres in one process: none shows a length of the other, and going to and fro changes nothing that is kept."""

import re
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.units import FEET_INCHES, METRES, Units, in_hand
from engine.job.edit import entering
from engine.job.file.store import load, new, save
from engine.job.model.job import Job
from engine.paper.crew.crew_sheets import crew_html
from engine.paper.load_list import load_text
from engine.paper.plan.readable_plan import readable_plan
from engine.paper.record_office import record_text
from engine.paper.record_page import record_html
from engine.walk import forget, walk
from tests.demo import DEMO, FOLDER, accepted, demo, others
from tests.job.small import NOW

JOBS: dict[str, Callable[[], Job]] = {
    "demo": demo, "accepted": accepted, **{name: (lambda name=name: others()[name]) for name in ("ridge_ring", "alder_row")},
}  # fmt: skip
IMPERIAL = re.compile(r"\d' \d|\d'(?!\w)|\d\"|\d ft\b|\d sq ft\b|\d in\b(?! \d)")


def of_units(job: Job, units: Units) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update={"units": units})})


def texts(job: Job) -> tuple[str, ...]:
    """All that is told of a job in words."""
    worked = walk(job)
    found = "\n".join(f"{one.says} {one.do}" for one in worked.findings)
    return found, readable_plan(job, worked), record_text(job, worked), load_text(job, worked.takeoff)


@cache
def fresh(name: str, units: Units) -> tuple[str, ...]:
    forget()
    return texts(of_units(JOBS[name](), units))


ASKED = st.tuples(st.sampled_from(list(JOBS)), st.sampled_from([FEET_INCHES, METRES]))


@settings(max_examples=12, deadline=None)
@given(order=st.lists(ASKED, min_size=2, max_size=5), hand=st.sampled_from([FEET_INCHES, METRES]))
def test_whatever_was_walked_before_a_job_is_told_in_its_own_units(order: list[tuple[str, Units]], hand: Units) -> None:
    wanted = [fresh(*asked) for asked in order]
    in_hand(hand)
    assert [texts(of_units(JOBS[name](), units)) for name, units in order] == wanted


def test_two_threads_tell_one_job_in_both_units_at_once() -> None:
    wanted = [fresh("demo", units) for units in (FEET_INCHES, METRES)]
    with ThreadPoolExecutor(2) as pool:
        for _ in range(3):
            forget()
            assert list(pool.map(lambda units: texts(of_units(demo(), units)), (FEET_INCHES, METRES))) == wanted


@pytest.mark.parametrize("name", JOBS)
def test_a_job_in_metres_says_no_length_in_feet_or_inches(name: str) -> None:
    """Names of stock are the crew's own words, and a log tells what somebody wrote."""
    job = of_units(JOBS[name](), METRES)
    worked = walk(job)
    said = "\n".join(f"{one.says} {one.do}" for one in worked.findings)
    in_hand(METRES)
    said += "\n".join(f"{line.item.says} {line.item.reading.range_words if line.item.reading else ''}"
                      for checklist in worked.checklists.values() for line in checklist.lines)  # fmt: skip
    own = {row.name for row in worked.takeoff.rows}
    assert [line for line in said.splitlines() if IMPERIAL.search(line) and not any(one in line for one in own)] == []


def test_page_and_crew_sheets_of_a_job_in_metres_say_no_feet() -> None:
    job = of_units(demo(), METRES)
    worked = walk(job)
    for page in (record_html(job, worked), crew_html(job, worked, "planned")):
        body = re.sub(r"<style>.*?</style>|<[^>]*>", " ", page, flags=re.S)
        for row in worked.takeoff.rows:
            body = body.replace(row.name, "")
        said = [body[max(0, found.start() - 60) : found.end() + 20] for found in IMPERIAL.finditer(body.replace("&quot;", '"'))]
        assert [one for one in said if "galvanized" not in one and "\u00b0" not in one] == []


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.stem)
def test_units_are_no_part_of_what_a_tick_or_a_record_is_about(path: Path) -> None:
    """What items are about, and so what ticks keep, is the same whatever the job is shown in."""
    job = load(path).job
    feet, metres = (walk(of_units(job, units)) for units in (FEET_INCHES, METRES))
    for stage, checklist in feet.checklists.items():
        other = metres.checklists[stage]
        assert [(line.item.key, line.item.of, line.state) for line in checklist.lines] == [
            (line.item.key, line.item.of, line.state) for line in other.lines
        ]
    assert [(one.code, one.level, one.subjects) for one in feet.findings] == [
        (one.code, one.level, one.subjects) for one in metres.findings
    ]


@settings(max_examples=10, deadline=None)
@given(order=st.lists(st.sampled_from([FEET_INCHES, METRES]), min_size=1, max_size=4))
def test_going_to_and_fro_changes_one_line_of_the_file_and_back_none(tmp_path_factory: pytest.TempPathFactory, order: list[Units]) -> None:
    folder = tmp_path_factory.mktemp("units")
    loaded = new(folder / "yard.toml", accepted(), NOW, state=folder / "state")
    before = _facts(loaded.path)
    for units in order:
        in_hand(units)
        who = {**loaded.job.job.model_dump(), "units": units}
        loaded = save(loaded, entering.put(loaded.job, "job", None, who), NOW, state=folder / "state")
        changed = set(before) ^ set(_facts(loaded.path))
        assert changed == (set() if units == FEET_INCHES else {'units = "feet-inches"', 'units = "metres"'})
        loaded = load(loaded.path)


def _facts(path: Path) -> list[str]:
    heading = ("revision", "parent", "saved_at", "earlier", "runs")
    return [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith(heading)]


def test_a_field_of_a_file_names_its_unit_whatever_is_in_force(tmp_path: Path) -> None:
    """A number in quotes without a mark is in the unit that its field names."""
    text = DEMO.read_text(encoding="utf-8").replace('units = "feet-inches"', 'units = "metres"')
    path = tmp_path / "yard.toml"
    path.write_text(text.replace("[end]", '[points.Q]\neast_ft = "10"\nnorth_ft = "3.048 m"\n\n[end]'), encoding="utf-8")
    in_hand(METRES)
    point = load(path).job.points["Q"]
    assert (point.east_ft, point.north_ft) == (10.0, 10.0)
