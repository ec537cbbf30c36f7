"""What nobody means to log: a place past a line's end, far off it, in an opening or where one stands; a move past the next or of a tree."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from engine.calc.geometry.plane import distance_ft, station_offset
from engine.calc.length_words import plain_width
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import EDGE_FT, ONE_SUPPORT_FT, TAPE_FT, TOUCHING_FT
from engine.job.edit.entered_sizes import too_far_round
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.log_entries import ObstacleEntry
from engine.stages.layout.line_tracks import on_line_ft, place, tracks
from engine.stages.layout.stage import Support
from engine.walk import Walk


def from_first_point(job: Job, before: Walk, steps: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Steps with what is added at a ring's length told at its first point, 0: the tape comes back to where it began."""
    lines = tracks(job, before.survey)
    adds = {n: lines[step["line"]] for n, step in enumerate(steps) if step["kind"] == "add" and step["line"] in lines}
    at_end = {n: track for n, track in adds.items() if 0 < steps[n]["station_ft"] <= track.length_ft + EDGE_FT}
    return [{**step, "station_ft": on_line_ft(at_end[n], step["station_ft"])} if n in at_end else step for n, step in enumerate(steps)]


def refuse_far_steps(job: Job, before: Walk, steps: Sequence[Mapping[str, Any]]) -> None:
    """Refuse steps that no crew means, judged by where the posts stand once all of them are taken.

    A post may go as far along its line as its neighbours stand, and off it as far as a bay may be long: further is a post more, or a new
    way. A tree carries the cables where it is sound, thick enough, free, and no further off the line than a fence bends to one or a post is
    moved; what a building holds stays where that is built. What this walk doesn't hold is left to the edit, which knows the names.
    """
    supports = before.layout.supports
    moved: dict[str, tuple[float, float]] = {}
    for step in steps:
        post = supports.get(step.get("post", ""))
        if post is not None and post.support == "structure":
            says = f"{post.id} is held by {post.at or 'a building'}, which stays where it is built."
            raise EditRefused(
                f"{says} Draw {post.line} to where it is wanted, or log a new way there.", "along_ft" if step["kind"] == "move" else ""
            )
        if step["kind"] == "add":
            _refuse_far_post(job, before, step)
        elif post is not None and step["kind"] == "move":
            if post.support == "tree":
                says = f"{post.id} is tree {post.at}, which stays where it grows. Add a post where one is wanted and leave {post.id} out."
                raise EditRefused(says, "along_ft")
            along_ft, out_ft = moved.get(post.id, (0.0, 0.0))
            moved[post.id] = along_ft + step.get("along_ft", 0.0), out_ft + step.get("out_ft", 0.0)
        elif post is not None and step["kind"] == "swap":
            moved[post.id] = _to_the_tree(job, before, post, step["tree"])
    gone = {step["post"] for step in steps if step["kind"] == "drop"}
    for name, (_, out_ft) in moved.items():
        _refuse_far_off(job, supports[name], supports[name].offset_ft + out_ft)
    _refuse_where_one_stands(job, before, steps, moved, gone)
    for line in dict.fromkeys(supports[name].line for name in moved):
        _refuse_passing(job, before, line, {name: along for name, (along, _) in moved.items()}, gone)


