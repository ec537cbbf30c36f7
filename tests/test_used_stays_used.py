"""What went into the ground and the fence: rings, ties and plates that are more than are asked stay, and all counts as it was made."""

import random
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.older_ticks import with_facts
from engine.change.still_in_use import taken_out
from engine.job.edit import edits
from engine.job.edit.entering import rename
from engine.job.errors import EntryRefused
from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.paper.load_list import load_csv
from engine.sheets.staking import staking_sheet
from engine.walk import walk
from tests.demo import BY, accepted
from tests.test_done_means_done import JOBS, LATER, all_ticked, changed
from tests.test_other_stock import FIELDS, of_other, row_of, with_rows


def of_rule(job: Job, part: str, **limits: float) -> Job:
    """The job with limits of one stage changed."""
    rules = getattr(job.rules, part).model_copy(update=limits)
    return job.model_copy(update={"rules": job.rules.model_copy(update={part: rules})})


def used(job: Job) -> dict[str, float]:
    """What is used of every stock row, to a hundredth."""
    return {row.stock: round(row.used, 2) for row in walk(job).takeoff.rows if row.used}


def with_another_rule(job: Job, rng: random.Random) -> Job:
    """The job with one limit of one stage changed; as it was where that can't be."""
    part = rng.choice(["layout", "posts", "bracing", "cables", "fabric", "staking", "gate"])
    said = getattr(job.rules, part).model_dump()
    limit = rng.choice([name for name, value in said.items() if isinstance(value, float)])
    more = {part: {**said, limit: said[limit] * rng.choice([0.5, 0.9, 1.1, 2.0])}}
    try:
        return job.model_copy(update={"rules": type(job.rules).model_validate({**job.rules.model_dump(), **more})})
    except ValidationError:
        return job


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_rule_is_changed_what_went_in_is_used(seed: int) -> None:
    rng = random.Random(seed)
    done = all_ticked(JOBS[rng.choice(sorted(JOBS))]())
    share = rng.choice([0.3, 0.7, 1.0])
    some = done.model_copy(update={"checks": {key: tick for key, tick in done.checks.items() if rng.random() < share}})
    other = some
    for _ in range(rng.randint(1, 3)):
        other = with_another_rule(other, rng)
    assert used(other) == used(some)


COMES_OUT = {"post", "sleeve", "cap", "eye", "brace", "band", "foot plate", "screw"}
"""Kinds of what comes out of the ground with its post and goes in again with it."""


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_is_moved_left_out_added_rerouted_or_laid_afresh_what_went_in_is_used(seed: int) -> None:
    rng = random.Random(seed)
    job = all_ticked(JOBS[rng.choice(sorted(JOBS))]())
    share = rng.choice([0.5, 1.0])
    job = job.model_copy(update={"checks": {key: tick for key, tick in job.checks.items() if rng.random() < share}})
    for _ in range(rng.randint(1, 4)):
        after = changed(job, rng) if rng.random() < 0.8 else with_another_rule(job, rng)
        then, now, stock = used(job), used(after), stock_of(job.stock)
        less = {row: (then[row], now.get(row, 0.0)) for row in then if now.get(row, 0.0) < then[row] - 0.02}
        assert {row: both for row, both in less.items() if stock[row].kind not in COMES_OUT} == {}
        job = after


def of_fence(job: Job, **sizes: Any) -> Job:
    """The job with a fence of other sizes or stock."""
    return job.model_copy(update={"fence": job.fence.model_copy(update=sizes)})


def of_leaf(job: Job, wide_ft: float) -> Job:
    gates = {name: gate.model_copy(update={"leaf_width_ft": wide_ft}) for name, gate in job.gates.items()}
    return job.model_copy(update={"gates": gates})


