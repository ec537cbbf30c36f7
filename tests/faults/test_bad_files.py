"""Every kind of bad file is refused in words and left byte for byte as it was; no input raises anything but a JobError."""

import os
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.folder.listing import listed
from engine.job.errors import BadContent, JobError, UnreadableFile
from engine.job.file.from_bytes import read_job
from engine.job.file.record_texts import record_texts
from engine.job.file.store import load
from engine.job.model.job import Job
from engine.job.toml.toml_text import whole_text
from tests.job.small import HAND_WRITTEN
from tui.screens.job_table import line_of

JOB = Path("yard.toml")
WHOLE = HAND_WRITTEN.encode()

BAD = {
    "not TOML": b"Dear crew,\nplease bring rings.\n",
    "a spreadsheet": b"post,station\nP1,0\n",
    "not UTF-8": WHOLE.replace(b"Back yard", b"Back\xffyard"),
    "UTF-16": HAND_WRITTEN.encode("utf-16"),
    "empty": b"",
    "blank": b"\n \n",
    "zero bytes": b"\0" * 4096,
    "a zero byte": WHOLE.replace(b"Back yard", b"Back\0yard"),
    "escape": WHOLE.replace(b"Back yard", b"\x1b[2J"),
    "spelled escape": WHOLE.replace(b"Back yard", b"\\u001b[2J"),
    "escape in a key": WHOLE.replace(b"title", b'"\\u001b[2J"'),
    "old line ends": WHOLE.replace(b"\n", b"\r"),
    "deep brackets": b"a = " + b"[" * 100_000,
    "deep tables": b"a = " + b"{a = " * 50_000,
    "long key": b"a." * 50_000 + b"a = 1\n",
    "long quoted key": b'"a" . ' * 50_000 + b"a = 1\n",
    "long heading": b"[" + b"a." * 50_000 + b"a]\n",
    "open text": b'a = "' + b'\\"' * 500_000,
    "endless number": b"a = " + b"9" * 100_000 + b"\n",
    "endless hex": b"a = 0x" + b"f" * 100_000 + b"\n",
    "wrong everywhere": b"format = 1\n" + b"[posts.P]\n" + b"x = 1\n" * 2 + b"[end]\ncomplete = true\n",
    "a list for a job": b"format = 1\n[[job]]\ntitle = 'a'\n[end]\ncomplete = true\n",
    "a job twice": WHOLE + WHOLE,
    "no end": WHOLE.replace(b"[end]\ncomplete = true\n", b""),
    "more after the end": WHOLE + b"\n[posts.P2]\nline = 'fence'\nstation_ft = 3\nkind = 'end'\n",
    "many unknown keys": b"format = 1\n" + b"".join(b"k%d = 1\n" % n for n in range(20_000)) + b"[end]\ncomplete = true\n",
}


@pytest.mark.parametrize("raw", BAD.values(), ids=BAD.keys())
def test_a_bad_file_is_refused_soon_with_a_place_and_stays_as_it_was(tmp_path, raw):
    path = tmp_path / "yard.toml"
    path.write_bytes(raw)
    before = path.stat()
    start = time.process_time()
    with pytest.raises(BadContent) as caught:
        load(path)
    assert time.process_time() - start < 3
    problem = caught.value.problems[0]
    assert problem.line >= 1
    assert problem.column >= 1
    told = str(caught.value)
    assert told.startswith("yard.toml: ")
    assert len(told) < 4_000
    assert told.replace("\n", "").isprintable()
    assert path.read_bytes() == raw
    assert path.stat().st_mtime_ns == before.st_mtime_ns
    assert os.listdir(tmp_path) == ["yard.toml"]


def test_fifty_megabytes_are_refused_without_being_read(tmp_path):
    path = tmp_path / "yard.toml"
    path.touch()
    os.truncate(path, 50_000_000)
    with pytest.raises(UnreadableFile, match="over 3 MB"):
        load(path)
    assert path.stat().st_size == 50_000_000


