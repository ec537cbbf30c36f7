"""What the keys for what happened do: a move, an obstacle, a tree, a post more or less, a note, a photo, an accepted plan."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from engine.calc.length_words import said_in_units
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import SAME_SPOT_FT
from engine.job.edit.entering import RECORD_TABLES
from tui.base.theme import SIGNS
from tui.boxes.in_name import by_name
from tui.screens.photo_keys import log_photo

if TYPE_CHECKING:
    from tui.boxes.change.move import Settled
    from tui.boxes.change.new_way_box import AcceptedNewWay
    from tui.boxes.choice import Choice
    from tui.boxes.log_box import Came, Spot
    from tui.screens.walk_screen import WalkScreen
    from tui.working.working_copy import Edit


class WhatHappened:
    """The keys that log."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen, self.hand = screen, screen.hand

    @by_name
    async def action_log(self) -> None:
        from tui.boxes.choice import Choice
        from tui.boxes.log_box import KINDS

        match await self.screen.ask(Choice("What happened", KINDS)):
            case "move" | "swap" | "add" | "drop" | "reroute" if not self._planned():
                return
            case "obstacle":
                await self._log_obstacle()
            case "move":
                await self._move()
            case "swap":
                await self._log_swap()
            case "add":
                await self._log_add()
            case "drop":
                await self._log_drop()
            case "reroute":
                await self._log_new_way()
            case "sleeve":
                await self._log_sleeve()
            case "delivery":
                await self._log_delivery()
            case "note":
                await self._log_note()
            case "photo":
                await log_photo(self.screen)
            case "strike":
                await self.screen.run_action("log_page")

    @by_name
    async def action_move(self) -> None:
        if self._planned():
            await self._move()

    async def _move(self) -> None:
        post = self.screen.chosen if self._standing(self.screen.chosen) else await self._ask_post("Which post moves")
        if post is not None:
            await self._settle(post)

    async def _settle(self, post: str, why: str = "") -> None:
        """The move dialog, with the reason as far as it is known; what it settles is one edit."""
        from engine.change.settling import settled
        from tui.boxes.change.move import MoveDialog

        if not self._planned():
            return
        dialog = MoveDialog(post, self.hand, why)

        async def made(done: "Settled") -> bool:
            does = "moved" if len(done.steps) == 1 and done.steps[0]["kind"] == "move" else "settled"
            return not dialog.told_anew() and self.screen.edit(
                f"{dialog.post} {does}", lambda job, at, by: settled(job, self.hand.walk, done.steps, at, by, why=done.why)
            )

        if await self.screen.ask_then(dialog, made) is not None:
            self.screen.chosen = dialog.post

    async def settle_refused(self, post: str) -> None:
        """A sleeve that stopped short: the rock as a keep-out if the crew says so, then where the post goes."""
        from engine.change.found_in_ground import rock_where_it_stopped
        from engine.change.settling import stopped_says, why_refused
        from tui.boxes.choice import Answer, Choice

        walked, refused = self.hand.walk, self.hand.thing(post)
        answers = (
            Answer("yes", said_in_units("yes, a rock: nothing within 1 ft of it from now on"), "y"),
            Answer("no", "no, just find another spot", "n"),
        )

        async def seen(answer: str) -> bool:
            words = f"Rock on {walked.layout.supports[post].line}"
            return answer == "no" or await self.screen.shown_first(
                words, words, lambda job, at, by: rock_where_it_stopped(job, walked, post, at, by)
            )

        question = Choice(stopped_says(walked, post), answers, "Log the rock as a keep-out?", uncalled=True)
        if await self.screen.ask_then(question, seen) is not None:
            await self._settle(refused.now, why_refused(walked, post))

    async def _log_obstacle(self) -> None:
        from engine.change.found_in_ground import in_its_way, obstacle_found

        def found(spot: "Spot") -> "Edit":
            fields = {"offset_ft": spot.offset_ft, "radius_ft": spot.radius_ft, "text": spot.text}
            fields |= {"long_ft": spot.long_ft, "wide_ft": spot.wide_ft}
            return lambda job, at, by: obstacle_found(job, self.hand.walk, spot.what, spot.line, spot.station_ft, at, by, **fields)  # type: ignore[arg-type]  # a choice of the dialog

        def words(spot: "Spot") -> str:
            return f"{spot.what[:1].upper()}{spot.what[1:]} on {spot.line}"

        spot = await self._ask_spot("An obstacle in the ground", words, found, obstacle=True)
        if spot is not None and (post := in_its_way(self.hand.job, self.hand.walk, self.screen.chosen)) is not None:
            await self._settle(post, spot.text or spot.what)

    async def _log_add(self) -> None:
        from engine.change.settling import settled

        def added(spot: "Spot") -> "Edit":
            step = {"kind": "add", "line": spot.line, "station_ft": spot.station_ft, "offset_ft": spot.offset_ft}
            return lambda job, at, by: settled(job, self.hand.walk, (step,), at, by, why=spot.text)

        await self._ask_spot("One more post", lambda spot: f"Post added on {spot.line}", added, obstacle=False)

    async def _log_swap(self) -> None:
        from engine.change.settling import settled, tree_choices
        from tui.boxes.choice import Answer, Choice

        picked = await self._ask_post("Which post is swapped for a tree")
        if picked is None:
            return
        post, refused = self.hand.thing(picked), ""

        def trees() -> "Choice[str]":
            answers = [Answer(choice.tree, choice.words) for choice in tree_choices(self.hand.job, self.hand.walk, post.now)]
            return Choice(f"Which tree takes the place of {post.now}", answers, refused)

        def swapped(tree: str) -> "Edit":
            step = {"kind": "swap", "post": post.now, "tree": tree}
            return lambda job, at, by: settled(job, self.hand.walk, (step,), at, by)

        while self._standing(post.now) and (tree := await self._pick(trees())) is not None:
            if (error := self.hand.refusal(swapped(tree))) is None:
                words = f"{post.now} to tree {tree}"
                await self.screen.shown_first(words, words, swapped(tree))
                return
            refused = f"{SIGNS['fix']} {error}"

    async def _log_drop(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.choice import Ask

        picked = await self._ask_post("Which post is left out", trees=True)
        if picked is None:
            return
        post = self.hand.thing(picked)

        async def left_out(why: str) -> bool:
            words = f"{post.now} left out"
            return await self.screen.shown_first(words, words, lambda job, at, by: edits.drop_post(job, post.now, at, by, why=why))

        await self.screen.ask_then(Ask(lambda: f"Why is {post.now} left out", placeholder="why"), left_out)

    async def _log_sleeve(self) -> None:
        """An old sleeve that stays: which one, and why."""
        from engine.job.edit import edits
        from engine.stages.posts.sleeves.old_sleeves import may_be_cut_off
        from tui.boxes.choice import Answer, Ask, Choice

        old = may_be_cut_off(self.hand.job, self.hand.walk.layout, self.hand.walk.posts.old_sleeves)
        if not old:
            self.screen.say("There is no old sleeve of which nobody said yet that it was pulled or cut off.")
            return
        answers, since = [Answer(key, f"{one.post}, {one.says}") for key, one in old.items()], len(self.hand.new_names)
        picked = await self.screen.ask(Choice("Which old sleeve stays in the ground", answers))
        if picked is None:
            return
        post, there = self.hand.thing(old[picked].post, since), old[picked].there

        async def stays(why: str) -> bool:
            words = f"{post.now}'s old sleeve cut off"
            return await self.screen.shown_first(words, words, lambda job, at, by: edits.sleeve_left(job, post.now, there, at, by, why=why))

        box = Ask(lambda: f"Why does {post.now}'s old sleeve stay", placeholder="it wouldn't come out")
        await self.screen.ask_then(box, stays)

    async def _log_new_way(self) -> None:
        from engine.change.new_way.job_after import with_new_way
        from tui.boxes.change.new_way_box import NewWayDialog

        post = self.screen.chosen if self._standing(self.screen.chosen) else None
        dialog = NewWayDialog(self.hand, post or "")

        async def made(done: "AcceptedNewWay") -> bool:
            return not dialog.told_anew() and self.screen.edit(
                f"new way from {done.given_up.way.from_post} to {done.given_up.way.to_post}",
                lambda job, at, by: with_new_way(job, self.hand.walk, done.given_up, at, by, why=done.why, stays=done.stays),
            )

        await self.screen.ask_then(dialog, made)

    async def _log_delivery(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.log_box import DeliveryDialog
        from tui.boxes.materials import delivery_rows

        def came_in(came: "Came") -> "Edit":
            said = {"packs": came.packs, "loose": came.loose, "brought_by": came.brought_by, "text": came.text}
            return lambda job, at, by: edits.delivery(job, came.stock, at, by, **said)  # type: ignore[arg-type]  # as the dialog read them

        stock = delivery_rows(self.hand.job, self.hand.walk)
        called = {row.stock: name for name, row in stock.items()}
        dialog = DeliveryDialog(stock, lambda came: self.hand.refusal(came_in(came)))
        await self.screen.ask_then(
            dialog, lambda came: self.screen.shown_first("A delivery", f"{called[came.stock]} came in", came_in(came))
        )

    async def _log_note(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.choice import Ask

        about = self.hand.thing(self.screen.chosen or "")
        stood = self._is_there(about.now)

        def gone() -> str:
            nonlocal stood
            told, stood = stood and not self._is_there(about.now), self._is_there(about.now)
            return f"{about.now} was taken out on another laptop meanwhile. Enter once more logs the note all the same." if told else ""

        box = Ask(lambda: f"Note about {about.now}" if about.now else "Note", placeholder="plain words", wrong=gone)

        async def noted(words: str) -> bool:
            return self.screen.edit("note", lambda job, at, by: edits.note(job, words, at, by, about=about.now))

        await self.screen.ask_then(box, noted)

    def _planned(self) -> bool:
        """Whether there is an accepted plan to change; told where there is none."""
        if not self.hand.job.posts:
            self.screen.warn("There is no accepted plan to change. Accept the layout first.")
        return bool(self.hand.job.posts)

    def _is_there(self, name: str) -> bool:
        """Whether something of this name stands, or is written down."""
        layout = self.hand.walk.layout
        return name in layout.supports or name in layout.bays or any(name in getattr(self.hand.job, table) for table in RECORD_TABLES)

    def _standing(self, name: str | None) -> bool:
        return bool(name) and name in self.hand.walk.layout.supports

    async def _ask_post(self, title: str, *, trees: bool = False) -> str | None:
        """The chosen post, or one picked from all driven ones, or from trees too."""
        from engine.change.settling import posts_to_choose
        from tui.boxes.choice import Answer, Choice

        answers = [
            Answer(post.id, f"{post.id:<5} {post.kind:<7} {format_ft_in(post.station_ft):>11} on {post.line}")
            for post in posts_to_choose(self.hand.walk, self.screen.chosen, trees=trees)
        ]
        return await self._pick(Choice(title, answers))

    async def _pick(self, of_things: "Choice[str]") -> str | None:
        """What is picked of several things, by what it is called by then."""
        since = len(self.hand.new_names)
        picked = await self.screen.ask(of_things)
        return None if picked is None else self.hand.thing(picked, since).now

    async def _ask_spot(
        self, title: str, words: "Callable[[Spot], str]", edit: "Callable[[Spot], Edit]", *, obstacle: bool
    ) -> "Spot | None":
        """A spot that was logged, once what it does was seen; the box starts from the chosen thing's place."""
        from engine.change.found_in_ground import where_chosen
        from tui.boxes.log_box import SpotDialog, StartsAt

        lines = tuple(self.hand.job.lines)
        if not lines:
            self.screen.warn("There is no line yet. Draw one through surveyed points first.")
            return None
        line, station_ft, offset_ft = where_chosen(self.hand.job, self.hand.walk, self.screen.chosen or "")
        offset = format_ft_in(offset_ft) if obstacle and abs(offset_ft) >= SAME_SPOT_FT else ""
        starts = StartsAt(line, "" if station_ft is None else format_ft_in(station_ft), offset)
        dialog = SpotDialog(
            title,
            lines,
            starts,
            lambda spot: self.hand.refusal(edit(spot)),
            self.hand,
            obstacle=obstacle,
        )
        return await self.screen.ask_then(dialog, lambda spot: self.screen.shown_first(words(spot), words(spot), edit(spot)))
