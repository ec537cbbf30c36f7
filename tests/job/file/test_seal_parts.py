"""A sealed file that was changed names by itself what was changed, whichever machine reads it: every changed part and no other."""

import random
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.units import FEET_INCHES, in_units
from engine.job.edit import edits
from engine.job.errors import JobError
from engine.job.file.file_text import unshowable
from engine.job.file.from_bytes import Document, read_job
from engine.job.file.seal_parts import list_mark, parts_changed
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.words.field_words import field_words
from engine.job.model.words.key_words import item_words
from engine.job.model.words.log_sentences import called
from engine.job.model.words.part_words import (
    LIST_CHANGED,
    MOST_NAMED,
    ONLY_THE_NUMBER,
    ORDER,
    ChangedPart,
    How,
    PartsChanged,
    changed_words,
)
from engine.paper.seal_check import touched
from engine.walk import walk
from tests.demo import AT, BY
from tests.repair.finished import finished, signed, signed_file

FIELDS = ("job", "fence", "utility_notice", "record", "rules")
"""Tables without rows: each of their fields is a part."""
BY_ROW = ("supports", "bays_ft", "loops", "braces", "gates", "sleeves_left")
SAMPLE = sorted(Path(__file__).with_name("formats").glob("format_1_*.toml"))[-1]
"""Every table and kind of entry."""
DAY = timedelta(days=1)
LINE = re.compile(r'^("[^"]+"|[\w-]+) = (?:(-?[\d.]+)|"([^"]*)"|(true|false))$')
KEYS = re.compile(r'"([^"]+)"|([\w-]+)')


class Signed:
    """A job signed on this machine, with what it says, and the state folders of this machine and of another."""

    def __init__(self, folder: Path) -> None:
        job = edits.note(finished("willow_bend"), "Gate code at the office.", AT, BY)
        self.loaded: Loaded = signed_file(folder / "yard.toml", edits.note(job, "Clay.", AT, BY))
        self.text = self.loaded.path.read_text(encoding="utf-8")
        self.walk = walk(self.loaded.job)
        self.own, self.other = folder / "state", folder / "other"


@pytest.fixture(scope="module")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Signed:
    return Signed(tmp_path_factory.mktemp("sealed"))


class Block(NamedTuple):
    """A heading of the file and the lines below it."""

    head: str
    lines: tuple[str, ...]

    @property
    def keys(self) -> list[str]:
        """Where it stands: `record`, `supports`, `P4`."""
        return [quoted or bare for quoted, bare in KEYS.findall(self.head)]

    @property
    def holds(self) -> list[str]:
        return list(tomllib.loads("\n".join(self.lines)))

    def parts(self, fields: list[str]) -> list[tuple[str, str]]:
        """The parts that some of its fields belong to."""
        table, *rest = self.keys
        if table == "log":
            return [("log", tomllib.loads("\n".join(self.lines))["id"])]
        if (table in FIELDS and not rest) or table == "rules" or (rest == ["bays_ft"]):
            return [(".".join(self.keys), field) for field in fields]
        return [(f"record.{rest[0]}", rest[1]) if table == "record" and rest[0] in BY_ROW else (table, rest[0])]


def blocks(text: str) -> list[Block]:
    found: list[list[str]] = [[]]
    for line in text.splitlines():
        if line.startswith("[") and not line.startswith("[log."):
            found.append([])
        found[-1].append(line)
    return [Block(lines[0], tuple(lines[1:])) for lines in found]


def other_value(line: str) -> str:
    """A line with another value; empty where it isn't one of a plain value, or part of the seal."""
    match = LINE.match(line)
    if match is None or match[1] in ("id", "digest", "parts_digest"):
        return ""
    key, number, text, yes = match.groups()
    if number is not None:
        return f"{key} = {float(number) + 1}"
    return f'{key} = "{text}9"' if text is not None else f"{key} = {'false' if yes == 'true' else 'true'}"


def how_of(table: str, field: str) -> How:
    return "read" if table == "checks" and field.startswith("reading") else "changed"


def edited(text: str, rng: random.Random) -> tuple[str, set[ChangedPart]]:
    """The text with one to four of its blocks changed, and the parts that this changes."""
    told, expected = blocks(text), set[ChangedPart]()
    free = [n for n, block in enumerate(told) if n and block.keys[0] != "end" and block.keys[:2] != ["record", "parts"]]
    for number in rng.sample(free, rng.randrange(1, 5)):
        block, deed = told[number], rng.choice(["value", "value", "field out", "out", "in"])
        table, *rest = block.keys
        rows = len(rest) == 1 and table not in (*FIELDS, "checks")
        single = [at for at, line in enumerate(block.lines) if other_value(line)]
        if deed == "out" and table != "record":
            told[number] = Block("", ())
            expected |= {ChangedPart(*part, "taken out") for part in block.parts(block.holds)}
        elif deed == "in" and rows:
            told[number] = Block(block.head, (*block.lines, f"[{table}.zz-{number}]", *block.lines))
            expected.add(ChangedPart(table, f"zz-{number}", "put in"))
        elif single:
            at = rng.choice(single)
            field, out = block.lines[at].partition(" = ")[0].strip('"'), deed == "field out"
            told[number] = Block(block.head, (*block.lines[:at], *([] if out else [other_value(block.lines[at])]), *block.lines[at + 1 :]))
            of_fields = len(block.parts(["a", "b"])) == 2
            expected |= {ChangedPart(*part, "taken out" if out and of_fields else how_of(table, field)) for part in block.parts([field])}
    return "\n".join(line for block in told for line in (block.head, *block.lines)) + "\n", expected


