"""What a layout wants settled, in a crew's words."""

from collections.abc import Collection, Iterator, Sequence
from itertools import groupby, repeat
from math import dist

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.large_libraries import shapely
from engine.calc.lengths import format_ft, format_ft_in, format_in
from engine.calc.phrases import first_few, listed, plural
from engine.calc.remember import remembered, remembered_same
from engine.calc.tolerances import EDGE_FT, ONE_SUPPORT_FT, STRAIGHT_DEG, TAPE_FT, TOUCHING_FT
from engine.findings import Finding, FindingOf
from engine.job.model.base import LineEnd
from engine.stages.layout.fixed_supports import gate_spans
from engine.stages.layout.layout_facts import LayoutFacts
from engine.stages.layout.line_rows import LineRow
from engine.stages.layout.line_tracks import ENDS, Track, place, what_meets
from engine.stages.layout.siting_findings import at_boundaries, bay_lengths, in_keep_outs, why_none_may_stand
from engine.stages.layout.todays_supports import Support
from engine.stages.layout.trunks import rows_through_trunks, trunk_findings, trunks

_finding = FindingOf("layout")

BENDS_FT = 1.0


def layout_findings(laid: LayoutFacts) -> tuple[Finding, ...]:
    """All findings of the layout: the plan as a whole, lines, gates, keep-outs, boundaries, bays, trees, moves, setting out."""
    through = tuple(rows_through_trunks(laid.rows, laid.bays, trunks(laid.job, laid.survey)))
    return (
        *_plan(laid),
        *laid.ground.findings,
        *_lines(laid),
        *_ends(laid),
        *_walls(laid),
        *_gates(laid),
        *in_keep_outs(laid),
        *at_boundaries(laid),
        *bay_lengths(laid),
        *_trees(laid, {trunk.tree for _, trunk, _ in through}),
        *trunk_findings(laid, through),
        *_moves(laid),
        *_overhead(laid),
        *_no_tie(laid),
    )


def _plan(laid: LayoutFacts) -> Iterator[Finding]:
    if not laid.tracks:
        says = "No line has a place yet, so no posts are laid out."
        yield _finding("no_line_placed", "note", (), says, "Draw a line through surveyed points first.")
    elif laid.supports and not laid.job.posts:
        yield _finding("not_accepted", "note", (), "The plan isn't accepted yet.", "Look it over and accept it.")
    for post, kind in laid.lost:
        says = f"The log has a {kind} of {post}, which isn't in the plan."
        yield _finding("log_without_post", "note", (post, kind), says, "Log it again for the post that stands there now.")


def _lines(laid: LayoutFacts) -> Iterator[Finding]:
    """Lines without supports; ends and corners without one; posts past a line's end; two in one place."""
    for name, row in laid.rows.items():
        if len(row.supports) < 2:
            says = f"Line {name} has {'no posts' if not row.supports else 'only one post'} in the plan."
            yield _finding("line_without_posts", "fix", (name,), says, "Add its posts to the plan.")
        else:
            yield from _bare_points(laid, row)
            yield from _past_its_end(laid, row)
            yield from _in_one_place(row)


def _past_its_end(laid: LayoutFacts, row: LineRow) -> Iterator[Finding]:
    name, length_ft = row.track.name, row.track.length_ft
    for one in row.supports:
        if one.station_ft > length_ft + BENDS_FT and one.line == name and not laid.supports[one.id].moved:
            says = f"{one.id} is planned at {format_ft_in(one.station_ft)}, past the end of {name} at {format_ft_in(length_ft)}."
            yield _finding("post_past_end", "fix", (one.id, name), says, f"Correct the station of {one.id}.")


