"""Any job that loads gets a layout: odd lines, stray names and wild logs give findings, never a traceback or a figure that isn't one."""

from dataclasses import fields, is_dataclass
from math import isfinite
from random import Random
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.job.model.job import Job
from engine.stages.layout.stage import Layout, layout, planned_posts
from engine.stages.survey.stage import survey
from tests.stages.flat_yards import logged

POINTS = [f"p{n}" for n in range(9)]
NAMED = {"structure": ["h", "w", "stray"], "tree": ["t0", "t1", "stray"], "line": ["a", "b", "c", "d"]}


def odd_line(random: Random) -> dict[str, Any]:
    """A line through random points, closed one time in four; its ends meet anything, placed or not."""
    if random.random() < 0.25:
        ring = random.sample(POINTS, 3)
        return {"points": [*ring, ring[0]], "start_meets": "itself", "end_meets": "itself"}
    row: dict[str, Any] = {"points": random.sample([*POINTS, "nowhere"] if random.random() < 0.1 else POINTS, random.randint(2, 5))}
    for end in ("start", "end"):
        row[f"{end}_meets"] = meets = random.choice(["free", *NAMED])
        if meets in NAMED:
            row[f"{end}_at"] = random.choice(NAMED[meets])
    return row


def odd_post(random: Random) -> dict[str, Any]:
    """A post anywhere on any line, of any kind."""
    return {
        "line": random.choice("abcdq"),
        "station_ft": random.choice([0, 10, 20, 40, random.uniform(0, 120)]),
        "offset_ft": random.choice([0, 0, 1]),
        "kind": random.choice(["line", "corner", "end", "gate", "tee"]),
        "support": random.choice(["driven", "driven", "tree", "structure"]),
        "at": random.choice([None, "t0", "h", "stray"]),
    }


def odd_entry(random: Random, n: int) -> dict[str, Any]:
    """A log entry that may name a post, a tree or a line that isn't there."""
    kind = random.choice(["obstacle", "move", "swap", "add", "drop", "planned"])
    station = {"line": random.choice("abcdq"), "station_ft": random.uniform(0, 90)}
    post = {"post": f"P{random.randint(0, 14)}"}
    parts = {
        "obstacle": {"what": "rock", **station, "radius_ft": random.uniform(0.1, 5)},
        "move": {**post, "along_ft": random.uniform(-30, 30), "out_ft": random.uniform(-4, 4)},
        "swap": {**post, "tree": random.choice(NAMED["tree"])},
        "add": {**post, **station, "post_kind": random.choice(["line", "gate"])},
        "drop": post,
        "planned": {"supports": 4},
    }
    return logged(kind, n, **parts[kind])


def odd_job(seed: int) -> Job:
    """A job with something of everything, most of it in the wrong place."""
    random = Random(seed)

    def spots(most: int) -> list[str]:
        return [random.choice(POINTS) for _ in range(random.randint(2, most))]

    place = lambda: random.choice([0, 0, 10, 20, 40, random.uniform(-80, 80)])  # noqa: E731
    return Job.model_validate(
        {
            "points": {name: {"east_ft": place(), "north_ft": place()} for name in POINTS},
            "lines": {name: odd_line(random) for name in "abcd"[: random.randint(0, 4)]},
            "posts": {f"P{n}": odd_post(random) for n in range(random.choice([0, 0, 5, 12]))},
            "log": [odd_entry(random, n) for n in range(random.randint(0, 8))],
            "structures": {"h": {"points": spots(4)}, "w": {"points": spots(3), "holds_eyes": False}},
            "trees": {f"t{n}": {"point": random.choice(POINTS), "diameter_in": random.uniform(2, 30)} for n in range(3)},
            "obstacles": {"o": {"kind": "rock", "points": spots(5), "radius_ft": random.choice([0, 2])}},
            "utilities": {"u": {"kind": random.choice(["gas", "overhead"]), "points": spots(4)}},
            "boundaries": {"b": {"points": spots(3), "client_side": "left", "setback_ft": random.choice([0, 5])}},
            "decks": {"d": {"points": [*spots(4), "p0"]}},
            "gates": {f"g{n}": {"line": random.choice("abcdq"), "station_ft": random.uniform(0, 60)} for n in range(3)},
            "shots": {
                f"s{n}": {"method": "level", "line": random.choice("abcd"), "station_ft": random.uniform(0, 90), "level_ft": n - 2}
                for n in range(5)
            },
            "rules": {"layout": {"bay_max_ft": random.choice([25, 10, 4, 60]), "grid_in": random.choice([3, 1, 12])}},
        }
    )


def figures(value: object) -> list[float]:
    """Every number inside a result."""
    if isinstance(value, float):
        return [value]
    if is_dataclass(value):
        return [figure for field in fields(value) for figure in figures(getattr(value, field.name))]
    if isinstance(value, dict):
        return [figure for inner in value.values() for figure in figures(inner)]
    return [figure for inner in value for figure in figures(inner)] if isinstance(value, tuple) else []


def check(found: Layout) -> None:
    """Laws of any layout: finite figures, bays on their line between supports that are there."""
    assert all(isfinite(figure) for figure in figures(found))
    for bay in found.bays.values():
        assert 0 <= bay.start_ft <= bay.end_ft <= found.lines[bay.line].length_ft
        assert {bay.from_id, bay.to_id} <= set(found.supports)
        assert bay.slope_ft >= bay.plan_ft > 0
    assert {name for row in found.lines.values() for name in row.supports} == set(found.supports)
    assert len({str(item.key) for item in found.items}) == len(found.items)


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**9))
def test_any_job_gets_a_layout(seed: int) -> None:
    job = odd_job(seed)
    check(layout(job, survey(job)))


@pytest.mark.closed_form
@settings(max_examples=40, deadline=None)
@example(11410)  # a stretch wholly in a keep-out, its length half a thousandth
@example(25832)  # a gate at an end that is drawn to a tree far off
@given(st.integers(0, 10**9))
def test_any_proposal_accepted_is_the_same_fence(seed: int) -> None:
    job = odd_job(seed).model_copy(update={"posts": {}, "log": ()})
    surveyed = survey(job)
    proposed = layout(job, surveyed)
    accepted = layout(job.model_copy(update={"posts": planned_posts(proposed)}), surveyed)
    assert accepted.supports == proposed.supports
    assert accepted.bays == proposed.bays
    assert accepted.lines == proposed.lines
