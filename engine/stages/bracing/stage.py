"""Stage 4, bracing: what pulls on every support and lifts it, which need a brace, and where its foot goes on the real ground.

Limits: statics of a rigid foot and of a post fixed at the ground against yield, in the state that lasts and loads it most; a lean or a gust
is a moment, held against what brace and foot take at last (engine.stages.cables). Pulls are summed in plan and profile without the cables'
own weight; a lifted post is held by its weight alone, not by what sleeve and rust hold, and the ground's hold on the sleeve isn't counted
on. Ground is judged by its class. A gate leaf hangs still.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property
from itertools import chain, islice, repeat
from math import inf
from string import ascii_lowercase
from typing import NamedTuple

from engine.calc.force_words import pull_words
from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.phrases import plural
from engine.calc.remember import ByParts, remembered_columns
from engine.checklist import Item, TicksOf, WantedReading
from engine.findings import UNPRINTED, Finding
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import PLATES, Size, TickFacts
from engine.stages.bracing.brace_feet import Foot, best_feet
from engine.stages.bracing.brace_findings import BentPost, bend_findings, bent_post, placed_findings, stock_findings
from engine.stages.bracing.brace_needs import Need, needs_of
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.foot_ground import (
    FootGround,
    LooseFoot,
    LoosePost,
    Pushed,
    foot_findings,
    foot_ground,
    held_sizes,
    held_words,
    loose_post,
)
from engine.stages.bracing.foot_read import Places, all_read_at, read_at, read_out_ft, standing
from engine.stages.bracing.hinge_posts import LeafLoad, leaf_findings
from engine.stages.bracing.lifts import Lift, Lifted, lift_findings, lift_of, pin_item
from engine.stages.bracing.loop_runs import LOOP_TICKS
from engine.stages.bracing.post_pulls import PostPulls
from engine.stages.bracing.strung_loops import StrungLoop, strung_loops
from engine.stages.bracing.tubes import BraceBasis, Tubes, brace_basis
from engine.stages.bracing.what_pulls import STATE_WORDS, StateName
from engine.stages.layout.stage import Layout
from engine.stages.made_of import carried_at
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.sorted_ticks import sorted_ticks
from engine.stages.survey.stage import Survey

READS = (
    "rules", "stock", "fence", "gates", "surfaces", *map(TicksOf, LOOP_TICKS), TicksOf("pinned"), TicksOf("footed"),
    *(TicksOf(f"foot_{letter}") for letter in ascii_lowercase),
)  # fmt: skip


@dataclass(frozen=True)
class BraceLeg:
    """One brace: inclined post from below the top eye to a foot `foot_distance_ft` away along an arm of the fence.

    `toward` is the support at the other end of that arm, None for a brace against the pull of a bend. `length_ft` is along the brace, with
    its end in the ground. In `state`, `axial_lbf` is compression, `uplift_lbf` what lifts the post, `thrust_lbf` the level push on the foot
    and `ground` what the ground gives against it, None where the stock doesn't give the tube.
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
    state: StateName = "pulled"
    ground: FootGround | None = None

    @property
    def band_words(self) -> str:
        """What its band holds on the post, and in which state: as much as lifts the post, and what it is pressed against that with."""
        return f"lifted {pull_words(self.uplift_lbf)}, pressed to the post {pull_words(self.thrust_lbf)}, {STATE_WORDS[self.state]}"

    @property
    def foot_key(self) -> ItemKey:
        """The item at which its foot is read."""
        return ItemKey("bracing", self.support, f"foot_{self.letter}")

    @cached_property
    def loose(self) -> LooseFoot | None:
        """Its foot, where the ground doesn't hold it for good."""
        if self.ground is None or self.thrust_lbf <= self.ground.holds_lbf:
            return None
        called = f"{self.support}'s brace{f' toward {self.toward}' if self.toward else ''}"
        return LooseFoot(self.support, called, self.thrust_lbf, self.state, self.ground)


