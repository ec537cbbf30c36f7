"""The law of the survey: what two laptops wrote down apart stands in the joined job, each record of either, or was asked about by name."""

from collections.abc import Callable, Mapping

from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.job.edit import edits, entering
from engine.job.edit.next_record import next_name, next_point, ordered_points, shot_name
from engine.job.errors import EditRefused
from engine.job.file.as_read import as_read
from engine.job.merge.merge import WHOLE, Merged, merge
from engine.job.merge.records_apart import FOUND, records_apart
from engine.job.model.base import Part
from engine.job.model.cross_checks import NOUNS, problems
from engine.job.model.job import Job
from engine.job.model.words.key_words import record_words
from tests.change.test_renaming import jobs
from tests.demo import AT
from tests.job.merge.test_merge_law import said

TABLES = (*(table for table in NOUNS if table not in ("posts", "alternatives")), "points")
Chain = list[tuple[str, int]]


def _point(job: Job, n: int) -> str:
    """One of the last that were measured."""
    return ordered_points(job)[-1 - n % 4]


def _line(job: Job, n: int) -> str:
    return list(job.lines)[n % len(job.lines)]


def _length(rows: Mapping[str, object], n: int) -> float:
    """No two of a table's records measure alike."""
    return n + len(rows) / 64


def _shot(job: Job, fields: dict[str, object]) -> Job:
    return _anew(job, entering.add(job, "shots", shot_name(job, fields), fields), "shots")


def _counted(job: Job, table: str, first: str, fields: dict[str, object]) -> Job:
    """A record under the name after the last, as it is filled in."""
    rows = getattr(job, table)
    return _anew(job, entering.add(job, table, next_name(next(reversed(rows), ""), rows) or first, fields), table)


def _anew(job: Job, entered: Job, table: str) -> Job:
    """The job with what was entered; nobody enters one thing twice."""
    rows = getattr(entered, table)
    if rows[next(reversed(rows))] in getattr(job, table).values():
        raise EditRefused("it is there already")
    return entered


def _level(job: Job, n: int) -> Job:
    return _shot(job, {"method": "level", "line": _line(job, n), "station_ft": _length(job.shots, 2 + n), "level_ft": -n / 4})


def _tie(job: Job, n: int) -> Job:
    ends = ordered_points(job)[:2]
    new = {"point": next_point(job) or "T1", "from_a": ends[0], "from_b": ends[1], "side": "left"}
    return _shot(job, {"method": "tie", **new, "tape_a_ft": _length(job.shots, 150 + n), "tape_b_ft": 150.0 - n})


def _removed(job: Job, n: int) -> Job:
    """Without one of the last that nothing names."""
    tables = ("shots", "lines", "yards", "trees", "shots", "gates")
    table = tables[n % len(tables)]
    for name in reversed(getattr(job, table)):
        try:
            return entering.remove(job, table, name)
        except EditRefused:
            continue
    raise EditRefused("everything is used")


def _longer(job: Job, n: int) -> Job:
    names = [(table, name) for table in TABLES for name in getattr(job, table)]
    table, name = names[(7 * n) % len(names)]
    fields = getattr(job, table)[name].model_dump(exclude_none=True)
    length = next((field for field, held in fields.items() if isinstance(held, float)), None)
    return entering.put(job, table, name, {**fields, length: fields[length] + 0.5}) if length else job


EDITS: dict[str, Callable[[Job, int], Job]] = {
    "level": _level,
    "tie": _tie,
    "tree": lambda job, n: _counted(job, "trees", "T1", {"point": _point(job, n), "diameter_in": _length(job.trees, 10 + n)}),
    "obstacle": lambda job, n: _counted(
        job, "obstacles", "rock1", {"kind": "rock", "points": [_point(job, n)], "radius_ft": _length(job.obstacles, 1 + n)}
    ),
    "utility": lambda job, n: _counted(
        job,
        "utilities",
        "water1",
        {"kind": "water", "points": [_point(job, n), _point(job, n + 1)], "tolerance_in": _length(job.utilities, 9 + n)},
    ),
    "tape": lambda job, n: _shot(
        job, {"method": "tape", "from_point": _point(job, n), "to_point": _point(job, n + 1), "length_ft": _length(job.shots, 90 + n)}
    ),
    "gate": lambda job, n: _counted(
        job,
        "gates",
        "G1",
        {"line": _line(job, n), "station_ft": 1.0 + n, "leaf_width_ft": 3.0, "opens": ("left", "right")[n % 2], "hinge": "start"},
    ),
    "rock": lambda job, n: edits.obstacle(job, "rock", _line(job, n), 4.0 + n, AT, "Mo"),
    "removed": _removed,
    "longer": _longer,
    "line": lambda job, n: _counted(job, "lines", "L1", {"points": [_point(job, n), _point(job, n + 1)]}),
    "client": lambda job, n: job.model_copy(update={"job": job.job.model_copy(update={"client": f"Client {n}"})}),
}
steps = st.tuples(st.sampled_from(list(EDITS)), st.integers(0, 9))
chains = st.lists(steps, max_size=6)
GONE = ("removed", 0)
DECIDED = st.sampled_from(["gate", "client", "removed", ""])
"""What both sides decide, each otherwise."""


