"""What the layout wants settled: keep-outs, boundaries, bays, in the words a crew reads."""

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import format_ft_in
from engine.calc.measuring.adjust import Ellipse
from engine.stages.layout.stage import Layout, layout
from engine.stages.survey.stage import survey
from tests.stages.flat_yards import coded, laid, logged, posts, ring, straight, yard
from tests.stages.yards import leg

EXACT = Ellipse(0.0, 0.0, 0.0)
GAS = {"G1": (-90.0, 10.0), "G2": (90.0, 10.0)}


@pytest.mark.closed_form
def test_a_post_in_a_gas_lines_zone_stops_the_job_and_says_what_is_left() -> None:
    """The zone runs from 8.5 to 11.5; a post at 9 is clear 6 in back. The gas line goes on both ways across, so no side is clear."""
    job = straight(40, GAS, utilities={"main": {"kind": "gas", "points": ["G1", "G2"]}}, posts=posts("n", 0, 9, 20, 40))
    found = coded(laid(job), "in_keep_out")[0]
    assert (found.level, found.subjects) == ("stop", ("P2", "main"))
    assert found.says == "P2 stands in the tolerance zone of gas line main."
    assert found.do == (
        "Hand-dig it with care, or settle it by an offer; where there is none, by a fresh layout if the same page names one; "
        "else take a new way there."
    )


@pytest.mark.closed_form
def test_the_width_of_a_buried_line_counts_half_each_side() -> None:
    """12 in wide: 6 in and 18 in each side of 10 is 8 to 12."""
    water = {"main": {"kind": "water", "points": ["G1", "G2"], "width_in": 12}}
    job = straight(40, GAS, utilities=water, posts=posts("n", 0, 12.1, 30, 40))
    assert not coded(laid(job), "in_keep_out")
    nearer = job.model_copy(update={"posts": {**job.posts, "P2": job.posts["P2"].model_copy(update={"station_ft": 11.9})}})
    assert coded(laid(nearer), "in_keep_out")


def test_a_post_on_the_edge_of_a_zone_is_clear() -> None:
    job = straight(40, GAS, utilities={"main": {"kind": "gas", "points": ["G1", "G2"]}}, posts=posts("n", 0, 8.5, 20, 40))
    assert not coded(laid(job), "in_keep_out")


def test_in_a_proposal_a_post_in_a_slab_wants_the_line_drawn_clear_of_it() -> None:
    points = {f"C{n}": place for n, place in enumerate([(-90.0, -90.0), (-90.0, 90.0), (90.0, 90.0), (90.0, -90.0)])}
    slab = {"s": {"kind": "slab", "points": list(points)}}
    found = coded(laid(straight(20, points, obstacles=slab)), "in_keep_out")[0]
    assert found.do == "Draw the line clear of it, or accept the plan and settle it by an offer."


def test_a_post_at_a_trunk_is_out_of_rule_not_a_stop() -> None:
    """A 12 in trunk and 1 ft for its roots: 1.5 ft round (0, 20.5)."""
    found = laid(straight(40, {"K": (0.0, 20.5)}, trees={"oak": {"point": "K", "diameter_in": 12}}, posts=posts("n", 0, 20, 40)))
    stands = coded(found, "in_keep_out")[0]
    assert (stands.level, stands.says, stands.subjects) == ("fix", "P2 stands in the roots of tree oak.", ("P2", "oak"))


def test_two_keep_outs_at_one_post_are_one_finding_and_the_buried_line_leads() -> None:
    job = straight(
        40, {**GAS, "K": (0.0, 9.0)}, trees={"oak": {"point": "K", "diameter_in": 12}},
        utilities={"main": {"kind": "gas", "points": ["G1", "G2"]}}, posts=posts("n", 0, 9, 20, 40),
    )  # fmt: skip
    (found,) = coded(laid(job), "in_keep_out")
    assert (found.level, set(found.subjects)) == ("stop", {"P2", "oak", "main"})
    assert found.do.startswith("Hand-dig ")


