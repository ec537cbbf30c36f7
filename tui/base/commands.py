"""A command is declared once; binding, footer words and help line all come from that one declaration."""

from collections.abc import Iterable
from dataclasses import dataclass

from textual.binding import Binding, BindingType
from textual.dom import DOMNode

_KEY_WORDS = {
    "plus": "+", "equals_sign": "=", "minus": "-", "slash": "/", "question_mark": "?", "full_stop": ".", "comma": ",",
    "left_square_bracket": "[", "right_square_bracket": "]", "space": "Space", "enter": "Enter", "escape": "Esc", "tab": "Tab",
    "up": "Up", "down": "Down", "left": "Left", "right": "Right", "pageup": "PgUp", "pagedown": "PgDn", "home": "Home", "end": "End",
}  # fmt: skip


@dataclass(frozen=True)
class Command:
    """One thing the crew can do with a key.

    `id` is the action it runs (`zoom_in` calls `action_zoom_in` where it is bound), `key` one or more Textual key names parted by commas
    (the first is the one shown), `words` what the footer says, `sentence` what help says, `group` the heading it stands under in help.
    """

    id: str
    key: str
    words: str
    sentence: str
    group: str
    in_footer: bool = True
    first: bool = False
    """Runs before the widget that has the focus sees the key."""

    @property
    def said(self) -> str:
        """Its keys as people say them."""
        return " or ".join(key_words(key) for key in self.keys)

    @property
    def keys(self) -> tuple[str, ...]:
        """The Textual names of its keys."""
        return tuple(part.strip() for part in self.key.split(","))


def bindings(commands: Iterable[Command]) -> list[BindingType]:
    """Textual bindings of `commands`, in their order."""
    return [
        Binding(
            ",".join(command.keys),
            command.id,
            command.words,
            show=command.in_footer,
            key_display=key_words(command.keys[0]),
            priority=command.first,
            tooltip=command.sentence,
        )
        for command in commands
    ]


def by_group(commands: Iterable[Command]) -> list[Command]:
    """Commands of a group together, groups in the order first met."""
    listed = list(commands)
    groups = list(dict.fromkeys(command.group for command in listed))
    return sorted(listed, key=lambda command: groups.index(command.group))


def key_words(key: str) -> str:
    """A Textual key name as people say it: `ctrl+z` is `Ctrl+Z`, `plus` is `+`."""
    *held, last = key.split("+")
    if held:
        return "+".join([*(part.capitalize() for part in held), _KEY_WORDS.get(last, last.upper())])
    return _KEY_WORDS.get(last, last.upper() if _is_function_key(last) else last)


def _is_function_key(key: str) -> bool:
    return key[:1] == "f" and key[1:].isdigit()


def take_keys(node: DOMNode, *groups: object) -> None:
    """Actions of these groups work under the keys of `node`, where the library looks for them."""
    for group in groups:
        for name in dir(group):
            if name.startswith("action_"):
                setattr(node, name, getattr(group, name))