@dataclass(frozen=True)
class SupportPull:
    """The pull of the cables on one support and what it would see without a brace.

    `pull_lbf` toward `azimuth_deg` and `lift_lbf`, up positive, are those of top and bottom cable together at the target tension, bare;
    `pulls` are those of every state, `worst_lbf` and `worst_in` that of the one that bends the post most, with `moment_lbf_ft` at the
    ground, as a `share` of `yield_lbf_ft` of the post (None for tree or structure). `sleeve_holds_lbf` is what its ground holds of that
    pull for good. `lift` is that of cables and braces together on a driven post; `post_weight_lb` is all that holds a post down in its
    sleeve, None where unknown or where nothing is driven. `leaf` is what hung gate leaves do to it.
    """

    support: str
    pull_lbf: float
    azimuth_deg: float | None
    worst_lbf: float
    worst_in: StateName
    moment_lbf_ft: float
    yield_lbf_ft: float | None
    share: float | None
    sleeve_holds_lbf: float | None
    braces: int
    why: str
    legs: tuple[BraceLeg, ...]
    lift_lbf: float
    lift: Lift | None
    post_weight_lb: float | None
    leaf: LeafLoad | None
    pulls: PostPulls = field(metadata=UNPRINTED)

    def __hash__(self) -> int:
        """Of a few fields: pulls are looked up often and are seldom alike."""
        return hash((self.support, self.worst_lbf, self.lift_lbf))


@dataclass(frozen=True)
class Bracing:
    """Pulls at every support in layout order, and the braces they need. `strung` are the loops that pull, `loose` posts whose
    brace feet the ground doesn't hold and nobody has put right."""

    pulls: Mapping[str, SupportPull]
    brace_count: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
    cable: Cable | None = field(metadata=UNPRINTED)
    strung: Mapping[str, StrungLoop] = field(metadata=UNPRINTED)
    loose: frozenset[str] = field(default=frozenset(), metadata=UNPRINTED)


def bracing(job: Job, survey: Survey, layout: Layout, posts: Posts) -> Bracing:
    """Pull of the cables at every support in every state, and the braces that hold it, each with its foot on the real ground.

    A gate carries no cable. A brace stands inside, along the arm it holds, and is pushed by the pull. A brace that finds no footing counts
    in `braces` but has no leg.
    Source: common practice, no source, for which supports are braced; engine.calc.statics for forces and ground.
    Valid for: tight cables and posts stiff against their braces; local code and licensed practice decide.
    """
    basis = brace_basis(job.rules, job.fence, stock_of(job.stock))
    tubes = basis.tubes
    strung = strung_loops(basis, job.checks, layout, posts)
    needs = needs_of(basis, job, survey, layout, posts, strung)
    sites = [site for need in needs for site in need.stands]
    placed = iter(best_feet(sites, job.rules.bracing, layout.keep_outs, tubes.stock_ft or inf))
    feet = ByParts(tuple(islice(placed, len(need.stands))) if need.stands else () for need in needs)
    ticks, stood = sorted_ticks(job.checks), layout.stood
    footed, pinned = (ticks.of("bracing", what) for what in ("footed", "pinned"))
    letters = ascii_lowercase[: max((len(need.stands) for need in needs), default=0)]
    read = [ticks.of("bracing", f"foot_{letter}") for letter in letters]
    older = {name: stood[name] for name in stood if not all(tick.of.places for told in (footed, pinned, *read) if (tick := told.get(name)))}
    by_name = ([row.get(name) for name in posts.work] for row in (footed, pinned, older))
    by_foot = ByParts(tuple(row.get(name) for row in read) for name in posts.work)
    pulled = _pulled(repeat(basis), needs, posts.work.values(), feet)
    asked = _worked(repeat(basis), needs, pulled, [bool(one.plate_on) for one in posts.work.values()], feet, by_foot, *by_name)
    worked = dict(zip(posts.work, asked, strict=True))
    pulls = dict(zip(posts.work, pulled, strict=True))
    loose = {name: one.loose for name, one in worked.items() if one.loose}
    loads = {name: pull.leaf for name, pull in pulls.items() if pull.leaf}
    return Bracing(
        pulls=pulls,
        brace_count=len(sites),
        findings=(
            *bend_findings([one.bent for one in worked.values() if one.bent]),
            *chain.from_iterable(one.faults for one in worked.values()),
            *stock_findings(basis, needs, strung),
            *lift_findings([one.lifted for one in worked.values() if one.lifted]),
            *foot_findings(loose),
            *leaf_findings(loads, {name: pulls[name].braces > 0 for name in loads}, job.rules.bracing.yield_share),
        ),
        items=tuple(chain.from_iterable(one.items for one in worked.values())),
        cable=basis.cable,
        strung=strung,
        loose=frozenset(loose),
    )


