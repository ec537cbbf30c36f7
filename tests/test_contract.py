"""What every file keeps to: figures that name their source and range, small bodies, and no check that cannot fail."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.source import ROOT, Function, all_files, files, functions, tree, where

LONGEST_BODY = 80
LONGEST_FILE = 350
MOST_PINNED = 0.15
TOLERANCES = "engine/calc/tolerances.py"
TOLERANCE = re.compile("SAME|SPOT|TOUCH|EDGE|EXACT|TAPE|SLACK|ROUNDING|APART|ALIKE|JOINED|SNAP|MEETS|ON_IT|AT_YARD|ONE_|NO_GAP|STRAIGHT")
SMALL = {"FT": 0.1, "IN": 0.25, "DEG": 1.0, "COUNT": 0.1}
SET_OUT = {"engine/stages/survey/floors.py RISER_FT", "engine/stages/layout/propose.py A_HAIR_FT", "tui/canvas/viewport.py FINEST_FT"}
"""Small lengths that are drawn or set, and compare nothing."""
MARKS = ("transcribed", "published", "closed_form", "independent", "pinned")


def _decorators(node: Function | ast.ClassDef) -> list[str]:
    return [ast.unparse(decorator) for decorator in node.decorator_list]


def _is_accessor(node: Function) -> bool:
    """Properties and the hooks pydantic calls are part of their class, not functions of their own."""
    return any(re.search(r"property|\.setter|_validator|_serializer", name) for name in _decorators(node))


def _public(path: Path) -> Iterator[ast.Module | ast.ClassDef | Function]:
    """The module, its public functions, its public classes and their public methods."""
    yield tree(path)
    for node in tree(path).body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node
            yield from (
                inner for inner in node.body if isinstance(inner, Function) and not inner.name.startswith("_") and not _is_accessor(inner)
            )
        elif isinstance(node, Function) and not node.name.startswith("_"):
            yield node


def _lines_starting(node: Function, start: str) -> bool:
    return any(line.strip().startswith(start) for line in (ast.get_docstring(node) or "").splitlines())


@pytest.mark.parametrize("folder", ["engine", "tui", "tests"])
def test_every_module_and_public_class_says_what_it_is(folder: str) -> None:
    bare = [
        where(path, node)
        for path in files(folder)
        if path.stat().st_size
        for node in _public(path)
        if isinstance(node, ast.Module | ast.ClassDef) and not ast.get_docstring(node)
    ]
    assert not bare, "\n".join(bare)


@pytest.mark.parametrize("start", ["Source:", "Valid for:"])
def test_every_public_function_of_the_arithmetic_names_its_source_and_range(start: str) -> None:
    bare = [
        f"{where(path, node)} {node.name}"
        for path in files("engine/calc")
        for node in _public(path)
        if isinstance(node, Function) and not _lines_starting(node, start)
    ]
    assert not bare, "\n".join(bare)


def test_a_source_outside_the_arithmetic_is_a_citation() -> None:
    """Elsewhere one plain sentence does; a source stands there only where a rule is cited, not where it is worked out here."""
    ritual = [
        f"{where(path, node)} {node.name}"
        for path in files("engine")
        if "calc" not in path.parts
        for node in functions(path)
        if _lines_starting(node, "Source: derived") or _lines_starting(node, "Source: see ")
    ]
    assert not ritual, "\n".join(ritual)


def test_every_public_function_of_the_engine_says_what_it_does() -> None:
    bare = [
        f"{where(path, node)} {node.name}"
        for path in files("engine")
        for node in _public(path)
        if isinstance(node, Function) and not ast.get_docstring(node)
    ]
    assert not bare, "\n".join(bare)


def test_bodies_are_short() -> None:
    long = [
        f"{where(path, node)} {node.name}: {_body_lines(node)}"
        for path in all_files()
        for node in functions(path)
        if _body_lines(node) > LONGEST_BODY
    ]
    assert not long, "\n".join(long)


def _body_lines(node: Function) -> int:
    body = node.body[1:] if ast.get_docstring(node) else node.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_files_are_short() -> None:
    lengths = {where(path): len(path.read_text(encoding="utf-8").splitlines()) for path in all_files()}
    long = [f"{name}: {lines}" for name, lines in lengths.items() if lines > LONGEST_FILE]
    assert not long, "\n".join(long)


def test_no_check_that_cannot_fail_and_no_error_swallowed() -> None:
    wrong = [f"{where(path, node)} {words}" for path in all_files() for node in ast.walk(tree(path)) if (words := _lazy(node))]
    assert not wrong, "\n".join(wrong)


def _lazy(node: ast.AST) -> str:
    if isinstance(node, ast.Assert) and isinstance(node.test, ast.Constant) and node.test.value:
        return "asserts something that is always so"
    if isinstance(node, ast.ExceptHandler):
        if node.type is None:
            return "catches everything"
        if all(isinstance(inner, ast.Pass) or _is_dots(inner) for inner in node.body):
            return "swallows an error"
    if isinstance(node, ast.Attribute) and node.attr in ("skip", "skipif", "xfail", "importorskip"):
        return f"marks a test as {node.attr}" if ast.unparse(node.value) in ("pytest", "pytest.mark") else ""
    return ""


def _is_dots(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and node.value.value is ...


def _tolerances(path: Path) -> Iterator[str]:
    """Constants of a module, with a unit, that tell two things apart: by their name, or because they are so small."""
    for node in tree(path).body:
        if isinstance(node, ast.Assign) and (found := re.fullmatch(r"_?[A-Z0-9_]+_(FT|IN|DEG|COUNT)", ast.unparse(node.targets[0]))):
            small = isinstance(node.value, ast.Constant) and 0 < float(str(node.value.value)) <= SMALL[found[1]]
            if small or TOLERANCE.search(found[0]):
                yield f"{where(path)} {found[0]}"


def test_what_counts_as_the_same_stands_in_one_table() -> None:
    found = {name for folder in ("engine", "tui") for path in files(folder) for name in _tolerances(path)}
    assert {name for name in found if not name.startswith(TOLERANCES)} - SET_OUT == set()
    assert len([name for name in found if name.startswith(TOLERANCES)]) > 10


def test_no_rounding_stands_bare_outside_the_arithmetic() -> None:
    bare = [
        where(path, node)
        for path in [*files("engine"), *files("tui")]
        if "engine/calc/" not in where(path)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, float) and 0 < node.value <= 1e-5
    ]
    assert bare == []


def test_every_tolerance_is_asked_somewhere() -> None:
    text = "".join(path.read_text(encoding="utf-8") for folder in ("engine", "tui") for path in files(folder) if where(path) != TOLERANCES)
    names = [name.split()[1] for name in _tolerances(ROOT / TOLERANCES)]
    assert [name for name in names if not re.search(rf"\b{name}\b", text)] == []


def test_few_of_the_checked_numbers_come_from_the_program_itself() -> None:
    marked = [marks for path in files("tests") for marks in _marked_tests(path) if marks != {"transcribed"}]
    pinned = sum("pinned" in marks for marks in marked)
    assert len(marked) > 100
    assert pinned / len(marked) < MOST_PINNED


def _marked_tests(path: Path) -> Iterator[set[str]]:
    """The marks of each test that has any: its own, its class's and its file's."""
    of_file = {
        name
        for node in tree(path).body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "pytestmark"
        for name in _marks(node.value)
    }
    for node in tree(path).body:
        tests = node.body if isinstance(node, ast.ClassDef) else [node]
        of_class = {name for decorator in node.decorator_list for name in _marks(decorator)} if isinstance(node, ast.ClassDef) else set()
        for test in tests:
            if isinstance(test, Function) and test.name.startswith("test_"):
                own = {name for decorator in test.decorator_list for name in _marks(decorator)}
                if found := of_file | of_class | own:
                    yield found


def _marks(node: ast.AST) -> Iterator[str]:
    """Marks of ours named anywhere in an expression, those of single parameters too."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Attribute) and inner.attr in MARKS and ast.unparse(inner.value) == "pytest.mark":
            yield inner.attr