WENT_IN = {
    "post-8": 12, "sleeve-30": 12, "cap": 12, "brace-8": 4, "band": 4, "foot-plate": 4, "eye": 24, "tree-eye": 8, "cable-3-32": 557.73,
    "lock": 6, "wire-48": 266.44, "mesh-48": 264.99, "ring": 363, "tie": 35, "stake": 82, "gate-tube": 20.54, "gate-corner": 4, "screw": 20,
    "hinge": 2, "latch": 1, "turnbuckle": 2, "brace-wire": 17.37,
}  # fmt: skip
WANTED_OTHERWISE: Mapping[str, tuple[Callable[[Job], Job], dict[str, float]]] = {
    "rings closer": (lambda job: of_rule(job, "fabric", ring_seam_ft=1), {"ring": 534}),
    "rings closer round the leaf": (lambda job: of_rule(job, "gate", ring_ft=0.5), {"ring": 385}),
    "stakes closer": (lambda job: of_rule(job, "staking", stake_max_ft=2.5), {"stake": 119}),
    "more ties": (lambda job: of_rule(job, "fabric", tie_corner_in=6), {"tie": 65}),
    "cut longer": (lambda job: of_rule(job, "fabric", overrun_in=24), {"wire-48": 276.95, "mesh-48": 275.49}),
    "a wider apron": (lambda job: of_rule(job, "fabric", apron_min_in=11), {"wire-48": 278.61, "stake": 85}),
    "a higher fence": (lambda job: of_fence(job, height_ft=6.1), {"tie": 40}),
    "a lower fence": (lambda job: of_fence(job, height_ft=5.0), {"tie": 30, "wire-36": 265.03}),
    "another cable": (lambda job: of_fence(job, cable="cable-1-8"), {"cable-1-8": 557.73}),
    "a wider leaf": (lambda job: of_leaf(job, 6), {"gate-tube": 22.54}),
    "no brace at a corner": (lambda job: of_rule(job, "layout", corner_deg=170), {}),
}


@pytest.mark.pinned
@pytest.mark.parametrize("what", WANTED_OTHERWISE)
def test_what_went_in_stays_used_whatever_is_wanted_today(what: str) -> None:
    change, needed = WANTED_OTHERWISE[what]
    done = all_ticked(accepted())
    job = change(done)
    assert (used(done), used(job)) == (WENT_IN, WENT_IN)
    assert {row.stock: round(row.needed, 2) for row in walk(job).takeoff.rows if row.stock in needed} == needed


@pytest.mark.parametrize("field", ["post", "sleeve"])
def test_a_post_of_which_only_its_pin_was_ticked_stands_in_its_sleeve_whatever_row_the_fence_names_today(field: str) -> None:
    done = all_ticked(with_rows(accepted()))
    pinned = done.model_copy(update={"checks": {key: tick for key, tick in done.checks.items() if key.what == "pinned"}})
    assert used(of_other(pinned, field)) == used(pinned) == {"sleeve-30": 4, "screw": 4}


@pytest.mark.parametrize("field", FIELDS)
def test_what_was_made_of_another_row_than_the_fence_names_today_is_used_of_that_row(field: str) -> None:
    done = all_ticked(with_rows(accepted()))
    job = of_other(done, field)
    rows = {row.stock: row for row in walk(job).takeoff.rows}
    assert used(job) == used(done) == WENT_IN
    assert (rows[row_of(done, field)].needed, rows[row_of(done, field)].packs, rows[f"other-{field}"].used) == (0, 0, 0)


@pytest.mark.parametrize("field", FIELDS)
def test_a_row_that_something_was_made_of_stays_in_the_stock_and_is_followed_by_another_name(field: str) -> None:
    own = with_rows(accepted())
    name = f"other-{field}"
    assert name not in taken_out(own, "stock", name).stock, "nothing is made of it yet"
    job = all_ticked(of_other(own, field)).model_copy(update={"fence": own.fence})
    with pytest.raises(EntryRefused) as refused:
        taken_out(job, "stock", name)
    assert refused.value.problems[0].message.startswith(f"{name} is still used: ")
    renamed = rename(job, "stock", name, "anew")
    assert used(renamed) == {"anew" if row == name else row: amount for row, amount in used(job).items()}


@pytest.mark.parametrize("field", FIELDS)
def test_what_ticks_say_was_used_of_a_row_that_the_stock_of_a_file_lacks_is_told_under_its_name(field: str) -> None:
    """As after two copies of which one took the row out and the other ticked what is made of it."""
    own = with_rows(accepted())
    job = all_ticked(of_other(own, field)).model_copy(update={"fence": own.fence})
    without = job.model_copy(update={"stock": {name: row for name, row in job.stock.items() if name != f"other-{field}"}})
    assert used(without) == used(job)
    by_row = [{row.stock: row for row in walk(one).takeoff.rows}[f"other-{field}"] for one in (job, without)]
    assert by_row[1].unit == ("ft" if by_row[0].unit == "ft" else "pieces")
    assert f"other-{field}" in load_csv(without, walk(without).takeoff)


