"""What every cable loop asks of the crew, and what all of them ask together."""

from engine.calc.force_words import lean_words, weight_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.statics.cable_sag import parabola_sag_ft
from engine.calc.statics.weighted_cable import give_to_slack_ft
from engine.calc.tolerances import MARK_IN
from engine.checklist import Item, ReadingMeans, WantedReading
from engine.job.model.item_key import ItemKey
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.depth_reading import DepthMeans, WeightOn, read_of
from engine.stages.cables.sag_reading import SafeRange, SagMeans
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.standing_supports import Span

CUT_OVER_FT = 1.0
"""How much longer than worked out a loop may be cut: common practice, no source."""


ROUND_AGAIN = ItemKey("cables", "job", "round_again")


def loop_items(
    rules: CableRules,
    name: str,
    on: tuple[TickFacts, TickFacts],
    eyes: EyeHeights,
    cut_ft: float,
    safe: SafeRange,
    cable: Cable,
    read_in: Span,
    weight: WeightOn | None,
) -> tuple[Item, ...]:
    """A loop's cut, lock, pull and tail; its pull is read in one bay, by its sag or with a weight hung there.

    A cut cable stays the cable it is wherever its posts go, as long as it runs from and to the same two; a lock holds as long as those
    two stand; the pull is that of the whole row of supports, at the eyes it was read at. `on` are all its supports and its two ends.
    """
    row, held = on
    ends = f"{held.places[0].support} to {held.places[1].support}"
    cut = TickFacts(words=(ends,), stock=(cable.name,))
    says, wanted, tells = _sag(rules, safe, cable, read_in) if weight is None else _depth(rules, safe, weight, read_in)

    def item(what: str, says: str, of: TickFacts, reading: WantedReading | None = None, tells: ReadingMeans | None = None) -> Item:
        return Item(ItemKey("cables", name, what), f"{name}: {says}", reading, of, tells)

    return (
        item("cut_length", "cable cut, length", cut, WantedReading("ft", cut_ft, cut_ft, cut_ft + CUT_OVER_FT)),
        item("closed", f"closed with a lock, {ends}", held),
        item("sag", says, read_of(row, eyes, read_in.id, None if weight is None else weight.weight_lb), wanted, tells),
        item("tail", "tail ringed back", held),
    )


Reads = tuple[str, WantedReading, ReadingMeans]
"""What is asked, what is wanted, and what a reading means."""


def _sag(rules: CableRules, safe: SafeRange, cable: Cable, bay: Span) -> Reads:
    wanted_in, slackest_in, tightest_in = (
        12 * parabola_sag_ft(cable.weight_plf, bay.slope_ft, pull_lbf)
        for pull_lbf in (rules.tension_lbf, safe.least_lbf, max(safe.most_lbf, rules.tension_lbf))
    )
    most_in = min(wanted_in + rules.sag_tolerance_in, max(slackest_in, wanted_in + MARK_IN))
    tells = SagMeans(cable.weight_plf, bay.slope_ft, safe, rules.cold_F, rules.hot_F)
    return f"sag in the middle of {bay.id}", WantedReading("in", wanted_in, tightest_in, most_in), tells


def _depth(rules: CableRules, safe: SafeRange, weight: WeightOn, bay: Span) -> Reads:
    """As deep as at the target tension, from the tightest that is safe with eyes that grip to the slackest with the cable running free."""
    gripped_in, free_in = weight.depths_in(rules.tension_lbf)
    tightest_in, _ = weight.depths_in(max(safe.most_lbf, rules.tension_lbf))
    _, slackest_in = weight.depths_in(safe.least_lbf)
    most_in = min(free_in + rules.sag_tolerance_in, max(slackest_in, free_in + MARK_IN))
    says = f"depth in the middle of {bay.id} with {weight_words(weight.weight_lb)} hung there, down from a string from eye to eye"
    wanted = WantedReading("in", (gripped_in + free_in) / 2, tightest_in, most_in)
    return says, wanted, DepthMeans(weight, safe, rules.cold_F, rules.hot_F)


def round_again(rules: CableRules, cable: Cable, longest: Span, ends: TickFacts) -> Item:
    """Once the last loop is closed: posts have given since, and a little give takes all of a pull."""
    give_in = 12 * give_to_slack_ft(rules.tension_lbf, longest.slope_ft, cable.ea_lbf)
    takes = f"{format_in(give_in)} of give takes all of {lean_words(rules.tension_lbf)}"
    even = f"even in {longest.id}, {format_ft_in(longest.slope_ft)} long, {takes}"
    says = f"once the last loop is closed, go round, read and pull every loop again: {even}"
    return Item(ROUND_AGAIN, says, of=ends)