def test_the_readme_holds_the_two_commands_that_ci_runs() -> None:
    blocks = re.findall(r"^```sh\n(.*?)^```$", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    opens, tests = (block.strip() for block in blocks)
    assert (opens.count("\n"), tests.count("\n")) == (0, 0)
    assert opens.startswith("python3.11 -m venv .venv && ")
    assert tests.startswith("python3.11 -m venv .venv && ")
    assert opens.endswith("linewalk demo")
    assert tests.endswith("python -m pytest -n auto")


PROSE = ("says", "do", "words", "where", "why", "key")
TAKERS = ("partition", "rpartition", "split", "rsplit", "startswith", "endswith", "removeprefix", "removesuffix")
MATCHERS = ("match", "fullmatch", "search", "findall", "finditer", "sub")


def _takes_apart(node: ast.AST) -> bool:
    """Whether a call takes apart, or looks into, the text of something that is said or of a key."""
    if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
        return False
    of = [node.func.value] if node.func.attr in TAKERS else node.args if node.func.attr in MATCHERS else []
    inner = [one.args[0] if isinstance(one, ast.Call) and getattr(one.func, "id", "") == "str" and one.args else one for one in of]
    return any(isinstance(one, ast.Attribute) and one.attr in PROSE and _of_the_job(one) for one in inner)


def _of_the_job(said: ast.Attribute) -> bool:
    """A key that was pressed and one of a form's fields are none of the job's."""
    return said.attr != "key" or (getattr(said.value, "id", "") not in ("self", "event", "field"))


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("finding.says.startswith('Cut')", True),
        ("way.where.partition(',')", True),
        ("str(line.item.key).split('.')", True),
        ("item.key.endswith('.eyes')", True),
        ("re.search('P[0-9]+', finding.do)", True),
        ("event.key.split('+')", False),
        ("name.split('.')", False),
    ],
)
def test_text_that_is_taken_apart_is_noticed(line: str, told: bool) -> None:
    assert _takes_apart(ast.parse(line, mode="eval").body) is told


def test_logic_never_reads_what_is_said_and_takes_no_key_apart() -> None:
    taken = [
        where(path, node) for folder in ("engine", "tui") for path in files(folder) for node in ast.walk(tree(path)) if _takes_apart(node)
    ]
    assert taken == []