def of_new_way(job: Job) -> Job:
    walked = walk(job)
    return with_new_way(job, walked, given_up(job, walked, NewWay("P9", "P12"), LATER), LATER, BY)


COMES_OUT_WITH_P3: dict[str, float] = {"post-8": 11, "cap": 11, "eye": 22, "brace-8": 3, "band": 3, "foot-plate": 3, "screw": 19}
COMES_OUT_WITH_P10_AND_P11: dict[str, float] = {"post-8": 10, "cap": 10, "eye": 20}
BUILT_OTHERWISE: Mapping[str, tuple[Callable[[Job], Job], dict[str, float]]] = {
    "a tree left out": (lambda job: edits.drop_post(job, "P13", LATER, BY), {}),
    "a gate post put onto a tree": (lambda job: edits.swap_to_tree(job, "P3", "oak", LATER, BY), COMES_OUT_WITH_P3),
    "a new way": (of_new_way, COMES_OUT_WITH_P10_AND_P11),
}


@pytest.mark.pinned
@pytest.mark.parametrize("what", BUILT_OTHERWISE)
def test_what_was_built_stays_used_though_nothing_asks_for_it_any_more(what: str) -> None:
    change, comes_out = BUILT_OTHERWISE[what]
    assert used(change(all_ticked(accepted()))) == {**WENT_IN, **comes_out}


def test_cable_cut_off_where_a_tree_is_left_out_is_needed_again() -> None:
    """L5 and L6, which end on P13, are 81.59 and 110.38 ft long; what is to be cut anew is as long but for the turn at the tree."""
    job = edits.drop_post(all_ticked(accepted()), "P13", LATER, BY)
    row, again = (next(row for row in walk(one).takeoff.rows if row.stock == "cable-3-32") for one in (job, all_ticked(job, LATER)))
    assert row.used == pytest.approx(WENT_IN["cable-3-32"], abs=0.01)
    assert row.needed - row.used == pytest.approx(81.59 + 110.38, abs=0.1)
    assert again.used == pytest.approx(row.needed, abs=0.01)


def test_loops_that_are_numbered_anew_are_used_once() -> None:
    done = all_ticked(accepted())
    loops = {key: tick for key, tick in done.checks.items() if key.subject == "L1"}
    as_l9 = {key._replace(subject="L9"): tick for key, tick in loops.items()}
    twice = done.model_copy(update={"checks": {**done.checks, **as_l9}})
    assert len(loops) > 8
    assert used(twice) == used(done)
    other = {key: tick.model_copy(update={"reading_ft": 12.0}) if tick.reading_ft else tick for key, tick in as_l9.items()}
    assert used(done.model_copy(update={"checks": {**done.checks, **other}}))["cable-3-32"] == used(done)["cable-3-32"] + 12


def opened_by(done: Job, job: Job) -> set[str]:
    """What was done and is open in another version of a job."""
    lines = [line for checklist in walk(job).checklists.values() for line in checklist.lines]
    was = walk(done).checklists
    return {str(line.item.key) for line in lines if line.state == "open" and was[line.item.key.stage].by_key[line.item.key].settled}  # type: ignore[index]  # a key of ours names a stage


LOOPS, SPLICED = tuple(f"L{n}" for n in range(1, 7)), ("L3", "L4", "L5", "L6")
SEAMS = {f"fabric.{loop}.seam_ringed" for loop in LOOPS}
SPACINGS = {
    ("fabric", "ring_cable_ft"): {f"fabric.{loop}.wire_hung" for loop in LOOPS},
    ("fabric", "ring_mesh_ft"): {f"fabric.{loop}.mesh_hung" for loop in LOOPS},
    ("fabric", "ring_seam_ft"): {f"fabric.{loop}.seam_ringed" for loop in LOOPS},
    ("fabric", "ring_splice_ft"): {f"fabric.{loop}.seam_ringed" for loop in SPLICED},
    ("gate", "ring_ft"): {"gate.side.hung"},
}


