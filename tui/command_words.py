"""The words of the command line together: what `linewalk --help` says, and which word was meant."""

from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter

from tui import first_words
from tui.words import beforehand, copies, folders, told, written

EXAMPLES = """examples:
  linewalk demo                     copy the demo jobs here and open the main one
  linewalk willow_bend.toml         open a job
  linewalk new maple.toml --rough --length "140 ft" --ends house --corners 1 --gates 5   an estimate from the phone
  linewalk jobs/                    list the jobs of a folder
  linewalk jobs jobs/ -o jobs.csv   the same list for the office, a row a job
  linewalk check willow_bend.toml   what is in the way, in words
  linewalk record willow_bend.toml -o record.html   one page for the office, to print or file
  linewalk record willow_bend.toml --for client -o client.html   the client's copy, two or three pages
  linewalk sheets willow_bend.toml -o sheets.html   what a crew without a laptop works by, to print
  linewalk hours willow_bend.toml --from done/       how long it will take, by what finished jobs took
  linewalk load willow_bend.toml -o load.csv        what goes onto the truck, in order
  linewalk load jobs/ --week 2026-11-30             the same for all jobs planned in that week
"""


def parsed(words: list[str]) -> Namespace:
    """What the words ask for, `run` is what does it; where one is wrong it says so and ends."""
    parser = ArgumentParser(
        prog="linewalk",
        description="Walks a crew through a cable-hung dog fence, survey to sign-off.",
        epilog=EXAMPLES,
        formatter_class=RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for kind in (first_words, told, folders, written, beforehand, copies):
        kind.add_words(commands)
    args = parser.parse_args(words)
    if getattr(args, "replace", False) and args.out is None:
        commands.choices[args.command].error("--replace is for a file: say which, -o OUT")
    return args
