"""A pull read with a weight hung: what is asked and wanted, what a depth tells, and readings that were made the other way."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.statics.weighted_cable import weighted_depth_ft
from engine.checklist import Item
from engine.job.edit.edits import tick, untick
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import tick_facts
from engine.paper.record_office import record_text
from engine.sheets.stage_sheets import sheet_of
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.depth_reading import DepthMeans, WeightOn, weight_read_with
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.cables.stage import Cables
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.stages.cables.test_stage import EA_LBF, strung
from tests.stages.layouts import layout_of, row

PULL, AGAIN = item_key("cables.L1.sag"), ItemKey("cables", "job", "round_again")
BY_WEIGHT: dict[str, Any] = {"cables": {"pull_read": "hung weight"}}
CABLE = Cable("cable-3-32", 0.016, 920.0, EA_LBF, 400.0, 500.0)
TELLS = DepthMeans(WeightOn(2.0, CABLE, 22.5, 106.0), SafeRange(26.0, 114.0), 0.0, 110.0)


def pull_of(result: Cables) -> Item:
    return next(item for item in result.items if item.key == PULL)


def read(job: Job, loop: str, reading_in: float, note: str = "") -> Job:
    """A loop's pull read as its item asks today."""
    item = next(item for item in walk(job).cables.items if item.key == ItemKey("cables", loop, "sag"))
    return tick(job, item.key, AT, BY, reading_in=reading_in, note=note, of=item.of)


def with_rules(job: Job, **cables: Any) -> Job:
    return job.model_copy(update={"rules": job.rules.model_copy(update={"cables": job.rules.cables.model_copy(update=cables)})})


@pytest.mark.closed_form
def test_a_depth_is_wanted_between_eyes_that_grip_and_a_cable_that_runs_free() -> None:
    result = strung(layout_of({"north": row(3, 22.5)}), rules=BY_WEIGHT)
    item, loop = pull_of(result), result.loops["L1"]
    gripped_in, free_in = (12 * weighted_depth_ft(2, 22.5, 50, 0.016, EA_LBF, ft) for ft in (22.5, loop.cut_ft - 1.5))

    assert item.says == "L1: depth in the middle of P1-P2 with 2 lb hung there, down from a string from eye to eye"
    assert loop.weighted_in == pytest.approx((gripped_in, free_in))
    assert item.reading is not None
    assert item.reading.wanted == pytest.approx((gripped_in + free_in) / 2)
    assert item.reading.low == pytest.approx(12 * weighted_depth_ft(2, 22.5, loop.safe.most_lbf, 0.016, EA_LBF))
    assert item.reading.high == pytest.approx(free_in + 1.0)  # the rule's inch comes before the slackest that is safe
    assert [item.reading.passes(read) for read in (1.0, 2.5, 2.75, 4.0)] == [False, True, True, False]


@pytest.mark.parametrize(
    ("depth_in", "short", "words"),
    [
        (2.625, "47 to 54 lb", "Means 45 to 56 lb, by tape and by how the eyes grip. Safe: 26 to 114 lb."),
        (1.0, "146 to 147 lb", "Means 137 to 157 lb, by tape and by how the eyes grip. Safe: 26 to 114 lb. Too tight for a 0° day: "
         "pull it less; if it's locked already, cut it and string it again."),
        (6.0, "3 to 14 lb", "Means 3 to 15 lb, by tape and by how the eyes grip. Safe: 26 to 114 lb. "
         "Too slack: on a 110° day it hangs loose. Pull it tighter."),
        (30.0, "hangs slack", "The cable hangs slack. Safe: 26 to 114 lb. Pull it tighter, then read it again."),
        (0.0, "can't be right, read it again", "A cable can't hang like that: read it again, "
         "down from a string pulled straight from eye to eye."),
        (136.0, "can't be right, read it again", "A cable can't hang like that: read it again, "
         "down from a string pulled straight from eye to eye."),
    ],
)  # fmt: skip
def test_what_a_depth_tells(depth_in: float, short: str, words: str) -> None:
    assert (TELLS.short(depth_in), TELLS.words(depth_in)) == (short, words)


@settings(max_examples=60, deadline=None)
@given(tension=st.floats(10, 200), span=st.floats(8, 25), weight=st.floats(0.5, 10), share=st.floats(0, 1))
def test_the_true_pull_lies_in_what_is_told(tension: float, span: float, weight: float, share: float) -> None:
    """However much the eyes grip: any depth between that of a bay alone and that of the whole loop."""
    on = WeightOn(weight, CABLE, span, 5 * span)
    gripped, free = on.depths_in(tension)
    least, most = on.pulls_lbf(gripped + share * (free - gripped), gripped + share * (free - gripped))
    assert least * (1 - 1e-6) <= tension <= most * (1 + 1e-6)