class AskedOfBraces(NamedTuple):
    """What the braces of one support ask, and what is wrong with their feet: `bent` where a bend wants a brace, `lifted` and `loose` where
    its post is lifted out or the ground doesn't hold its feet, and nobody has put that right."""

    items: tuple[Item, ...]
    faults: tuple[Finding, ...]
    bent: BentPost | None
    lifted: Lifted | None
    loose: LoosePost | None


@remembered_columns
def _pulled(basis: BraceBasis, need: Need, work: PostWork, feet: tuple[Foot | None, ...]) -> SupportPull:
    given = basis.tubes
    cut_ft, plf = work.post_cut_ft, given.post_plf
    post_lb = cut_ft * plf if cut_ft is not None and plf is not None and need.support.driven else None
    return _pull(need, _legs(need, feet, given), given.yield_lbf_ft, post_lb)


@remembered_columns
def _worked(
    basis: BraceBasis,
    need: Need,
    pull: SupportPull,
    on_plate: bool,
    feet: tuple[Foot | None, ...],
    read: tuple[Tick | None, ...],
    footed: Tick | None,
    pinned: Tick | None,
    stood: Places,
) -> AskedOfBraces:
    given, support = basis.tubes, need.support
    there = TickFacts((support.there,), stock=carried_at(basis.fence, support.support, on_plate))
    bands = {letter: site.band_height_ft for letter, site in zip(ascii_lowercase, need.stands, strict=False)}
    asked, out_ft = _items(given, pull, there, bands, dict(zip(ascii_lowercase, read, strict=False)), stood)
    faults = tuple(placed_findings(need, feet, given.stock_ft)) if feet else ()
    loose, found, lifted = [foot for leg in pull.legs if (foot := leg.loose) is not None], [], None
    if loose:
        found.append(_footed_item(given, pull, loose, there, out_ft))
        loose = [] if standing(footed, found[-1], stood) else loose
    if pull.lift is not None and pull.lift.lifts:
        found.append(pin_item(pull.lift, there))
        lifted = None if standing(pinned, found[-1], stood) else Lifted(support.id, pull.lift.most_lbf, pull.lift.says)
    return AskedOfBraces((*asked, *found), faults, bent_post(need, basis.rules), lifted, loose_post(loose, given.tube))


def _pull(need: Need, legs: tuple[BraceLeg, ...], yield_lbf_ft: float | None, post_lb: float | None) -> SupportPull:
    name, pulled, bent = need.support.id, need.pulls.pulled, need.pulls.bent
    driven = need.support.support == "driven"
    shares = dict(zip(ascii_lowercase, need.shares, strict=False))
    lifted = [sum(leg.uplift_lbf * shares[leg.letter][at] for leg in legs) for at in range(len(need.pulls.each))] if legs else []
    return SupportPull(
        support=name,
        pull_lbf=pulled.level_lbf,
        azimuth_deg=pulled.azimuth_deg,
        worst_lbf=bent.level_lbf,
        worst_in=bent.state,
        moment_lbf_ft=bent.moment_lbf_ft,
        yield_lbf_ft=yield_lbf_ft if driven else None,
        share=need.share,
        sleeve_holds_lbf=need.sleeve.holds_lbf if need.sleeve else None,
        braces=len(need.stands),
        why=need.why,
        legs=legs,
        lift_lbf=pulled.lift_lbf,
        lift=lift_of(name, need.pulls, lifted, post_lb or 0.0) if driven else None,
        post_weight_lb=post_lb,
        leaf=need.leaf,
        pulls=need.pulls,
    )


