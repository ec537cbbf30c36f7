"""Aprons where hard floors and steps lie on the line: what each station lies on, and which stretches are short."""

from dataclasses import replace
from typing import Any

import pytest

from engine.calc.geometry.ground import Profile
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import Fabric, fabric
from engine.stages.posts.stage import posts
from engine.stages.survey.floors import Floor
from tests.stages.fabric.test_stage import TIGHT, hung
from tests.stages.layouts import Spot, layout_of, row, survey_of

Row = tuple[str, float, float, float]
"""A short stretch: kind, from, to and worst."""

LEVEL = ((0.0, 0.0), (20.0, 0.0))
SLAB = Floor("pad", "slab", 8.0, 12.0)
STEPS = Floor("up", "steps", 8.0, 12.0, (0.5, 1.0, 1.5, 2.0))
STAIRS = ((0.0, 0.0), (8.0, 0.0), (12.0, 2.0), (20.0, 2.0))


def over(
    floors: tuple[Floor, ...], ground: tuple[tuple[float, float], ...] = LEVEL, posts_ft: tuple[float, ...] = (0, 20), **tables: Any
) -> Fabric:
    """Posts due east on ground with floors, the cable so tight that its sag hardly counts. 48 in of wire from 3 ft: 12 in of apron."""
    levels = dict(ground)
    last = len(posts_ft) - 1
    spots = [
        Spot(f"P{n + 1}", east, kind="end" if n in (0, last) else "line", level_ft=levels.get(east, 0.0)) for n, east in enumerate(posts_ft)
    ]
    layout = layout_of({"north": spots})
    bare = survey_of(layout, {"north": Profile(tuple(levels), tuple(levels.values()))})
    survey = replace(bare, lines={"north": replace(bare.lines["north"], floors=floors)})
    job = Job.model_validate({**TIGHT, **tables})
    work = posts(job, survey_of(layout), layout)
    return fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))


def shorts(found: Fabric, bay: str = "P1-P2") -> list[Row]:
    return [(one.kind, one.from_ft, one.to_ft, one.least_in) for one in found.bays[bay].short]


def near(rows: list[Row]) -> list[Any]:
    return [
        (kind, pytest.approx(low, abs=0.02), pytest.approx(high, abs=0.02), pytest.approx(least, abs=0.03))
        for kind, low, high, least in rows
    ]


def test_a_floor_holds_what_follows_its_first_edge_up_to_its_last_one() -> None:
    """Both sides of each edge are looked at, a hundredth of a foot apart."""
    apron = over((SLAB,)).bays["P1-P2"]

    under = dict(zip(apron.stations_ft, apron.under, strict=True))
    assert [(station, under[station]) for station in (7.0, 8.0, 8.01, 11.0, 12.0, 12.01, 13.0)] == [
        (7.0, "soil"), (8.0, "soil"), (8.01, "slab"), (11.0, "slab"), (12.0, "slab"), (12.01, "soil"), (13.0, "soil"),
    ]  # fmt: skip
    assert apron.short == ()


def test_a_floor_that_the_bay_begins_on_holds_its_start() -> None:
    assert over((replace(SLAB, from_ft=0.0),)).bays["P1-P2"].under[0] == "slab"


def test_a_break_a_hair_from_a_post_is_not_looked_at_twice() -> None:
    hair, riser = (over((), ((0.0, 0.0), (20 - apart, 0.0), (20.0, 0.0))).bays["P1-P2"].stations_ft for apart in (0.002, 0.01))

    assert (hair[-2:], riser[-2:]) == ((19.0, 20.0), (19.99, 20.0))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("slab", "found"),
    [
        # 12 in less 18 x (1 - |x - 10| / 10): under 6 in from 3.33 to 16.67 ft, on the slab an inch over it from 7.22 to 12.78
        ((5.0, 15.0), [("soil", 3.333, 5.0, 3.0), ("slab", 7.222, 12.778, -6.0), ("soil", 15.0, 16.667, 3.0)]),
        # only what lies before the slab's edge is short of soil: 4.8 in there
        ((4.0, 20.0), [("soil", 3.333, 4.0, 4.8), ("slab", 7.222, 12.778, -6.0)]),
    ],
)
def test_a_dip_under_a_slab_is_short_by_the_rule_of_each(slab: tuple[float, float], found: list[Row]) -> None:
    result = over((Floor("pad", "slab", *slab),), ((0.0, 0.0), (10.0, -1.5), (20.0, 0.0)))

    assert shorts(result) == near(found)
    apron = result.bays["P1-P2"]
    assert (apron.least_apron_in, apron.least_at_ft) == (pytest.approx(-6.0, abs=0.02), pytest.approx(10.0, abs=0.01))
    assert apron.infill_ft == pytest.approx(sum(high - low for _, low, high, _ in found), abs=0.05)