@remembered_same
def _in_one_place(row: LineRow) -> tuple[Finding, ...]:
    found = []
    for before, after in row.runs:
        if distance_ft(before.xy, after.xy) <= TOUCHING_FT:
            says = f"{before.id} and {after.id} stand in the same place."
            plain = [one.id for one in (before, after) if one.support == "driven" and one.kind == "line"]  # a gate or corner wants its own
            do = "Leave one of them out." if plain else "See what leaving either of them out would do."
            do = f"Leave {plain[0]} out." if len(plain) == 1 else do
            found.append(_finding("same_place", "fix", (before.id, after.id), says, do))
    return tuple(found)


def _bare_points(laid: LayoutFacts, row: LineRow) -> Iterator[Finding]:
    """Turns and ends of the path that no support stands near."""
    track, last = row.track, len(row.track.path) - 1
    for n in _bare(laid.job.rules.layout.move_reach_ft, track, tuple([laid.supports[name].meant for name in row.names])):
        at, station = track.path[n], track.stations_ft[n]
        end: LineEnd | None = None if track.closed or n not in (0, last) else "end" if n else "start"
        opened = any(low < station < high for low, high in gate_spans(laid.job, track).values())
        if not opened and not (end is not None and _gap_at_wall(laid, track, end == "start") is not None):
            where = f"turn at {format_ft_in(station)} on {track.name}" if end is None else f"{end} on {track.name}"
            says = f"No post stands at the {where}."
            placed = laid.survey.lines[track.name]
            names = dict(zip(placed.path, placed.vertices, strict=True))
            yield _finding("point_without_post", "fix", (track.name, names[at]), says, _do_at(laid, track, station, at, end))


def _do_at(laid: LayoutFacts, track: Track, station_ft: float, at: Point, end: LineEnd | None) -> str:
    """What to do where no post stands: hang it on what is there, as a fresh layout does; drive one where it may be; else draw it clear."""
    meets, name = what_meets(laid.job.lines[track.name], end) if end is not None else ("free", None)
    held = name if meets == "structure" and name in laid.job.structures and laid.job.structures[name].holds_eyes else None
    held = held or next((tree for tree in laid.job.trees if _may_carry(laid, tree, at, meant=(meets, name) == ("tree", tree))), None)
    if held is not None:
        return f"Lay {track.name} out afresh: that hangs its {end or 'turn'} on {held}. Or draw the line differently."
    why = why_none_may_stand(laid, track, station_ft, at)
    see = "See what a post there would do, or draw the line differently."
    return f"No post goes there, for {why}: draw the line clear of it." if why else see


def _may_carry(laid: LayoutFacts, name: str, at: Point, *, meant: bool) -> bool:
    """Whether a tree that a place is meant to hang on, or lies in the trunk of, is fit to carry cables and carries none yet."""
    tree, rules = laid.job.trees[name], laid.job.rules.layout
    if not tree.sound or tree.diameter_in < rules.tree_min_in or tree.point not in laid.survey.points:
        return False
    if any(one.support == "tree" and one.at == name for one in laid.supports.values()):
        return False
    return meant or distance_ft(laid.survey.points[tree.point].xy, at) <= tree.diameter_in / 24


@remembered
def _bare(reach_ft: float, track: Track, meant: tuple[Point, ...]) -> list[int]:
    """Numbers of the path's ends and turns that are further than a move reaches from where every support is meant to be."""
    last = len(track.path) - 1
    ends = () if track.closed else (0, last)
    wanted = (n for n, turn in enumerate(track.turns_deg) if n in ends or (n < last and abs(turn) > STRAIGHT_DEG))
    return [n for n in wanted if min(map(dist, meant, repeat(track.path[n]))) > reach_ft]


def _gap_at_wall(laid: LayoutFacts, track: Track, at_start: bool) -> float | None:
    """How far from a wall that holds no eyes the first support stands, ft; None where there is no such wall."""
    end = ENDS[0] if at_start else ENDS[1]
    meets, at = what_meets(laid.job.lines[track.name], end)
    row = laid.lines[track.name]
    if meets != "structure" or at not in laid.job.structures or laid.job.structures[at].holds_eyes or not row:
        return None
    return distance_ft(track.end_place(end), laid.supports[row[0 if at_start else -1][1]].xy)


