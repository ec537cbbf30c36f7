"""Low, likely and high of a fence by what was said: the walk and the take-off of made-up fences."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.ahead.estimate import WONT_DO, Estimate, LowHigh, estimate, fence_counts, is_estimated, likely_estimate
from engine.ahead.estimate_words import beside_words, estimate_rows, in_words
from engine.ahead.rests_on_it import rests_on_it
from engine.ahead.rough_job import rough_job
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said, taped
from tests.source import files

ROUGHS = st.builds(
    lambda length_ft, spread_pct, corners, gates, ends, ring: Rough(
        length_ft=length_ft, spread_pct=spread_pct, corners=max(corners, 3) if ring else corners, gates_ft=gates, ring=ring,
        start_meets=None if ring else ends[0], end_meets=None if ring else ends[1],
    ),
    st.floats(60, 220), st.floats(1, 20), st.integers(0, 4), st.lists(st.sampled_from((3.0, 4.0, 5.0)), max_size=2).map(tuple),
    st.tuples(*[st.sampled_from(("house", "tree", "free", None))] * 2), st.booleans(),
)  # fmt: skip


COUNTED = (("posts", "7"), ("braces", "4"), ("cable loops", "3"))


def found(rough: Rough, **tables: Any) -> Estimate:
    """The estimate of a job that holds nothing else but these tables."""
    estimated = estimate(Job.model_validate({**tables, "rough": rough}))
    assert estimated is not None
    return estimated


def test_the_phone_call() -> None:
    """About 140 ft, two ends at the house, one corner, a 5 ft gate, 5 ft high: ends on the wall, a corner post and two gate posts, and
    line posts no further than 25 ft apart on two stretches of 70 ft, one of them parted by the gate."""
    phone = found(PHONE)
    assert phone.length_ft == LowHigh(126.0, 140.0, 154.0)
    assert phone.posts == LowHigh(7, 7, 8)
    assert phone.braces == LowHigh(4, 4, 4)
    assert phone.loops == LowHigh(3, 3, 3)
    packs = {row.stock: row.packs for row in phone.rows}
    assert (packs["post-8"], packs["wire-36"], packs["stake"]) == (LowHigh(7, 7, 8), LowHigh(2, 2, 2), LowHigh(1, 2, 2))


def test_the_likely_length_alone_gives_the_likely_figures() -> None:
    """Worked out first, it is no whole estimate; the whole one says the same of the likely length."""
    job = said(PHONE)
    assert not is_estimated(job)
    likely = likely_estimate(job)
    assert likely is not None
    assert not likely.whole
    assert estimate_rows(likely) == (("length, ft", "126", "140", "154"), *((what, "...", n, "...") for what, n in COUNTED))
    whole = estimate(job)
    assert whole is not None
    assert (whole.whole, is_estimated(job)) == (True, True)
    assert [row.packs.likely for row in likely.rows] == [row.packs.likely for row in whole.rows]


def test_nothing_was_said() -> None:
    assert estimate(Job()) is None
    assert likely_estimate(Job()) is None
    assert is_estimated(Job())
    assert in_words(Job(), walk(Job())) is None


def test_prices_kept_are_added_up() -> None:
    phone = found(PHONE, stock={"post-8": {"price": 20}, "stake": {"price": 7.5}})
    assert phone.cost == LowHigh(7 * 20 + 7.5, 7 * 20 + 2 * 7.5, 8 * 20 + 2 * 7.5)
    assert phone.unpriced == len(phone.rows) - 2


def test_the_rules_of_the_job_count() -> None:
    """Bays of 15 ft: two line posts on either side of the gate, four on the other stretch, the corner's and the gate's two."""
    assert found(PHONE, rules={"layout": {"bay_max_ft": 15}}).posts.likely == 2 * 2 + 4 + 1 + 2


def test_a_gate_is_never_left_out_of_the_low_length() -> None:
    """40 % off would be 19 ft, and the 12 ft gate needs a post and a foot of fence on either side."""
    tight = found(Rough(length_ft=20, spread_pct=50, gates_ft=(12,)))
    assert tight.length_ft.low == pytest.approx(12 + 2 / 12 + 2)
    assert {row.stock: row.needed.low for row in tight.rows}["latch"] == 1


def test_a_gate_wider_than_a_leaf_may_be_has_two() -> None:
    """16 ft: two leaves of 8 ft, each on two hinges, with a drop rod for the one that stands."""
    pair = Rough(length_ft=120, gates_ft=(16,))
    (made,) = rough_job(Job(), pair, 120.0).gates.values()
    assert (made.leaves, made.leaf_width_ft) == (2, 8.0)
    kinds = {row.kind: row.needed.likely for row in found(pair).rows}
    assert (kinds["hinge"], kinds["drop rod"]) == (4, 1)
    said_so = in_words(said(pair), walk(said(pair)))
    assert said_so is not None
    assert "a 16 ft gate of two leaves" in said_so.line


@pytest.mark.parametrize(
    ("gates_ft", "says"),
    [
        ((5,), ", a 5 ft gate. "),
        ((4.5, 8), ", a 4.5 ft gate, an 8 ft gate. "),
        ((3.937,), ", a 3' 11 1/4\" gate. "),
        ((18,), ", an 18 ft gate of two leaves. "),
        ((11, 4, 4), ", an 11 ft gate, 2 gates of 4 ft. "),
        ((16, 16, 16), ", 3 gates of 16 ft in two leaves each. "),
    ],
)
def test_gates_are_called_as_people_call_them(gates_ft: tuple[float, ...], says: str) -> None:
    job = said(Rough(length_ft=140, gates_ft=gates_ft))
    told = in_words(job, walk(job))
    assert told is not None
    assert says in told.line


def test_stock_that_will_not_do_for_what_was_said_is_told() -> None:
    """8 ft high out of posts and braces of 8 ft and mesh of 4: what is quoted can't be built of that."""
    tall = PHONE.model_copy(update={"height_ft": 8.0})
    assert [finding.code for finding in found(tall).lacks] == ["post_too_short", "brace_too_short", "lap_short"]
    assert (found(PHONE).lacks, found(Rough(length_ft=140, height_ft=6, gates_ft=(20, 4))).lacks) == ((), ())
    told = in_words(said(tall), walk(said(tall)))
    assert told is not None
    assert dict(told.more)["stock"].startswith(
        "WON'T DO: P2 needs a post of 9' 3\", 15\" longer than post-8 (6 more are short too). "
        "Bring longer posts, or lower the fence and look at its braces again. P3's"
    )


