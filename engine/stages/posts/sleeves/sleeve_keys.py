"""What asks about an old sleeve is called after its post and its place, so that it stays that one whatever other sleeves come and go."""

from collections.abc import Iterator, Mapping

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.tolerances import TAPE_FT
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import CUT_OFF, NO_FACTS, PULLED, TickFacts, at_place

ASKED = "old_sleeve"
_SLEEVE = "old sleeve"


def sleeve_key(checks: Mapping[ItemKey, Tick], post: str, there: Point | None, nth: int, number: int) -> ItemKey:
    """The key of the `nth` old sleeve at its place, of all of its post the `number`th. One that was ticked under its number, as older files
    hold it, keeps that key; so does one of which nobody knows where it is."""
    numbered = _numbered(post, number)
    if there is None or (numbered in checks and not checks[numbered].of.places):
        return numbered
    older = [key for key in _older(checks, post) if _is_at(checks[key], there)]
    return older[nth - 1] if nth <= len(older) else ItemKey("posts", f"{post}.{_place_words(there)}{f'-{nth}' if nth > 1 else ''}", ASKED)


def sleeve_facts(checks: Mapping[ItemKey, Tick], key: ItemKey, there: Point | None, *, cut_off: bool) -> TickFacts:
    """What it is about: one sleeve at its place, named as its tick names it, and whether it is to be cut off or pulled; that is what its
    tick says, where it says so."""
    said = checks[key].of if key in checks else NO_FACTS
    name = said.places[0].support if said.places else key.subject
    today = (_SLEEVE, CUT_OFF if cut_off else PULLED)
    words = said.words if said.places and said.words[:1] == today[:1] and len(said.words) == len(today) else today
    return TickFacts((at_place(name, there),) if there else (), words=words)


def is_needed(checks: Mapping[ItemKey, Tick], key: ItemKey) -> bool:
    """Whether nobody said that it needn't be pulled, or cut off."""
    return key not in checks or checks[key].state != "not needed"


def said_to_stay(checks: Mapping[ItemKey, Tick], key: ItemKey) -> bool | None:
    """Whether its tick says that it is in the ground still: it was cut off, or needn't be pulled. None where nobody ticked it, or an older
    program wrote neither."""
    words = checks[key].of.words if key in checks and checks[key].state != "left open" else ()
    return (CUT_OFF in words) == is_needed(checks, key) if CUT_OFF in words or PULLED in words else None


def _numbered(post: str, number: int) -> ItemKey:
    return ItemKey("posts", post if number == 1 else f"{post}.{number}", ASKED)


def _older(checks: Mapping[ItemKey, Tick], post: str) -> Iterator[ItemKey]:
    """Keys by number that are ticked, one number after the other."""
    number = 1
    while number <= len(checks) and (number < 3 or _numbered(post, number) in checks):
        if (key := _numbered(post, number)) in checks:
            yield key
        number += 1


def _is_at(tick: Tick, there: Point) -> bool:
    return any(distance_ft((at.east_ft, at.north_ft), there) <= TAPE_FT for at in tick.of.places)


def _place_words(there: Point) -> str:
    """`24_31E_102_56N`: feet east and north, or west and south."""
    east, north = (round(ft, 2) for ft in there)
    words = f"{abs(east):.2f}{'W' if east < 0 else 'E'}_{abs(north):.2f}{'S' if north < 0 else 'N'}"
    return words.replace(".", "_")
