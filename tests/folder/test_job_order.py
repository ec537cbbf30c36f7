"""Which jobs are shown and in which order: under each head, with what isn't known last; laws over random rows."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.findings import LEVELS, STAGES
from engine.folder.job_order import HEADS, SHOWN, cells, chosen, in_order
from engine.folder.listing import Listed
from engine.folder.listing_memory import ListedFacts

OAK = Listed("oak.toml", ListedFacts("12", "Oak yard", "A client", "2026-04-14", 10, 30, "cables", "fix", 2))
ELM = Listed("elm.toml", ListedFacts("9", "Elm ring", "", "2026-04-18", 4, 4, "", "note", 0, "sealed"))
ASH = Listed("ash.toml", ListedFacts("", "", "Z", "", 3))
BAD = Listed("bad.toml", error="line 2: no end.")
ROWS = (OAK, ELM, ASH, BAD)
DAYS = st.one_of(st.just(""), st.dates(date(2020, 1, 1), date(2030, 1, 1)).map(lambda day: f"{day:%Y-%m-%d}"))
WORDS = st.sampled_from(("", "a", "B", "10", "9", "é ☃"))
FACTS = st.builds(
    ListedFacts, WORDS, WORDS, WORDS, DAYS, st.integers(0, 3), st.one_of(st.none(), st.integers(3, 12)), st.sampled_from(("", *STAGES)),
    st.sampled_from(("", *LEVELS)), st.integers(0, 2), st.sampled_from(("", "sealed", "signed off", "touched")),
)  # fmt: skip
LISTS = st.lists(st.one_of(FACTS, st.none()), max_size=12).map(
    lambda facts: [Listed(f"{at}.toml", kept, "" if kept else "line 1") for at, kept in enumerate(facts)]
)


def names(rows: list[Listed]) -> list[str]:
    return [row.name[:3] for row in rows]


def test_what_stands_under_the_heads() -> None:
    assert list(cells(OAK).values()) == ["12", "Oak yard", "A client", "4/14/2026", "5 cable loops", "20", "fix", "2", ""]
    assert list(cells(ELM).values()) == ["9", "Elm ring", "", "4/18/2026", "", "0", "note", "", "sealed"]
    assert list(cells(ASH).values()) == ["", "ash", "Z", "", "", "", "", "", ""]
    assert list(cells(BAD).values()) == ["", "bad", "", "", "", "", "", "", ""]


def test_numbers_sort_as_numbers_days_as_days_and_levels_by_weight_with_what_is_not_known_last() -> None:
    assert names(in_order(ROWS, "number")) == ["elm", "oak", "ash", "bad"]
    assert names(in_order(ROWS, "number", backwards=True)) == ["oak", "elm", "ash", "bad"]
    assert names(in_order(ROWS, "planned", backwards=True)) == ["elm", "oak", "ash", "bad"]
    assert names(in_order(ROWS, "worst")) == ["oak", "elm", "ash", "bad"]
    assert names(in_order(ROWS, "title")) == ["ash", "bad", "elm", "oak"]
    assert names(in_order(ROWS, "open")) == ["elm", "oak", "ash", "bad"]


def test_rows_are_chosen_by_words_by_state_and_by_week() -> None:
    assert names(chosen(ROWS, words="YARD 4/14")) == ["oak"]
    assert names(chosen(ROWS, words="no end")) == ["bad"]
    assert [names(chosen(ROWS, shown)) for shown in SHOWN] == [["oak", "elm", "ash", "bad"], ["oak", "ash"], ["elm"], ["bad"]]
    assert names(chosen(ROWS, week="2026-04-13")) == ["oak", "elm"]
    assert names(chosen(ROWS, week="2026-04-20")) == []


@settings(max_examples=100, deadline=None)
@given(LISTS, st.sampled_from(HEADS), st.booleans())
def test_sorting_loses_and_adds_nothing_and_what_is_empty_is_last(rows: list[Listed], head: str, backwards: bool) -> None:
    found = in_order(rows, head, backwards=backwards)
    assert sorted(row.name for row in found) == sorted(row.name for row in rows)
    filled = [bool(cells(row)[head]) for row in found]
    assert filled == sorted(filled, reverse=True)


@settings(max_examples=100, deadline=None)
@given(LISTS)
def test_each_row_is_in_exactly_one_state(rows: list[Listed]) -> None:
    by_state = [row.name for shown in SHOWN[1:] for row in chosen(rows, shown)]
    assert sorted(by_state) == sorted(row.name for row in rows)
