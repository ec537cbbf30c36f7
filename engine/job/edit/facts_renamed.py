"""Names of records in what ticks were made for: followed whatever stood when they were made, also of what is open or struck since."""

from collections.abc import Iterator

from engine.job.model.tick_facts import Size, TickFacts

_NAMED_BARE = {"boundary_found": ("points",), "measured_twice": ("points",), "decks_protected": ("decks",)}
"""Items whose words are names alone, and of which table."""
_OF_POSTS = ("driven_depth", "solid", "plumb", "eyes", "plate", "diameter")
_CARRIES = ("trees", "structures", "surfaces")
_RUNS = ("client_walked", "levels_shot", "photos_taken")
_LIES = ("points", ("lies east", "lies north"))
_SIZES = {
    "string": ("points", ("east", "north")),
    "under_closed": ("lines", ("long", "high")),
    "decks_protected": ("decks", ("lies east", "lies north")),
    **dict.fromkeys(("client_walked", "levels_shot", "boundary_found"), _LIES),
}
"""Items whose sizes start with a name, and of which table: `Q1 east`."""
_OF_SHOTS = ("levels_shot", "measured_twice")
_THROUGH = " through "
_PLATE = "base plate on "
_EYES, _OVER, _AND = "eyes at ", " over ", ", and "


def facts_renamed(of: TickFacts, what: str, table: str, old: str, new: str) -> TickFacts:
    """What a tick of such an item was made for, with a record of a table under its new name."""
    if table == "stock":
        return of._replace(stock=tuple(new if row == old else row for row in of.stock)) if old in of.stock else of
    words = tuple(_word(word, what, table, old, new) for word in of.words)
    words = tuple(sorted(words)) if what == "measured_twice" else words
    if table == "shots" and what in _OF_SHOTS:
        return of._replace(sizes=tuple(_shot_size(size, old, new) for size in of.sizes))
    if what not in _SIZES or _SIZES[what][0] != table:
        return of if words == of.words else of._replace(words=words)
    named = {f"{old} {way}": f"{new} {way}" for way in _SIZES[what][1]}
    return of._replace(sizes=tuple(_sizes(of.sizes, named)), words=words)


def _sizes(sizes: tuple[Size, ...], named: dict[str, str]) -> Iterator[Size]:
    return (size._replace(name=named.get(size.name, size.name)) for size in sizes)


def _shot_size(size: Size, old: str, new: str) -> Size:
    """A size of a shot under its new name; one of a point that is called so stays."""
    called, _, rest = size.name.partition(" ")
    return size._replace(name=f"{new} {rest}") if called == old and not rest.startswith("lies ") else size


def _word(word: str, what: str, table: str, old: str, new: str) -> str:
    if what in _RUNS and _THROUGH in word:
        line, points = word.split(_THROUGH)
        names = [new if table == "points" and name == old else name for name in points.split(", ")]
        return f"{new if table == 'lines' and line == old else line}{_THROUGH}{', '.join(names)}"
    over = f"{_OVER}{old}"
    if what == "eyes" and table == "surfaces" and word.startswith(_EYES):
        return _AND.join(f"{eyes.removesuffix(over)}{_OVER}{new}" if eyes.endswith(over) else eyes for eyes in word.split(_AND))
    bare = table in _NAMED_BARE.get(what, _CARRIES if what in _OF_POSTS else ())
    return {old: new, f"{_PLATE}{old}": f"{_PLATE}{new}"}.get(word, word) if bare else word
