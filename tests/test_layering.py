"""The house has floors, and each imports only from floors below; the top of the repository holds what it should and nothing else."""

import ast
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine.findings import STAGES
from tests.source import ROOT, files, imports, module_name, tree, where

ROOMS: dict[str, str] = {
    "tui": "tui/screens tui/boxes tui/words tui/working tui/base engine/walk engine/job/edit engine/job/file engine/job",
    "tui/words": "engine/repair engine/paper engine/ahead engine/folder engine/change engine/walk engine/findings engine/job/versions "
    "engine/job/merge engine/job/file engine/job engine/calc",
    "tui/screens": "tui/entry tui/boxes tui/sheet tui/stages tui/working tui/widgets tui/base engine/paper engine/sheets engine/drawing "
    "engine/folder engine/ahead "
    "engine/change engine/walk engine/stages engine/checklist engine/findings engine/job/edit "
    "engine/job/file engine/job/model engine/job engine/calc",
    "tui/entry": "tui/boxes tui/working tui/widgets tui/base engine/change engine/walk engine/stages engine/job/edit "
    "engine/job/model engine/job engine/calc",
    "tui/boxes": "engine/repair tui/stages tui/working tui/widgets tui/base "
    "engine/paper engine/ahead engine/drawing engine/change engine/walk "
    "engine/stages engine/guide engine/checklist engine/findings engine/job/versions engine/job/merge engine/job/edit engine/job/file "
    "engine/job/model engine/job engine/calc",
    "tui/sheet": "tui/base engine/sheets engine/checklist engine/findings engine/job/model engine/calc",
    "tui/stages": "tui/widgets engine/ahead engine/sheets engine/walk engine/stages engine/findings engine/job/model engine/calc",
    "tui/working": "engine/change engine/walk engine/job/versions engine/job/merge engine/job/edit engine/job/file engine/job/model "
    "engine/job engine/calc engine",
    "tui/widgets": "tui/canvas tui/base engine/drawing engine/calc",
    "tui/canvas": "tui/base engine/drawing engine/calc",
    "tui/base": "",
    "engine/repair": "engine/paper engine/walk engine/stages engine/checklist engine/job/edit engine/job/file engine/job/model engine/job "
    "engine/calc",
    "engine/paper": "engine/ahead engine/folder engine/sheets engine/drawing engine/walk engine/stages engine/guide engine/checklist "
    "engine/findings engine/job/edit engine/job/file engine/job/model engine/job engine/calc engine",
    "engine/ahead": "engine/folder engine/change engine/walk engine/stages engine/findings engine/job/edit engine/job/file "
    "engine/job/model engine/job engine/calc",
    "engine/sheets": "engine/walk engine/stages engine/checklist engine/findings engine/job/model engine/calc",
    "engine/drawing": "engine/walk engine/stages engine/findings engine/job/model engine/calc",
    "engine/folder": "engine/walk engine/findings engine/job/file engine/job/model engine/job engine/calc engine",
    "engine/change": "engine/walk engine/stages engine/checklist engine/findings engine/job/edit engine/job/model engine/job engine/calc",
    "engine/walk": "engine/answers engine/stages engine/checklist engine/findings engine/job/model engine/calc",
    "engine/answers": "engine/checklist engine/job/model",
    "engine/stages": "engine/checklist engine/findings engine/job/model engine/calc",
    "engine/guide": "engine/findings engine/calc",
    "engine/checklist": "engine/findings engine/job/model engine/calc",
    "engine/findings": "engine/job/model engine/calc",
    "engine/job/versions": "engine/job/merge engine/job/file engine/job/model engine/job",
    "engine/job/merge": "engine/job/edit engine/job/file engine/job/model engine/job engine/calc",
    "engine/job/edit": "engine/job/model engine/job engine/calc",
    "engine/job/file": "engine/job/toml engine/job/model engine/job engine/calc engine",
    "engine/job/toml": "engine/job",
    "engine/job/model": "engine/job engine/calc",
    "engine/job": "engine/calc",
    "engine/calc": "",
    "engine": "",
}
"""Which room may import which: from the top floor down, each only from rooms below it. An arrow that isn't here is wrong, and so is one
that nothing uses any more."""
OTHERS = {
    "engine": {"PIL", "numpy", "platformdirs", "pydantic", "shapely", "tomli_w"},
    "tui": {"rich", "textual"},
}
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tui", "engine", "tests", "demo_jobs"}
HEAVY = ("PIL", "textual", "rich", "numpy", "shapely", "pydantic", "engine.walk")
MOST_MODULES = 18


