"""A seal's list of parts in hostile hands: altered, taken out, rewritten, of odd names; and what it tells of many parts and of the log."""

import re
from datetime import timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.file.file_text import unshowable
from engine.job.file.seal_parts import list_mark, parts_changed
from engine.job.file.store import load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import FORMAT_MINOR
from engine.job.model.words.log_sentences import called
from engine.job.model.words.part_words import (
    LIST_CHANGED,
    ONLY_THE_NUMBER,
    ORDER,
    changed_words,
)
from tests.demo import AT, BY
from tests.job.file.sealed_on_one import Signed, told_by
from tests.job.file.test_seal_parts import blocks, read
from tests.repair.finished import finished, signed, signed_file

DAY = timedelta(days=1)


def once(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, text.count(old)
    return text.replace(old, new)


def line_of(text: str, start: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(start))


DEPTH = "The reading of P4 driven depth was changed."


def with_depth(text: str) -> str:
    head, tail = text.split('[checks."posts.P4.driven_depth"]')
    return f'{head}[checks."posts.P4.driven_depth"]{tail.replace("reading_in = 30.0", "reading_in = 22.5", 1)}'


def test_a_list_of_parts_that_was_altered_accuses_no_part(sealed: Signed) -> None:
    posts = line_of(sealed.text, 'posts = "')
    mark = re.search(r"P4:(\w{4})", posts)
    assert mark is not None
    altered = once(sealed.text, posts, posts.replace(mark[0], "P4:AAAA"))
    for text in (altered, with_depth(altered)):
        told = told_by(sealed, text, sealed.other)
        assert told[1] == LIST_CHANGED
        assert not any("P4" in says and "Post" in says for says in told)
    assert told_by(sealed, altered, sealed.own) == ("The seal's own list of parts was changed.",)
    assert told_by(sealed, with_depth(altered), sealed.own) == (
        'P4 driven depth: 30" when it was signed, 22 1/2" now.',
        "The seal's own list of parts was changed.",
    )


def test_a_list_of_parts_that_was_taken_out_is_missed(sealed: Signed) -> None:
    whole = sealed.text[sealed.text.index("[record.parts]") : sealed.text.index("[end]")]
    marked = f"{line_of(sealed.text, 'parts_digest = ')}\n"
    for text in (once(sealed.text, whole, ""), once(once(sealed.text, whole, ""), marked, ""), once(sealed.text, marked, "")):
        assert told_by(sealed, text, sealed.other)[1] == LIST_CHANGED


TABLES = ["checks", "checks.", "checks.posts", "points.A", "rules.", "rules.x", "record", "record.x", "log"]
LISTS = ["P1:AAAA", "%00%1B:AAAA", ":", "a b c", "%0A:AAAA x:BBBB"]


@given(listed=st.dictionaries(st.text(max_size=9) | st.sampled_from(TABLES), st.text(max_size=40) | st.sampled_from(LISTS), max_size=6))
@settings(max_examples=50, deadline=None)
def test_whatever_a_list_of_parts_holds_it_is_told_in_sentences_that_can_be_shown(listed: dict[str, str], sealed: Signed) -> None:
    record = {"parts": listed, "parts_digest": list_mark(listed), "signed_by": "Mo"}
    found = parts_changed({"record": record, "points": {"A": {"east_ft": 1}}}, 5)
    assert found is not None
    assert found.sound
    told = changed_words(found, sealed.loaded.job.log)
    assert [says for says in told if unshowable(says) or "\n" in says or len(says) > 1_000] == []


def test_a_seal_whose_number_was_changed_is_told_from_one_whose_parts_were(sealed: Signed) -> None:
    number = line_of(sealed.text, "digest = ")
    over = once(sealed.text, number, f'digest = "{"0" * 64}"')
    assert told_by(sealed, over, sealed.other) == (ONLY_THE_NUMBER,)
    assert told_by(sealed, with_depth(over), sealed.other) == (DEPTH,)


def test_a_part_is_not_changed_unsaid_together_with_its_digest_and_the_one_of_the_list(sealed: Signed, tmp_path: Path) -> None:
    other = sealed.loaded.job.checks[item_key("posts.P4.driven_depth")].model_copy(update={"reading_in": 22.5})
    assert sealed.loaded.job.record is not None
    unsealed = sealed.loaded.job.record.model_copy(update={"digest": ""})
    ticks = {**sealed.loaded.job.checks, item_key("posts.P4.driven_depth"): other}
    job = sealed.loaded.job.model_copy(update={"checks": ticks, "record": unsealed})
    path = new(tmp_path / "forged.toml", job, AT, state=tmp_path / "state").path
    forged = path.read_text(encoding="utf-8")
    number = line_of(sealed.text, "digest = ")
    assert told_by(sealed, once(forged, line_of(forged, "digest = "), number), sealed.other) == (ONLY_THE_NUMBER,)


def test_a_part_that_was_renamed_is_told_by_both_names(sealed: Signed) -> None:
    told = told_by(sealed, once(sealed.text, "[dogs.pepper]", "[dogs.mint]"), sealed.other)
    assert told == ("Dog pepper was taken out.", "Dog mint was put in.")


def test_entries_of_the_log_in_another_order_are_told(sealed: Signed) -> None:
    told = blocks(sealed.text)
    at = [n for n, block in enumerate(told) if block.keys[:1] == ["log"]]
    told[at[0]], told[at[1]] = told[at[1]], told[at[0]]
    text = "\n".join(line for block in told for line in (block.head, *block.lines)) + "\n"
    assert told_by(sealed, text, sealed.other) == (ORDER,)
    assert told_by(sealed, text, sealed.own) == (ORDER,)


def test_many_of_a_kind_are_counted_after_a_few_names(sealed: Signed) -> None:
    text = re.sub(r"(\[posts\.P\d+\]\nline = \"back\"\nstation_ft = \d+\.)", r"\g<1>9", sealed.text)
    text = once(text, 'title = "Willow Bend back yard"', 'title = "Elm Bend"').replace("reading_in = 30.0", "reading_in = 31.0")
    told = told_by(sealed, text, sealed.other)
    assert told == (
        "The job's title was changed.",
        "16 posts were changed: P1, P2, P3, P4, P5, P6 and 10 more.",
        "12 readings were changed: P2 driven depth, P3 driven depth, P4 driven depth, P5 driven depth, P6 driven depth, P8 driven depth "
        "and 6 more.",
    )


def test_one_field_of_the_record_is_told_by_what_stands_under_it(sealed: Signed) -> None:
    head, record = sealed.text.split("\n[record]\n")
    other = once(record, line_of(record, "accepted_by = "), 'accepted_by = "Somebody else"')
    text = f"{head}\n[record]\n{other}"
    assert told_by(sealed, text, sealed.other) == ("What the record has under accepted by was changed.",)


def test_a_file_of_a_newer_program_tells_by_its_own_list_too(sealed: Signed) -> None:
    newer = sealed.text.replace(f"format_minor = {FORMAT_MINOR}", "format_minor = 99")
    document = read(newer)
    assert document is not None
    assert (document.seal_holds, document.heading.newer) == (True, True)
    assert told_by(sealed, with_depth(newer), sealed.other) == (DEPTH,)
    unknown = told_by(sealed, newer.replace("[points.A]\n", "[points.A]\nglow = 3\n"), sealed.other)
    assert unknown == ("Point A was changed.",)


def test_reopened_and_signed_again_it_has_a_list_of_its_own(tmp_path: Path) -> None:
    first = signed_file(tmp_path / "yard.toml", finished("willow_bend"))
    opened = save(first, edits.reopen(first.job, "a post more", AT, BY), AT, state=tmp_path / "state")
    assert opened.job.record is None
    assert "parts" not in opened.path.read_text(encoding="utf-8")
    again = save(opened, signed(edits.note(opened.job, "Looked at again.", AT, BY)), AT, state=tmp_path / "state")
    assert first.job.record is not None
    assert again.job.record is not None
    assert again.job.record.parts["points"] == first.job.record.parts["points"]
    assert again.job.record.parts["log"] != first.job.record.parts["log"]
    assert load(again.path).seal_holds is True


def test_every_kind_of_entry_is_called_by_what_happened() -> None:
    sample = sorted(Path(__file__).with_name("formats").glob("format_1_*.toml"))[-1]
    told = {entry.kind: called(entry) for entry in reversed(load(sample).job.log)}
    assert told == {
        **{"signed": "The signing off on May 4", "reopened": "The reopening on May 4", "planned": "The plan accepted on May 4"},
        **{"photo": "The photo on May 20", "note": "The note on May 4", "delivery": "The delivery on May 5"},
        **{"superseded": "The tick of P2 driven depth replaced on May 20", "sleeve_left": "The sleeve of P2 left in the ground on May 20"},
        **{"move": "The move of P7 on May 4", "add": "The adding of P9 on May 4", "swap": "The swap of P2 for a tree on May 4"},
        **{"drop": "The leaving out of P6 on May 4", "reroute": "The new way of fence on May 5"},
        "obstacle": "The roots found on fence on May 4",
    }
