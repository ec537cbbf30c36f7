"""`linewalk record --for client`: a page beside the office's, how to name the firm said once, and what it won't do."""

from pathlib import Path

import pytest

from tests.stages.yards import plain
from tests.tui.test_cli import job_file
from tui.cli import main


def test_the_client_s_copy_is_written_and_how_to_name_the_firm_is_said_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    raw = file.read_bytes()
    assert main(["record", str(file), "--for", "client", "-o", str(tmp_path / "client.html")]) == 0
    said, hint = capsys.readouterr()
    assert said == f"{tmp_path / 'client.html'}\n"
    assert len(hint.splitlines()) == 1
    assert hint.startswith("No firm.toml beside yard.toml or in ")
    first = (tmp_path / "client.html").read_bytes()
    assert b"Not signed yet." in first
    assert main(["record", str(file), "--for", "client", "-o", str(tmp_path / "client.html")]) == 2
    assert main(["record", str(file), "--for", "client", "-o", str(tmp_path / "client.html"), "--replace"]) == 0
    assert (tmp_path / "client.html").read_bytes() == first
    assert file.read_bytes() == raw


def test_a_firm_is_named_and_nothing_more_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    (tmp_path / "firm.toml").write_text('name = "Our firm"\nphone = "555-0100"\n', encoding="utf-8")
    for reader in ("office", "client"):
        assert main(["record", str(file), "--for", reader, "-o", str(tmp_path / f"{reader}.html")]) == 0
        assert capsys.readouterr().err == ""
        assert "Our firm" in (tmp_path / f"{reader}.html").read_text(encoding="utf-8")


def test_tables_need_no_firm_and_say_nothing_of_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    (tmp_path / "firm.toml").write_text('name = 1\nphone = "555-0100"\n', encoding="utf-8")
    assert main(["record", str(file), "-o", str(tmp_path / "r.csv")]) == 0
    assert capsys.readouterr().err == ""
    assert main(["record", str(file), "-o", str(tmp_path / "r.html")]) == 2
    assert capsys.readouterr().err.startswith("firm.toml: line 1, column 1, name: 1 is given where text is wanted.")
    assert not (tmp_path / "r.html").exists()


@pytest.mark.parametrize("out", ["client.csv", "client.txt", "tables/"])
def test_the_copy_is_a_page_and_nothing_else(out: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    assert main(["record", str(file), "--for", "client", "-o", f"{tmp_path}/{out}"]) == 2
    name = out.rstrip("/")
    assert capsys.readouterr().err == f"{name}: the client's copy is a page to print: give it a name that ends in .html.\n"
    assert [path.name for path in tmp_path.iterdir()] == ["yard.toml"]


def test_without_a_file_to_write_it_says_what_is_missing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["record", str(job_file(tmp_path, plain())), "--for", "client"])
    assert ended.value.code == 2
    assert "say where to, such as -o client.html" in capsys.readouterr().err
