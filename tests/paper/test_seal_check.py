"""A sealed job that was touched: what was touched is told, from the version that was signed or from the record alone."""

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import FORMAT_MINOR
from engine.paper.as_built import build_record
from engine.paper.record_files import write_record
from engine.paper.seal_check import UNKNOWN, seal_broken, touched
from engine.walk import walk
from tests.demo import AT, BY, accepted


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    return tmp_path / "linewalk"


@pytest.fixture
def sealed(tmp_path: Path, state: Path) -> Loaded:
    job = edits.tick(accepted(), item_key("posts.P4.driven_depth"), AT, BY, reading_in=22.5)
    loaded = new(tmp_path / "yard.toml", job, AT, state=state)
    record = build_record(job, walk(job), AT, BY, "the client", {})
    return save(loaded, edits.sign(job, record, AT, BY, "the client"), AT, state=state)


@pytest.fixture
def noted(tmp_path: Path, state: Path) -> Loaded:
    """The same with a note in its log, and the tick made for where its post stands."""
    key = item_key("posts.P4.driven_depth")
    of = walk(accepted()).checklists["posts"].by_key[key].item.of
    job = edits.note(edits.tick(accepted(), key, AT, BY, reading_in=22.5, of=of), "Clay at the gate.", AT, BY)
    loaded = new(tmp_path / "noted.toml", job, AT, state=state)
    return save(loaded, edits.sign(job, build_record(job, walk(job), AT, BY, "the client", {}), AT, BY, "the client"), AT, state=state)


def written_over(loaded: Loaded, old: str, new: str, count: int = 1) -> Loaded:
    text = loaded.path.read_text(encoding="utf-8")
    assert old in text
    loaded.path.write_text(text.replace(old, new, count), encoding="utf-8")
    return load(loaded.path)


def told(loaded: Loaded, state: Path) -> tuple[str, ...]:
    return touched(loaded, walk(loaded.job), state=state)


def test_a_seal_that_holds_says_nothing(sealed: Loaded, state: Path) -> None:
    assert told(load(sealed.path), state) == ()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("reading_in = 22.5", "reading_in = 30.0", 'P4 driven depth: 22 1/2" when it was signed, 30" now.'),
        ('accepted_by = "the client"', 'accepted_by = "me"', "accepted by: the client when it was signed, me now."),
        ("station_ft = 43.75", "station_ft = 44.0", "Post P4, station: 43' 9\" when it was signed, 44' 0\" now."),
        ("[dogs.", "[dogs.new-", "was taken out."),
    ],
)
def test_what_was_touched_is_told_fact_by_fact(sealed: Loaded, state: Path, old: str, new: str, says: str) -> None:
    after = written_over(sealed, old, new)
    assert after.seal_holds is False
    assert any(sentence.endswith(says) for sentence in told(after, state))


def test_an_editor_that_writes_into_the_very_file_leaves_the_version_that_was_signed_alone(sealed: Loaded, state: Path) -> None:
    with sealed.path.open("r+b") as file:
        data = file.read().replace(b"reading_in = 22.5", b"reading_in = 33.5")
        file.seek(0)
        file.write(data)
    (says,) = told(load(sealed.path), state)
    assert says.startswith('P4 driven depth: 22 1/2" ')
    assert ' 33 1/2" ' in says


def test_a_seal_that_was_written_over_itself_is_told_from_the_file_s_own_copies(sealed: Loaded, state: Path) -> None:
    assert sealed.job.record is not None
    seal = sealed.job.record.digest
    over = written_over(sealed, seal, "0" * 64)
    assert told(over, state) == ("The record's seal number was changed.",)


def as_sealed_before(loaded: Loaded) -> Loaded:
    """A changed file as if an older program had sealed it, without a list of its parts."""
    text = loaded.path.read_text(encoding="utf-8").replace(f"format_minor = {FORMAT_MINOR}", "format_minor = 4", 1)
    text = re.sub(r'parts_digest = ".*"\n', "", f"{text[: text.index('[record.parts]')]}{text[text.index('[end]') :]}")
    loaded.path.write_text(text, encoding="utf-8")
    return load(loaded.path)


def test_where_the_signed_version_is_not_kept_the_record_is_held_against_the_file(sealed: Loaded, tmp_path: Path) -> None:
    elsewhere = tmp_path / "another machine"
    moved = as_sealed_before(written_over(sealed, "station_ft = 43.75", "station_ft = 45.0"))
    said = told(moved, elsewhere)
    assert said[0] == UNKNOWN
    (support,) = (sentence for sentence in said if sentence.startswith("The record's support P4: station 43' 9\", east "))
    assert " in the record; station 45' 0\", east " in support
    assert support.endswith(" by the file as this version works it out.")
    words = written_over(sealed, "station_ft = 45.0", "station_ft = 43.75")
    words = written_over(words, 'title = "', 'title = "Other ')
    says = "What the record lists is what the file gives: something else was changed, a tick, a rule or somebody's words."
    assert told(words, elsewhere) == (UNKNOWN, says)


