"""The preview's words: what is bad news says so by a sign, not by colour alone."""

import pytest

from engine.change.changed_findings import FindingChange
from engine.change.consequences import Consequences, Difference, WayChange, consequences
from engine.checklist import ChecklistLine, Item, WantedReading
from engine.findings import Finding
from engine.job.edit import edits
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.stages.posts.sleeves.old_sleeves import OldSleeve
from engine.walk import walk
from tests.demo import AT, BY, others
from tui.boxes.change.preview import changes_text, summary

IN = WantedReading("in")


CUT_OFF = OldSleeve(ItemKey("posts", "P4", "old_sleeve"), "P4", "post moved", AT, stays=True, line="n", station_ft=60.0)


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (
            Consequences(said=(CUT_OFF,)),
            [
                "✓ P4's old sleeve at 60' 0\" of n: nothing is asked of it any more.", "Ways out for a dog: none before, none after.",
                "No figure changes.",
            ],
        ),
        (Consequences(), ["Ways out for a dog: none before, none after.", "No figure changes."]),
        (Consequences((Difference("P1", "stands at", "1", "2"),)), ["Ways out for a dog: none before, none after.", "1 figure changes."]),
        (Consequences(ways_before=1, ways_after=1), ["Ways out for a dog: 1 before, 1 after.", "No figure changes."]),
        (
            Consequences(ways=(WayChange("under the wire", 8.25, 26.0),), ways_before=1, ways_after=1),
            ["X Ways out for a dog: 1 before, 1 after.", "X under the wire: 8 1/4\" before, 26\" after", "No figure changes."],
        ),
        (
            Consequences(ways=(WayChange("under the wire", 8.25, None),), ways_before=1),
            ["✓ Ways out for a dog: 1 before, none after.", "✓ under the wire: 8 1/4\" before, none after", "No figure changes."],
        ),
    ],
)  # fmt: skip
def test_what_becomes_of_ways_out_is_told_by_sign(found: Consequences, told: list[str]) -> None:
    assert summary("", found).plain.splitlines() == told


def test_what_opens_is_told_by_what_it_was_and_what_counts_again_beside_it() -> None:
    depth, plumb = (Item(ItemKey("posts", "P6", what), f"P6: {what}", IN if what == "depth" else None) for what in ("depth", "plumb"))
    tick = Tick(at=AT, by=BY, reading_in=30)
    done, unneeded = ChecklistLine(depth, tick), ChecklistLine(plumb, Tick(state="not needed", at=AT, by=BY))
    assert summary("", Consequences(opened=(done, unneeded))).plain.splitlines()[:-2] == [
        "! 1 item was done and counts no more:",
        '    sleeves and posts: P6: depth (30")',
        "! 1 item was not needed and opens again:",
        "    sleeves and posts: P6: plumb",
    ]
    assert summary("", Consequences(again=(done, unneeded))).plain.splitlines()[:-2] == [
        "✓ 2 items were ticked before and count again:",
        '    sleeves and posts: P6: depth (30") and P6: plumb',
    ]


def test_of_many_that_open_the_first_are_told_in_full_and_of_the_others_what_they_are_about() -> None:
    tick = Tick(at=AT, by=BY)
    opened = [
        ChecklistLine(Item(ItemKey("cables", loop, what), f"{loop}: {what}"), tick)
        for loop in ("L2", "L3", "L4")
        for what in ("closed", "tail")
    ]
    words = summary("", Consequences(opened=tuple(opened))).plain.splitlines()
    assert words[1] == "    cable loops: L2: closed, L2: tail, L3: closed and 3 more, of L3 and L4"


def test_what_is_about_the_whole_job_or_its_legs_is_told_as_a_crew_says_it() -> None:
    keys = [ItemKey("cables", loop, what) for loop in ("L2", "L3") for what in ("closed", "tail")]
    keys += [ItemKey("cables", "job", "round_again"), ItemKey("survey", "A-B", "measured_twice")]
    keys += [ItemKey("survey", "job", what) for what in ("dogs_asked", "mower_asked")]
    keys += [ItemKey("survey", subject, "measured_twice") for subject in ("A-H", "legs")] + [ItemKey("survey", "job", "photos_taken")]
    opened = tuple(ChecklistLine(Item(key, key.what), Tick(at=AT, by=BY)) for key in keys)
    assert summary("", Consequences(opened=opened)).plain.splitlines()[1:-2] == [
        "    survey: measured_twice, dogs_asked, mower_asked and 3 more, of A-H, the legs and the whole job",
        "    cable loops: closed, tail, closed and 2 more, of L3 and the whole job",
    ]


def test_a_finding_that_turned_graver_says_what_it_was() -> None:
    note, fix, other = (
        Finding("short", level, "punch", ("job",), says, "Load it.")
        for level, says in (("note", "4 are short."), ("fix", "4 are short."), ("fix", "9 are short."))
    )
    told = summary("", Consequences(changed=(FindingChange(note, fix), FindingChange(fix, other)))).plain.splitlines()[1:-1]
    assert [line.strip() for line in told] == [
        "Changed: ! Fix  4 are short.", "Load it.", "It was: a note",
        "Changed: ! Fix  9 are short.", "Load it.", "It was: 4 are short.",
    ]  # fmt: skip


def test_figures_stand_beside_each_other_and_what_is_too_long_goes_on_below() -> None:
    oak = '100\' 0", 4 3/4" right on oak'
    changes = (Difference("P7", "stands at", oak, "-"), Difference("P6-P7", "length", "17' 0 3/8\"", "16' 11\""))
    assert changes_text(changes, 70).splitlines() == [
        "what                                    before    after",
        'P7     stands at  100\' 0", 4 3/4" right on oak        -',
        "P6-P7  length                       17' 0 3/8\"  16' 11\"",
    ]
    assert changes_text(changes, 45).splitlines() == [
        "what                          before    after",
        'P7     stands at     100\' 0", 4 3/4"        -',
        "                        right on oak",
        "P6-P7  length             17' 0 3/8\"  16' 11\"",
    ]
    assert changes_text((), 70) == ""


def test_a_finding_that_says_something_else_of_another_alone_leads_with_that_one() -> None:
    job = others()["ridge_ring"]
    told = summary("", consequences(walk(job), walk(edits.add_post(job, "ring", 60.0, AT, BY)))).plain
    changed = [line for line in told.splitlines() if "post is lifted" in line]
    assert [line.split(" by its")[0].strip() for line in changed] == [
        "Changed: ! Fix  P3's post is lifted 102 lb",
        "It was: P3's post is lifted 104 lb",
    ]