def _ends(laid: LayoutFacts) -> Iterator[Finding]:
    for name, track in laid.tracks.items():
        for end in ENDS:
            gap_ft = _gap_at_wall(laid, track, end == "start")
            if gap_ft is not None and gap_ft > TAPE_FT:
                _, wall = what_meets(laid.job.lines[name], end)
                row = laid.lines[name]
                says = f"{wall} can't hold eyes, so {name} stops {format_ft_in(gap_ft)} short of it."
                subjects = (row[0 if end == "start" else -1][1], str(wall))
                yield _finding("gap_at_wall", "note", subjects, says, "Close the gap at the wall with fabric.")
    for meeting in laid.meetings:
        if meeting.off_ft > BENDS_FT:
            says = f"The {meeting.end} of {meeting.line} is {format_ft_in(meeting.off_ft)} off {meeting.host}, the line it meets."
            do = f"Measure that point again, or draw {meeting.line} to {meeting.host}."
            yield _finding("end_off_line", "fix", (meeting.line, meeting.host), says, do)


def _gates(laid: LayoutFacts) -> Iterator[Finding]:
    spans = {name: span for track in laid.tracks.values() for name, span in gate_spans(laid.job, track).items()}
    hung = {(bay.from_id, bay.to_id): bay.gate for bay in laid.bays.values() if bay.gate is not None}
    for name, gate in laid.job.gates.items():
        track = laid.tracks.get(gate.line)
        if track is None or not laid.lines[gate.line]:
            continue
        span = spans.get(name)
        if span is None:  # the survey says so
            continue
        yield from _off_line(laid, name)
        if name not in laid.gates:
            says = f"Gate {name} doesn't have two gate posts in the plan."
            where = f"from {format_ft_in(span[0])} to {format_ft_in(span[1])}"
            off = [post for _, post in laid.lines[gate.line] if _moved_off(laid.supports[post], span, track)]
            do = f"Lay {gate.line} out afresh: that sets them {where}, or says why it can't. Or put the gate elsewhere."
            if off:
                do = f"Move {listed(off)} or the gate so that they fit: its opening is {where}."
            yield _finding("gate_without_posts", "fix", (name, gate.line), says, do)
        else:
            yield from _in_its_opening(laid, name, hung.get(laid.gates[name]))
            yield from _where_surveyed(laid, name, [place(track, edge) for edge in span])
        for what, station in _in_the_way(laid, track):
            if span[0] + 0.5 < station < span[1] - 0.5:
                says = f"{gate.line} {what} at {format_ft_in(station)}, inside the opening of gate {name}."
                yield _finding("gate_in_the_way", "fix", (name, gate.line), says, "Move the gate clear of it.")


def _moved_off(support: Support, span: tuple[float, float], track: Track) -> bool:
    """Whether a post that was planned for an opening was moved: a fresh layout leaves it where it stands."""
    return (
        support.kind == "gate"
        and support.moved
        and any(distance_ft(support.planned, place(track, edge)) <= ONE_SUPPORT_FT for edge in span)
    )


def _in_its_opening(laid: LayoutFacts, gate: str, hung: str | None) -> Iterator[Finding]:
    """A gate whose posts aren't neighbours any more hangs nowhere, nor does one whose opening another takes, which is the one `hung`."""
    pair, row = laid.gates[gate], [post for _, post in laid.lines[laid.job.gates[gate].line]]
    if hung is not None:
        if hung != gate:
            says = f"Gates {gate} and {hung} lie in one opening, {pair[0]} to {pair[1]}: only {hung} can be hung there."
            yield _finding("gate_in_the_way", "fix", (gate, hung), says, "Put one of them elsewhere, or take it out.")
        return
    first, last = (row.index(post) for post in pair)
    between = row[first + 1 : last] if first < last else []
    if between:
        who = f"{listed(between)} {plural(len(between), 'stands', 'stand')}"
        says = f"{who} in the opening of gate {gate}, between {pair[0]} and {pair[1]}, so it can't be hung."
        do = f"See what leaving {listed(between)} out would do, or put the gate elsewhere."
        yield _finding("post_in_opening", "fix", (gate, *between), says, do)
    else:
        says = f"{pair[0]} and {pair[1]} leave gate {gate} no opening between them, so it can't be hung."
        yield _finding("post_in_opening", "fix", (gate, *pair), says, "Put its two posts where the gate begins and ends.")


