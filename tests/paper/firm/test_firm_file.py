"""firm.toml: beside the job before this machine's own; what is wrong in it is one sentence with its place, and no page is written then."""

import os
import re
from base64 import b64decode
from pathlib import Path

import pytest

from engine.folder.listing import names_of
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, load, new
from engine.job.file_names import refused_name
from engine.paper.firm.firm_file import FirmRefused, firm_on_page, no_firm_words
from engine.paper.record_files import write_record
from tests.demo import AT, accepted
from tests.paper.photos.pictures import opened, picture, put

FIRM = '''name = "Our firm & <sons>"
phone = "555-0100"
licence = "none needed here"
address = "The yard behind the shop"
call = "Ask for the office, weekdays."
warranty = """
Posts and cables: five years.

Not for what a tree does to them."""
'''


@pytest.fixture
def loaded(tmp_path: Path) -> Loaded:
    return new(tmp_path / "yard.toml", accepted(), AT, state=tmp_path / "state")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """This machine's own folder."""
    (tmp_path / "state").mkdir(exist_ok=True)
    return tmp_path / "state"


def written(loaded: Loaded, own: Path, reader: str) -> str:
    (path,) = write_record(loaded, loaded.path.with_name(f"{reader}.html"), reader="client" if reader == "client" else "office", state=own)
    return path.read_text(encoding="utf-8")


def firm_file(folder: Path, text: str = FIRM) -> Path:
    path = folder / "firm.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("reader", ["office", "client"])
def test_both_pages_have_the_firm_s_head_and_lines_to_sign_on(reader: str, loaded: Loaded, own: Path) -> None:
    firm_file(loaded.path.parent)
    text = written(loaded, own, reader)
    assert "<strong>Our firm &amp; &lt;sons&gt;</strong>" in text
    assert "The yard behind the shop · Licence none needed here · Phone 555-0100" in text
    assert text.count('class="signs"') == 1
    assert "For the firm" in text
    assert written_again(loaded, own, reader) == text


def written_again(loaded: Loaded, own: Path, reader: str) -> str:
    loaded.path.with_name(f"{reader}.html").unlink()
    return written(loaded, own, reader)


def test_the_client_s_copy_says_whom_to_call_and_the_warranty(loaded: Loaded, own: Path) -> None:
    firm_file(own)
    text = written(loaded, own, "client")
    assert "<strong>Our firm &amp; &lt;sons&gt;, 555-0100.</strong> Ask for the office, weekdays." in text
    assert "<h2>Warranty</h2><p>Posts and cables: five years.</p><p>Not for what a tree does to them.</p>" in text


def test_what_a_firm_does_not_say_is_not_printed(loaded: Loaded, own: Path) -> None:
    firm_file(own, 'name = "Our firm"\nphone = "555-0100"\n')
    text = written(loaded, own, "client")
    assert "Warranty" not in text
    assert "Licence" not in text
    assert 'class="line"' not in text


def test_the_file_beside_the_job_wins(loaded: Loaded, own: Path) -> None:
    firm_file(own, 'name = "This machine"\nphone = "555-0100"\n')
    told = firm_on_page(loaded, state=own)
    assert told is not None
    assert told.firm.name == "This machine"
    firm_file(loaded.path.parent)
    beside = firm_on_page(loaded, state=own)
    assert beside is not None
    assert beside.firm.name == "Our firm & <sons>"
    assert no_firm_words(loaded, state=own) == ""


@pytest.mark.parametrize("reader", ["office", "client"])
def test_without_a_file_the_place_is_left_to_write_in(reader: str, loaded: Loaded, own: Path) -> None:
    text = written(loaded, own, reader)
    for place in ("Firm", "Phone", "Licence"):
        assert f'<span class="place">{place} <span class="write">\u00a0</span></span>' in text
    words = no_firm_words(loaded, state=own)
    assert words.startswith(f"No firm.toml beside yard.toml or in {own}: the firm's place is left to write by hand.")
    assert 'name = "..." and phone = "..."' in words


def test_the_job_file_holds_nothing_of_it(loaded: Loaded, own: Path) -> None:
    firm_file(loaded.path.parent)
    raw = loaded.path.read_bytes()
    written(loaded, own, "client")
    assert loaded.path.read_bytes() == raw
    assert load(loaded.path).job == loaded.job


