"""One page of how-to and cautions for each stage, in plain words."""

import re
from importlib.resources import files

from engine.findings import StageName


def guide(stage: StageName) -> str:
    """The page of a stage, in Markdown."""
    return files(__name__).joinpath(f"{stage}.md").read_text(encoding="utf-8")


def cautions(stage: StageName) -> str:
    """The cautions of a stage, in Markdown; empty where it has none."""
    found = re.search(r"## Cautions\n(.*?)(?=\n## |\Z)", guide(stage), re.DOTALL)
    return found[1] if found else ""


def care() -> str:
    """The care notes that the client is given, in Markdown. Source: common practice, no source."""
    return files(__name__).joinpath("care.md").read_text(encoding="utf-8")
