"""A tick counts for the stock that it was made of: with another row in the fence what is of it is open again, and nothing else is."""

import random
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.older_ticks import with_facts
from engine.checklist import DONE_BEFORE, ChecklistLine
from engine.job.edit import edits
from engine.job.edit.entering import rename
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.edit.striking import strike
from engine.job.file.store import load, new, save
from engine.job.merge.merge import merge
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SupersededEntry
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.paper.client.client_words import built_words
from engine.paper.record_page import figures_of
from engine.paper.sealed_facts import facts_to_print
from engine.repair.repair_file import repair_job
from engine.walk import Walk, walk
from tests.demo import BY
from tests.repair.finished import finished, opened, signed, signed_file
from tests.test_done_means_done import JOBS, LATER, all_ticked, changed
from tui.cli import main

FIELDS = ("cable", "post", "sleeve", "brace", "wire", "mesh", "gate_tube")
CARRIER = {"driven": {"sleeve", "post"}, "plated": {"post"}, "tree": set[str](), "structure": set[str]()}
AT_SUPPORT = {
    "driven_depth": {"sleeve"}, "solid": {"sleeve"}, "plate": {"post"}, "plumb": {"post"}, "eyes": {"post"}, "pinned": set[str](),
}  # fmt: skip
OF_LOOP = {
    "cut_length": {"cable"}, "closed": {"cable"}, "sag": {"cable"}, "tail": {"cable"}, "wire_hung": {"cable", "wire"},
    "apron_turned": {"cable", "wire"}, "slits_lapped": {"cable", "wire"}, "mesh_hung": {"cable", "mesh"}, "corners_tied": {"cable", "mesh"},
    "seam_ringed": {"cable", "wire", "mesh"},
}  # fmt: skip
OF_BAY = {"infill": {"cable", "wire"}, "flush": {"cable", "wire"}, "fastened": {"cable", "wire"}, "tight": {"cable", "wire"}}
OF_GATE = {"opening": set[str](), "hinge_plumb": set[str]()}
LEAF = {"gate_tube", "wire", "mesh"}
FENCE = {"cable", "wire", "mesh"}


def of_stock(job: Job, walked: Walk, key: ItemKey) -> set[str]:
    """The fields of the fence that an item is made of, told from what stands there and apart from what the item says."""
    supports, subject, what = walked.layout.supports, key.subject, key.what

    def carry(*names: str) -> set[str]:
        kinds = ["plated" if supports[name].at in job.surfaces else supports[name].support for name in names]
        return set().union(*(CARRIER[kind] for kind in kinds))

    if key.stage in ("survey", "layout") or what in ("dips_filled", "old_sleeve", "diameter", "offcuts_picked_up", "care_notes"):
        return set()
    if key.stage == "posts":
        return (AT_SUPPORT[what] | (carry(subject) if what in ("plumb", "eyes") else set())) & carry(subject)
    if key.stage == "bracing":
        return carry(subject) | (set() if what == "pinned" else {"brace"})
    if what == "round_again":
        loops = walked.cables.loops.values()
        return {"cable"} | carry(*(end for loop in loops for end in (loop.supports[0], loop.supports[-1])))
    if what in OF_LOOP:
        row = walked.cables.loops[subject].supports
        ends = row if what not in ("closed", "tail") else (row[0], row[-1])
        return OF_LOOP[what] | (set() if what == "cut_length" else carry(*ends))
    if what in OF_BAY:
        return OF_BAY[what] | carry(walked.layout.bays[subject].from_id, walked.layout.bays[subject].to_id)
    if what == "under_closed":
        return {"wire"}
    if key.stage == "gate":
        work = walked.gate.gates[subject]
        if what.startswith("diagonal"):
            return {"gate_tube"}
        posts = (work.hinge_post,) if what == "hinge_plumb" else (work.hinge_post, work.latch_post)
        return LEAF if what == "two_people" else OF_GATE.get(what, LEAF) | carry(*posts)
    if what == "gates_worked_by_client":
        return LEAF | carry(*(post for work in walked.gate.gates.values() for post in (work.hinge_post, work.latch_post)))
    if what == "house_closed":
        ends = [at.support for at in asked(walked)[key].item.of.places]
        return FENCE | carry(*ends)
    if what in ("walked", "client_accepts"):
        gates = {"gate_tube"} if walked.gate.gates and what == "client_accepts" else set()
        return FENCE | gates | carry(*(at.support for at in asked(walked)[key].item.of.places))
    assert what == "decks_protected", key
    return set()


