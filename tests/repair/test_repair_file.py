"""The file of a repair: the old one isn't touched, its text is kept whole, and what can't be repaired is refused in a sentence."""

from pathlib import Path

import pytest

from engine.job.file.kept_text import kept_job
from engine.job.file.store import new
from engine.job.model.fence import Fence
from engine.walk import walk
from tests.demo import FOLDER, accepted
from tests.repair.finished import finished, opened, signed_file
from tui.cli import main


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "home"))


def alder_row(folder: Path) -> Path:
    """The demo that an earlier version signed."""
    path = folder / "alder_row.toml"
    path.write_bytes((FOLDER / "alder_row.toml").read_bytes())
    return path


def test_the_signed_file_stays_to_the_byte_and_stands_whole_in_the_new_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old, out = alder_row(tmp_path), tmp_path / "mend.toml"
    was = old.read_bytes()
    assert main(["repair", str(old), "-o", str(out)]) == 0
    assert old.read_bytes() == was
    assert "9 supports stand, nothing is to be done yet" in capsys.readouterr().out
    mend = opened(out)
    told = mend.job.repair_of
    assert told is not None
    assert "\n".join(told.text) == was.decode()
    assert (told.file, told.digest, told.changed) == ("alder_row.toml", opened(old).job.record.digest, ())  # type: ignore[union-attr]
    assert (kept_job(told).seal_holds, kept_job(told).job) == (True, opened(old).job)
    assert mend.job.record is None
    assert mend.job.job.title.startswith("Repair: ")
    assert mend.job.job.number.endswith("-R1")


def test_what_an_earlier_version_never_asked_is_neither_open_nor_done(tmp_path: Path) -> None:
    old = alder_row(tmp_path)
    asked = {line.item.key for one in walk(opened(old).job).checklists.values() for line in one.lines if line.state == "open"}
    assert len(asked) == 9
    main(["repair", str(old), "-o", str(tmp_path / "mend.toml")])
    after = [line for one in walk(opened(tmp_path / "mend.toml").job).checklists.values() for line in one.lines]
    assert {line.item.key for line in after if line.state == "not asked"} == asked
    assert not any(line.state == "open" or line.left for line in after)


def test_the_text_stays_as_it_is_through_every_later_save(tmp_path: Path) -> None:
    signed_file(tmp_path / "old.toml", finished("willow_bend"))
    was = (tmp_path / "old.toml").read_text()
    main(["repair", str(tmp_path / "old.toml"), "-o", str(tmp_path / "mend.toml")])
    again = opened(tmp_path / "mend.toml")
    moved = again.job.model_copy(update={"fence": Fence(height_ft=6.0)})
    new(tmp_path / "copy.toml", moved, state=tmp_path)
    told = opened(tmp_path / "copy.toml").job.repair_of
    assert told is not None
    assert "\n".join(told.text) == was


@pytest.mark.parametrize("anyway", [False, True])
def test_a_file_changed_after_it_was_signed_is_refused_and_says_what_was(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], anyway: bool
) -> None:
    old, out = tmp_path / "old.toml", tmp_path / "mend.toml"
    signed_file(old, finished("willow_bend"))
    client = finished("willow_bend").job.client
    old.write_text(old.read_text().replace(client, "Somebody else"))
    code = main(["repair", str(old), "-o", str(out), *(["--anyway"] if anyway else [])])
    assert code == (0 if anyway else 2)
    assert out.exists() is anyway
    if anyway:
        told = opened(out).job.repair_of
        assert told is not None
        assert told.changed
        assert kept_job(told).seal_holds is False
    else:
        assert "old.toml isn't what was signed any more" in capsys.readouterr().err


def test_on_another_machine_the_refusal_names_what_was_changed_by_the_file_s_own_list(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old = signed_file(tmp_path / "old.toml", finished("willow_bend")).path
    text = old.read_text().replace("reading_in = 30.0", "reading_in = 29.0", 1).replace("[dogs.pepper]", "[dogs.mint]")
    old.write_text(text.replace("leaf_width_ft = 5.0", "leaf_width_ft = 4.0"))
    assert main(["repair", str(old), "-o", str(tmp_path / "mend.toml")]) == 2
    assert " ".join(capsys.readouterr().err.split()) == (
        "old.toml isn't what was signed any more. Dog pepper was taken out. Dog mint was put in. Gate side was changed. And 1 thing more. "
        "Repair from a copy that is, or run linewalk repair with --anyway: the new file will tell."
    )
    assert main(["repair", str(old), "-o", str(tmp_path / "mend.toml"), "--anyway"]) == 0
    assert opened(tmp_path / "mend.toml").job.repair_of.changed[-1] == "The reading of P2 driven depth was changed."  # type: ignore[union-attr]


def test_where_the_signed_version_isn_t_kept_the_refusal_says_how_to_see_what_doesn_t_fit(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old = alder_row(tmp_path)
    old.write_text(old.read_text().replace("Ground soft", "Ground hard"))
    assert main(["repair", str(old), "-o", str(tmp_path / "mend.toml")]) == 2
    assert " ".join(capsys.readouterr().err.split()) == (
        "alder_row.toml isn't what was signed any more. The version that was signed isn't kept on this machine. linewalk check "
        "alder_row.toml lists what doesn't fit. Repair from a copy that is, or run linewalk repair with --anyway: the new file will tell."
    )


def test_an_open_job_and_an_estimate_are_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new(tmp_path / "open.toml", accepted(), state=tmp_path)
    assert main(["repair", str(tmp_path / "open.toml"), "-o", str(tmp_path / "mend.toml")]) == 2
    assert "open.toml isn't signed off, so it is no fence to repair yet" in capsys.readouterr().err
    assert main(["new", str(tmp_path / "rough.toml"), "--rough", "--length", "140 ft"]) == 0
    assert main(["repair", str(tmp_path / "rough.toml"), "-o", str(tmp_path / "mend.toml")]) == 2
    assert not (tmp_path / "mend.toml").exists()


def test_a_file_of_the_new_name_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "mend.toml"
    out.write_text("mine")
    assert main(["repair", str(alder_row(tmp_path)), "-o", str(out)]) == 2
    assert out.read_text() == "mine"
    assert "is there already and was left alone" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["repair", "new"])
@pytest.mark.parametrize(
    ("out", "says"),
    [("mend", "Call it mend.toml."), ("mend.csv", "Call it mend.toml."), (".", "that is a folder."), ("..", "that is a folder.")],
)
def test_a_name_that_no_folder_lists_is_refused_as_for_any_new_job(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, word: str, out: str, says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    old = alder_row(tmp_path)
    there = sorted(tmp_path.iterdir())
    assert main(["repair", str(old), "-o", out] if word == "repair" else ["new", out]) == 2
    assert says in capsys.readouterr().err
    assert sorted(tmp_path.iterdir()) == there
