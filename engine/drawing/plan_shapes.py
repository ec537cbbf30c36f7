"""The site from above, north up: fence, posts, gates with their swing, braces, trees, keep-outs, walls, boundary, yards, and names."""

from collections.abc import Iterator
from dataclasses import replace

from engine.calc.geometry.plane import Point
from engine.calc.length_words import tape_parts
from engine.calc.lengths import format_ft_in
from engine.calc.remember import remembered_of
from engine.drawing.bay_progress import bay_progress
from engine.drawing.post_states import post_states
from engine.drawing.shapes import LENGTH_RANK, LINE_RANK, STATES, Arc, Area, Drawing, Mark, Pick, Shape, State, Stroke, Words
from engine.drawing.site_shapes import LEAST_RANK, TREE_RANK, between, halfway, site_shapes
from engine.job.model.job import Job
from engine.stages.gate.stage import GateWork, Swing
from engine.stages.layout.set_out import spot_ties, tape_marks
from engine.stages.layout.sleeves_in_ground import repair_now, unused_sleeves
from engine.stages.layout.stage import Support
from engine.stages.posts.sleeves.old_sleeves import in_ground
from engine.stages.survey.stage import PlacedPoint
from engine.walk import Walk

URGENT: tuple[State, ...] = ("stop", "fix")
POST_RANK, URGENT_RANK, GATE_RANK, NAME_RANK = 1, 7, 9, 12
"""What matters most: posts before trees, what needs work before all other names, posts of the line after corners and ends, and lengths
of bays last."""


@remembered_of
def plan_shapes(job: Job, walk: Walk, before: Walk | None = None, /) -> Drawing:
    """The whole site; with the walk before a change, also what it does to every post that it moves, adds or leaves out."""
    going = () if before is None else tuple(_going(before, walk))
    on_the_move = {shape.id for shape in going if isinstance(shape, Mark)}
    marked = (*_known(job, walk), *_old_sleeves(job, walk))
    fence = (*_braces(walk), *_fence(walk), *_gates(walk), *_posts(walk, on_the_move))
    drawing = Drawing((*site_shapes(job, walk), *fence, *marked, *going))
    return replace(drawing, picks=tuple(_picks(drawing)))


def _known(job: Job, walk: Walk) -> Iterator[Shape]:
    for place in known_marks(job, walk):
        yield Mark("known place", place.xy, place.name, rank=LEAST_RANK)
        yield Words("known place", place.xy, place.name, rank=LEAST_RANK)


def known_marks(job: Job, walk: Walk, *, checks: bool = False) -> list[PlacedPoint]:
    """The places that a tape starts from: to a support, to a way out, to a sleeve left in the ground, or by a record; with `checks` also to
    check a support by."""
    spots = {f"{number}": there for number, (_, there) in enumerate(_sleeves_left(job, walk)) if there is not None}
    ties = [*walk.layout.ties.values(), *(way.tie for way in walk.punch.ways_out if way.tie)]
    ties += spot_ties(job, walk.survey, spots).values() if spots else ()
    used = {name for tie in ties for name in (tie.from_a, tie.from_b)}
    used |= {tie.check[0] for tie in ties if checks and tie.check}
    if job.record:
        tapes = [tape for built in job.record.supports.values() for tape in (built.tie_a, built.tie_b)]
        tapes += [tape for left in job.record.sleeves_left.values() for tape in (left.tie_a, left.tie_b)]
        used |= {parts[1] for tape in tapes if (parts := tape_parts(tape))}
    return [mark for mark in tape_marks(job, walk.survey) if mark.name in used]


def _sleeves_left(job: Job, walk: Walk) -> Iterator[tuple[str, Point | None]]:
    """Sleeves in the ground where no post stands any more, said to stay or not out yet, in a repair those of before too."""
    yield from ((sleeve.post, sleeve.there) for sleeve in in_ground(walk.posts.old_sleeves, walk.checklists["posts"].by_key))
    driven = (support.xy for support in walk.layout.supports.values() if support.support == "driven")
    yield from ((sleeve.post, sleeve.xy) for _, sleeve in unused_sleeves(repair_now(job), driven))


def _old_sleeves(job: Job, walk: Walk) -> Iterator[Shape]:
    """The same, as far as their places are known."""
    for post, there in _sleeves_left(job, walk):
        if there is not None:
            yield Mark("old sleeve", there, rank=TREE_RANK)
            yield Words("old sleeve", there, f"old {post}", rank=LEAST_RANK)


def _braces(walk: Walk) -> Iterator[Shape]:
    for pull in walk.bracing.pulls.values():
        for leg in pull.legs:
            yield Stroke("brace", (walk.layout.supports[pull.support].xy, leg.foot))
            yield Mark("foot", leg.foot)