def _legs(need: Need, feet: Sequence[Foot | None], given: Tubes) -> tuple[BraceLeg, ...]:
    return tuple(_leg(need.support.id, letter, foot, given) for letter, foot in zip(ascii_lowercase, feet, strict=False) if foot)


def _leg(support: str, letter: str, foot: Foot, given: Tubes) -> BraceLeg:
    forces, out_ft = foot.forces, foot.distance_ft
    climb_ft = foot.stand.band_height_ft + foot.stand.level_ft - foot.level_ft
    nearest_ft = min(out_ft, max(given.foot_ft - given.slack_ft, 1.0))
    pushed = Pushed(forces.thrust_lbf, forces.axial_lbf, out_ft, climb_ft, nearest_ft, foot.stand.band_height_ft)
    return BraceLeg(
        id=f"{support}-{letter}",
        support=support,
        azimuth_deg=foot.stand.azimuth_deg,
        foot_distance_ft=out_ft,
        foot=foot.point,
        foot_level_ft=foot.level_ft,
        length_ft=foot.length_ft,
        axial_lbf=forces.axial_lbf,
        uplift_lbf=forces.uplift_lbf,
        thrust_lbf=forces.thrust_lbf,
        stock_reaches=given.stock_ft is not None and foot.length_ft <= given.stock_ft,
        clear=foot.keep_out is None,
        toward=foot.stand.toward,
        letter=letter,
        state=foot.stand.state,
        ground=foot_ground(pushed, given.tube) if given.tube and forces.thrust_lbf else None,
    )


def _footed_item(given: Tubes, pull: SupportPull, feet: Sequence[LooseFoot], there: TickFacts, out_ft: Mapping[str, float | None]) -> Item:
    """What loose feet ask: its facts are where the braces lean, what holds them, and where their feet were read."""
    ground = [foot.ground for foot in feet]
    toward = (Size(f"brace {leg.letter} toward", leg.azimuth_deg, "deg") for leg in pull.legs)
    plates = f"{len(feet)} {PLATES}"
    of = there._replace(sizes=(*toward, *held_sizes(ground)), words=(*there.words, plates), stock=(*there.stock, given.brace))
    says = f"{pull.support}: brace {plural(len(feet), 'foot', 'feet each')} {held_words(ground)}"
    return Item(ItemKey("bracing", pull.support, "footed"), says, of=all_read_at(of, out_ft))


def _items(
    given: Tubes, pull: SupportPull, there: TickFacts, bands: Mapping[str, float], read: Mapping[str, Tick | None], stood: Places
) -> tuple[tuple[Item, ...], Mapping[str, float | None]]:
    """What the braces ask, and how far out each foot was read, by letter."""
    found, out_ft = [], dict[str, float | None]()
    braced = there._replace(stock=(*there.stock, given.brace))

    def add(what: str, says: str, of: TickFacts, reading: WantedReading | None = None) -> Item:
        found.append(Item(ItemKey("bracing", pull.support, what), f"{pull.support}: {says}", reading, of))
        return found[-1]

    for leg in pull.legs:
        letter = leg.letter
        brace = f"brace {letter} toward {leg.toward}" if leg.toward else f"brace {letter} inside the bend"
        leans = braced._replace(sizes=(Size("brace toward", leg.azimuth_deg, "deg"),))
        near_ft, far_ft = given.foot_ft - given.slack_ft, given.foot_ft + given.slack_ft
        out = add(f"foot_{letter}", f"{brace}, foot out from the post", leans, WantedReading("ft", leg.foot_distance_ft, near_ft, far_ft))
        out_ft[letter] = read_out_ft(read.get(letter), out, stood)
        add(f"solid_{letter}", f"{brace}, foot solid", read_at(leans, out_ft[letter]))
        banded = leans._replace(sizes=(*leans.sizes, Size("band", bands[letter])))
        add(f"band_{letter}", f"{brace}, band tight", read_at(banded, out_ft[letter]))
    if pull.legs:
        add("plumb", "post still plumb", all_read_at(braced, out_ft))
    return tuple(found), out_ft
