"""The project's own source as syntax trees, for the tests that read it."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
CODE = ("engine", "tui", "tests", "demo_jobs")

Function = ast.FunctionDef | ast.AsyncFunctionDef


def files(folder: str) -> list[Path]:
    """Python files under a folder of the project, in order."""
    return sorted((ROOT / folder).rglob("*.py"))


def all_files() -> list[Path]:
    """Every Python file of the project."""
    return [path for folder in CODE for path in files(folder)]


@cache
def tree(path: Path) -> ast.Module:
    """The syntax tree of a file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def where(path: Path, node: ast.AST | None = None) -> str:
    """A place in the project as a reader looks it up: `engine/walk.py:40`."""
    line = getattr(node, "lineno", None)
    return path.relative_to(ROOT).as_posix() + (f":{line}" if line else "")


def imports(path: Path) -> Iterator[tuple[ast.AST, str]]:
    """Every module a file names in an import, at its top or inside a function; `from a import b` gives `a` and `a.b`."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((node, name.name) for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            module = "." * node.level + (node.module or "")
            yield node, module
            yield from ((node, f"{module}.{name.name}") for name in node.names)


def module_name(path: Path) -> str:
    """The dotted name of a module of the project."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def functions(path: Path) -> Iterator[Function]:
    """Every function of a file, at any depth."""
    return (node for node in ast.walk(tree(path)) if isinstance(node, Function))
