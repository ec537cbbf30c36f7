"""The key of a checklist item as a value; the one place where its text, `posts.P7.plumb`, is made and read."""

from typing import Annotated, NamedTuple

from pydantic import AfterValidator, BeforeValidator, GetPydanticSchema, PlainSerializer, StringConstraints

ITEM_KEY = r"^[a-z]+(\.[A-Za-z0-9][A-Za-z0-9_-]*)+$"
"""What a file must hold for a key."""


class ItemKey(NamedTuple):
    """A checklist item by its stage, what it is about and what is asked. Its text is what a file holds and a screen shows."""

    stage: str
    subject: str
    what: str

    @property
    def about(self) -> str:
        """What it is about: of an old sleeve, whose subject says its place too, the post."""
        return self.subject.partition(".")[0]

    def __str__(self) -> str:
        return ".".join(part for part in self if part)


def item_key(text: str) -> ItemKey:
    """The key that a text stands for; one of two parts only is about nothing."""
    stage, *subject, what = text.split(".")
    return ItemKey(stage, ".".join(subject), what)


def _text(value: object) -> object:
    return str(value) if isinstance(value, ItemKey) else value


_TEXT = Annotated[
    str, BeforeValidator(_text), StringConstraints(pattern=ITEM_KEY, max_length=160), AfterValidator(item_key), PlainSerializer(str)
]
KeyInFile = Annotated[ItemKey, GetPydanticSchema(lambda _, handler: handler(_TEXT))]
"""A key of the document: text in a file, a value in a Job."""
