"""A word of the command line, and what is typed after it."""

from argparse import ArgumentParser, ArgumentTypeError, Namespace, _SubParsersAction
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeAlias

from engine.calc.dates import DateError, parse_date

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


def day_word(text: str) -> date:
    try:
        return parse_date(text)
    except DateError as error:
        raise ArgumentTypeError(str(error)) from error


def out_word(added: ArgumentParser, says: str, *, required: bool = False) -> None:
    """`-o OUT`, which never writes over a file that is there unless --replace is said too; `args.out` is the text as it was typed."""
    added.add_argument("-o", "--out", type=named, metavar="OUT", required=required, help=says)
    added.add_argument("--replace", action="store_true", help="write OUT over what is there already; a job file never is")
