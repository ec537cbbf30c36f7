"""One declaration gives the binding, the footer words and the help line."""

from textual.binding import Binding

from tui.base.commands import Command, bindings, collisions, help_lines, key_words
from tui.widgets.picture_view import COMMANDS

UNDO = Command("undo", "ctrl+z", "Undo", "Take back the last change.", "Job")
LOG = Command("log", "l,f2", "Log", "Log what the ground did to the plan.", "Job", first=True)
FIND = Command("find", "slash", "Find", "Find a post by its name.", "Move", in_footer=False)


def test_bindings_carry_key_action_words_and_sentence() -> None:
    made = [binding for binding in bindings([UNDO, LOG, FIND]) if isinstance(binding, Binding)]
    assert [(each.key, each.action, each.description, each.key_display, each.show, each.priority) for each in made] == [
        ("ctrl+z", "undo", "Undo", "Ctrl+Z", True, False),
        ("l,f2", "log", "Log", "l", True, True),
        ("slash", "find", "Find", "/", False, False),
    ]
    assert made[0].tooltip == "Take back the last change."


def test_help_lines_stand_by_group_with_all_keys() -> None:
    assert help_lines([UNDO, FIND, LOG]) == [
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


def test_the_keys_of_a_picture_do_not_collide_and_all_have_help() -> None:
    assert list(collisions(COMMANDS)) == []
    assert all(command.words and command.sentence.endswith(".") for command in COMMANDS)