@pytest.mark.closed_form
@pytest.mark.parametrize(("deep_ft", "level", "gap"), [(1.2, "fix", '2 3/8"'), (1.3, "stop", '3 5/8"')])
def test_a_slab_under_the_wire_stops_the_job_past_3_in(deep_ft: float, level: str, gap: str) -> None:
    """12 x 1.2 - 12 = 2.4 in, 12 x 1.3 - 12 = 3.6. A piece on a slab takes lap and gap: 4 + 2.4 or 3.6 in, no apron."""
    result = over((Floor("pad", "slab", 5.0, 15.0),), ((0.0, 0.0), (10.0, -deep_ft), (20.0, 0.0)))

    (floor,) = [finding for finding in result.findings if finding.code == "gap_over_floor"]
    assert (floor.level, gap in floor.says) == (level, True)
    (piece,) = [piece for piece in result.infills if piece.over == "slab"]
    assert (piece.width_in, piece.open_in) == (7.0 if level == "fix" else 8.0, pytest.approx(12 * deep_ft - 12, abs=0.02))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("posts_ft", "rows"),
    [
        ((0, 20), {"P1-P2": [("steps", 8, 9, -6), ("steps", 9, 10, -6), ("steps", 10, 11, -6)]}),
        (
            (0, 9.5, 20),  # half way over the second tread the edge stands 3 in over it
            {"P1-P2": [("steps", 8, 9, -6), ("steps", 9, 9.5, -3)], "P2-P3": [("steps", 9.5, 10, -6), ("steps", 10, 11, -6)]},
        ),
        ((0, 9.005, 20), {"P1-P2": [("steps", 8, 9, -6)]}),  # a sliver of a tread is none
    ],
)
def test_the_edge_runs_straight_from_nosing_to_nosing(posts_ft: tuple[float, ...], rows: dict[str, list[Row]]) -> None:
    """2 ft in 4 treads: each lies 6 in under the next one's nosing, the last under none."""
    found = over((STEPS,), STAIRS, posts_ft)

    assert {bay: [row for row in shorts(found, bay) if row[0] == "steps"] for bay in rows} == {bay: near(row) for bay, row in rows.items()}


@pytest.mark.closed_form
@pytest.mark.parametrize(("gap_in", "count"), [(6.0, 0), (5.9, 3)])
def test_a_riser_just_of_the_rule_is_allowed(gap_in: float, count: int) -> None:
    found = over((STEPS,), STAIRS, rules={**TIGHT["rules"], "fabric": {"floor_gap_in": gap_in}})
    assert [row[0] for row in shorts(found)].count("steps") == count


def test_an_apron_short_by_the_same_all_along_is_one_stretch() -> None:
    """Wire 36 in wide from 3 ft, and no cable that sags: nothing is left to turn, from post to post."""
    result = hung(layout_of({"north": row(2, 20.0)}), fence={"cable": "none", "wire": "wire-36"})

    assert shorts(result) == near([("soil", 0.0, 20.0, 0.0)])


@pytest.mark.parametrize(("least_in", "hole_in"), [(0.05, 0.0), (-0.05, 0.0), (-0.07, 0.07), (3.0, 0.0)])
def test_a_hole_is_one_that_a_tape_shows(least_in: float, hole_in: float) -> None:
    apron = over(()).bays["P1-P2"]
    assert replace(apron, least_apron_in=least_in).hole_in == hole_in


@pytest.mark.closed_form
def test_the_worst_of_soil_and_slabs_is_told() -> None:
    """12 in less 18 x (1 - |x - 10| / 10): 6 in of hole at 10 ft, 1 1/2 at 12 1/2, 2.4 at 8."""
    dip = ((0.0, 0.0), (10.0, -1.5), (20.0, 0.0))
    beside = over((Floor("pad", "slab", 12.5, 14.0),), dip).bays["P1-P2"]
    assert (beside.least_apron_in, beside.least_at_ft) == (pytest.approx(-6.0, abs=0.03), 10.0)

    two = over((Floor("pad", "slab", 5.0, 8.0), Floor("walk", "slab", 9.0, 12.0)), dip)
    (told,) = [finding for finding in two.findings if finding.code == "gap_over_floor"]
    assert ('ends 6" over' in told.says, told.level) == (True, "stop")
