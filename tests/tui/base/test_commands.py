"""One declaration gives the binding, the footer words and the help line."""

from collections.abc import Iterable, Iterator
from itertools import combinations

import pytest
from textual.binding import Binding

from tui.base.commands import Command, bindings, by_group, key_words
from tui.base.key_lists import ENTRY_COMMANDS, FORM_COMMANDS, WALK_COMMANDS
from tui.widgets.pick_input import COMMANDS as PICK_COMMANDS
from tui.widgets.picture_view import COMMANDS as PICTURE_COMMANDS
from tui.widgets.plan_view import PLAN_COMMANDS

UNDO = Command("undo", "ctrl+z", "Undo", "Take back the last change.", "Job")
LOG = Command("log", "l,f2", "Log", "Log what the ground did to the plan.", "Job", first=True)
FIND = Command("find", "slash", "Find", "Find a post by its name.", "Move", in_footer=False)


def collisions(commands: Iterable[Command]) -> Iterator[tuple[str, Command, Command]]:
    """Each key that two commands of one place both claim, with the two."""
    for one, other in combinations(commands, 2):
        for key in one.keys:
            if key in other.keys:
                yield key, one, other


def test_bindings_carry_key_action_words_and_sentence() -> None:
    made = [binding for binding in bindings([UNDO, LOG, FIND]) if isinstance(binding, Binding)]
    assert [(each.key, each.action, each.description, each.key_display, each.show, each.priority) for each in made] == [
        ("ctrl+z", "undo", "Undo", "Ctrl+Z", True, False),
        ("l,f2", "log", "Log", "l", True, True),
        ("slash", "find", "Find", "/", False, False),
    ]
    assert made[0].tooltip == UNDO.sentence


def test_commands_stand_by_group_with_all_keys() -> None:
    assert [(one.group, one.said, one.sentence) for one in by_group([UNDO, FIND, LOG])] == [
        ("Job", "Ctrl+Z", "Take back the last change."),
        ("Job", "l or F2", "Log what the ground did to the plan."),
        ("Move", "/", "Find a post by its name."),
    ]


def test_collisions_name_the_key_and_both_commands() -> None:
    other = Command("lift", "f2", "Lift", "Lift a post.", "Job")
    assert list(collisions([UNDO, LOG, other])) == [("f2", LOG, other)]


def test_keys_are_written_as_people_say_them() -> None:
    assert [key_words(key) for key in ("plus", "left", "f10", "shift+tab", "ctrl+s", "x", "F")] == [
        *("+", "Left", "F10", "Shift+Tab", "Ctrl+S", "x", "F"),
    ]


@pytest.mark.parametrize("commands", [(*PICTURE_COMMANDS, *PLAN_COMMANDS), ENTRY_COMMANDS, (*FORM_COMMANDS, *PICK_COMMANDS), WALK_COMMANDS])
def test_keys_of_one_place_do_not_collide_and_all_have_help(commands: tuple[Command, ...]) -> None:
    assert list(collisions(commands)) == []
    assert all(command.words and command.sentence.endswith(".") for command in commands)
