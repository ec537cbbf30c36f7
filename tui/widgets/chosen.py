"""The one message by which every picture and table says what the crew chose."""

from textual.message import Message


class Chosen(Message):
    """The crew chose the thing called `id`; a screen hears it from any widget as `on_chosen`."""

    def __init__(self, id: str) -> None:
        super().__init__()
        self.id = id
