"""The gates as a client is told of them: where, how wide, which way they open and how they latch."""

from collections.abc import Iterator

import shapely

from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import listed
from engine.drawing.site_shapes import between
from engine.job.model.job import Job
from engine.job.model.signed_record import BuiltGate, Record
from engine.paper.client.done_so_far import gate_hangs
from engine.paper.client.shared_room import short
from engine.stages.gate.stage import GateWork
from engine.stages.layout.bays import bay_id
from engine.walk import Walk

COLUMNS = (("gate", 13), ("hinges to latch", 17), ("where", 20), ("between its posts", 23), ("opens", 27))
"""Heads of the table with the share of its width that each has, in hundredths."""
ONE_LEAF = "Hinges are at the first post: swing the leaf to the second until the latch falls in."
TWO_LEAVES = (
    "Two leaves: first the one at the second post, drop its rod into the sleeve in the ground; then the one at the first post, latch it to "
    "the other. A hook holds each leaf open."
)
"""Source: common practice, no source."""
EVERY_GATE = "Pull on a gate after every latching: it must hold. Nobody rides on a leaf."
NO_GATES = "No gate in this fence."


def gates_for_client(job: Job, walk: Walk, record: Record) -> tuple[tuple[str, ...], ...]:
    """Every gate, by what was read of it as far as the record goes; one that can't be worked out yet is named all the same."""
    return tuple((name, *_told(job, walk, record, name)) for name in dict.fromkeys((*record.gates, *job.gates)))


def _told(job: Job, walk: Walk, record: Record, name: str) -> tuple[str, str, str, str]:
    built, work = record.gates.get(name), walk.gate.gates.get(name)
    if built is None:
        return "not laid out yet", "", "", ""
    post = record.supports.get(built.hinge_post)
    place = f"{format_ft_in(post.station_ft)} along {post.line}" if post else ""
    wide_ft = _opening_ft(record, built)
    leaves = "two leaves" if built.leaves > 1 else "one leaf"
    width = f"{format_ft_in(wide_ft)}, {leaves}" if wide_ft is not None else leaves
    yet = "" if gate_hangs(job, walk, name) else ", not hung yet"
    return f"{built.hinge_post} to {built.latch_post}", place, width, f"{opens_words(job, walk, work)}{yet}" if work else ""


def shut_words(record: Record) -> str:
    """How the gates of a fence are shut: of two leaves the one on the latch post stands by its drop rod."""
    leaves = {built.leaves > 1 for built in record.gates.values()}
    one = f"One leaf: {ONE_LEAF[:1].lower()}{ONE_LEAF[1:]}" if len(leaves) > 1 else ONE_LEAF
    return " ".join([one] * (False in leaves) + [TWO_LEAVES] * (True in leaves) + [EVERY_GATE])


def _opening_ft(record: Record, built: BuiltGate) -> float | None:
    """How wide a gate is, as it was read or else as its posts stand; None where neither is known."""
    bays = (bay_id(built.hinge_post, built.latch_post), bay_id(built.latch_post, built.hinge_post))
    laid_ft = next((record.bays_ft[bay] for bay in bays if bay in record.bays_ft), None)
    return laid_ft if built.opening_ft is None else built.opening_ft


def opens_words(job: Job, walk: Walk, work: GateWork) -> str:
    """Which way a gate opens: into or out of a yard where there is one, else to a side."""
    swung = next(swing for swing in work.swings if swing.side == work.better).leaves[0]
    hinge, tip = work.leaves[0].hinge, swung.arc[-1]
    middle = between(hinge, tip)
    into, out_of = ([*_yards_at(job, walk, spot)] for spot in (middle, (2 * hinge[0] - middle[0], 2 * hinge[1] - middle[1])))
    if into != out_of:
        return ", ".join(f"{way} {listed(names)}" for way, names in (("into", into), ("out of", out_of)) if names)
    first, last = work.hinge_post, work.latch_post
    if work.gate in job.gates and job.gates[work.gate].hinge == "end":
        first, last = last, first
    return f"to the {work.better}, walking from {first} to {last}"


def _yards_at(job: Job, walk: Walk, spot: Point) -> Iterator[str]:
    for name, yard in walk.survey.yards.items():
        if len(yard.ring) > 2 and shapely.Polygon(yard.ring).contains(shapely.Point(spot)):
            yield short((job.yards[name].name if name in job.yards else "") or name)