def test_stock_that_leaves_something_out_is_told() -> None:
    bare = found(PHONE, stock={"own": {"kind": "cable", "length_ft": 500}}, fence={"cable": "own"})
    assert "cable_unknown" in [finding.code for finding in bare.lacks]
    assert bare.loops.likely == 0


def test_every_code_of_stock_that_will_not_do_is_one_of_a_stage() -> None:
    told = "".join(path.read_text(encoding="utf-8") for path in files("engine/stages")).replace("{roll.word}", "wire")
    assert [code for code in WONT_DO if f'"{code}"' not in told and not code.startswith("mesh_")] == []


def test_a_jog_of_the_fence_stays_one_at_the_low_length() -> None:
    """Of four paced stretches one is a foot and a half: half of it would be no stretch, and corners on one spot."""
    jog = found(Rough(paces=(50, 0.6, 40), spread_pct=50))
    assert jog.length_ft.low == pytest.approx(90.6 / 0.6)
    assert jog.braces.low > 2


def test_a_long_fence_is_tried_at_a_few_lengths() -> None:
    assert len(found(Rough(length_ft=2_000, ring=True)).tried_ft) == 5


@settings(max_examples=25, deadline=None)
@given(ROUGHS)
def test_low_is_never_over_likely_nor_likely_over_high(rough: Rough) -> None:
    if problems(Job(rough=rough)):
        return
    estimated = found(rough)
    figures = [estimated.length_ft, estimated.posts, estimated.braces, estimated.loops]
    figures += [one for row in estimated.rows for one in (row.needed, row.packs)]
    assert [one for one in figures if not 0 <= one.low <= one.likely <= one.high] == []


@settings(max_examples=25, deadline=None)
@given(ROUGHS, st.data())
def test_a_fence_surveyed_at_a_length_that_was_tried_lies_inside(rough: Rough, data: st.DataObject) -> None:
    """The same shape, taped in the field: every count and every row of the take-off."""
    if problems(Job(rough=rough)):
        return
    estimated = found(rough)
    surveyed = walk(taped(rough, data.draw(st.sampled_from(estimated.tried_ft))))
    counts = fence_counts(surveyed)
    for figures, now in ((estimated.posts, counts.posts), (estimated.braces, counts.braces), (estimated.loops, counts.loops)):
        assert figures.low <= now <= figures.high
    rows = {row.stock: row for row in estimated.rows}
    for row in surveyed.takeoff.rows:
        assert rows[row.stock].packs.low <= row.packs <= rows[row.stock].packs.high
        assert rows[row.stock].needed.low - 0.1 <= row.needed + row.spare <= rows[row.stock].needed.high + 0.1


def test_it_rests_on_what_was_said_until_a_line_is_surveyed() -> None:
    job = said(PHONE)
    assert rests_on_it(job, walk(job))
    surveyed = taped(PHONE, 140.0).model_copy(update={"rough": PHONE})
    assert not rests_on_it(surveyed, walk(surveyed))


@pytest.mark.parametrize(
    ("length_ft", "says"),
    [
        (140.0, "estimate 140 ft (126 to 154); surveyed 140' 0\", inside the spread"),
        (152.0, "estimate 140 ft (126 to 154); surveyed 152' 0\", inside the spread; 1 post more"),
        (160.0, "estimate 140 ft (126 to 154); surveyed 160' 0\", 6' 0\" over the spread; 1 post more"),
        (90.0, "estimate 140 ft (126 to 154); surveyed 90' 0\", 36' 0\" under the spread; 3 posts fewer"),
    ],
)
def test_what_is_told_beside_the_survey(length_ft: float, says: str) -> None:
    assert beside_words(found(PHONE), fence_counts(walk(taped(PHONE, length_ft))), 5.0) == says


def test_a_height_that_was_said_otherwise_is_told() -> None:
    assert beside_words(found(PHONE), fence_counts(walk(taped(PHONE, 140.0))), 6.0).endswith("; said 5' 0\" high, planned 6' 0\"")