def asked(walked: Walk) -> dict[ItemKey, ChecklistLine]:
    return {key: line for checklist in walked.checklists.values() for key, line in checklist.by_key.items()}


def states(walked: Walk) -> dict[ItemKey, str]:
    return {key: line.state for key, line in asked(walked).items()}


def with_rows(job: Job) -> Job:
    """The job with a row beside each that its fence names, alike but for its id: no sum changes with it."""
    stock = stock_of(job.stock)
    return job.model_copy(update={"stock": {**job.stock, **{f"other-{field}": stock[row_of(job, field)] for field in FIELDS}}})


def row_of(job: Job, field: str) -> str:
    wire, mesh = fabric_ids(job.fence)
    return {"wire": wire, "mesh": mesh}.get(field) or str(getattr(job.fence, field))


def of_other(job: Job, field: str, row: str = "") -> Job:
    return job.model_copy(update={"fence": job.fence.model_copy(update={field: row or f"other-{field}"})})


@pytest.mark.independent
@pytest.mark.parametrize("field", FIELDS)
@pytest.mark.parametrize("name", JOBS)
def test_another_row_opens_what_is_made_of_it_and_nothing_else_and_the_old_one_brings_it_back(name: str, field: str) -> None:
    done = all_ticked(with_rows(JOBS[name]()))
    before, job = walk(done), of_other(done, field)
    after = walk(job)
    was, now = states(before), states(after)
    assert was.keys() == now.keys()
    for key in was:
        opened = field in of_stock(done, before, key) and was[key] == "done"
        assert now[key] == ("open" if opened else was[key]), key
    assert {row.stock: row.used for row in after.takeoff.rows}.get(f"other-{field}", 0.0) == 0.0
    assert states(walk(of_other(job, field, row_of(done, field)))) == was


@pytest.mark.independent
@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10**6))
@example(2881)  # posts that a corrected point left in sleeves of the old row
def test_no_row_is_counted_as_used_that_nobody_built_with(seed: int) -> None:
    """After any edits and a row exchanged before, between or after them: what is used of a row is what was ticked of it."""
    rng = random.Random(seed)
    job = all_ticked(with_rows(JOBS[rng.choice(list(JOBS))]()))
    field = rng.choice(FIELDS)
    steps = rng.randint(1, 3)
    for step in range(steps):
        job = changed(job, rng)
        if step == 0:
            job = of_other(job, field)
    walked = walk(job)
    assert {row.stock: row.used for row in walked.takeoff.rows}.get(f"other-{field}", 0.0) == 0.0
    for key, line in asked(walked).items():
        assert line.tick is None or f"other-{field}" not in line.item.of.stock, key


def test_a_cable_is_strung_anew_of_the_other_one_and_what_it_was_done_with_is_told() -> None:
    done = all_ticked(JOBS["willow_bend"]())
    job = of_other(done, "cable", "cable-1-8")
    line = asked(walk(job))[item_key("cables.L1.closed")]
    assert (line.state, line.other_stock, line.was is not None) == ("open", ("cable-3-32",), True)
    says = [finding.do for finding in walk(job).findings if finding.code == DONE_BEFORE and finding.stage == "cables"]
    assert says == [
        "Do them again as it stands now, and tick them. Some were done with cable-3-32, which the fence doesn't name any more. Where only "
        "what is new is of another row, put the old one back and say in a note what is of the other."
    ]
    again = all_ticked(job)
    assert {key.what for key in again.checks if again.checks[key].of.stock[-1:] == ("cable-1-8",)} == {
        "cut_length", "closed", "sag", "tail", "round_again",
    }  # fmt: skip
    rows = {row.stock: row for row in walk(again).takeoff.rows}
    assert rows["cable-1-8"].used == pytest.approx(sum(loop.cut_ft for loop in walk(again).cables.loops.values()), abs=0.01)
    assert {state for state in states(walk(again)).values()} == {"done"}


