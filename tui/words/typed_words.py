"""A word of the command line, and what is typed after it."""

from argparse import ArgumentParser, ArgumentTypeError, Namespace, _SubParsersAction
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

Commands: TypeAlias = "_SubParsersAction[ArgumentParser]"


def word(commands: Commands, name: str, says: str, run: Callable[[Namespace], int]) -> ArgumentParser:
    """A new word, what `linewalk --help` says of it, and what it does."""
    added = commands.add_parser(name, help=says, description=says[:1].upper() + says[1:] + ".")
    added.set_defaults(run=run)
    return added


def named(text: str) -> str:
    if not text.strip():
        raise ArgumentTypeError("a name is wanted, and this one is empty")
    return text


def named_path(text: str) -> Path:
    return Path(named(text))