def _fence(walk: Walk) -> Iterator[Shape]:
    """Every line as it was surveyed, and the fence bay by bay with its lengths."""
    layout = walk.layout
    bare = all(bay.gate is not None for bay in layout.bays.values())
    for name, line in walk.survey.lines.items():
        yield Stroke("surveyed", line.path, name)
        if bare:
            yield Stroke("bare", line.path, name)
            yield Words("line", halfway(line.path), name, name)
    if not walk.survey.lines:
        yield from (Mark("point", point.xy) for point in walk.survey.points.values())
    far, middles = bay_progress(walk), _middles(walk)
    for name, bay in layout.bays.items():
        on = layout.supports[bay.from_id].line
        along = (layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy)
        about = ("", "") if bay.gate else (name, walk.cables.loop_of.get(name, ""))
        if bay.gate is None:
            yield Stroke("fence", along, *about, kind=far[name])
        words = format_ft_in(bay.slope_ft)
        yield Words(
            "bay length", between(*along), words, *about, kind=on, rank=LENGTH_RANK, along=along, side=middles.get(on),
        )  # fmt: skip


def _middles(walk: Walk) -> dict[str, Point]:
    """The middle of every line's supports: the side of a run that it is on counts as the inner one."""
    places: dict[str, list[Point]] = {}
    for support in walk.layout.supports.values():
        places.setdefault(support.line, []).append(support.xy)
    return {line: (sum(x for x, _ in spots) / len(spots), sum(y for _, y in spots) / len(spots)) for line, spots in places.items()}


def _tip(work: GateWork) -> Point:
    """Where the first leaf's free end is when it stands square open on its better side."""
    return _swung(work).leaves[0].arc[-1]


def _swung(work: GateWork) -> Swing:
    return next(swing for swing in work.swings if swing.side == work.better)


def _gates(walk: Walk) -> Iterator[Shape]:
    """Each leaf shut, and square open on the better side."""
    for work in walk.gate.gates.values():
        for leaf, swung in zip(work.leaves, _swung(work).leaves, strict=True):
            yield Arc("swing", leaf.hinge, leaf.latch, swung.arc[-1])
            yield Stroke("leaf", (leaf.hinge, swung.arc[-1]), work.gate)
            yield Stroke("shut", (leaf.hinge, leaf.latch), work.gate)
        along = (walk.layout.supports[work.hinge_post].xy, walk.layout.supports[work.latch_post].xy)
        middle = between(work.leaves[0].hinge, work.leaves[0].latch)
        yield Words("gate", middle, work.gate, work.gate, rank=GATE_RANK, along=along, side=_tip(work))


def _posts(walk: Walk, going: set[str]) -> Iterator[Shape]:
    """Every support with its name beside its run, outside the fence, and where it was planned; one on the move has its name already."""
    states, middles = post_states(walk), _middles(walk)
    tips = {post: _tip(work) for work in walk.gate.gates.values() for post in (work.hinge_post, work.latch_post)}
    neighbours: dict[str, list[Point]] = {name: [] for name in walk.layout.supports}
    for bay in walk.layout.bays.values():
        neighbours[bay.to_id].append(walk.layout.supports[bay.from_id].xy)
    for bay in walk.layout.bays.values():
        neighbours[bay.from_id].append(walk.layout.supports[bay.to_id].xy)
    for name, support in walk.layout.supports.items():
        if support.moved:
            yield Stroke("moved", (support.planned, support.xy))
            yield Mark("planned", support.planned, group=support.line)
        state, near = states.get(name, "planned"), neighbours[name] or [(support.east_ft - 1, support.north_ft)]
        yield Mark("post", support.xy, name, support.line, _kind(support), state, POST_RANK + STATES.index(state))
        if name not in going:
            along = (near[0], near[-1] if len(near) > 1 else support.xy)
            least = LINE_RANK if _kind(support) == "line" else NAME_RANK
            rank = URGENT_RANK + STATES.index(state) if state in URGENT else least
            yield Words("post", support.xy, name, name, "", state, support.line, rank, along, tips.get(name) or middles[support.line])


def _kind(support: Support) -> str:
    """What carries the eyes where that is no post of ours, else what the post does."""
    return support.kind if support.support == "driven" else support.support


def _going(before: Walk, after: Walk) -> Iterator[Shape]:
    """Old and new spot of each post that changes; a post added stands for one left out, else it has no old spot, or no new one."""
    old, new = before.layout.supports, after.layout.supports
    gone = [one for name, one in old.items() if name not in new]
    come = [one for name, one in new.items() if name not in old]
    ways = [(name, old[name].xy, new[name].xy) for name in new if name in old and old[name].xy != new[name].xy]
    ways += [(there.id, here.xy, there.xy) for here, there in zip(gone, come, strict=False)]
    ways += [(one.id, one.xy, one.xy) for one in (*gone[len(come) :], *come[len(gone) :])]
    for name, here, there in ways:
        yield Stroke("going", (here, there))
        yield Mark("goes to", there, name)
        yield Mark("goes from", here)
        yield Words("going", there, name, name)


def _picks(drawing: Drawing) -> Iterator[Pick]:
    """Posts, moves, gates and trees first, then bays and keep-outs."""
    yield from ((mark.id, (mark.pos,)) for mark in (*drawing.of(Mark, "post"), *drawing.of(Mark, "goes to")))
    yield from ((leaf.id, (between(*leaf.points),)) for leaf in drawing.of(Stroke, "shut"))
    yield from ((tree.id, (tree.pos,)) for tree in drawing.of(Mark, "tree"))
    yield from ((run.id, run.points) for run in drawing.of(Stroke, "fence", "bare"))
    yield from ((area.id, (*area.points, area.points[0])) for area in drawing.of(Area, "keepout", "deck"))
