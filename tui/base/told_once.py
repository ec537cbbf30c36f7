"""Words that are put on screen only where they, or how they look, differ from what stands there."""

from textual.content import Content
from textual.widgets import Static


def tell_once(there: Static, words: Content, *, layout: bool = True) -> bool:
    """Other words, or the same in another look; whether there was anything to tell. The library's own `==` is blind to looks."""
    held = there.content
    if isinstance(held, Content) and held.is_same(words):
        return False
    there.update(words, layout=layout)
    return True