def test_what_a_tick_was_read_with_stands_in_its_facts() -> None:
    sag, depth = pull_of(strung(layout_of({"north": row(3, 20.0)}))), pull_of(strung(layout_of({"north": row(3, 20.0)}), rules=BY_WEIGHT))

    assert (weight_read_with(sag.of), weight_read_with(depth.of)) == (None, 2.0)
    assert sag.of.words == ("in P1-P2",)
    assert tick_facts(str(depth.of)).words == ("in P1-P2", "2 lb hung")


def test_readings_stand_as_they_were_made_and_new_ones_follow_the_choice() -> None:
    """L1 was read by its sag, then the crew chose a weight of 2 lb for L2, and one of 5 lb for L3."""
    job = read(with_rules(read(accepted(), "L1", 0.125), pull_read="hung weight"), "L2", 2.5)
    walked = walk(with_rules(job, hung_weight_lb=5.0))
    lines = walked.checklists["cables"].by_key

    three = [lines[item_key(f"cables.L{n}.sag")] for n in (1, 2, 3)]
    assert [weight_read_with(line.item.of) for line in three] == [None, 2.0, 5.0]
    assert [line.state for line in three] == ["done", "done", "open"]
    assert all(line.was is None for line in three)
    table = sheet_of("cables", job, walked).parts[0]
    assert [column.head for column in table.columns][6:9] == ["weight in", "depth wanted", "depth"]
    bays = [next(row for row in table.rows if row.subject == f"L{n}").cells[6].words for n in (1, 2, 3)]
    assert [bay.partition(", ")[2] for bay in bays] == ["by sag", "2 lb", ""]
    again = walk(untick(with_rules(job, hung_weight_lb=5.0), PULL, AT, BY)).checklists["cables"].by_key[PULL]
    assert weight_read_with(again.item.of) == 5.0


def test_a_crew_that_goes_back_to_the_sag_keeps_what_it_read_with_a_weight_until_it_takes_that_back() -> None:
    """Ticks are looked at only in jobs where a weight was hung: the walk before, between and after says the same as one from nothing."""
    job = with_rules(read(with_rules(accepted(), pull_read="hung weight"), "L1", 2.0), pull_read="sag")
    jobs = (job, read(job, "L2", 0.125), untick(job, PULL, AT, BY), job)
    weights = [[weight_read_with(item.of) for item in walk(one).cables.items if item.key.what == "sag"][:2] for one in jobs]
    assert weights == [[2.0, None], [2.0, None], [None, None], [2.0, None]]


def test_a_reading_of_an_older_file_is_one_of_the_sag() -> None:
    """A tick that doesn't say what it was made for."""
    job = with_rules(tick(accepted(), PULL, AT, BY, reading_in=0.125), pull_read="hung weight")
    line = walk(job).checklists["cables"].by_key[PULL]
    assert (weight_read_with(line.item.of), line.state, line.passes) == (None, "done", True)


def test_the_record_prints_the_depth_that_was_read() -> None:
    job = read(with_rules(accepted(), pull_read="hung weight"), "L1", 2.0)
    printed = record_text(job, walk(job))
    assert "depth wanted" in printed
    assert "sag wanted" not in printed


def test_a_depth_out_of_range_is_told_like_any_reading() -> None:
    job = read(with_rules(accepted(), pull_read="hung weight"), "L1", 11.0, "post gives")
    (found,) = [one for one in walk(job).stage_findings["cables"] if one.code == "reading_out_of_range"]
    assert found.subjects == ("L1", "sag")


@pytest.mark.closed_form
def test_all_loops_are_read_again_after_the_last_for_a_little_give_takes_all_of_the_pull() -> None:
    """50 lb stretch 22.5 ft by 50 x 22.5/50,000 ft, about a quarter inch; the ends of every loop are what it is about."""
    result = strung(layout_of({"north": row(6, 22.5)}))
    (again,) = [item for item in result.items if item.key == AGAIN]

    assert 'even in P1-P2, 22\' 6" long, 1/4" of give takes all of 50 lb' in again.says
    ends = [end for loop in result.loops.values() for end in (loop.supports[0], loop.supports[-1])]
    assert [at.support for at in again.of.places] == list(dict.fromkeys(ends))
    assert strung(layout_of({})).items == ()