OTHERWISE = "Either the file was changed there or this version works it out otherwise; other ticks and words may have been changed, too."
ELSEWHERE = "What the record lists is what the file gives: something else was changed, a tick, a rule or somebody's words."
DEPTH = ("reading_in = 22.5", "reading_in = 30.0")


@pytest.mark.parametrize(
    ("old", "new", "kept", "listed", "against"),
    [
        (
            *DEPTH,
            ('P4 driven depth: 22 1/2" when it was signed, 30" now.',),
            ("The reading of P4 driven depth was changed.",),
            (
                OTHERWISE,
                'The record\'s support P4: driven depth 22 1/2" in the record; driven depth 30" by the file as this version works it out.',
            ),
        ),
        (
            'at = 2026-04-14 09:30:00+00:00\nby = "Mo Teal"\nreading_in',
            'at = 2026-04-14 07:15:00+00:00\nby = "Mo Teal"\nreading_in',
            ("P4 driven depth, ticked at: 4/14/2026 09:30 when it was signed, 4/14/2026 07:15 now.",),
            ("The tick of P4 driven depth was changed.",),
            (
                OTHERWISE,
                "The record's times of sleeves and posts: begin 4/14/2026 09:30 in the record; begin 4/14/2026 07:15 by the file as this "
                "version works it out.",
            ),
        ),
        (
            'text = "Clay at the gate."',
            'text = "Sand."',
            ('The note on Apr 14, words: "Clay at the gate" when it was signed, "Sand" now.',),
            ("The note on Apr 14 was changed.",),
            (ELSEWHERE,),
        ),
        (
            'signed_by = "Mo Teal"',
            'signed_by = "Somebody"',
            ("The record, signed by: Mo Teal when it was signed, Somebody now.",),
            ("What the record has under signed by was changed.",),
            ("The record, signed by: Somebody in the record, Mo Teal in the log.",),
        ),
        (
            "east_ft = 0.0\n",
            "east_ft = 0.002\n",
            ("Point A, east was changed by less than is printed of it.",),
            ("Point A was changed.",),
            (ELSEWHERE,),
        ),
        (
            "\nP3-P4 = 22.5873",
            "\nP3-P4 = 20.0",
            ("The record's bay P3-P4: 22' 7 1/16\" when it was signed, 20' 0\" now.",),
            ("The record's bay P3-P4 was changed.",),
            (OTHERWISE, "The record's bay P3-P4: 20' 0\" in the record, 22' 7 1/16\" by the file as this version works it out."),
        ),
    ],
)
def test_a_change_is_told_in_words_wherever_it_is_read(
    noted: Loaded, state: Path, tmp_path: Path, old: str, new: str, kept: tuple[str, ...], listed: tuple[str, ...], against: tuple[str, ...]
) -> None:
    """By the machine that signed it, by one that has only the seal's own list, and by one whose file was sealed before there was one."""
    elsewhere = tmp_path / "another machine"
    after = written_over(noted, old, new)
    assert told(after, state) == kept
    assert told(after, elsewhere) == listed
    assert told(as_sealed_before(after), elsewhere) == (UNKNOWN, *against)


def test_what_was_taken_out_is_told_with_what_it_said(noted: Loaded, state: Path, tmp_path: Path) -> None:
    text = noted.path.read_text(encoding="utf-8")
    (note,) = (entry for entry in re.findall(r"\[\[log\]\]\n(?:(?!\[).*\n)*", text) if "Clay" in entry)
    after = written_over(noted, note, "")
    assert told(after, state) == ("The note on Apr 14 was taken out: Clay at the gate.",)
    assert told(after, tmp_path / "another machine") == ("A log entry of Apr 14, 2026 at 09:30 was taken out.",)
    (tick,) = re.findall(r'\[checks\."posts\.P4\.driven_depth"\]\n(?:(?!\[).*\n)*', after.path.read_text(encoding="utf-8"))
    without = told(written_over(after, tick, ""), state)
    assert without[-1] == 'The tick of P4 driven depth was taken out: 22 1/2", ticked on Apr 14 at 09:30 by Mo Teal.'


def test_an_entry_by_another_id_is_told_without_either(noted: Loaded, state: Path) -> None:
    (note,) = (entry for entry in noted.job.log if entry.kind == "note")
    assert told(written_over(noted, f'id = "{note.id}"', 'id = "another"'), state) == ("The id of the note on Apr 14 was changed.",)


