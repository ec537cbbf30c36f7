"""Gate posts as loaded by their leaf: bending with the leaf shut and square open, together with the cables' pull."""

from collections.abc import Iterator, Mapping
from math import ceil

from engine.calc.force_words import weight_words
from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import azimuth_deg
from engine.calc.limits import OutOfRange
from engine.calc.phrases import listed
from engine.calc.remember import remembered_same
from engine.calc.statics.brace import bending_sum_lbf_ft, leaf_bending_lbf_ft
from engine.calc.statics.gate_leaf import hinge_couple_lbf, hinge_spacing_ft
from engine.findings import Finding, FindingOf
from engine.job.model.fence import Gate
from engine.stages.bracing.leaf_weight import leaf_weight_lb
from engine.stages.bracing.tubes import BraceBasis
from engine.stages.layout.stage import Layout
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Stand, stands_of

_finding = FindingOf("bracing")

QUARTER_DEG = {"left": -90.0, "right": 90.0}


@dataclass(frozen=True)
class HungLeaf:
    """One leaf on its hinge post: its weight, the pull on each hinge, the bending it makes, and the way it stands shut and square open."""

    gate: str
    weight_lb: float
    hinge_pull_lbf: float
    bending_lbf_ft: float
    shut_deg: float
    open_deg: float


@dataclass(frozen=True)
class LeafLoad:
    """A hinge post under its leaves: bending at the ground with all of them shut and all square open, and the share of yield.

    `shut_lbf_ft` and `open_lbf_ft` are with the cables and without any brace; `alone_lbf_ft` is the open leaves' own, which is left to
    the post where braces hold the cables. Shares are of the bending at which the post yields, None for a tree, a structure or where the
    yield isn't known; `share` is the one that counts.
    """

    gates: tuple[str, ...]
    weight_lb: float
    hinge_pull_lbf: float
    shut_lbf_ft: float
    open_lbf_ft: float
    alone_lbf_ft: float
    shut_share: float | None
    open_share: float | None
    alone_share: float | None
    share: float | None


def hung_leaves(
    basis: BraceBasis, gates: Mapping[str, Gate], layout: Layout, hangs: Mapping[str, BayHeight]
) -> dict[str, tuple[HungLeaf, ...]]:
    """The leaves that hang on each hinge post.

    A leaf opens to the side its gate asks for; it is as wide as its frame, its hinges stand in line with the post.
    """
    found: dict[str, tuple[HungLeaf, ...]] = {}
    stands = stands_of(layout)
    for bay in layout.bays.values():
        asked = gates.get(bay.gate or "")
        if bay.gate is None or asked is None:
            continue
        start, end = stands[bay.from_id], stands[bay.to_id]
        for hinge, leaf in _leaves(basis, bay.gate, asked, start, end, hangs[bay.id]):
            found[hinge] = _hung(*found.get(hinge, ()), leaf)
    return found


@remembered_same
def _hung(*leaves: HungLeaf) -> tuple[HungLeaf, ...]:
    """Leaves of one post, the very same from walk to walk."""
    return leaves


@remembered_same
def _leaves(basis: BraceBasis, name: str, asked: Gate, start: Stand, end: Stand, hang: BayHeight) -> list[tuple[str, HungLeaf]]:
    """The leaves of one gate, each with the post that it hangs on."""
    hung = ((start, end), (end, start)) if asked.leaves == 2 else ((start, end) if asked.hinge == "start" else (end, start),)
    rules = basis.rules
    weight_lb = leaf_weight_lb(asked.leaf_width_ft, hang.height_ft, rules, basis.fence, basis.stock)
    try:
        apart_ft = hinge_spacing_ft(hang.height_ft - rules.gate.bottom_gap_in / 12, rules.gate.hinge_inset_in)
    except OutOfRange:
        return []
    pull_lbf = hinge_couple_lbf(weight_lb, asked.leaf_width_ft, apart_ft)
    bending = leaf_bending_lbf_ft(weight_lb, asked.leaf_width_ft)
    open_deg = (azimuth_deg(start.xy, end.xy) + QUARTER_DEG[asked.opens]) % 360
    return [(one.id, HungLeaf(name, weight_lb, pull_lbf, bending, azimuth_deg(one.xy, toward.xy), open_deg)) for one, toward in hung]


def leaf_load(
    leaves: tuple[HungLeaf, ...], cables_lbf_ft: float, cables_deg: float | None, yield_lbf_ft: float | None, held: bool
) -> LeafLoad | None:
    """What the leaves and the cables together do to a hinge post; None for a post without a leaf."""
    if not leaves:
        return None
    cables = [(cables_deg, cables_lbf_ft)] if cables_deg is not None else []
    shut = bending_sum_lbf_ft([*cables, *((leaf.shut_deg, leaf.bending_lbf_ft) for leaf in leaves)])
    opened = bending_sum_lbf_ft([*cables, *((leaf.open_deg, leaf.bending_lbf_ft) for leaf in leaves)])
    alone = bending_sum_lbf_ft([(leaf.open_deg, leaf.bending_lbf_ft) for leaf in leaves])
    shares = [bending / yield_lbf_ft if yield_lbf_ft else None for bending in (shut, opened, alone)]
    return LeafLoad(
        gates=tuple(dict.fromkeys(leaf.gate for leaf in leaves)),
        weight_lb=sum(leaf.weight_lb for leaf in leaves),
        hinge_pull_lbf=max(leaf.hinge_pull_lbf for leaf in leaves),
        shut_lbf_ft=shut,
        open_lbf_ft=opened,
        alone_lbf_ft=alone,
        shut_share=shares[0],
        open_share=shares[1],
        alone_share=shares[2],
        share=shares[2] if held or shares[0] is None or shares[1] is None else max(shares[0], shares[1]),
    )


def leaf_findings(loads: Mapping[str, LeafLoad], held: Mapping[str, bool], most: float) -> Iterator[Finding]:
    """Hinge posts that their leaf bends over the share of yield that the rules allow."""
    for name, load in loads.items():
        if load.share is None or load.share <= most:
            continue
        gates = listed(load.gates)
        beside = "with its brace holding the cables" if held[name] else "with the cables' pull"
        says = (
            f"{name} carries gate {gates}'s leaf of about {weight_words(load.weight_lb, 0)}, which bends it to "
            f"{100 * load.share:.0f} % of its yield {beside}, over the {100 * most:.0f} % allowed; guidance only."
        )
        stronger = f"Hang the leaf on a post at least {ceil(10 * load.share / most) / 10:.1f} times as strong, or use a narrower leaf"
        brace = "; a brace square to the line would stand under the open leaf." if held[name] else ", or brace the post along the fence."
        yield _finding("hinge_post_bent", "fix", (name, *load.gates), says, stronger + brace)