USES = st.tuples(st.sampled_from(["tree", "obstacle", "utility", "line"]), st.just(0))
"""What names the point that was measured last."""


def after(job: Job, chain: Chain) -> Job:
    """The job after the edits of a chain; what is refused isn't done."""
    for name, n in chain:
        try:
            job = EDITS[name](job, n)
        except EditRefused:
            continue
    return job


@given(
    job=st.integers(0, 20),
    start=chains,
    both=DECIDED,
    ours=st.lists(steps, min_size=1, max_size=6),
    theirs=st.lists(steps, min_size=1, max_size=6),
    keep=st.booleans(),
)
@example(
    job=0,
    start=[("tree", 2)],
    both="",
    ours=[("tie", 0), ("removed", 9), ("tree", 2)],
    theirs=[("removed", 9), ("tree", 1)],
    keep=False,
)
@example(job=2, start=[], both="", ours=[("line", 0), ("level", 8)], theirs=[("line", 1), ("line", 0)], keep=False)
@settings(max_examples=20, deadline=None)
def test_every_record_of_either_stands_or_was_asked_about_by_name(
    job: int, start: Chain, both: str, ours: Chain, theirs: Chain, keep: bool
) -> None:
    base = after(jobs()[job % len(jobs())], start)
    first = [[(both, n)] if both else [] for n in (0, 1)]
    _both_stand(base, after(base, [*first[0], *ours]), after(base, [*first[1], *theirs]), keep)


@given(job=st.integers(0, 20), ours=chains, uses=USES, theirs=chains, keep=st.booleans())
@example(job=0, ours=[("gate", 0)], uses=("line", 0), theirs=[("gate", 1), ("gate", 0)], keep=True)
@example(job=0, ours=[("line", 1), ("level", 2)], uses=("line", 0), theirs=[("line", 1)], keep=False)
@settings(max_examples=20, deadline=None)
def test_a_point_that_one_took_out_and_the_other_used_costs_neither_anything_else(
    job: int, ours: Chain, uses: tuple[str, int], theirs: Chain, keep: bool
) -> None:
    base = after(jobs()[job % len(jobs())], [("tie", 0)])
    one, other = after(after(base, [GONE]), ours), after(base, [uses, *(step for step in theirs if step[0] != "removed")])
    _both_stand(base, one, other, keep)


def _both_stand(base: Job, one: Job, theirs: Job, keep: bool) -> None:
    other = as_read(theirs)
    merged = merge(base, one, other, "ours" if keep else "theirs")
    turned = merge(base, other, one, "theirs" if keep else "ours")
    assert as_read(merged.job) == merged.job
    assert problems(merged.job) == []
    assert said(merged.job) == said(turned.job)
    assert len(merged.conflicts) == len(turned.conflicts)
    assert WHOLE not in [asked.path for asked in merged.conflicts]
    for side, there, kept in ((one, other, keep), (other, one, not keep)):
        _stands(base, side, there, merged, kept)
        again = merge(side, merged.job, side)
        assert (again.job, again.conflicts, again.came_in) == (merged.job, (), ())
        if not merged.conflicts:
            again = merge(base, merged.job, side)
            assert again.conflicts == ()
            assert _told(again.job) == _told(merged.job)


def _told(job: Job) -> dict[str, dict[str, object]]:
    return {table: dict(getattr(job, table)) for table in TABLES}


def _stands(base: Job, side: Job, there: Job, merged: Merged, kept: bool) -> None:
    """What a side wrote, put right or took out is so in the joined job, or was asked about and isn't kept."""
    asked = " ".join(f"{conflict.says} " for conflict in merged.conflicts).lower()
    apart = records_apart(base, side, there).ours
    for table in TABLES:
        before, now, yours, joined = (getattr(job, table) for job in (base, side, there, merged.job))
        called = dict(zip(now, getattr(apart, table), strict=True))
        for name in before.keys() | now.keys():
            if now.get(name) == before.get(name):
                continue
            named = record_words(table, called.get(name, name)).lower() in asked
            stands = _stands_so(before.get(name), getattr(apart, table)[called[name]], joined) if name in now else name not in joined
            if table in FOUND and name not in before:
                stands = _measured(now[name]) in [_measured(row) for row in joined.values()]
                both_wrote = (table, name) in [asked.path[:2] for asked in merged.conflicts if asked.path[2:]]
                assert not both_wrote or not_counted(table, name), (table, name, asked)
            assert stands or named, (table, name, asked)
            assert stands or not kept or yours.get(name) != before.get(name), (table, name, asked)
    assert {entry.id for entry in side.log} <= {entry.id for entry in merged.job.log}


def _stands_so(before: Part | None, now: Part, joined: Mapping[str, Part]) -> bool:
    """Whether a record is in the joined job; of one that both had, whatever was changed of it."""
    changed = [(field, value) for field, value in now if before is None or getattr(before, field, None) != value]
    return now in joined.values() or (before is not None and any(all(pair in list(row) for pair in changed) for row in joined.values()))


def not_counted(table: str, name: str) -> bool:
    """Whether a name was given by hand."""
    return table != "shots" and not name[-1].isdigit()


def _measured(row: Part) -> list[object]:
    """A record but for the names that it says."""
    return [value for _, value in row if isinstance(value, float)]