@pytest.mark.closed_form
def test_a_long_bay_names_no_move_that_nobody_judged() -> None:
    """24 to 50 1/6 is 26' 2"."""
    found = coded(laid(straight(70, posts=posts("n", 0, 24, 50 + 1 / 6, 70))), "bay_over")[0]
    assert found.says == "P2 to P3 is 26' 2\", over the 25' limit."
    assert found.do.startswith("See what a post between them would do, or settle either ")
    assert (found.level, found.subjects) == ("fix", ("P2-P3", "P2", "P3"))


@pytest.mark.closed_form
def test_a_quarter_inch_over_the_limit_passes_and_half_an_inch_doesnt() -> None:
    assert not coded(laid(straight(25.02, posts=posts("n", 0, 25.02))), "bay_over")
    assert coded(laid(straight(25.042, posts=posts("n", 0, 25.042))), "bay_over")[0].says == "P1 to P2 is 25' 0 1/2\", over the 25' limit."


def test_a_short_bay_is_noted() -> None:
    found = coded(laid(straight(30, posts=posts("n", 0, 3, 30))), "bay_under")[0]
    assert (found.level, found.says) == ("note", "P1 to P2 is only 3' 0\", under 4'.")


def bounded(east_ft: float, sigma_ft: float, setback_ft: float = 0.0) -> Layout:
    """A line due north at `east_ft` along a boundary at 0 with the client east of it; the line's points are good to `sigma_ft`."""
    points = {"S": (east_ft, 0.0), "E": (east_ft, 20.0), "B1": (0.0, -50.0), "B2": (0.0, 50.0)}
    job = yard(points, {"n": ["S", "E"]}, boundaries={"west": {"points": ["B1", "B2"], "client_side": "right", "setback_ft": setback_ft}})
    found = survey(job)
    loose = {
        name: replace(point, ellipse=Ellipse(sigma_ft, sigma_ft, 0) if name in "SE" else EXACT) for name, point in found.points.items()
    }
    return layout(job, replace(found, points=loose))


@pytest.mark.closed_form
def test_a_post_over_the_boundary_stops_the_job() -> None:
    found = coded(bounded(-0.9, 0.4), "over_boundary")[0]
    assert (found.level, found.subjects) == ("stop", ("P1", "west"))
    assert found.says == "P1 stands 0.9 ft over boundary west, good to ±0.4 ft."
    assert found.do.startswith("It has to come 0.9 ft further in. ")


@pytest.mark.closed_form
def test_a_post_in_the_setback_and_one_too_near_to_say() -> None:
    setback = coded(bounded(1.5, 0.1, 2.0), "in_setback")[0]
    assert setback.level == "fix"
    assert setback.do.startswith("It has to come 0.5 ft further in.")
    assert setback.says == "P1 stands 1.5 ft inside boundary west, good to ±0.1 ft; the setback is 2.0 ft."
    near = coded(bounded(0.7, 0.4), "near_boundary")[0]
    assert (near.level, near.says) == ("note", "P1 stands 0.7 ft inside boundary west, good to ±0.4 ft: it may be over the line.")


@pytest.mark.closed_form
def test_what_is_short_by_less_than_a_tenth_of_a_foot_is_told_in_inches() -> None:
    """0.03 ft is 3/8 in; an eighth is as near as anybody sets a post."""
    setback = coded(bounded(0.97, 0.001, 1.0), "in_setback")[0]
    assert setback.says == 'P1 stands 11 5/8" inside boundary west, good to ±0.0 ft; the setback is 1\' 0".'
    assert setback.do.startswith('It has to come 3/8" further in. ')
    assert not coded(bounded(0.991, 0.001, 1.0), "in_setback")
    over = coded(bounded(-0.03, 0.4), "over_boundary")[0]
    assert over.says == 'P1 stands 3/8" over boundary west, good to ±0.4 ft.'
    assert over.do.startswith('It has to come 3/8" further in. ')
    assert [one.level for one in bounded(-0.001, 0.4).findings if "boundary" in one.code] == ["note", "note"]