def test_what_is_said_the_same_is_only_written_otherwise(noted: Loaded, state: Path) -> None:
    plainer = written_over(noted, "[points.A]", "[rules.layout]\nbay_max_ft = 25.0\n\n[points.A]")
    assert told(plainer, state) == ("The rules for layout, bay max was only written otherwise.",)


def test_ticks_that_a_change_opens_are_named_where_the_signed_version_is_not_kept(noted: Loaded, tmp_path: Path) -> None:
    said = told(as_sealed_before(written_over(noted, "station_ft = 43.75", "station_ft = 45.0")), tmp_path / "another machine")
    assert said[-1] == "1 item that was ticked is open again: P4 driven depth."


def test_another_program_s_figures_are_not_called_a_change(sealed: Loaded, tmp_path: Path) -> None:
    older = written_over(as_sealed_before(sealed), 'engine = "', 'engine = "0.')
    assert told(older, tmp_path / "another machine")[1].startswith("It was signed with linewalk 0.")


def test_the_office_s_page_says_what_was_touched(sealed: Loaded, state: Path, tmp_path: Path) -> None:
    after = written_over(sealed, "reading_in = 22.5", "reading_in = 30.0")
    (says,) = told(after, state)
    (page,) = write_record(replace(after), tmp_path / "record.html")
    assert says in unescape(page.read_text(encoding="utf-8"))


def without_record(loaded: Loaded) -> Loaded:
    """The signed file as an ordinary open one: its record cut out by hand."""
    lines = loaded.path.read_text(encoding="utf-8").splitlines(keepends=True)
    heads = [number for number, line in enumerate(lines) if line.startswith("[")]
    kept = lines[: heads[0]]
    for start, end in zip(heads, [*heads[1:], len(lines)], strict=True):
        if not lines[start].startswith("[record"):
            kept += lines[start:end]
    loaded.path.write_text("".join(kept), encoding="utf-8")
    return load(loaded.path)


def test_a_record_cut_out_of_a_signed_file_is_told(sealed: Loaded, state: Path) -> None:
    after = without_record(sealed)
    assert after.job.record is None
    (says,) = seal_broken(after, walk(after.job), state=state)
    assert str(state / "backups") in says
    (on_another_machine,) = seal_broken(after, walk(after.job), state=state / "elsewhere")
    assert on_another_machine == "This job was signed off, and its record is gone from the file although nobody reopened it."
    assert says.startswith(on_another_machine)


def test_it_is_told_by_the_kept_copy_where_the_signature_is_cut_out_of_the_log_too(sealed: Loaded, state: Path) -> None:
    text = without_record(sealed).path.read_text(encoding="utf-8")
    entries = text.split("[[log]]")
    kept = [entry for entry in entries if 'kind = "signed"' not in entry]
    tail = entries[-1].partition("\n[")[2] if len(kept) < len(entries) and entries[-1] not in kept else ""
    sealed.path.write_text("[[log]]".join(kept) + (f"\n[{tail}" if tail else ""), encoding="utf-8")
    after = load(sealed.path)
    assert not any(entry.kind == "signed" for entry in after.job.log)
    assert len(seal_broken(after, walk(after.job), state=state)) == 1


def test_a_reopened_job_is_told_apart(sealed: Loaded, state: Path) -> None:
    reopened = save(sealed, edits.reopen(sealed.job, "a post more", AT, BY), AT, state=state)
    assert seal_broken(load(reopened.path), walk(reopened.job), state=state) == ()
    assert [entry.kind for entry in reopened.job.log][-2:] == ["signed", "reopened"]


def test_an_open_job_has_no_seal_to_break(tmp_path: Path, state: Path) -> None:
    loaded = new(tmp_path / "open.toml", accepted(), AT, state=state)
    assert seal_broken(loaded, walk(loaded.job), state=state) == ()


def test_an_extreme_offset_in_a_sealed_file_is_told_on_its_page(sealed: Loaded, tmp_path: Path, state: Path) -> None:
    """Nothing that a file allows keeps the page from being made: it says what was touched instead."""
    after = written_over(sealed, "station_ft = 43.75\noffset_ft = 0.0", "station_ft = 43.75\noffset_ft = -100000.0")
    for copy in (state / "backups").rglob("signed-*.toml"):
        copy.unlink()
    (page,) = write_record(after, tmp_path / "record.html")
    assert "changed afterwards" in page.read_text(encoding="utf-8")
    assert told(after, state) == ("Post P4 was changed.",)
    assert any("support P4" in says for says in told(as_sealed_before(after), state))
