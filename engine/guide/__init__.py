"""One page of how-to and cautions for each stage, in plain words."""

import re
from importlib.resources import files

from engine.calc.length_words import said_in_units
from engine.findings import StageName


def guide(stage: StageName) -> str:
    """The page of a stage, in Markdown."""
    return _page(stage)


def cautions(stage: StageName) -> str:
    """The cautions of a stage, in Markdown; empty where it has none."""
    found = re.search(r"## Cautions\n(.*?)(?=\n## |\Z)", guide(stage), re.DOTALL)
    return found[1] if found else ""


def care() -> str:
    """The care notes that the client is given, in Markdown. Source: common practice, no source."""
    return _page("care")


def _page(name: str) -> str:
    """A page, its lengths in the units in force."""
    return said_in_units(files(__name__).joinpath(f"{name}.md").read_text(encoding="utf-8"))