@settings(max_examples=100, deadline=None)
@given(short_ft=st.one_of(st.floats(-0.1, 0.1), st.floats(-2, 3)), setback_ft=st.sampled_from([0.0, 0.5, 1.0, 1.04, 2.0]))
def test_no_post_has_to_come_nothing_further_in_nor_stands_as_far_in_as_it_should(short_ft: float, setback_ft: float) -> None:
    for one in bounded(setback_ft - short_ft, 0.1, setback_ft).findings:
        if one.code in ("in_setback", "over_boundary"):
            assert not re.search(r"come (0\.0 ft|0\") ", one.do)
            stands, wanted = re.search(r"stands (.+?) (?:inside|over) .+?(?:setback is (.+)\.)?$", one.says).groups()  # type: ignore[union-attr]  # it says both
            assert stands != wanted or one.code == "over_boundary"


def test_a_post_surely_inside_says_nothing() -> None:
    found = bounded(0.9, 0.4)
    assert [clear.inside_ft for clear in found.clearances] == pytest.approx([0.9, 0.9])
    assert not [finding for finding in found.findings if "boundary" in finding.code or finding.code == "in_setback"]


@pytest.mark.closed_form
def test_errors_of_line_and_boundary_join() -> None:
    job = yard(
        {"S": (3.0, 0.0), "E": (3.0, 20.0), "B1": (0.0, -50.0), "B2": (0.0, 50.0)},
        {"n": ["S", "E"]}, boundaries={"west": {"points": ["B1", "B2"], "client_side": "right"}},
    )  # fmt: skip
    found = survey(job)
    sigmas = {"S": 0.3, "E": 0.3, "B1": 0.4, "B2": 0.1}
    loose = {name: replace(point, ellipse=Ellipse(sigmas[name], 0, 90)) for name, point in found.points.items()}
    assert layout(job, replace(found, points=loose)).clearances[0].sigma_ft == pytest.approx(0.5)


@pytest.mark.closed_form
@pytest.mark.parametrize(("azimuth", "sigma_ft"), [(90, 0.4), (0, 0.1), (45, math.sqrt((0.4**2 + 0.1**2) / 2))])
def test_only_the_error_square_to_the_boundary_counts(azimuth: float, sigma_ft: float) -> None:
    """A boundary that runs north: of an ellipse 0.4 by 0.1 ft what lies east and west counts."""
    job = yard(
        {"S": (0.9, 0.0), "E": (0.9, 20.0), "B1": (0.0, -50.0), "B2": (0.0, 50.0)},
        {"n": ["S", "E"]}, boundaries={"west": {"points": ["B1", "B2"], "client_side": "right"}},
    )  # fmt: skip
    found = survey(job)
    loose = {name: replace(point, ellipse=Ellipse(0.4, 0.1, azimuth) if name in "SE" else EXACT) for name, point in found.points.items()}
    clear = layout(job, replace(found, points=loose)).clearances[0]
    assert (clear.inside_ft, clear.sigma_ft) == (pytest.approx(0.9), pytest.approx(sigma_ft))


@pytest.mark.closed_form
def test_a_surveyed_fence_says_how_far_inside_and_how_well() -> None:
    """Legs due west from house corners 40 ft inside: 0.88 ft are left, good to what the tape is, 0.445 ft. The bearing's 1 degree
    (0.7 ft north and south over 39 ft) doesn't count, and midway along the line it is the same."""
    points = {"B1": (0.0, 0.0), "B2": (0.0, 60.0), "H1": (40.0, 0.0), "H2": (40.0, 60.0)}
    shots = {"L1": leg("H1", "S", 270, 39.12), "L2": leg("H2", "E", 270, 39.12)}
    bounds = {"west": {"points": ["B1", "B2"], "client_side": "right"}}
    found = laid(yard(points, {"n": ["S", "E"]}, boundaries=bounds, shots=shots, rules={"survey": {"tape_sigma_ft": 0.445}}))
    assert [clear.sigma_ft for clear in found.clearances] == pytest.approx([0.445] * 4)
    near = coded(found, "near_boundary")[0]
    assert near.says == "P1 stands 0.9 ft inside boundary west, good to ±0.4 ft: it may be over the line."


