"""Stage 4, bracing: what pulls on every support, which need a brace, and where its foot goes on the real ground.

Limits: statics of a rigid foot and of a post fixed at the ground against yield. Pulls are summed in plan and profile without the cables'
own weight; a lifted post is held by its weight alone, not by what sleeve and rust hold. A gate leaf hangs still.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field
from math import inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.calc.limits import OutOfRange
from engine.calc.statics.section import tube, yield_moment_lbf_ft
from engine.checklist import Item, TicksOf, WantedReading, standing_tick
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import BraceRules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.bracing.brace_feet import Foot, best_feet
from engine.stages.bracing.brace_needs import Need, needs_of
from engine.stages.bracing.hinge_posts import LeafLoad, leaf_findings
from engine.stages.bracing.lifts import Lift, lift_findings, pin_item, pin_key
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("bracing")

READS = ("rules", "stock", "fence", "gates", TicksOf("pinned"))


@dataclass(frozen=True)
class BraceLeg:
    """One brace: inclined post from below the top eye to a foot `foot_distance_ft` away along an arm of the fence.

    `toward` is the support at the other end of that arm, None for a brace against the pull of a bend. `length_ft` is along the brace, with
    its end in the ground. `axial_lbf` is compression, `uplift_lbf` what lifts the post, `thrust_lbf` the level push on the foot.
    """

    id: str
    support: str
    azimuth_deg: float
    foot_distance_ft: float
    foot: Point
    foot_level_ft: float
    length_ft: float
    axial_lbf: float
    uplift_lbf: float
    thrust_lbf: float
    stock_reaches: bool
    clear: bool
    toward: str | None = None
    letter: str = field(default="", metadata=UNPRINTED)

    @property
    def foot_key(self) -> ItemKey:
        """The item at which its foot is read."""
        return ItemKey("bracing", self.support, f"foot_{self.letter}")


@dataclass(frozen=True)
class SupportPull:
    """The pull of the cables on one support and what it would see without a brace.

    `pull_lbf` toward `azimuth_deg` and `lift_lbf`, up positive, are those of top and bottom cable together at the target tension: half of
    each at either eye, for both cables climb alike. `cold_pull_lbf` and `cold_lift_lbf` are those of the coldest day, None where the stock
    doesn't give the cable. `post_weight_lb` is all that holds a post down in its sleeve, None where unknown or where nothing is driven.
    `moment_lbf_ft` at the ground against `yield_lbf_ft` of the post (None for tree or structure). `leaf` is what hung gate leaves do to it.
    """

    support: str
    pull_lbf: float
    azimuth_deg: float | None
    moment_lbf_ft: float
    yield_lbf_ft: float | None
    share: float | None
    braces: int
    why: str
    legs: tuple[BraceLeg, ...]
    lift_lbf: float
    cold_pull_lbf: float | None
    cold_lift_lbf: float | None
    post_weight_lb: float | None
    leaf: LeafLoad | None


@dataclass(frozen=True)
class Bracing:
    """Pulls at every support in layout order, and the braces they need."""

    pulls: Mapping[str, SupportPull]
    brace_count: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def bracing(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Bracing:
    """Pull of the cables at every support, and the braces that hold it, each with its foot on the real ground.

    Both cables pull alike along every bay at the target tension; a gate carries none. A brace stands inside, along the arm it holds, and is
    pushed by the pull. A brace that finds no footing counts in `braces` but has no leg.
    Source: common practice, no source, for which supports are braced; engine.calc.statics.brace for the forces.
    Valid for: tight cables and posts stiff against their braces; local code and licensed practice decide.
    """
    stock = stock_of(job.stock)
    yield_lbf_ft = _yield_lbf_ft(stock.get(job.fence.post))
    brace = stock.get(job.fence.brace)
    stock_ft = brace.length_ft if brace else None
    needs = needs_of(job, stock, survey, layout, posts, yield_lbf_ft)
    post_plf = _weight_plf(stock.get(job.fence.post))
    placed = iter(best_feet([stand for need in needs for stand in need.stands], job.rules.bracing, layout.keep_outs, stock_ft or inf))
    feet = {need.support.id: [next(placed) for _ in need.stands] for need in needs}
    pulls = {
        need.support.id: _pull(
            need, feet[need.support.id], yield_lbf_ft, stock_ft, _post_lb(posts, need, post_plf), job.rules.cables.tension_lbf
        )
        for need in needs
    }
    braced = [need for need in needs if need.stands]
    lifts = {name: lift for name, pull in pulls.items() if (lift := _lift(pull, layout)) is not None}
    there = {name: TickFacts(layout.places(name)) for name in pulls}
    pinned = {name for name in lifts if standing_tick(job.checks, pin_key(name), there[name], layout.stood)}
    held = {name: pull.braces > 0 for name, pull in pulls.items()}
    loads = {name: pull.leaf for name, pull in pulls.items() if pull.leaf}
    return Bracing(
        pulls=pulls,
        brace_count=sum(pull.braces for pull in pulls.values()),
        findings=(
            *(finding for need in braced for finding in _need_findings(need, feet[need.support.id], stock_ft)),
            *_stock_findings(job, needs, yield_lbf_ft, stock_ft),
            *lift_findings(list(lifts.values()), pinned),
            *leaf_findings(loads, held, job.rules.bracing.yield_share),
            *_lift_note(pulls),
        ),
        items=tuple(item for name, pull in pulls.items() for item in _items(job.rules.bracing, pull, lifts.get(name), there[name])),
    )


def _yield_lbf_ft(row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None or row.yield_psi is None:
        return None
    try:
        return yield_moment_lbf_ft(tube(row.diameter_in, row.wall_in).section_in3, row.yield_psi)
    except OutOfRange:
        return None


def _weight_plf(row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None:
        return None
    try:
        return tube(row.diameter_in, row.wall_in).weight_plf
    except OutOfRange:
        return None


def _post_lb(posts: Posts, need: Need, post_plf: float | None) -> float | None:
    cut_ft = posts.work[need.support.id].post_cut_ft
    return None if cut_ft is None or post_plf is None or need.support.support != "driven" else cut_ft * post_plf


def _lift(pull: SupportPull, layout: Layout) -> Lift | None:
    if layout.supports[pull.support].support != "driven":
        return None
    return Lift(pull.support, pull.lift_lbf, pull.cold_lift_lbf, pull.post_weight_lb or 0.0)


def _pull(
    need: Need, feet: Sequence[Foot | None], yield_lbf_ft: float | None, stock_ft: float | None, post_lb: float | None, tension_lbf: float
) -> SupportPull:
    name = need.support.id
    colder = None if need.cold_lbf is None else need.cold_lbf / tension_lbf
    return SupportPull(
        support=name,
        pull_lbf=need.pull_lbf,
        azimuth_deg=need.azimuth_deg,
        moment_lbf_ft=need.moment_lbf_ft,
        yield_lbf_ft=yield_lbf_ft if need.support.support == "driven" else None,
        share=need.share,
        braces=len(feet),
        why=need.why,
        legs=tuple(_leg(name, chr(ord("a") + place), foot, stock_ft) for place, foot in enumerate(feet) if foot),
        lift_lbf=need.lift_lbf,
        cold_pull_lbf=None if colder is None else need.pull_lbf * colder,
        cold_lift_lbf=None if colder is None else need.lift_lbf * colder,
        post_weight_lb=post_lb,
        leaf=need.leaf,
    )


def _leg(support: str, letter: str, foot: Foot, stock_ft: float | None) -> BraceLeg:
    return BraceLeg(
        id=f"{support}-{letter}",
        support=support,
        azimuth_deg=foot.stand.azimuth_deg,
        foot_distance_ft=foot.distance_ft,
        foot=foot.point,
        foot_level_ft=foot.level_ft,
        length_ft=foot.length_ft,
        axial_lbf=foot.forces.axial_lbf,
        uplift_lbf=foot.forces.uplift_lbf,
        thrust_lbf=foot.forces.thrust_lbf,
        stock_reaches=stock_ft is not None and foot.length_ft <= stock_ft,
        clear=foot.keep_out is None,
        toward=foot.stand.toward,
        letter=letter,
    )


def _need_findings(need: Need, feet: Sequence[Foot | None], stock_ft: float | None) -> list[Finding]:
    name = need.support.id
    found = []
    if need.bends and need.share is not None:
        says = f"{name} isn't a corner, but {need.pull_lbf:.0f} lb would bend it to {100 * need.share:.0f} % of its yield; guidance only."
        found.append(_finding("bend_needs_brace", "note", (name,), says, "Give it one brace on the inside of the bend."))
    for stand, foot in zip(need.stands, feet, strict=True):
        subjects = (name, stand.toward) if stand.toward else (name,)
        of = f"{name}'s brace toward {stand.toward}" if stand.toward else f"{name}'s brace"
        if foot is None:
            do = "Set the band higher, or hold the post from the other side."
            found.append(_finding("brace_no_footing", "fix", subjects, f"{of} has no ground below its band.", do))
        else:
            found += [_finding(code, "fix", subjects, says, do) for code, says, do in _foot_faults(of, foot, stock_ft)]
    return found


def _foot_faults(of: str, foot: Foot, stock_ft: float | None) -> list[tuple[str, str, str]]:
    """What is wrong with the best foot of one brace: (code, says, do)."""
    out = format_ft_in(foot.distance_ft)
    faults = []
    if foot.keep_out:
        says = f"{of}: the foot {out} out stands in a keep-out, {foot.keep_out.why}."
        faults.append(("foot_in_keep_out", says, "Move the post, or let a tree or wall take the pull."))
    if not foot.in_bay:
        says = f"{of}: the foot {out} out falls past the next support."
        faults.append(("foot_past_bay", says, "Lengthen the bay or set the foot nearer."))
    if stock_ft is not None and foot.length_ft > stock_ft:
        says = f"{of} is {format_ft_in(foot.length_ft)} long, over the {format_ft_in(stock_ft)} of the stock brace."
        faults.append(("brace_too_short", says, "Bring a longer brace or set the foot nearer."))
    return faults


def _stock_findings(job: Job, needs: Sequence[Need], yield_lbf_ft: float | None, stock_ft: float | None) -> list[Finding]:
    found = []
    if yield_lbf_ft is None and any(need.support.support == "driven" for need in needs):
        says = f"The stock doesn't give the diameter, wall and yield of {job.fence.post}, so bends can't be checked."
        found.append(_finding("post_strength_unknown", "fix", ("job",), says, "Add them to the stock."))
    if stock_ft is None and any(need.stands for need in needs):
        says = f"The stock doesn't give the length of {job.fence.brace}, so no brace can be checked."
        found.append(_finding("brace_unknown", "fix", ("job",), says, "Add it to the stock."))
    return found


def _lift_note(pulls: Mapping[str, SupportPull]) -> list[Finding]:
    """One note a job: the post that its braces together lift most."""
    lifted = {name: sum(leg.uplift_lbf for leg in pull.legs) for name, pull in pulls.items() if pull.legs}
    if not lifted:
        return []
    most = max(lifted, key=lambda name: lifted[name])
    says = f"Braces lift their posts, {most} the most, with about {lifted[most]:.0f} lb; guidance only."
    do = "Pin those posts to their sleeves (common practice, no source); see that the sleeves are solid before the cables are pulled tight."
    return [_finding("brace_lifts_post", "note", (most,), says, do)]


def _items(rules: BraceRules, pull: SupportPull, lift: Lift | None, there: TickFacts) -> tuple[Item, ...]:
    found = []

    def add(what: str, says: str, of: TickFacts, reading: WantedReading | None = None) -> None:
        found.append(Item(ItemKey("bracing", pull.support, what), f"{pull.support}: {says}", reading, of))

    slack_ft = rules.foot_tolerance_in / 12
    for leg in pull.legs:
        letter = leg.letter
        brace = f"brace {letter} toward {leg.toward}" if leg.toward else f"brace {letter} inside the bend"
        leans = TickFacts(there.places, (Size("brace toward", leg.azimuth_deg, "deg"),), there.words)
        add(
            f"foot_{letter}",
            f"{brace}, foot out from the post",
            leans,
            WantedReading("ft", leg.foot_distance_ft, rules.foot_ft - slack_ft, rules.foot_ft + slack_ft),
        )
        add(f"solid_{letter}", f"{brace}, foot solid", leans)
        add(f"band_{letter}", f"{brace}, band tight", leans)
    if pull.legs:
        add("plumb", "post still plumb", there)
    if lift is not None and lift.lifts:
        found.append(pin_item(lift, there))
    return tuple(found)