@pytest.mark.parametrize(("part", "limit"), SPACINGS)
def test_rings_that_are_wanted_closer_open_what_was_ringed_and_nothing_else_and_closer_ones_than_wanted_stay(part: str, limit: str) -> None:
    """Ticks of an older program don't say how far apart rings are: they count until the first edit writes that day's rule into them."""
    done = all_ticked(accepted())
    apart = getattr(getattr(done.rules, part), limit)
    closer, wider = of_rule(done, part, **{limit: apart / 2}), of_rule(done, part, **{limit: apart * 2})
    assert (opened_by(done, closer), opened_by(done, wider)) == (SPACINGS[part, limit], set())
    assert opened_by(done, of_rule(wider, part, **{limit: apart})) == set()

    older = done.model_copy(update={"checks": {key: said_by_an_older_program(tick) for key, tick in done.checks.items()}})
    assert opened_by(done, of_rule(older, part, **{limit: apart / 2})) == set()
    written = with_facts(older, walk(older))
    assert {key: str(tick.of) for key, tick in written.checks.items()} == {key: str(tick.of) for key, tick in done.checks.items()}
    assert with_facts(wider, walk(wider)) is wider


def said_by_an_older_program(tick: Tick) -> Tick:
    """A tick that says the stock, and neither how far apart rings are nor what was taken."""
    sizes = tuple(size for size in tick.of.sizes if not size.name.endswith((" apart", " taken")))
    words = tuple(word for word in tick.of.words if not word.endswith((" rings", " plates")))
    return tick.model_copy(update={"of": tick.of._replace(sizes=sizes, words=words)})


def of_rolls(job: Job, wire_ft: float) -> Job:
    """The job with rolls of wire of another length."""
    wire = stock_of(job.stock)["wire-48"].model_copy(update={"length_ft": wire_ft})
    return job.model_copy(update={"stock": {**job.stock, "wire-48": wire}})


@pytest.mark.parametrize(("wire_ft", "spliced"), [(45, {"L2", "L3", "L4", "L6"}), (50, {"L3", "L4", "L6"}), (60, set())])
def test_a_splice_that_has_come_since_opens_its_seam_and_one_that_goes_leaves_it(wire_ft: float, spliced: set[str]) -> None:
    """L2 is cut to 45 1/2 ft, L3, L4 and L6 to more than 50; all but L2 lap the loop before. A tick of an older program says all
    splices at once, and counts for as many rings as it says."""
    done = all_ticked(accepted())
    short = of_rolls(done, wire_ft)
    seams = {f"fabric.{loop}.seam_ringed" for loop in spliced}
    assert opened_by(done, short) & SEAMS == seams
    assert opened_by(all_ticked(short), of_rolls(short, 100)) & SEAMS == set()

    at_once = said_at_once(done)
    assert opened_by(done, at_once) == set()
    assert opened_by(done, of_rolls(at_once, wire_ft)) & SEAMS == seams
    assert with_facts(at_once, walk(at_once)).checks == done.checks


def said_at_once(job: Job) -> Job:
    """The job with its seams ticked as an older program said them."""
    ticks = {}
    for key in map(item_key, SEAMS):
        of = job.checks[key].of
        sizes = tuple(size for size in of.sizes if not size.name.startswith("splice 2 "))
        said = tuple(size._replace(name=size.name.replace("splice 1 ", "splice ")) for size in sizes)
        ticks[key] = job.checks[key].model_copy(update={"of": of._replace(sizes=said)})
    return job.model_copy(update={"checks": {**job.checks, **ticks}})


def test_ties_fewer_than_were_tied_and_a_second_plate() -> None:
    """35 ties are tied at 12 in; at 24 in 20 would do. Of two feet of P9 one was on a plate."""
    done = all_ticked(accepted())
    assert opened_by(done, of_rule(done, "fabric", tie_corner_in=24)) == set()
    footed = item_key("bracing.P9.footed")
    one = done.checks[footed].of._replace(words=("1 plates",))
    assert done.checks[footed].of.words == ("2 plates",)
    assert opened_by(
        done, done.model_copy(update={"checks": {**done.checks, footed: done.checks[footed].model_copy(update={"of": one})}})
    ) == {str(footed)}