def refuse_far_obstacle(job: Job, before: Walk, found: ObstacleEntry) -> None:
    """Refuse a place in the ground that lies past an end of the line by more than a post is moved, or off it by more than a bay is long;
    and a size that keeps posts off where none comes: further round it than a bay may be long, longer than its line with what a post may be
    moved past both ends, wider than a bay to both sides. Common practice, no source: further off is another fence."""
    rules, placed = job.rules.layout, before.survey.lines.get(found.line)
    most_ft = rules.bay_max_ft
    _refuse_past_end(before, found.line, found.station_ft, rules.move_reach_ft)
    if found.radius_ft > most_ft + EDGE_FT:
        raise EditRefused(f"{too_far_round(rules, found.radius_ft)} Its size goes into the boxes below.", "radius_ft")
    if placed is not None and (found.long_ft or 0.0) > placed.length_ft + 2 * rules.move_reach_ft:
        says = f"{format_ft_in(found.long_ft or 0.0)} is longer than {found.line}, which is {format_ft_in(placed.length_ft)} long."
        raise EditRefused(f"{says} Give as much as lies along the line.", "long_ft")
    if (found.wide_ft or 0.0) > 2 * most_ft + EDGE_FT:
        says = f"{format_ft_in(found.wide_ft or 0.0)} reaches further to both sides than a bay may be long ({format_ft_in(most_ft)})."
        raise EditRefused(f"{says} Give as much as lies so near to the line, {format_ft_in(2 * most_ft)} at most.", "wide_ft")
    _refuse_off_line(job, found.line, found.offset_ft, found.off_line_ft, "No post comes there: correct the offset.")


def _refuse_far_post(job: Job, before: Walk, step: Mapping[str, Any]) -> None:
    line, station_ft = step["line"], step["station_ft"]
    _refuse_past_end(before, line, station_ft, EDGE_FT)
    offset_ft = step.get("offset_ft", 0.0)
    _refuse_off_line(job, line, offset_ft, abs(offset_ft), "Log a new way for that stretch.")
    for bay in before.layout.bays.values():
        if bay.gate is not None and bay.line == line and bay.start_ft + EDGE_FT < station_ft < bay.end_ft - EDGE_FT:
            raise EditRefused(
                f"{format_ft_in(station_ft)} on {line} is in the opening of gate {bay.gate}, {format_ft_in(bay.start_ft)} to "
                f"{format_ft_in(bay.end_ft)}. Give a station outside it.",
                "station_ft",
            )


def _refuse_where_one_stands(
    job: Job, before: Walk, steps: Sequence[Mapping[str, Any]], moved: Mapping[str, tuple[float, float]], gone: set[str]
) -> None:
    """Refuse a post in another one's place or too near it. A tree's is left: one driven beside it takes over before it is left out."""
    lines = tracks(job, before.survey)
    onto_tree = {step["post"] for step in steps if step["kind"] == "swap"}
    staying = [one for one in before.layout.supports.values() if one.support != "tree" and one.id not in gone | onto_tree]
    for step in steps:
        if step["kind"] != "add" or step["line"] not in lines:
            continue
        line, station_ft = step["line"], step["station_ft"]
        spot = place(lines[line], station_ft, step.get("offset_ft", 0.0))
        for one in staying:
            along_ft, out_ft = moved.get(one.id, (0.0, 0.0))
            there = place(lines[one.line], one.station_ft + along_ft, one.offset_ft + out_ft) if one.id in moved else one.xy
            off_ft = distance_ft(spot, there)
            if off_ft < ONE_SUPPORT_FT - EDGE_FT:
                at, leave = f"{format_ft_in(station_ft)} on {line}", f", or leave {one.id} out first" if one.support == "driven" else ""
                first = ", the ring's first point" if lines[line].closed and station_ft == 0 else ""
                says = f"{one.id} stands at {at} already{first}: no second post goes there."
                if off_ft > TOUCHING_FT:
                    nearest = format_ft_in(ONE_SUPPORT_FT)
                    says = f"{one.id} stands {format_ft_in(off_ft)} from there: no second post goes nearer than {nearest} to it."
                raise EditRefused(f"{says} Give another station{leave}.", "station_ft")


def _refuse_off_line(job: Job, line: str, offset_ft: float, nearest_ft: float, do: str) -> None:
    most_ft = job.rules.layout.bay_max_ft
    if nearest_ft > most_ft:
        there = f"{format_ft_in(abs(offset_ft))} {'right' if offset_ft > 0 else 'left'} of {line}"
        raise EditRefused(f"{there} is further off it than a bay may be long ({format_ft_in(most_ft)}). {do}", "offset_ft")