def words_of(part: ChangedPart, document: Document) -> tuple[str, ...]:
    """What a sentence may call a part."""
    if part.table == "checks":
        return (item_words(item_key(part.name)),)
    if part.table.partition(".")[0] in FIELDS:
        return (field_words(part.table, part.name).lower(), part.name)
    entry = next((entry for entry in document.job.log if entry.id == part.name), None)
    return (part.name, called(entry)) if entry and part.table == "log" else (part.name,)


def read(text: str) -> Document | None:
    try:
        return read_job(Path("yard.toml"), text.encode())
    except JobError:
        return None


def told_by(sealed: Signed, text: str, state: Path) -> tuple[str, ...]:
    """What a machine says of the sealed file where its text is another one."""
    sealed.loaded.path.write_text(text, encoding="utf-8", newline="")
    try:
        with in_units(FEET_INCHES):
            return touched(load(sealed.loaded.path), sealed.walk, state=state)
    finally:
        sealed.loaded.path.write_text(sealed.text, encoding="utf-8", newline="")


@given(seed=st.integers(0, 100_000))
@settings(max_examples=25, deadline=None)
def test_every_changed_part_is_named_and_no_other_on_whichever_machine(seed: int, sealed: Signed) -> None:
    text, expected = edited(sealed.text, random.Random(seed))
    found = parts_changed(tomllib.loads(text), 5)
    assert found is not None
    assert found.sound
    assert set(found.parts) == expected
    document = read(text)
    if document is None or document.job.record is None:
        return
    assert document.changed == (found if expected else None)
    kinds = Counter((part.table, part.how) for part in expected)
    few = {part: words_of(part, document) for part in expected if kinds[part.table, part.how] <= MOST_NAMED}
    for state in (sealed.own, sealed.other):
        told = " ".join(told_by(sealed, text, state)).lower()
        assert [part for part, words in few.items() if not any(one.lower() in told for one in words)] == []


def leaves(value: object, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every single value and list of a file's tables, by the way to it; an entry of the log by its number."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for number, row in enumerate(value):
            yield from leaves(row, (*path, str(number)))
    elif len(path) > 1 and path[0] != "end" and path[:2] not in (("record", "parts"), ("record", "digest"), ("record", "parts_digest")):
        yield path


def with_other(value: Any, path: tuple[str, ...]) -> Any:
    """The same tables with another value at a place."""
    if path:
        first, *rest = path
        inner = list(value) if isinstance(value, list) else dict(value)
        at: Any = int(first) if isinstance(value, list) else first
        inner[at] = with_other(inner[at], tuple(rest))
        return inner
    if isinstance(value, bool):
        return not value
    return [*value, "9"] if isinstance(value, list) else f"{value}9" if isinstance(value, str) else value + (1 if is_number(value) else DAY)


def is_number(value: object) -> bool:
    return isinstance(value, int | float)


def part_at(tables: dict[str, Any], path: tuple[str, ...]) -> ChangedPart:
    table, row, *inner = path
    if table == "log":
        return ChangedPart("log", tables["log"][int(row)]["id"], "changed")
    if table == "rules" or (table in ("record", "repair_of") and row in (*BY_ROW, "sleeves")):
        return ChangedPart(f"{table}.{row}", inner[0], "changed")
    return ChangedPart(table, row, how_of(table, path[-1]))


def test_a_change_of_any_value_of_any_table_is_the_change_of_its_part() -> None:
    tables = tomllib.loads(SAMPLE.read_text(encoding="utf-8"))
    places = [path for path in leaves(tables) if not (path[0] == "log" and path[-1] == "id")]
    assert len(places) > 500
    assert parts_changed(tables, 5) == PartsChanged((), sound=True)
    for path in places:
        assert parts_changed(with_other(tables, path), 5) == PartsChanged((part_at(tables, path),), sound=True)


def shuffled(text: str, rng: random.Random) -> str:
    """The same tables in another order, the log's among themselves as they were."""
    first, *told = blocks(text)
    log = iter([block for block in told[:-1] if block.keys[0] == "log"])
    mixed = rng.sample(told[:-1], len(told) - 1)
    in_turn = [next(log) if block.keys[0] == "log" else block for block in mixed]
    return "\n".join(line for block in (first, *in_turn, told[-1]) for line in (block.head, *block.lines)) + "\n"


@given(seed=st.integers(0, 100_000))
@settings(max_examples=8, deadline=None)
def test_what_says_the_same_is_no_change(seed: int, sealed: Signed) -> None:
    rng = random.Random(seed)
    text = shuffled(sealed.text, rng)
    lines = [f"{line}  # {n}" if LINE.match(line) and rng.random() < 0.1 else line for n, line in enumerate(text.splitlines())]
    text = rng.choice(["\n", "\r\n"]).join([*(re.sub(r"(= -?\d+)\.0$", r"\1", line) for line in lines[:-2]), *lines[-2:], ""])
    assert text != sealed.text
    document = read(text)
    assert document is not None
    assert (document.seal_holds, document.changed) == (True, None)
    assert told_by(sealed, text, sealed.other) == ()


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


def test_a_file_of_a_newer_program_tells_by_its_own_list_too(sealed: Signed) -> None:
    newer = sealed.text.replace("format_minor = 5", "format_minor = 99")
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