def test_the_record_names_the_stock_that_was_signed_and_what_was_done_with_another(tmp_path: Path) -> None:
    done = finished("willow_bend")
    (sealed,) = [says for name, says in figures_of(signed(done), walk(signed(done))) if name == "fence"]
    assert sealed == "6' 0\" high, on galvanized cable 3/32 in 7x7"
    signed_file(tmp_path / "job.toml", done)
    text = (tmp_path / "job.toml").read_text(encoding="utf-8")
    edited = text.replace('cable = "cable-3-32"', 'cable = "cable-1-8"', 1).replace("height_ft = 6.0", "height_ft = 5.0", 1)
    (tmp_path / "job.toml").write_text(edited, encoding="utf-8")
    changed_since = load(tmp_path / "job.toml").job
    assert (changed_since.fence.cable, changed_since.fence.height_ft) == ("cable-1-8", 5.0)
    worked = walk(changed_since)
    assert dict(figures_of(changed_since, worked))["fence"] == sealed
    record = facts_to_print(changed_since, worked).record
    assert "Two cables (galvanized cable 3/32 in 7x7)" in built_words(changed_since, worked, record)

    strung = of_other(done, "cable", "cable-1-8")
    for job in (strung, signed(strung)):
        worked = walk(job)
        says = "what was done with galvanized cable 3/32 in 7x7 wasn't done again"
        assert dict(figures_of(job, worked))["fence"] == f"6' 0\" high, on galvanized cable 1/8 in 7x19; {says}"
        assert f"W{says[1:]}." in built_words(job, worked, facts_to_print(job, worked).record)
    both = of_other(strung, "post", "post-7")
    says = "what was done with round steel post 1 5/8 in, 8 ft and galvanized cable 3/32 in 7x7 wasn't done again"
    assert dict(figures_of(both, walk(both)))["fence"].endswith(f"; {says}")


def test_a_tick_of_before_counts_until_the_first_edit_writes_the_stock_of_that_day_into_it() -> None:
    done = all_ticked(with_rows(JOBS["willow_bend"]()))
    older = done.model_copy(
        update={"checks": {key: tick.model_copy(update={"of": tick.of._replace(stock=())}) for key, tick in done.checks.items()}}
    )
    assert states(walk(older)) == states(walk(of_other(older, "cable"))) == states(walk(done))
    edited = with_facts(older, walk(older))
    assert edited == done
    assert with_facts(edited, walk(edited)) is edited
    assert states(walk(of_other(edited, "cable"))) == states(walk(of_other(done, "cable")))


def of_no_stock(job: Job) -> Job:
    """The job as a program wrote it that didn't say of which stock a tick is."""

    def less(tick: Tick) -> Tick:
        return tick.model_copy(update={"of": tick.of._replace(stock=())})

    def entry_of(entry: LogEntry) -> LogEntry:
        if isinstance(entry, SupersededEntry):
            return entry.model_copy(update={"of": entry.of._replace(stock=())})
        if not isinstance(entry, NewPlan) or entry.before is None:
            return entry
        before = {key: less(tick) for key, tick in entry.before.checks.items()}
        return entry.model_copy(update={"before": entry.before.model_copy(update={"checks": before})})

    checks = {key: less(tick) for key, tick in job.checks.items()}
    return job.model_copy(update={"checks": checks, "log": tuple(map(entry_of, job.log))})


def new_way_of(job: Job) -> Job:
    walked = walk(job)
    return with_new_way(job, walked, given_up(job, walked, NewWay("P4", "P6"), LATER), LATER, BY)


TAKEN_BACK: dict[str, Callable[[Job], Job]] = {
    "left out": lambda job: edits.drop_post(job, "P5", LATER, BY),
    "a tree": lambda job: edits.swap_to_tree(job, "P5", "oak", LATER, BY),
    "moved": lambda job: edits.move_post(job, "P5", LATER, BY, along_ft=2),
    "the only gate's post": lambda job: edits.drop_post(job, "P3", LATER, BY),
    "at the wall": lambda job: edits.drop_post(job, "P16", LATER, BY),
    "opened": lambda job: edits.untick(job, item_key("posts.P5.driven_depth"), LATER, BY),
    "a new way": new_way_of,
}