def _refuse_past_end(before: Walk, line: str, station_ft: float, more_ft: float) -> None:
    placed = before.survey.lines.get(line)
    if placed is None or -more_ft <= station_ft <= placed.length_ft + more_ft:
        return
    lies = "lies past its end" if station_ft > 0 else "lies before its start"
    raise EditRefused(
        f"{line} is {format_ft_in(placed.length_ft)} long, and {format_ft_in(station_ft)} {lies}. Correct the station.", "station_ft"
    )


def _to_the_tree(job: Job, before: Walk, post: Support, tree: str) -> tuple[float, float]:
    """How far along and off its line a swap takes a post, ft."""
    wanted, rules = job.trees.get(tree), job.rules.layout
    if wanted is None or wanted.point not in before.survey.points:
        return 0.0, 0.0
    if user := next((one.id for one in before.layout.supports.values() if one.support == "tree" and one.at == tree), None):
        raise EditRefused(f"Tree {tree} carries the cables of {user} already. Choose another tree, or drive a post.")
    if not wanted.sound or wanted.diameter_in < rules.tree_min_in:
        why = f"is {plain_width(wanted.diameter_in)} through, under {plain_width(rules.tree_min_in)}" if wanted.sound else "isn't sound"
        raise EditRefused(f"Tree {tree} {why}: it carries no cables. Choose another tree, or drive a post.")
    station_ft, offset_ft = station_offset(before.survey.lines[post.line].path, before.survey.points[wanted.point].xy)
    most_ft = max(rules.tree_reach_ft, rules.tree_bend_ft, rules.move_reach_ft)
    if abs(offset_ft) > most_ft + TAPE_FT:
        raise EditRefused(
            f"Tree {tree} stands {format_ft_in(abs(offset_ft))} off {post.line}; a fence bends to a tree within {format_ft_in(most_ft)}. "
            "Choose another tree, or log a new way for that stretch."
        )
    along_ft = station_ft - post.station_ft
    round_ft = before.survey.lines[post.line].length_ft if job.lines[post.line].closed else 0.0
    return min(along_ft, along_ft - round_ft, along_ft + round_ft, key=abs), offset_ft - post.offset_ft


def _refuse_far_off(job: Job, post: Support, offset_ft: float) -> None:
    most_ft = max(job.rules.layout.bay_max_ft, abs(post.offset_ft))
    if abs(offset_ft) > most_ft + EDGE_FT:
        raise EditRefused(
            f"{post.id} would stand {format_ft_in(abs(offset_ft))} off {post.line}, further than a bay may be long "
            f"({format_ft_in(job.rules.layout.bay_max_ft)}). Log a new way for that stretch.",
            "out_ft",
        )


def _refuse_passing(job: Job, before: Walk, line: str, along_ft: Mapping[str, float], gone: set[str]) -> None:
    """Refuse posts that come past, or within half a foot of, a neighbour that they don't stand so near today."""
    row = [name for name in before.layout.lines[line].supports if name not in gone]
    today = [before.layout.supports[name].on_line(line, before.survey.lines[line].path)[0] for name in row]
    placed = list(zip(row, today, strict=True))
    if job.lines[line].closed and len(row) > 2:
        placed.append((row[0], today[0] + before.layout.lines[line].length_ft))
    for (first, first_ft), (second, second_ft) in pairwise(placed):
        shift_ft = along_ft.get(second, 0.0) - along_ft.get(first, 0.0)
        apart_ft = second_ft - first_ft
        if shift_ft < 0 and apart_ft + shift_ft < min(ONE_SUPPORT_FT, apart_ft) - EDGE_FT:
            post, other = (first, second) if along_ft.get(first, 0.0) > 0 else (second, first)
            raise EditRefused(
                f"{post} would come as far as {other}, {format_ft_in(abs(apart_ft))} from it. "
                f"Move it less; or leave {post} out and add a post where one is wanted.",
                "along_ft",
            )
