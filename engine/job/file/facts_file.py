"""A small file of facts that is no job: read within the same limits, refused with the same places."""

from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from engine.job.errors import BadContent, Problem
from engine.job.file.file_text import decode, parse
from engine.job.model.base import Part
from engine.job.model.words.refusals import problems_of
from engine.job.toml.places import locate

Model = TypeVar("Model", bound=Part)


def read_facts(path: Path, raw: bytes, model: type[Model]) -> Model:
    """What the bytes of a file say, as a model of it. Raises: BadContent with every problem and its line."""
    data = parse(path, decode(path, raw))
    try:
        return model.model_validate(data)
    except ValidationError as error:
        found = problems_of(error, model)
        there = [one for one in found if one.value is not None]  # what is missing may be there under a wrong name
        raise wrong_there(path, raw, there or found) from error


def wrong_there(path: Path, raw: bytes, problems: Iterable[Problem]) -> BadContent:
    """Problems of a file that could be parsed, with their places in it."""
    text = decode(path, raw)
    return BadContent(path, locate(text, parse(path, text), problems))