def _where_surveyed(laid: LayoutFacts, gate: str, wanted: Sequence[Point]) -> Iterator[Finding]:
    """A gate that both its posts weren't meant for where the survey has it, nor were moved to."""
    pair = [laid.supports[post] for post in laid.gates[gate]]
    off_ft = min(min(distance_ft(one.meant, edge), distance_ft(one.xy, edge)) for one, edge in zip(pair, wanted, strict=True))
    if off_ft > ONE_SUPPORT_FT + EDGE_FT:
        far = format_ft_in(min(distance_ft(one.xy, edge) for one, edge in zip(pair, wanted, strict=True)))
        says = f"Gate {gate}: its posts stand {far} from where the survey has it."
        move = f"Move {pair[0].id} and {pair[1].id} there, which a fresh layout does while neither is driven"
        as_wide = abs(distance_ft(pair[0].xy, pair[1].xy) - distance_ft(*wanted)) <= ONE_SUPPORT_FT
        back = f"back in the survey, at {format_ft_in(pair[0].station_ft)} of {pair[0].line}" if as_wide else "elsewhere"
        do = f"{move}; or put the gate {back}."
        yield _finding("gate_elsewhere", "fix", (gate, *laid.gates[gate]), says, do)


def _off_line(laid: LayoutFacts, gate: str) -> Iterator[Finding]:
    """A gate's posts that stand off its line: a gate hangs in its fence, so its posts go along the line only."""
    for post in laid.gates.get(gate, ()):
        one = laid.supports[post]
        if one.line == laid.job.gates[gate].line and abs(one.offset_ft) * 12 > laid.job.rules.gate.opening_tolerance_in:
            side = "right" if one.offset_ft > 0 else "left"
            says = f"{post}, a post of gate {gate}, stands {format_ft_in(abs(one.offset_ft))} {side} of {one.line}, off the line."
            yield _finding("gate_post_off_line", "fix", (post, gate), says, _back_onto_line(one))


def _back_onto_line(post: Support) -> str:
    """What to do with a gate's post off its line: a driven one is moved, what holds the others stays where it is."""
    if post.support == "driven":
        return "See what bringing it back onto the line would do; along it the two posts may move together."
    if post.support == "tree":
        fresh = f"leave {post.id} out and lay {post.line} out afresh, which sets a post on the line if the ground lets it"
        return f"Tree {post.at} stays where it grows: {fresh}. Or put the gate elsewhere."
    return f"{post.at} stays where it is built: draw {post.line} to where it holds the post, or put the gate elsewhere."


def _in_the_way(laid: LayoutFacts, track: Track) -> Iterator[tuple[str, float]]:
    for station, turn in list(zip(track.stations_ft, track.turns_deg, strict=True))[1:-1]:
        if abs(turn) > STRAIGHT_DEG:
            yield "turns", station
    for meeting in laid.meetings:
        if meeting.host == track.name:
            yield f"meets {meeting.line}", meeting.station_ft


def _walls(laid: LayoutFacts) -> Iterator[Finding]:
    """Supports on what can't carry an eye: it was found out once the plan stood."""
    for support in laid.supports.values():
        wall = laid.job.structures.get(support.at or "") if support.support == "structure" else None
        if wall is not None and not wall.holds_eyes:
            says = f"{support.id} is on {support.at}, which can't hold eyes."
            do = f"Lay {support.line} out afresh: that ends it at a post short of it."
            yield _finding("wall_unfit", "fix", (support.id, str(support.at)), says, do)


