"""What the crew is asked at one support."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.calc.remember import remembered
from engine.checklist import Item, WantedReading
from engine.job.model.fence import SupportKind
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import POST_CUT, Size, TickFacts
from engine.stages.made_of import Rows
from engine.stages.posts.plates import EyesInWords

DepthsAsked = tuple[float | None, float | None, float | None]
"""Depth wanted, the least and the most, in."""


@remembered
def post_items(
    support: SupportKind,
    name: str,
    plate_on: str,
    cut_ft: float | None,
    heights: EyesInWords,
    tree_min_in: float,
    depths: DepthsAsked,
    on: TickFacts,
    carried: Rows,
) -> tuple[Item, ...]:
    """Its items: `heights` are those of its eyes in words, `cut_ft` of a post on a base plate, `on` what it stands in, `carried` the stock
    that carries its eyes."""
    at_post = on._replace(stock=carried)
    at_eyes = at_post._replace(words=(*on.words, f"eyes at {heights.kept}"))
    cut = () if cut_ft is None else (Size(POST_CUT, cut_ft),)
    of = {"plate": on._replace(sizes=(*on.sizes, *cut)), "plumb": at_post, "eyes": at_eyes}
    asked = _on_plate(plate_on, cut_ft, heights.said) if plate_on else _asked(support, heights.said, tree_min_in, *depths)
    return tuple(Item(ItemKey("posts", name, what), f"{name}: {says}", reading, of.get(what, on)) for what, says, reading in asked)


Asked = Iterator[tuple[str, str, WantedReading | None]]


def _on_plate(plate_on: str, cut_ft: float | None, heights: str) -> Asked:
    cut = "" if cut_ft is None else f", post cut to {format_ft_in(cut_ft)}"
    yield "plate", f"base plate bolted down on {plate_on}{cut}", None
    yield "plumb", "post plumb both ways", None
    yield "eyes", f"eyes at {heights}", None


def _asked(
    support: SupportKind, heights: str, tree_min_in: float, wanted_in: float | None, least_in: float | None, most_in: float | None
) -> Asked:
    if support == "tree":
        yield "diameter", "tree, diameter at the eyes", WantedReading("in", low=tree_min_in)
        yield "eyes", f"eyes pre-drilled and screwed in at {heights}", None
    elif support == "structure":
        yield "eyes", f"eyes at {heights.removesuffix(' over the ground')}, into solid wood away from an edge", None
    else:
        yield "driven_depth", "sleeve driven, depth", WantedReading("in", wanted_in, least_in, most_in, told=True)
        yield "solid", "sleeve solid", None
        yield "plumb", "post plumb both ways", None
        yield "eyes", f"eyes at {heights}", None
