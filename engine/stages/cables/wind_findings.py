"""Parts that give under the wind of the job's rules: one finding a kind of part, its worst named."""

from collections.abc import Iterable, Iterator, Mapping
from math import ceil, floor
from typing import NamedTuple

from engine.calc.force_words import wind_figure, wind_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.remember import remembered_columns
from engine.findings import Finding, FindingOf
from engine.stages.cables.blown_loops import TOLD_SHARE
from engine.stages.cables.first_to_give import Blowing, Gives, Part, longest_bays_ft
from engine.stages.posts.post_work import PostWork

_finding = FindingOf("cables")


class PartWords(NamedTuple):
    """The finding's code, what the part is called, and how it gives."""

    code: str
    called: str
    gives: str


PARTS: dict[Part, PartWords] = {
    "post": PartWords("wind_bends_post", "post", "bends"),
    "sleeve": PartWords("wind_leans_sleeve", "sleeve", "lies over"),
    "foot": PartWords("wind_pushes_foot", "brace foot", "gives"),
    "brace": PartWords("wind_bows_brace", "brace", "bows"),
    "lock": PartWords("wind_slips_lock", "lock", "slips"),
    "cable": PartWords("wind_breaks_cable", "cable", "breaks"),
}


def gives_words(one: Gives, ground: str) -> str:
    """What gives and at what wind: `P4 bends at 82 mph with every bay blown, at 104 with one alone`; `ground` is what it stands in."""
    _, called, gives = PARTS[one.part]
    whose = "" if one.part == "post" else f"'s {called}"
    stands = f" in {ground}" if one.part in ("sleeve", "foot") else ""
    alone = f" with every bay blown, at {wind_figure(one.alone_mph or 0.0, 0)} with one alone" if _differs(one) else ""
    return f"{one.of}{whose} {gives}{stands} at {wind_words(one.mph, 0)}{alone}"


def here_words(one: Gives, support: str) -> str:
    """The same where the support is named already: `post bends at 82 mph (one bay alone 104)`, `L2's lock slips at 126 mph`."""
    _, called, gives = PARTS[one.part]
    whose = "" if one.of == support else f"{one.of}'s "
    alone = f" (one bay alone {wind_figure(one.alone_mph or 0.0, 0)})" if _differs(one) else ""
    return f"{whose}{called} {gives} {f'at {wind_words(one.mph, 0)}{alone}' if one.mph else 'without wind'}"


def _differs(one: Gives) -> bool:
    """Whether one bay blown alone is told, and is another thing than all of them."""
    return one.alone_mph is not None and round(one.alone_mph) != round(one.mph)


def short_words(one: Gives) -> str:
    """A part and its wind, for a cell: `post, 82 mph`."""
    return f"{PARTS[one.part].called}, {wind_words(one.mph, 0) if one.mph else 'without wind'}"


def holds_words(rule_mph: float) -> str:
    """What is said of a support where nothing gives up to what is told."""
    return f"holds to {wind_words(TOLD_SHARE * rule_mph, 0)}"


class Under(NamedTuple):
    """A part that gives under the rule, at which support, and that in words."""

    one: Gives
    support: str
    says: str


@remembered_columns
def gives_under(by: Blowing, support: str, parts: tuple[Gives, ...], on_plate: bool) -> tuple[Under, ...]:
    """What gives at a support under the rule; what gives without wind is told where it is pulled or braced, and feet that aren't on plates
    where they are braced."""
    under = [one for one in parts if 0 < round(one.mph) < by.rule_mph and (on_plate or one.part != "foot")]
    return tuple(Under(one, support, f"{gives_words(one, by.soil)}; {wind_figure(by.rule_mph)} is the rule") for one in under)


def wind_findings(by: Blowing, told: Iterable[Under], work: Mapping[str, PostWork], least_ft: float) -> Iterator[Finding]:
    """What gives under the rule, the least of each part; bays under `least_ft` are advised to nobody."""
    under: dict[Part, dict[str, Under]] = {}
    for row in told:
        under.setdefault(row.one.part, {}).setdefault(row.one.of, row)
    for of_part in under.values():
        by_wind = sorted(of_part.values(), key=lambda row: row.one.mph)
        one, first = by_wind[0].one, by_wind[0].one.of
        said = {row.one.of: row.says for row in by_wind}
        straight = next((row for row in by_wind if not row.one.bent), None)
        ways = [f"Give {first} one brace on the inside of the bend"] if one.bent else []
        if straight is not None:
            way = _way(by, straight.one, work[straight.support], least_ft)
            ways.append(f"{way[0].lower()}{way[1:]}" if ways else way)
        do = f"{'; '.join(ways)}; local code decides."
        yield _finding.of_many(PARTS[one.part].code, "note", said, "under it too", do, "; guidance only")


def _way(by: Blowing, one: Gives, work: PostWork, least_ft: float) -> str:
    """What would hold one part to the rule, as the start of a sentence. Rounded so that it does."""
    depth_in = work.depth_wanted_in if work.driven_in is None else work.driven_in
    most_ft = floor(12 * (longest_bays_ft(by, one, depth_in) or 0.0)) / 12
    shorter = f", or bays of {format_ft_in(most_ft, 1)} at most beside {one.of}" if most_ft >= least_ft else ""
    if one.part == "post":
        return f"Posts {ceil(10 * (by.rule_mph / one.mph) ** 2) / 10:.1f} times as strong hold{shorter}"
    if one.part == "sleeve":
        wanted_in, driven_in = work.depth_load_in, work.driven_in
        further = wanted_in is not None and driven_in is not None and driven_in < wanted_in
        if further and one.pushed is None:
            return "Driven further it holds more"  # a brace that a short sleeve asks for goes then, and with it what that held
        return f"{f'Driven on to {format_in(ceil(wanted_in or 0.0), 1)} it holds' if further else 'Longer sleeves hold'}{shorter}"
    if one.part == "foot":
        return "A larger plate under the foot holds; after a storm see whether the post stands plumb"
    if one.part == "brace":
        return "A stouter brace holds, or a shorter one with its band lower"
    return "Stronger cable and locks hold, or shorter bays; after a storm look at it and pull it again"
