"""A sleeve that stays in the ground of its own job: a post that is put onto it stands in it, and once it is cut off none may."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from engine.calc.geometry.plane import distance_ft
from engine.change.consequences import consequences
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.older_ticks import with_facts
from engine.change.suggestions import suggestions
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import left_sleeves
from engine.sheets.posts import posts_sheet
from engine.walk import walk
from tests.change.new_way.test_job_after import line_of
from tests.demo import AT, BY
from tests.stages.posts.sleeves.test_old_sleeves import OLD, WEEK, asked, left, now, sleeves
from tui.boxes.change.preview import summary

DEPTH = item_key("posts.P4.driven_depth")
NEW = item_key("posts.P8.driven_depth")
LATER = AT + WEEK + timedelta(days=1)


def left_out(days: int = 7) -> Job:
    """P4 driven at 60 ft of a line due north, and left out so many days later."""
    return edits.drop_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=days), BY)


def logged() -> Job:
    """The same, and that its sleeve was cut off was logged."""
    return edits.sleeve_left(left_out(), "P4", (0.0, 60.0), AT + WEEK, BY, why="stuck")


def ticked() -> Job:
    """The same, and that was ticked."""
    return now(left_out(), OLD, AT + WEEK)


def fixes(job: Job) -> list[str]:
    return [one.says for one in walk(job).findings if one.code == "in_keep_out" and one.level == "fix"]


@pytest.mark.closed_form
@pytest.mark.parametrize("cut_off", [logged, ticked])
@pytest.mark.parametrize(("station_ft", "told"), [(60.0, True), (60.4, True), (59.2, True), (61.2, False)])
def test_a_post_that_is_put_onto_one_that_was_cut_off_stands_in_a_keep_out(
    cut_off: Callable[[], Job], station_ft: float, told: bool
) -> None:
    job = cut_off()
    assert fixes(job) == []
    added = edits.add_post(job, "n", station_ft, LATER, BY)
    assert fixes(added) == (["P8 stands in the old sleeve of P4, cut off."] if told else [])
    assert left(added) == [("P4", "post left out", (0.0, 60.0))]


def test_a_cut_off_that_is_struck_or_opened_again_lets_a_post_stand_there() -> None:
    struck = strike(logged(), logged().log[-1].id, LATER, BY)
    opened = edits.untick(ticked(), OLD, LATER, BY)
    for job in (struck, opened):
        added = edits.add_post(job, "n", 60, LATER, BY)
        assert (fixes(added), left(added), asked(added)) == ([], [], {})


def test_one_that_was_said_to_be_pulled_or_that_pulled_after_all_is_no_keep_out() -> None:
    young = now(left_out(1), OLD, AT + timedelta(days=1))
    of = next(item.of for item in walk(left_out()).posts.items if item.key == OLD)
    after_all = edits.tick(left_out(), OLD, AT + WEEK, BY, needed=False, note="it pulled", of=of)
    for job in (young, after_all):
        assert fixes(edits.add_post(job, "n", 60, LATER, BY)) == []


def not_needed(days: int) -> Job:
    """P4 left out so many days after it was driven, and what its sleeve asks is marked as not needed."""
    of = next(item.of for item in walk(left_out(days)).posts.items if item.key == OLD)
    return edits.tick(left_out(days), OLD, AT + WEEK, BY, needed=False, note="the client wants it so", of=of)


def listed(job: Job) -> tuple[list[str], list[str], float]:
    """Old sleeves as the sheet tells them, those that the record lists, and how many sleeves are used."""
    worked = walk(job)
    told = [row.cells[3].figure for part in posts_sheet(worked).parts for row in part.rows if part.columns[0].head == "old sleeve"]
    return told, list(left_sleeves(job, worked)), sleeves(job)[1]


def test_one_that_need_not_be_pulled_is_in_the_ground_whole_and_a_post_put_back_there_stands_in_it() -> None:
    job = not_needed(1)
    assert listed(job) == (["stays"], ["P4"], 1)
    back = strike(job, job.log[-1].id, LATER, BY)
    added = edits.add_post(job, "n", 60, LATER, BY)
    assert [(listed(one), walk(one).posts.reused) for one in (back, added)] == [(([], [], 1), {}), (([], [], 1), {"P8": "P4"})]
    assert walk(back).in_sleeves == {"P4": AT}


def test_one_that_need_not_be_cut_off_came_out_and_no_record_lists_it() -> None:
    job = not_needed(7)
    assert listed(job) == (["comes out, its hole filled"], [], 0)
    back = strike(job, job.log[-1].id, LATER, BY)
    assert (listed(back)[1:], walk(back).in_sleeves) == (([], 0), {})


def test_a_tick_of_an_older_program_that_does_not_say_what_became_of_it_counts() -> None:
    of = next(item.of for item in walk(left_out()).posts.items if item.key == OLD)
    older = edits.tick(left_out(), OLD, AT + WEEK, BY, of=of._replace(words=("old sleeve",)))
    assert (asked(older), left(older)) == ({str(OLD): "done"}, [("P4", "post left out", (0.0, 60.0))])


def with_pull_days(job: Job, days: int) -> Job:
    return job.model_copy(update={"rules": job.rules.model_copy(update={"posts": job.rules.posts.model_copy(update={"pull_days": days})})})


def as_told(job: Job) -> tuple[dict[str, str], list[str], bool]:
    """What its item is and says, and whether the sleeve is listed as left."""
    says = [item.says for item in walk(job).posts.items if item.key == OLD]
    return asked(job), says, bool(left(job))


def test_one_that_was_ticked_as_pulled_or_as_cut_off_stays_so_by_other_rules() -> None:
    out, cut = "P4: the old sleeve at 60' 0\" of n pulled, its hole filled", "cut off below the ground and filled, it stays"
    pulled = now(left_out(1), OLD, AT + timedelta(days=1))
    for days in (7, 2, 1):
        assert as_told(with_pull_days(pulled, days)) == ({str(OLD): "done"}, [out], False)
    for days in (7, 30):
        assert as_told(with_pull_days(ticked(), days)) == ({str(OLD): "done"}, [out.replace("pulled, its hole filled", cut)], True)
    assert as_told(with_pull_days(left_out(1), 1))[2]


def test_what_became_of_one_is_written_into_the_tick_of_an_older_program_with_the_first_edit() -> None:
    of = next(item.of for item in walk(left_out(1)).posts.items if item.key == OLD)
    older = edits.tick(left_out(1), OLD, AT + timedelta(days=1), BY, of=of._replace(words=("old sleeve",)))
    assert as_told(with_pull_days(older, 1))[2]
    edited = with_facts(older, walk(older))
    assert edited.checks[OLD].of.words == ("old sleeve", "pulled")
    assert not as_told(with_pull_days(edited, 1))[2]
    assert with_facts(edited, walk(edited)) is edited


@pytest.mark.closed_form
@pytest.mark.parametrize("days", [1, 7])
@pytest.mark.parametrize("off_ft", [0.0, 0.4, -0.5, 0.5004])
def test_a_post_put_onto_one_that_nobody_cut_off_stands_in_it_and_nothing_is_left_there(days: int, off_ft: float) -> None:
    """Seven sleeves are needed for seven posts, and the one that is in the ground is the one that is used."""
    before, job = now(line_of(), DEPTH, AT, 24), left_out(days)
    added = edits.add_post(job, "n", 60 + off_ft, LATER, BY)
    assert (left(added), asked(added), fixes(added)) == ([], {}, [])
    assert walk(added).posts.reused == {"P8": "P4"}
    assert left_sleeves(added, walk(added)) == {}
    assert sleeves(added) == sleeves(before)
    read = now(added, NEW, LATER, 24)
    assert (left(read), asked(read), sleeves(read)) == ([], {}, sleeves(before))
    assert "P8 goes into the old sleeve of P4: no other is driven." in summary("", consequences(walk(job), walk(added))).plain


def beside(job: Job) -> list[str]:
    return [one.says for one in walk(job).findings if one.code == "near_old_sleeve" and one.level == "fix"]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("off_ft", "told"), [(0.4, ""), (0.52, '6 1/4"'), (0.75, '9"'), (-0.75, '9"'), (0.96, '11 1/2"'), (1.0, ""), (-1.3, "")]
)
def test_a_post_within_a_foot_of_a_sleeve_that_stays_is_told_before_that_is_cut_off(off_ft: float, told: str) -> None:
    says = [f"P8 stands {told} from the old sleeve of P4, which stays in the ground."] if told else []
    assert beside(edits.add_post(left_out(), "n", 60 + off_ft, LATER, BY)) == says
    assert beside(edits.add_post(left_out(1), "n", 60 + off_ft, LATER, BY)) == []


def test_a_post_that_was_moved_a_little_stands_beside_its_own() -> None:
    moved = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + WEEK, BY, out_ft=0.75)
    assert beside(moved) == ['P4 stands 9" from its own old sleeve, which stays in the ground.']
    away = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + WEEK, BY, out_ft=2)
    assert (beside(away), left(away)) == ([], [("P4", "post moved", (0.0, 60.0))])


def test_it_is_told_once_and_no_more_where_the_sleeve_came_out_or_the_post_goes_into_it_or_off() -> None:
    job = edits.add_post(left_out(), "n", 60.75, LATER, BY)
    for cut_off in (logged, ticked):
        added = edits.add_post(cut_off(), "n", 60.75, LATER, BY)
        assert (beside(added), fixes(added)) == ([], ["P8 stands in the old sleeve of P4, cut off."])
    of = next(item.of for item in walk(job).posts.items if item.key == OLD)
    pulled = edits.tick(job, OLD, LATER, BY, needed=False, note="it pulled", of=of)
    into = edits.move_post(job, "P8", LATER, BY, along_ft=-0.75)
    offers = list(suggestions(job, walk(job), "P8", LATER))
    assert offers
    for after in (pulled, into, *(edits.apply_steps(job, offer.steps, LATER, BY) for offer in offers)):
        assert (beside(after), fixes(after)) == ([], [])


@pytest.mark.closed_form
def test_a_post_beside_it_is_another_sleeve() -> None:
    added = edits.add_post(left_out(), "n", 60.7, LATER, BY)
    assert (left(added), walk(added).posts.reused) == ([("P4", "post left out", (0.0, 60.0))], {})


def test_a_neighbour_that_is_moved_onto_it_stands_in_it_and_leaves_its_own() -> None:
    job = now(left_out(), item_key("posts.P5.driven_depth"), AT, 24)
    moved = edits.move_post(job, "P5", LATER, BY, along_ft=60 - walk(job).layout.supports["P5"].station_ft)
    assert [(one.post, one.what) for one in walk(moved).posts.old_sleeves] == [("P5", "post moved")]
    assert walk(moved).posts.reused == {"P5": "P4"}


@pytest.mark.closed_form
@pytest.mark.parametrize("read", [True, False])
def test_left_out_again_it_is_one_old_sleeve_as_old_as_it_was_driven(read: bool) -> None:
    """Read anew a day before it is left out again: it went in more than a week ago, so it stays."""
    added = edits.add_post(left_out(), "n", 60, LATER, BY)
    added = now(added, NEW, LATER, 24) if read else added
    again = edits.drop_post(added, "P8", LATER + timedelta(days=1), BY)
    assert left(again) == [("P8" if read else "P4", "post left out", (0.0, 60.0))]
    assert len(walk(again).posts.old_sleeves) == 1
    (key,) = asked(again)
    cut = now(again, item_key(key), LATER + timedelta(days=1))
    third = edits.add_post(cut, "n", 60, LATER + timedelta(days=2), BY)
    assert (len(fixes(third)), len(left(third)), walk(third).posts.reused) == (1, 1, {})


def test_one_that_was_pulled_before_another_was_driven_there_is_another() -> None:
    pulled = now(left_out(1), OLD, AT + timedelta(days=1))
    added = now(edits.add_post(pulled, "n", 60, AT + timedelta(days=2), BY), NEW, AT + timedelta(days=2), 24)
    again = edits.drop_post(added, "P8", AT + timedelta(days=3), BY)
    assert asked(again) == {str(OLD): "done", "posts.P8.0_00E_60_00N.old_sleeve": "open"}


@pytest.mark.parametrize("cut_off", [logged, ticked])
def test_a_fresh_layout_and_offers_keep_off_one_that_was_cut_off(cut_off: Callable[[], Job]) -> None:
    job = cut_off()
    fresh = fresh_layout(job, walk(job))
    assert fresh.why_none == ()
    after = accepted_again(job, fresh, LATER, BY)
    assert fixes(after) == []
    driven = [one.xy for one in walk(after).layout.supports.values() if one.support == "driven"]
    assert min(distance_ft(spot, (0.0, 60.0)) for spot in driven) >= 1 - 0.01
    onto = edits.add_post(job, "n", 60.3, LATER, BY)
    for offer in suggestions(onto, walk(onto), "P8", AT):
        assert fixes(edits.apply_steps(onto, offer.steps, LATER, BY)) == []


@pytest.mark.closed_form
def test_after_a_fresh_layout_the_place_along_the_line_is_told_still() -> None:
    """P4 at 60 ft and P8, added at 70 ft, were driven and are left out: a plan that holds neither says no line of theirs."""
    job = now(edits.add_post(now(line_of(), DEPTH, AT, 24), "n", 70, AT, BY), NEW, AT, 24)
    job = edits.drop_post(edits.drop_post(job, "P4", AT + WEEK, BY), "P8", AT + WEEK, BY)
    rocky = edits.obstacle(job, "rock", "n", 65, LATER, BY, radius_ft=8)
    afresh = accepted_again(rocky, fresh_layout(rocky, walk(rocky)), LATER, BY)
    assert not {"P4", "P8"} & afresh.posts.keys()
    for one in (job, afresh):
        found = [(old.post, old.line, round(old.station_ft or 0, 3)) for old in walk(one).posts.old_sleeves]
        assert found == [("P4", "n", 60.0), ("P8", "n", 70.0)]
        assert [(left.line, left.station_ft) for left in left_sleeves(one, walk(one)).values()] == [("n", 60.0), ("n", 70.0)]
        says = [line.item.says for line in walk(one).checklists["posts"].lines if line.item.key.what == "old_sleeve"]
        assert [words.split(" cut off")[0] for words in says] == [
            "P4: the old sleeve at 60' 0\" of n",
            "P8: the old sleeve at 70' 0\" of n",
        ]


@pytest.mark.closed_form
def test_one_that_was_cut_off_beside_its_post_says_where_on_the_line() -> None:
    job = edits.sleeve_left(now(line_of(), DEPTH, AT, 24), "P4", (0.0, 58.0), AT + WEEK, BY, why="broke")
    assert [(one.what, one.line, one.station_ft) for one in walk(job).posts.old_sleeves] == [("cut off", "n", 58.0)]


@pytest.mark.closed_form
@pytest.mark.parametrize(("along_ft", "says"), [(5 / 12, '5"'), (-0.25, '3"'), (1.0, ""), (0.01, "")])
def test_a_post_that_goes_into_a_sleeve_beside_its_place_is_told_until_it_stands_on_it_or_a_foot_away(along_ft: float, says: str) -> None:
    moved = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=along_ft)
    told = [one.says for one in walk(moved).findings if one.code == "off_its_sleeve"]
    assert told == ([f"P4 goes into its own old sleeve, which is {says} from its place: no second one is driven so near."] if says else [])
    back = edits.move_post(moved, "P4", AT + timedelta(days=2), BY, along_ft=-along_ft)
    assert not [one for one in walk(back).findings if one.code == "off_its_sleeve"]


@pytest.mark.parametrize("left_out", [False, True])
def test_a_sleeve_pulled_while_its_post_was_away_says_so_once_that_is_struck(left_out: bool) -> None:
    """P4 stands at 60 ft again, where nothing was corrected: what was pulled there is of the move that was struck."""
    day = timedelta(days=1)
    job = now(line_of(), DEPTH, AT, 24)
    away = edits.drop_post(job, "P4", AT + day, BY) if left_out else edits.move_post(job, "P4", AT + day, BY, along_ft=2)
    back = strike(now(away, OLD, AT + 2 * day), away.log[-1].id, AT + 3 * day, BY)
    what = "post left out" if left_out else "post moved"
    assert [(one.what, one.there) for one in walk(back).posts.old_sleeves] == [(f"{what}, struck from the log since", (0.0, 60.0))]


def test_a_post_off_its_sleeve_is_sent_nowhere_but_to_the_offers_that_are_judged() -> None:
    """A foot on from its sleeve a buried line may run, and no stage knows: the box of its move does."""
    moved = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=0.25)
    (told,) = [one for one in walk(moved).findings if one.code == "off_its_sleeve"]
    assert told.do.startswith("Have it on that sleeve, or a foot or more from it: settle it by an offer;")
    assert "by as much" not in told.do
    offers = list(suggestions(moved, walk(moved), "P4", AT))
    assert offers
    for offer in offers:
        after = walk(edits.apply_steps(moved, offer.steps, AT + timedelta(days=2), BY))
        assert not {"off_its_sleeve", "near_old_sleeve"} & {one.code for one in after.findings}


def test_a_sleeve_read_anew_a_little_off_is_not_what_was_read_of_it_before() -> None:
    """It is the same sleeve: 24 in were read of it, then 22 with its post 5 in on, and nothing since the post came back."""
    moved = edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=1), BY, along_ft=5 / 12)
    read = now(moved, DEPTH, AT + timedelta(days=2), 22)
    back = edits.move_post(read, "P4", AT + timedelta(days=3), BY, along_ft=-5 / 12)
    assert walk(back).checklists["posts"].by_key[DEPTH].state == "open"
    assert walk(back).posts.work["P4"].driven_in is None
    assert walk(now(back, DEPTH, AT + timedelta(days=4), 22)).posts.work["P4"].driven_in == 22