@pytest.mark.independent
@pytest.mark.parametrize("field", ["sleeve", "cable", "wire", ""])
@pytest.mark.parametrize("edit", TAKEN_BACK)
def test_what_comes_back_in_an_older_file_is_of_the_row_of_that_day(edit: str, field: str) -> None:
    """A post left out, a loop cut, a tick opened, all before the first edit; then another row, and the log entry struck."""
    job = TAKEN_BACK[edit](all_ticked(with_rows(JOBS["willow_bend"]())))
    older = of_no_stock(job)

    def back(one: Job) -> Job:
        return strike(of_other(one, field) if field else one, one.log[-1].id, LATER + timedelta(days=1), BY)

    written = with_facts(older, walk(older))
    assert with_facts(written, walk(written)) is written
    assert states(walk(back(written))) == states(walk(back(job)))
    assert {row.stock: row.used for row in walk(back(written)).takeoff.rows}.get(f"other-{field}", 0.0) == 0.0


def test_a_stock_row_under_another_name_is_the_same_stock() -> None:
    done = all_ticked(with_rows(JOBS["willow_bend"]()))
    done = all_ticked(of_other(done, "post"))
    called = rename(done, "stock", "other-post", "post-long")
    assert (called.fence.post, called.checks[item_key("posts.P4.plumb")].of.stock) == ("post-long", ("sleeve-30", "post-long"))
    assert states(walk(called)) == states(walk(done))


def test_what_an_older_program_ticked_meanwhile_is_of_the_row_that_its_copy_names(tmp_path: Path) -> None:
    done = with_rows(JOBS["willow_bend"]())
    here, there = tmp_path / "here.toml", tmp_path / "there.toml"
    new(here, done)
    shutil.copy(here, there)
    save(load(here), of_other(done, "cable"))
    save(load(there), of_no_stock(all_ticked(done)))
    for one, other in ((here, there), (there, here)):
        out = tmp_path / f"from_{one.stem}.toml"
        assert main(["merge", str(one), str(other), "-o", str(out)]) == 0
        joined = load(out).job
        assert states(walk(joined)) == states(walk(of_other(all_ticked(done), "cable")))
        assert joined.fence.cable == "other-cable"


@pytest.mark.independent
@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10**6))
def test_a_row_exchanged_here_opens_what_was_ticked_there(seed: int) -> None:
    """Whichever copy is named first; a moved post, or anything else, may come between."""
    rng = random.Random(seed)
    base, field = with_rows(JOBS["willow_bend"]()), rng.choice(FIELDS)
    here, there = of_other(base, field), all_ticked(base)
    if rng.random() < 0.5:
        there = changed(there, rng)
    one, other = merge(base, here, there), merge(base, there, here)
    assert one.job.checks == other.job.checks
    walked = walk(one.job)
    row = row_of(base, field)
    for key, line in asked(walked).items():
        assert line.tick is None or row not in line.tick.of.stock or row in line.item.of.stock, key
        assert line.tick is not None or line.was is None or row in line.was.of.stock or line.was.of != line.item.of, key


@pytest.mark.parametrize("field", FIELDS)
def test_what_stands_before_a_repair_is_of_the_row_that_it_was_built_of(field: str) -> None:
    """Whoever names another row in the fence of a repair is asked for all of it, marks on the ground too where anything is to be driven."""
    with TemporaryDirectory() as folder:
        signed_file(Path(folder) / "old.toml", with_rows(finished("willow_bend")))
        begun = repair_job(opened(Path(folder) / "old.toml"), state=Path(folder))
    was, job = states(walk(begun)), of_other(begun, field)
    walked = walk(job)
    opened_again = {key for key, state in states(walked).items() if state == "open"}
    marks = {key for key in was if key.what in ("marks_called", "marks_seen")}
    visit = {key for key in was if key.what in ("offcuts_picked_up", "care_notes", "client_accepts", "walked")}
    expected = {key for key in was if field in of_stock(begun, walk(begun), key)}
    assert opened_again - marks - visit == expected - visit
    drives = any(key.what in ("driven_depth", "foot_a", "foot_b", "footed", "flush", "ground_sleeve") for key in expected)
    assert marks <= opened_again if drives else not marks & opened_again
    assert ("notice_not_called" in {finding.code for finding in walked.findings}) == drives
    rows = {row.stock: row for row in walked.takeoff.rows}
    assert rows[f"other-{field}"].needed > 0 if expected else f"other-{field}" not in rows
    assert states(walk(of_other(job, field, row_of(begun, field)))) == was
