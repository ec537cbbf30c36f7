"""No sentence writes a unit behind a figure by itself: what is printed goes through the modules that know the units in force."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.source import ROOT

WRITERS = {
    "engine/calc/lengths.py",
    "engine/calc/length_words.py",
    "engine/calc/metric_lengths.py",
    "engine/calc/units.py",
    "engine/calc/force_words.py",
}
UNIT = re.compile(
    r" (?:ft|feet|foot|inch|inches|metres|m|cm|mm)\b| in(?:$|[,.;:)])| sq ft| (?:lbf?|mph|psf|psi|kg|km/h)\b|°|['\"](?:$|[ ,.;)](?! ?of\b))"
)
OF_NUMBERS = {
    ("engine/calc", "of calculations that a program asked wrongly: figures in feet, as their names say"): ("ground.py", "traverse.py"),
    ("engine/paper/drawings", "the size of a picture in a page, and the scale of feet to the inch"): (
        "drawing_sheet.py", "plan_drawing.py", "profile_drawing.py",
    ),
}  # fmt: skip
"""Where a figure with a unit is no length of a job, and why."""
PLAIN_UNIT = re.compile(r" (?:ft|lbf?|mph|psf|psi|sq ft|cm|mm|kg|km/h)\b")
"""Units that are no words: behind any figure they are one."""
KNOWING = ("format_", "understood", "weight_words")
FIGURE = re.compile(r"_ft\b|_in\b|_feet|length|height|width|depth|diameter|_lbf?\b|mph\b|_F\b|_ps[fi]\b|weight|tension", re.IGNORECASE)


def written(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Figures of an f-string with a unit right behind them: any figure, or one with the name of a length where the unit may be a word."""
    for found in ast.walk(tree):
        if isinstance(found, ast.JoinedStr):
            for one, after in zip(found.values, found.values[1:], strict=False):
                if isinstance(one, ast.FormattedValue) and isinstance(after, ast.Constant) and UNIT.match(str(after.value)):
                    figure = ast.unparse(one.value)
                    if (FIGURE.search(figure) or PLAIN_UNIT.match(str(after.value))) and not figure.startswith(KNOWING):
                        yield found.lineno, f"{figure} {after.value!r}"


def test_what_is_looked_for_is_found() -> None:
    said = 'f"{bay.slope_ft:.1f} ft long", f"{gap_in:g} in", f"{name} in words", f"{format_in(gap_in)} wide", f"{width_in}\\" wide"'
    said += ', f"{most:.0f} lb"'
    assert [words for _, words in written(ast.parse(said))] == [
        "bay.slope_ft ' ft long'",
        "gap_in ' in'",
        "width_in '\" wide'",
        "most ' lb'",
    ]


@pytest.mark.parametrize("room", ["engine", "tui"])
def test_no_length_is_written_with_a_unit_of_its_own(room: str) -> None:
    spared = {(folder, name) for (folder, _), names in OF_NUMBERS.items() for name in names}
    found = []
    for path in sorted(Path(ROOT, room).rglob("*.py")):
        here = path.relative_to(ROOT).as_posix()
        if here in WRITERS or any(here.startswith(folder) and path.name == name for folder, name in spared):
            continue
        found += [f"{here}:{line}: {words}" for line, words in written(ast.parse(path.read_text(encoding="utf-8")))]
    assert found == []
