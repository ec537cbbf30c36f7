"""The house has floors, and each imports only from floors below; the top of the repository holds what it should and nothing else."""

import subprocess
import sys

import pytest

from engine.findings import STAGES
from tests.source import ROOT, files, imports, where

# Floor, and the modules of ours or of others that it may never name.
FORBIDDEN = {
    "engine": ("textual", "rich", "tui", "demo_jobs", "tests"),
    "engine/calc": ("engine.job", "engine.stages", "engine.walk"),
    "engine/job": ("engine.stages", "engine.walk"),
    "engine/stages": ("engine.walk", "engine.paper.plan_json", "engine.paper.record_tables", "engine.change.consequences"),
    "tui": ("tests",),
    "tui/widgets": (
        "engine.job",
        "engine.stages",
        "engine.walk",
        "engine.paper.plan_json",
        "engine.paper.record_tables",
        "engine.stages.takeoff",
        "tui.stages",
        "tui.screens",
    ),
}
# What a floor may import of its own kind at all, where that is short enough to list.
OWN = {
    "engine/calc": ("engine.calc",),
    "engine/job": ("engine.calc", "engine.job", "engine.job.model.stock_table", "engine.__version__"),
    "tui/widgets": ("engine.calc", "engine.checklist", "engine.findings", "tui.widgets", "tui.theme", "tui.commands"),
}
OTHERS = {
    "engine": {"numpy", "platformdirs", "pydantic", "shapely", "tomli_w"},
    "tui": {"rich", "textual"},
}
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tui", "engine", "tests", "demo_jobs"}
HEAVY = ("textual", "rich", "numpy", "shapely", "pydantic", "engine.walk")


def _within(module: str, package: str) -> bool:
    return module == package or module.startswith(f"{package}.")


@pytest.mark.parametrize("floor", FORBIDDEN)
def test_a_floor_never_imports_from_above(floor: str) -> None:
    wrong = [
        f"{where(path, node)} imports {module}"
        for path in files(floor)
        for node, module in imports(path)
        if any(_within(module, package) for package in FORBIDDEN[floor])
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("floor", OWN)
def test_the_low_floors_know_only_what_is_listed(floor: str) -> None:
    wrong = [
        f"{where(path, node)} imports {module}"
        for path in files(floor)
        for node, module in imports(path)
        if module.split(".")[0] in ("engine", "tui", "demo_jobs")
        and module.count(".")
        and not any(_within(module, own) for own in OWN[floor])
    ]
    assert not wrong, "\n".join(wrong)


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
    places = (f"engine/stages/{name}.py", f"tui/stages/{name}.py", f"tests/stages/test_{name}.py", f"engine/guide/{name}.md")
    missing = [place for place in places if not (ROOT / place).is_file()]
    assert not missing, "\n".join(missing)


def test_the_stages_of_the_engine_stand_alone_in_their_folder() -> None:
    assert sorted(path.stem for path in (ROOT / "engine" / "stages").glob("*.py")) == sorted([*STAGES, "__init__"])


@pytest.mark.parametrize("act", ["import tui.cli", "from tui.cli import main\nwith suppress(SystemExit):\n    main(['--help'])"])
def test_the_command_line_starts_light(act: str) -> None:
    code = f"import sys\nfrom contextlib import suppress\n{act}\nprint([name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