SET_TOO_FAR_APART: Mapping[tuple[str, float], str] = {
    ("stake_max_ft", 4.5): "",
    ("stake_max_ft", 6.0): "",
    ("stake_close_ft", 3.0): "",
    ("stake_max_ft", 3.5): "P1-P2 P3-P4 P7-P8 P8-P9 P9-P10 P10-P11 P11-P12 P12-P13 P14-P15",
    ("stake_close_ft", 1.5): "P1-P2 P3-P4 P8-P9 P9-P10 P15-P16",
}


@pytest.mark.parametrize(("limit", "apart_ft"), SET_TOO_FAR_APART)
def test_stakes_stay_where_they_were_set_unless_they_stand_further_apart_than_is_asked_today(limit: str, apart_ft: float) -> None:
    """In the other bays they are 3.4 ft apart or less, but for rocks that none goes into."""
    done = all_ticked(accepted())
    job = of_rule(done, "staking", **{limit: apart_ft})
    again = SET_TOO_FAR_APART[limit, apart_ft].split()
    assert opened_by(done, job) == {f"staking.{bay}.flush" for bay in again}
    assert used(job) == WENT_IN
    told, now = ({row.subject: row.cells[-1].figure for row in staking_sheet(walk(one)).parts[0].rows} for one in (done, job))
    assert {bay for bay in told if now[bay] != told[bay]} == set(again)
    assert with_facts(job, walk(job)).checks is job.checks


CUT_LONGER = {("fabric", "overrun_in"): {f"fabric.{loop}.{what}_hung" for loop in LOOPS for what in ("wire", "mesh")}}
MORE_DOES: Mapping[tuple[str, str], set[str]] = {**CUT_LONGER, ("gate", "mower_width_in"): {"layout.side.clear"}}


@pytest.mark.parametrize(("part", "limit"), MORE_DOES)
def test_pieces_cut_longer_and_a_way_clear_for_a_wider_mower_than_is_asked_stay(part: str, limit: str) -> None:
    done = all_ticked(accepted())
    asked = getattr(getattr(done.rules, part), limit)
    more, less = (of_rule(done, part, **{limit: asked * times}) for times in (1.25, 0.8))
    assert (opened_by(done, more), opened_by(done, less)) == (MORE_DOES[part, limit], set())


PULLED_LESS: Mapping[tuple[float, float], dict[str, tuple[str, str]]] = {
    (60, 50): {"P2": ("plate 0.500 ft", "plate 0.500 ft; deep without a plate 1.417 ft")},
    (200, 120): {
        "P2": ("plate 0.667 ft", "plate 0.500 ft"),
        "P5": ("plate 0.500 ft; deep without a plate 0.833 ft", "plate 0.500 ft; deep without a plate 0.667 ft"),
    },
    (50, 40): {
        "P2": ("plate 0.500 ft; deep without a plate 1.417 ft", "plate 0.500 ft; deep without a plate 1.333 ft"),
        "P9": ("plate 0.500 ft", "plate 0.500 ft; deep without a plate 1.333 ft"),
    },
}


@pytest.mark.parametrize("pulls", PULLED_LESS)
def test_brace_feet_that_hold_more_than_is_asked_stay_and_those_that_hold_less_are_open(pulls: tuple[float, float]) -> None:
    """Wider plates than are asked and deeper feet do, and a plate where depth alone would do as well; feet that may have been driven deeper
    without a plate don't where only a plate holds them."""
    jobs = [all_ticked(of_rule(accepted(), "cables", tension_lbf=pull)) for pull in pulls]
    less, more = (of_rule(job, "cables", tension_lbf=pull) for job, pull in zip(jobs, pulls[::-1], strict=True))
    for post, sizes in PULLED_LESS[pulls].items():
        key = item_key(f"bracing.{post}.footed")
        assert [held in str(job.checks[key].of) for job, held in zip(jobs, sizes, strict=True)] == [True, True]
        assert (str(key) in opened_by(jobs[0], less), str(key) in opened_by(jobs[1], more)) == (False, True)
