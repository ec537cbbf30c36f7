"""What every cable loop asks of the crew."""

from engine.calc.statics.cable_sag import parabola_sag_ft
from engine.calc.tolerances import MARK_IN
from engine.checklist import Item, WantedReading
from engine.job.model.item_key import ItemKey
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.cables.sag_reading import SafeRange, SagMeans
from engine.stages.layout.stage import Bay

CUT_OVER_FT = 1.0
"""How much longer than worked out a loop may be cut: common practice, no source."""


def loop_items(
    rules: CableRules, name: str, places: tuple[At, ...], cut_ft: float, safe: SafeRange, weight_plf: float, read_at: tuple[Bay, float]
) -> tuple[Item, ...]:
    """A loop's cut, lock, sag and tail; `read_at` is the bay whose sag is read, and that sag at the target tension, in.

    A cut cable stays the cable it is wherever its posts go, as long as it runs from and to the same two; a lock holds as long as those
    two stand; the sag is that of the whole row of supports.
    """
    bay, sag_in = read_at
    tells = SagMeans(weight_plf, bay.slope_ft, safe, rules.cold_F, rules.hot_F)
    slackest_in, tightest_in = (
        12 * parabola_sag_ft(weight_plf, bay.slope_ft, pull_lbf) for pull_lbf in (safe.least_lbf, max(safe.most_lbf, rules.tension_lbf))
    )
    most_in = min(sag_in + rules.sag_tolerance_in, max(slackest_in, sag_in + MARK_IN))
    ends = f"{places[0].support} to {places[-1].support}"
    cut, held = TickFacts(words=(ends,)), TickFacts((places[0], places[-1]))

    def item(what: str, says: str, of: TickFacts, reading: WantedReading | None = None, tells: SagMeans | None = None) -> Item:
        return Item(ItemKey("cables", name, what), f"{name}: {says}", reading, of, tells)

    return (
        item("cut_length", "cable cut, length", cut, WantedReading("ft", cut_ft, cut_ft, cut_ft + CUT_OVER_FT)),
        item("closed", f"closed with a lock, {ends}", held),
        item(
            "sag", f"sag in the middle of {bay.id}", TickFacts(places, (), (f"in {bay.id}",)),
            WantedReading("in", sag_in, tightest_in, most_in), tells,
        ),
        item("tail", "tail ringed back", held),
    )  # fmt: skip