def test_an_overhead_line_is_no_keep_out_but_is_told() -> None:
    job = straight(40, {"O1": (-9.0, 20.0), "O2": (9.0, 20.0), "O3": (12.5, 0.0), "O4": (12.5, 40.0)}, utilities={
        "drop": {"kind": "overhead", "points": ["O1", "O2"]}, "street": {"kind": "overhead", "points": ["O3", "O4"]},
    })  # fmt: skip
    found = laid(job)
    assert found.keep_outs == ()
    assert [finding.says for finding in coded(found, "overhead")] == [
        "Overhead line drop crosses the fence.",
        "Overhead line street passes 12.5 ft from the fence.",
    ]


def test_what_has_no_place_or_no_size_is_told() -> None:
    job = straight(
        40, {"R": (5.0, 5.0)},
        utilities={"main": {"kind": "gas", "points": ["G1", "G2"]}}, trees={"oak": {"point": "K", "diameter_in": 9}},
        obstacles={"r": {"kind": "rock", "points": ["R"]}},
    )  # fmt: skip
    found = laid(job)
    assert [(finding.level, finding.says) for finding in coded(found, "keep_out_unplaced")] == [
        ("stop", "Buried line main has no place yet, so posts can't be kept clear of it."),
        ("fix", "Tree oak has no place yet, so posts can't be kept clear of it."),
    ]
    assert coded(found, "obstacle_without_size")[0].says == "Rock r has no size, so posts can't be kept clear of it."


def test_a_turn_inside_a_gates_opening() -> None:
    points = {"S": (0.0, 0.0), "C": (0.0, 12.0), "E": (20.0, 12.0)}
    found = laid(yard(points, {"n": ["S", "C", "E"]}, gates={"g": {"line": "n", "station_ft": 10}}))
    assert coded(found, "gate_in_the_way")[0].says == "n turns at 12' 0\", inside the opening of gate g."
    assert [support.kind for support in found.supports.values()] == ["end", "gate", "gate", "end"]


def test_a_line_whose_end_is_off_the_line_it_meets() -> None:
    points = {"S": (0.0, 0.0), "E": (0.0, 40.0), "M": (2.5, 20.0), "X": (15.0, 20.0)}
    found = laid(yard(points, {"a": ["S", "E"], "b": {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}}))
    assert coded(found, "end_off_line")[0].says == "The end of b is 2' 6\" off a, the line it meets."


def test_a_sound_closed_yard_has_only_the_note_that_it_isnt_accepted() -> None:
    found = laid(ring())
    assert [finding.code for finding in found.findings] == ["not_accepted"]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("station_ft", "moved_ft", "says"),
    [
        (20, 0.0, []),
        (20.4, 0.0, []),
        (22, 0.0, ["Gate g: its posts stand 2' 0\" from where the survey has it."]),
        (18, 0.0, ["Gate g: its posts stand 2' 0\" from where the survey has it."]),
        (20, 2.0, []),
        (22, 2.0, []),
        (18, 0.5, ["Gate g: its posts stand 2' 6\" from where the survey has it."]),
    ],
)
def test_a_gate_that_was_agreed_elsewhere_than_its_posts_were_meant_for_is_told(
    station_ft: float, moved_ft: float, says: list[str]
) -> None:
    """Posts planned at 20 and 25' 2" of a leaf of 5 ft, and both moved since. Half a foot is where one post gives way to another."""
    gate = {"g": {"line": "n", "station_ft": station_ft, "leaf_width_ft": 5}}
    plan = posts("n", 0, 20, 25 + 1 / 6, 45, kinds={1: "gate", 2: "gate"})
    log = [logged("move", n, post=f"P{n + 1}", along_ft=moved_ft) for n in (1, 2)] if moved_ft else []
    told = coded(laid(straight(45, posts=plan, gates=gate, log=log)), "gate_elsewhere")
    assert [finding.says for finding in told] == says
    assert all(finding.subjects == ("g", "P2", "P3") for finding in told)
    assert all(f"at {format_ft_in(20 + moved_ft)} of n." in finding.do for finding in told)