NAMED = 'name = "Our firm"\nphone = "555-0100"\n'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", 'line 1: the file is empty. Write name = "..." and phone = "..." in it, or take it away.'),
        ('name = "Our firm"\n', "line 1, column 1, phone: phone is missing. Write it in this table."),
        ('phone = 5550100\nname = "x"\n', "line 1, column 1, phone: 5550100 is given where text is wanted. Put it in quotes."),
        ('name = " "\nphone = "1"\n', "line 1, column 1, name: the text is empty. Write it between the quotes."),
        (NAMED + 'license = "7"\n', 'line 3, column 1, license: there is no license here. Did you mean "licence"?'),
        (NAMED + 'warranty = ""\n', "line 3, column 1, warranty: the text is empty. Write something, or take the line out."),
        (NAMED + f'call = "{"x" * 201}"\n', "line 3, column 1, call: the text is longer than 200 characters. Shorten it."),
        (NAMED + "warranty\n", "line 3, column 9: there is a key here without an = after it."),
        (
            NAMED + 'logo = "../logo.png"\n',
            'line 3, column 1, logo: "../logo.png" isn\'t a file beside this one. Write its name, such as logo.png,',
        ),
        (
            NAMED + 'logo = "logo.png"\n',
            "line 3, column 1, logo: logo.png isn't beside firm.toml. Put a small JPEG, PNG or WEBP picture there, or take the line out.",
        ),
        ("[firm]\n" + NAMED, "line 1, column 1, [firm]: there is no firm here. This table may hold: address, call, "),
    ],
)
@pytest.mark.parametrize("there", ["beside", "own"])
def test_what_is_wrong_is_one_sentence_with_its_place_and_nothing_is_written(
    text: str, says: str, there: str, loaded: Loaded, own: Path
) -> None:
    firm_file(loaded.path.parent if there == "beside" else own, text)
    with pytest.raises(FirmRefused) as refused:
        written(loaded, own, "client")
    where = "" if there == "beside" else f"in {own}, "
    assert str(refused.value).startswith(f"firm.toml: {where}{says}")
    assert len(str(refused.value).splitlines()) == 1
    assert list(loaded.path.parent.glob("*.html")) == []


def test_several_slips_are_counted(loaded: Loaded, own: Path) -> None:
    firm_file(own, "name = 1\nphone = 2\nlicence = 3\n")
    with pytest.raises(FirmRefused, match=r"line 1, column 1, name: .* \(and 2 more\)$"):
        firm_on_page(loaded, state=own)


@pytest.mark.parametrize("wide", [120, 3_000])
def test_the_logo_stands_in_both_pages_small_and_without_where_it_was_taken(wide: int, loaded: Loaded, own: Path) -> None:
    firm_file(loaded.path.parent, NAMED + 'logo = "logo.jpg"\n')
    put(loaded.path.parent, "logo.jpg", picture(wide, wide // 3))
    for reader in ("office", "client"):
        text = written(loaded, own, reader)
        (data,) = re.findall(r'<img src="data:image/jpeg;base64,([^"]+)" alt="Logo of Our firm"/>', text)
        assert "img-src data:" in text
        small = b64decode(data)
        assert len(small) < 41_000
        assert opened(small).size == ((120, 40) if wide == 120 else (480, 160))
        assert b"a phone" not in small


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"<svg/>", "logo.png is no JPEG, PNG or WEBP picture."),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 20, "logo.png is"),
        (picture(form="PNG")[:200], "logo.png is damaged or cut off."),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 5_000_000, "logo.png is over 5 MB large."),
    ],
    ids=["no picture", "no more than a start", "cut off", "too large"],
)
def test_a_logo_that_cannot_be_shown_is_refused_at_its_line(data: bytes, says: str, loaded: Loaded, own: Path) -> None:
    firm_file(loaded.path.parent, NAMED + 'logo = "logo.png"\n')
    put(loaded.path.parent, "logo.png", data)
    with pytest.raises(FirmRefused) as refused:
        firm_on_page(loaded, state=own)
    assert str(refused.value).startswith(f"firm.toml: line 3, column 1, logo: {says}")
    assert str(refused.value).endswith("or take the line out.")


@pytest.mark.parametrize("there", ["beside", "own"])
def test_a_folder_of_that_name_a_pipe_and_a_large_file_are_refused_where_they_are(there: str, loaded: Loaded, own: Path) -> None:
    path = (loaded.path.parent if there == "beside" else own) / "firm.toml"
    says = "firm.toml: " if there == "beside" else f"firm.toml: in {own}, "
    path.mkdir()
    do = 'Put a text file with name = "..." and phone = "..." in its place, or take it away.'
    with pytest.raises(FirmRefused, match=re.escape(f"{says}there is a folder of that name, not the firm's own words. {do}")):
        firm_on_page(loaded, state=own)
    path.rmdir()
    os.mkfifo(path)
    with pytest.raises(FirmRefused, match=re.escape(f"{says}there is a pipe or device of that name, not the firm's own words. {do}")):
        firm_on_page(loaded, state=own)
    path.unlink()
    path.write_bytes(b"#" * 100_001)
    with pytest.raises(FirmRefused, match=re.escape(f"{says}is over 100 KB, far more than a firm says of itself. {do}")):
        firm_on_page(loaded, state=own)


def test_it_is_no_job_and_no_job_may_be_called_so(loaded: Loaded) -> None:
    firm_file(loaded.path.parent)
    assert names_of(loaded.path.parent, disk=Disk()) == ["yard.toml"]
    assert refused_name("firm.toml").startswith("firm.toml is kept for what a firm says of itself")
