"""The old record stays readable in a repair: which job it repairs, what that left open, and the record itself to the byte."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.paper.before_repair import HOLDS
from engine.paper.record_office import office_tables
from engine.walk import walk
from tests.demo import BY, FOLDER
from tests.paper.photos.pictures import picture
from tests.repair.finished import SIGNED, finished, opened, signed_file
from tui.cli import main


@pytest.fixture
def mend(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repair of the demo that an earlier version signed."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "alder_row.toml").write_bytes((FOLDER / "alder_row.toml").read_bytes())
    assert main(["repair", str(tmp_path / "alder_row.toml"), "-o", str(tmp_path / "mend.toml")]) == 0
    return tmp_path / "mend.toml"


def test_the_record_says_what_it_repairs_and_what_was_left_open(mend: Path) -> None:
    job = opened(mend).job
    tables = {table.title: table.rows for table in office_tables(job, walk(job))}
    told = dict(tables["Repair of"])
    assert (told["file"], told["its seal"]) == ("alder_row.toml", HOLDS)
    assert len(tables["Left open before this repair"]) == 9
    assert {reason for _, reason in tables["Left open before this repair"]} == {"not asked when it was signed"}


def test_the_record_before_is_the_one_that_the_old_file_gives(mend: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["record", str(mend.with_name("alder_row.toml"))]) == 0
    old = capsys.readouterr().out
    assert main(["record", str(mend), "--before"]) == 0
    assert capsys.readouterr().out == old
    assert main(["record", str(mend.with_name("alder_row.toml")), "--before"]) == 2
    assert "alder_row.toml isn't a repair" in capsys.readouterr().err


def test_a_kept_line_that_was_changed_breaks_the_old_seal_and_is_told(mend: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = mend.read_text()
    at = text.index("text = [")
    mend.write_text(text[:at] + text[at:].replace("Alder Row", "Elder Row"))
    assert main(["record", str(mend)]) == 0
    assert "doesn't hold. Its kept lines were changed." in capsys.readouterr().out


def test_what_was_changed_in_the_kept_lines_is_named_by_the_old_seal_s_own_list(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "another machine"))
    old, mend = signed_file(tmp_path / "old.toml", finished("willow_bend")), tmp_path / "mend.toml"
    assert main(["repair", str(old.path), "-o", str(mend)]) == 0
    text = mend.read_text()
    at = text.index("text = [")
    mend.write_text(text[:at] + text[at:].replace("reading_in = 30.0", "reading_in = 29.0", 1))
    says = "The reading of P2 driven depth was changed."
    outs = {"check": (), "record": (), "record --before": ("--before",)}
    for word, more in outs.items():
        capsys.readouterr()
        assert main([word.split()[0], str(mend), *more]) in (0, 1)
        assert says in capsys.readouterr().out, word
    for name, more in {
        "old.html": ("--before",),
        "client.html": ("--for", "client"),
        "old_client.html": ("--before", "--for", "client"),
    }.items():
        assert main(["record", str(mend), *more, "-o", str(tmp_path / name)]) == 0
        assert says in " ".join((tmp_path / name).read_text().split()), name


def test_check_says_what_it_repairs(mend: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["check", str(mend)]) == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert first.startswith("A repair of 2588 Alder Row small yard, signed off 2026-03-09")
    assert first.endswith("9 items were not asked then.")


def test_pictures_of_the_old_record_that_stay_in_another_folder_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    signed_file(tmp_path / "old.toml", edits.photo(finished("willow_bend"), "gate.jpg", SIGNED, BY, about="side"))
    (tmp_path / "gate.jpg").write_bytes(picture())
    (tmp_path / "far").mkdir()
    for file, told in (("near.toml", False), ("far/far.toml", True)):
        for words in (("repair", str(tmp_path / "old.toml"), "-o", str(tmp_path / file)), ("check", str(tmp_path / file))):
            assert main([*words]) in (0, 1)
            assert ("gate.jpg of the record before isn't beside this file." in capsys.readouterr().out) is told
    (tmp_path / "far" / "gate.jpg").write_bytes(picture())
    main(["check", str(tmp_path / "far" / "far.toml")])
    assert "gate.jpg" not in capsys.readouterr().out