def _trees(laid: LayoutFacts, in_the_way: Collection[str]) -> Iterator[Finding]:
    held = [support for support in laid.supports.values() if support.support == "tree"]
    least_in = laid.job.rules.layout.tree_min_in
    for support in held:
        tree = laid.job.trees.get(support.at or "")
        if tree is not None and not (tree.sound and tree.diameter_in >= least_in):
            why = "isn't sound" if not tree.sound else f"is {format_in(tree.diameter_in)} through, under {format_in(least_in)}"
            says = f"{support.id} is on tree {support.at}, which {why}."
            yield _finding("tree_unfit", "fix", (support.id, str(support.at)), says, "Drive a post beside it instead.")
    for (_, used), together in groupby(sorted(filter(_names_tree, held), key=_line_and_tree), key=_line_and_tree):
        names = [one.id for one in together]
        if len(names) > 1:
            says = f"Tree {used} is named for {listed(names)}, and it can be but one support."
            do = f"Only one stays: see what leaving {' or '.join(names)} out would do, or put a post there."
            yield _finding("tree_used_twice", "fix", (*names, used), says, do)
    if held:
        where = ", ".join(f"{support.id} ({support.at or 'no tree named'})" for support in held)
        says = f"Trees carry the cables at {where}."
        do = f"See that each is sound and at least {format_in(least_in)} through."
        yield _finding("trees_used", "note", [support.id for support in held], says, do)
    told = {*(support.at for support in held), *in_the_way}
    for line, row in laid.trees.items():
        for near in row:
            if not near.carries and near.tree not in told:
                tree = laid.job.trees[near.tree]
                why = f"only {format_in(tree.diameter_in)} through" if tree.sound else "not sound"
                says = f"Tree {near.tree} at {format_ft_in(near.station_ft)} on {line} is {why}, so no cable hangs on it."
                yield _finding("tree_too_thin", "note", (near.tree, line), says, "Keep the fence from rubbing on it.")


def _names_tree(support: Support) -> bool:
    return support.at is not None


def _line_and_tree(support: Support) -> tuple[str, str]:
    return support.line, str(support.at)


def _moves(laid: LayoutFacts) -> Iterator[Finding]:
    for support in laid.supports.values():
        if (support.moved or support.support == "tree") and abs(support.offset_ft) > BENDS_FT:
            side = "right" if support.offset_ft > 0 else "left"
            says = (
                f"{support.id} stands {format_ft_in(abs(support.offset_ft))} {side} of {support.line}, "
                f"so the fence turns {abs(support.turn_deg):.0f}° there."
            )
            yield _finding("bends", "note", (support.id,), says, "Look along the line and check that it may bend there.")


def _overhead(laid: LayoutFacts) -> Iterator[Finding]:
    """Overhead lines aren't keep-outs, but posts stand up under them."""
    high = [(name, utility) for name, utility in laid.job.utilities.items() if utility.kind == "overhead"]
    if not high:
        return
    fence = shapely.MultiLineString([track.path for track in laid.tracks.values()])
    for name, utility in high:
        spots = [laid.survey.points[point].xy for point in utility.points if point in laid.survey.points]
        whole = len(spots) == len(utility.points) and len(set(spots)) > 1 and not fence.is_empty
        where = _where_overhead(shapely.distance(fence, shapely.LineString(spots))) if whole else "is on the site"
        do = "Look up before standing a post, and keep posts and tools well clear of it."
        yield _finding("overhead", "note", (name,), f"Overhead line {name} {where}.", do)


def _where_overhead(away_ft: float) -> str:
    return "crosses the fence" if away_ft == 0 else f"passes {format_ft(away_ft)} from the fence"


def _no_tie(laid: LayoutFacts) -> Iterator[Finding]:
    bare = [name for name, support in laid.supports.items() if support.support == "driven" and name not in laid.ties]
    if bare:
        says = f"No two points make a good tape tie for {first_few(bare)}."
        yield _finding("no_tape_tie", "note", bare, says, "Set them by string and distance, or survey another point in reach.")