def test_a_folder_a_pipe_a_loop_and_nothing_are_refused_in_a_sentence_each(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    told = {name: _refusal(tmp_path / name) for name in ("pipe.toml", "folder.toml", "loop.toml", "none.toml")}
    assert told == {
        "pipe.toml": "pipe.toml: isn't an ordinary file, so it can't be a job. Open another one.",
        "folder.toml": "folder.toml: is a folder, not a job file. Open a file in it.",
        "loop.toml": "loop.toml: can't be read: its link leads in a circle. Put that right, or take another one.",
        "none.toml": f"none.toml: there is no such file in {tmp_path}. Check the name.",
    }


def test_a_device_is_not_read():
    assert "ordinary" in _refusal(Path("/dev/zero"))


def test_a_name_that_no_disk_takes_is_refused():
    assert "can't be read" in _refusal(Path("a\0b.toml"))
    assert "its name is too long" in _refusal(Path("a" * 5_000))


def _refusal(path: Path) -> str:
    with pytest.raises(UnreadableFile) as caught:
        load(path)
    return str(caught.value)


def test_a_hostile_file_name_is_shown_harmless(tmp_path):
    path = tmp_path / "a\x1b[2J.toml"
    path.write_bytes(b"")
    with pytest.raises(BadContent) as caught:
        load(path)
    assert str(caught.value).startswith("a\\u001b[2J.toml: ")
    row, *_ = listed(tmp_path, tmp_path / "state")
    assert line_of(row, [("title", 0, 40)]).startswith("a\\u001b[2J ")


def test_a_job_cut_short_at_any_byte_is_refused_or_is_the_whole_job():
    whole = read_job(JOB, WHOLE).job
    opened = [size for size in range(len(WHOLE)) if _opens(WHOLE[:size], whole)]
    assert opened == [len(WHOLE) - 1]


def test_a_written_job_cut_short_at_any_byte_is_refused_or_is_the_whole_job():
    whole = read_job(JOB, WHOLE).job
    raw = whole_text({"format": 1}, (written.text for written in record_texts(whole, {}).values() if written.text)).encode()
    assert [size for size in range(len(raw)) if _opens(raw[:size], whole)] == [len(raw) - 1]


def _opens(raw: bytes, whole: Job) -> bool:
    try:
        job = read_job(JOB, raw).job
    except JobError:
        return False
    assert job == whole
    return True


def _only_job_errors(raw: bytes) -> None:
    told = _told(raw)
    assert told.replace("\n", "").isprintable()


def _told(raw: bytes) -> str:
    try:
        read_job(JOB, raw)
    except JobError as error:
        return f"{error.brief}\n{error}"
    return ""


@given(st.binary(max_size=300))
@settings(max_examples=60, deadline=None)
def test_any_bytes_give_a_job_or_a_job_error(raw):
    _only_job_errors(raw)


pieces = st.sampled_from(
    [
        "format = 1\n",
        "[posts.P1]\n",
        "[[log]]\n",
        "kind = ",
        '"move"\n',
        "[end]\ncomplete = true\n",
        "0x",
        "1e999\n",
        "nan\n",
        "{",
        "}",
        "[",
        "]",
        "a.b",
        '"',
        "'''",
        '"""',
        "\\",
        "\\ud800",
        ",",
        "=",
        "\n",
        "1979-05-27T07:32:00+23:59\n",
        "9999-12-31\n",
        "\r",
        "\x85",
        "\u202e",
        "true\n",
        "#",
    ]
)


@given(st.lists(st.one_of(pieces, st.text(max_size=4)), max_size=30))
@settings(max_examples=60, deadline=None)
def test_any_text_of_toml_pieces_gives_a_job_or_a_job_error(parts):
    _only_job_errors("".join(parts).encode("utf-8", "surrogatepass"))


values = st.sampled_from(
    [
        "true",
        "-1",
        "1e308",
        "-0.0",
        "inf",
        "nan",
        "99999999999999999999",
        "9223372036854775807",
        '""',
        '"x"',
        '"1/0 ft"',
        "[]",
        "[[1]]",
        "{}",
        "{a = 1}",
        "2026-11-25",
        "07:32:00",
        "9999-12-31T23:59:59-23:59",
        "0001-01-01T00:00:00+23:59",
        "2026-11-25T07:32:00",
        '"\\u202e"',
        "'P1'",
        '"1e400"',
        "[nan]",
    ]
)


@given(data=st.data(), value=values)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_value_in_any_place_gives_a_job_or_a_job_error(data, value):
    lines = HAND_WRITTEN.splitlines()
    places = [number for number, line in enumerate(lines) if " = " in line]
    number = data.draw(st.sampled_from(places))
    lines[number] = f"{lines[number].split(' = ')[0]} = {value}"
    _only_job_errors("\n".join(lines).encode())


@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_any_damage_to_a_job_gives_a_job_or_a_job_error(data):
    start = data.draw(st.integers(0, len(WHOLE)))
    gone = data.draw(st.integers(0, 40))
    _only_job_errors(WHOLE[:start] + data.draw(st.binary(max_size=6)) + WHOLE[start + gone :])
