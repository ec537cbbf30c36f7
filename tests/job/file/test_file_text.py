"""Bytes to tables: limits, the words of a syntax error, the end mark."""

from pathlib import Path

import pytest

from engine.job.errors import BadContent
from engine.job.file.file_text import check_end, decode, parse, unshowable
from engine.job.toml.toml_tokens import has_comments, over_limit

JOB = Path("yard.toml")


def read(raw: bytes) -> dict:
    text = decode(JOB, raw)
    return check_end(JOB, text, parse(JOB, text))


def refusal(raw: bytes) -> BadContent:
    with pytest.raises(BadContent) as caught:
        read(raw)
    return caught.value


END = b"[end]\ncomplete = true\n"


def test_a_whole_file_gives_its_tables():
    assert read(b"format = 1\n[job]\ntitle = 'Back yard'\n" + END) == {"format": 1, "job": {"title": "Back yard"}}


def test_a_byte_order_mark_and_windows_line_ends_are_fine():
    assert read(b"\xef\xbb\xbfformat = 1\r\n[job]\r\n[end]\r\ncomplete = true\r\n") == {"format": 1, "job": {}}


def test_comments_and_blanks_may_stand_around_the_end_mark():
    assert read(b"format = 1\n[ end ] # the end\n\ncomplete=true # all of it\n# thanks\n\n") == {"format": 1}


@pytest.mark.parametrize(
    ("raw", "line", "column", "words"),
    [
        (b"", 1, 1, "the file is empty"),
        (b" \n\t\n", 1, 1, "the file is empty"),
        (b"a = 1\nb = '\xff'\n", 2, 6, "isn't UTF-8"),
        (b"a = 1\nb = '\0'\n", 2, 6, "a zero byte"),
        (b"a = 1\nb = '\x1b[2J'\n", 2, 6, "a character here that doesn't belong in a text file"),
        (b'a = 1\n[job]\ntitle = "\\u001b[2J"\n' + END, 3, 1, "a control character (number 27)"),
        (b'a = 1\n[job."\\u0007"]\n' + END, 2, 1, "a control character (number 7)"),
        (b'a = 1\nb = [1, "\\u0085"]\n' + END, 2, 9, "a control character (number 133)"),
        (b"a = 1\nhello there\n" + END, 2, 7, "a key here without an ="),
        (b"a = 1\nb = hello\n" + END, 2, 5, "Text needs quotes"),
        (b"a = 1\na = 2\n" + END, 2, 6, "given twice"),
        (b"[job]\n[job]\n" + END, 2, 5, "this table is given twice"),
        (b"a = [1, 2\n", 2, 1, "the file stops here"),
        (b"a = 'x\n" + END, 1, 5, "isn't closed"),
        (b'a = "x\n' + END, 1, 5, "isn't closed"),
        (b"a = ]\nb = 'x\n" + END, 1, 5, "Text needs quotes"),
        (b"a = 2026-02-30\n" + END, 1, 5, "no such date"),
        (b"a = " + b"9" * 5000 + b"\n", 2, 1, "thousands of digits"),
        (b"a = 0x" + b"f" * 5000 + b"\n" + END, 1, 1, "far too large"),
        (b'a = 1\n[job]\n"two\\nlines" = 1\n' + END, 3, 1, "a control character"),
        (b"a = 1\n[job]\n", 3, 1, "cut short"),
        (b"a = 1\n[job]\n[end]\n", 4, 1, "cut short"),
        (b"a = 1\n[end]\ncomplete = false\n", 4, 1, "cut short"),
        (END + b"[job]\n", 4, 1, "cut short"),
        (b"[posts.P1]\n" + END + b"[posts.P2]\na = 1\n", 6, 1, "cut short"),
    ],
)
def test_a_bad_text_is_refused_with_its_place(raw, line, column, words):
    problem = refusal(raw).problems[0]
    assert (problem.line, problem.column) == (line, column)
    assert words in problem.message


def test_over_two_megabytes_is_refused_before_it_is_parsed():
    assert "over 3 MB" in refusal(b"#" * 3_000_001).problems[0].message


def test_brackets_32_deep_pass_and_33_deep_do_not():
    assert over_limit("a = " + "[" * 32 + "]" * 32) is None
    assert over_limit("a = " + "[" * 33 + "]" * 33) == (36, "brackets are more than 32 deep here. Take them out.")


def test_eight_parts_of_a_key_pass_and_nine_do_not():
    assert over_limit("a.b.c.d.e.f.g.h = 1") is None
    assert over_limit("a.b.c.d.e.f.g.h.i = 1")[0] == 15
    assert over_limit("a . 'b' . c.d.e.f.g.h.i = 1") is not None
    assert over_limit("'=' . ',' . c.'='.e.f.'='.h.i = 1") is not None
    assert over_limit("a = 1.5 # 1. 2. 3. 4. 5. 6. 7. 8. 9.") is None
    assert over_limit("a = [1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5]") is None


def test_brackets_and_dots_inside_strings_and_comments_do_not_count():
    quiet = "[" * 40 + "." * 40
    assert over_limit(f'a = \'{quiet}\'\nb = "{quiet}"\nc = \'\'\'\n{quiet}\'\'\'\nd = """\\"\n{quiet}"""\n# {quiet}\n') is None


def test_what_is_given_twice_is_named():
    twice = refusal(b"[job]\ntitle = 'a' # one\ntitle = 'b' # two\n" + END), refusal(b"[job]\n[fence]\n[job] # again\n" + END)
    assert [(found.problems[0].table, found.problems[0].field) for found in twice] == [("", "title"), ("job", "")]


def test_a_key_of_fifty_thousand_parts_is_refused_at_once():
    assert "8 parts" in refusal(b"a." * 50_000 + b"a = 1\n").problems[0].message


def test_two_megabytes_of_escaped_quotes_take_one_pass():
    assert refusal(b'a = "' + b'\\"' * 900_000).problems[0].line == 1


def test_a_comment_is_seen_and_a_number_sign_in_a_text_is_none():
    assert has_comments("a = 1 # taped twice")
    assert not has_comments("a = 'lot #4'\nb = \"#\"\n")


def test_tab_and_newline_can_be_shown_and_escape_cannot():
    assert unshowable("two\tcolumns\nand lines") is None
    assert unshowable("red \x1b[31m") == "\x1b"