def _room(module: str) -> str:
    """The room a module of ours is in: the longest of the table that its path begins with."""
    path = module.replace(".", "/")
    return max((room for room in ROOMS if path == room or path.startswith(f"{room}/")), key=len)


def _ours(path: Path) -> Iterator[tuple[ast.AST, str]]:
    """Modules of ours that a file imports, each once an import: `from a import b` is the module `a.b` where there is one, else `a`."""
    for node, module in imports(path):
        if module.split(".")[0] in ("engine", "tui") and module in MODULES:
            yield node, module


MODULES = {module_name(path): path for folder in ("engine", "tui") for path in files(folder)}


def _arrows() -> dict[tuple[str, str], list[str]]:
    """Every import between two rooms, with where it stands."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for name, path in MODULES.items():
        for node, module in _ours(path):
            if _room(name) != _room(module) and not (MODULES[module].stem == "__init__" and _names_a_module(node, module)):
                found[_room(name), _room(module)].append(f"{where(path, node)} imports {module}")
    return found


def _names_a_module(node: ast.AST, package: str) -> bool:
    """Whether `from package import name` names modules of the package, so that nothing of the package itself is meant."""
    return isinstance(node, ast.ImportFrom) and all(f"{package}.{name.name}" in MODULES for name in node.names)


def test_rooms_import_only_what_the_table_allows() -> None:
    allowed = {(room, below) for room, row in ROOMS.items() for below in row.split()}
    wrong = [line for arrow, lines in _arrows().items() if arrow not in allowed for line in lines]
    assert not wrong, "\n".join(wrong)
    assert allowed - set(_arrows()) == set()


def test_no_arrow_runs_up() -> None:
    order = list(ROOMS)
    assert [f"{room} to {below}" for room, row in ROOMS.items() for below in row.split() if order.index(below) <= order.index(room)] == []


def test_a_stage_reads_only_stages_before_it() -> None:
    order = {name: number for number, name in enumerate(STAGES)}
    wrong = [
        f"{where(path, node)} imports {module}"
        for name in STAGES
        for path in files(f"engine/stages/{name}")
        for node, module in _ours(path)
        if module.startswith("engine.stages.") and order.get(module.split(".")[2], -1) > order[name]
    ]
    assert not wrong, "\n".join(wrong)


def test_one_name_one_thing() -> None:
    """No two modules and no two public classes share a name; the nine stage names, and `stage` in each of their folders, aside."""
    modules = Counter(path.stem for path in MODULES.values() if path.stem not in {*STAGES, "stage", "__init__"})
    classes = Counter(
        node.name
        for path in MODULES.values()
        for node in tree(path).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    )
    assert [name for name, count in (modules + classes).items() if count > 1] == []


def test_no_room_is_a_hall() -> None:
    halls = Counter(where(path).rpartition("/")[0] for path in MODULES.values() if path.stem != "__init__")
    assert {room: count for room, count in halls.items() if count > MOST_MODULES} == {}


@pytest.mark.parametrize("floor", OTHERS)
def test_only_the_few_packages_we_depend_on(floor: str) -> None:
    known = sys.stdlib_module_names | OTHERS[floor] | {"engine", floor}
    wrong = [
        f"{where(path, node)} imports {module}"
        for path in files(floor)
        for node, module in imports(path)
        if module.split(".")[0] not in known
    ]
    assert not wrong, "\n".join(wrong)


def test_the_top_of_the_repository() -> None:
    ignored = {line.rstrip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()}
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert names - ignored == TOP


@pytest.mark.parametrize("name", STAGES)
def test_a_stage_has_one_name_in_three_places(name: str) -> None:
    places = (
        f"engine/stages/{name}/stage.py",
        f"tui/stages/{name}.py",
        f"tests/stages/{name}/test_stage.py",
        f"engine/guide/{name}.md",
    )
    missing = [place for place in places if not (ROOT / place).is_file()]
    assert not missing, "\n".join(missing)


def test_the_stages_of_the_engine_stand_alone_in_their_folder() -> None:
    folders = sorted(path.parent.name for path in (ROOT / "engine" / "stages").glob("*/stage.py"))
    assert folders == sorted(STAGES)


@pytest.mark.parametrize("act", ["import tui.cli", "from tui.cli import main\nwith suppress(SystemExit):\n    main(['--help'])"])
def test_the_command_line_starts_light(act: str) -> None:
    code = f"import sys\nfrom contextlib import suppress\n{act}\nprint([name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_first_screen_stands_without_the_large_libraries() -> None:
    screen = "tui.app, tui.screens.walk_screen, tui.working.walked_meanwhile"
    code = f"import sys, {screen}\nprint('numpy' in sys.modules, 'shapely' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "False False\n"
