"""What the keys for what happened do: a move, an obstacle, a tree, a post more or less, a note, an accepted plan."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content

from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import SAME_SPOT_FT
from tui.base.theme import SIGNS
from tui.screens.by_whom import ByWhom, by_name

if TYPE_CHECKING:
    from tui.boxes.log_box import Came, Spot
    from tui.boxes.move import Settled
    from tui.boxes.new_way_box import AcceptedNewWay
    from tui.working.working_copy import Edit


class LogActions(ByWhom):
    """The keys that log."""

    @by_name
    def action_log(self) -> None:
        """Choose what happened, then answer its questions."""
        self._log()

    @work
    async def _log(self) -> None:
        from tui.boxes.choice import Choice
        from tui.boxes.log_box import KINDS

        rows = [(kind, Content(f"{key}  {words}")) for kind, key, words in KINDS]
        kind = await self.app.push_screen_wait(Choice("What happened", rows, keys={key: kind for kind, key, _ in KINDS}))
        match kind:
            case "obstacle":
                self._log_obstacle()
            case "move":
                self.action_move()
            case "swap":
                self._log_swap()
            case "add":
                self._log_add()
            case "drop":
                self._log_drop()
            case "reroute":
                self._log_new_way()
            case "sleeve":
                self._log_sleeve()
            case "delivery":
                self._log_delivery()
            case "note":
                self._log_note()
            case "strike":
                await self.run_action("log_page")

    @by_name
    def action_move(self) -> None:
        """Move the chosen post, its consequences first."""
        self._move()

    @work
    async def _move(self) -> None:
        post = self.chosen if self._standing(self.chosen) else await self._ask_post("Which post moves")
        if post is not None:
            await self._settle(post)

    async def _settle(self, post: str) -> None:
        """The move dialog; what it settles is one edit."""
        from engine.change.settling import settled
        from tui.boxes.move import MoveDialog

        working = self.working
        dialog = MoveDialog(post, working.start, working.walk, working.clock(), working.by)
        done: Settled | None = await self.app.push_screen_wait(dialog)
        if done is None:
            return
        words = f"{post} moved" if len(done.steps) == 1 and done.steps[0]["kind"] == "move" else f"{post} settled"
        if self.edit(words, lambda job, at, by: settled(job, self.working.walk, done.steps, at, by, why=done.why)):
            self.chosen = post

    @work
    async def settle_refused(self, post: str) -> None:
        """A sleeve that stopped short: the rock as a keep-out if the crew says so, then where the post goes."""
        from engine.change.found_in_ground import rock_where_it_stopped
        from engine.change.settling import stopped_says
        from tui.boxes.choice import Choice

        walked = self.working.walk
        rows = [("yes", Content("y  yes, a rock: nothing within 1 ft of it from now on")), ("no", Content("n  no, just find another spot"))]
        answer = await self.app.push_screen_wait(
            Choice(stopped_says(walked, post), rows, "Log the rock as a keep-out?", {"y": "yes", "n": "no"})
        )
        if answer == "yes":
            line = walked.layout.supports[post].line
            self.edit(f"rock on {line}", lambda job, at, by: rock_where_it_stopped(job, walked, post, at, by))
        if answer is not None:
            await self._settle(post)

    @work
    async def _log_obstacle(self) -> None:
        from engine.change.found_in_ground import in_its_way, obstacle_found

        walked = self.working.walk

        def found(spot: "Spot") -> "Edit":
            fields = {"offset_ft": spot.offset_ft, "radius_ft": spot.radius_ft, "text": spot.text}
            fields |= {"long_ft": spot.long_ft, "wide_ft": spot.wide_ft}
            return lambda job, at, by: obstacle_found(job, walked, spot.what, spot.line, spot.station_ft, at, by, **fields)  # type: ignore[arg-type]  # a choice of the dialog

        spot: Spot | None = await self._ask_spot("An obstacle in the ground", found, obstacle=True)
        if spot is not None:
            words = f"{spot.what[:1].upper()}{spot.what[1:]} on {spot.line}"
            if await self.shown_first(words, words, found(spot)):
                post = in_its_way(self.working.job, self.working.walk, self.chosen)
                if post is not None:
                    await self._settle(post)

    @work
    async def _log_add(self) -> None:
        from engine.change.settling import settled

        walked = self.working.walk

        def added(spot: "Spot") -> "Edit":
            step = {"kind": "add", "line": spot.line, "station_ft": spot.station_ft, "offset_ft": spot.offset_ft}
            return lambda job, at, by: settled(job, walked, (step,), at, by, why=spot.text)

        spot: Spot | None = await self._ask_spot("One more post", added, obstacle=False)
        if spot is not None:
            await self.shown_first("One more post", f"post added on {spot.line}", added(spot))

    @work
    async def _log_swap(self) -> None:
        from engine.change.settling import settled, tree_choices
        from tui.boxes.choice import Choice

        post = await self._ask_post("Which post is swapped for a tree")
        if post is None:
            return
        trees = [(choice.tree, Content(choice.words)) for choice in tree_choices(self.working.job, self.working.walk, post)]
        walked, refused = self.working.walk, ""

        def swapped(tree: str) -> "Edit":
            step = {"kind": "swap", "post": post, "tree": tree}
            return lambda job, at, by: settled(job, walked, (step,), at, by)

        while (tree := await self.app.push_screen_wait(Choice(f"Which tree takes the place of {post}", trees, refused))) is not None:
            if (error := self.refusal(swapped(tree))) is None:
                await self.shown_first(f"{post} to tree {tree}", f"{post} to tree {tree}", swapped(tree))
                return
            refused = f"{SIGNS['fix']} {error}"

    @work
    async def _log_drop(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.choice import Ask

        post = await self._ask_post("Which post is left out")
        if post is not None:
            why = await self.app.push_screen_wait(Ask(f"Why is {post} left out", placeholder="why"))
            if why is not None:
                words = f"{post} left out"
                await self.shown_first(words, words, lambda job, at, by: edits.drop_post(job, post, at, by, why=why))

    @work
    async def _log_sleeve(self) -> None:
        """An old sleeve that stays: which one, and why."""
        from engine.job.edit import edits
        from engine.stages.posts.old_sleeves import place_words
        from tui.boxes.choice import Ask, Choice

        old = {str(sleeve.key): sleeve for sleeve in self.working.walk.posts.old_sleeves if sleeve.there is not None}
        if not old:
            self.notify("No post has left an old sleeve behind, so there is none to cut off.")
            return
        rows = [(key, Content(f"{sleeve.post}, {sleeve.what}{place_words(sleeve)}")) for key, sleeve in old.items()]
        picked = await self.app.push_screen_wait(Choice("Which old sleeve stays in the ground", rows))
        if picked is None:
            return
        sleeve = old[picked]
        why = await self.app.push_screen_wait(Ask(f"Why does {sleeve.post}'s old sleeve stay", placeholder="it wouldn't come out"))
        if why is not None and sleeve.there is not None:
            there, words = sleeve.there, f"{sleeve.post}'s old sleeve cut off"
            await self.shown_first(words, words, lambda job, at, by: edits.sleeve_left(job, sleeve.post, there, at, by, why=why))

    @work
    async def _log_new_way(self) -> None:
        from engine.change.new_way.job_after import with_new_way
        from tui.boxes.new_way_box import NewWayDialog

        working = self.working
        if not working.job.posts:
            self.notify("There is no accepted plan to change. Accept the layout first.", severity="warning")
            return
        post = self.chosen if self._standing(self.chosen) else None
        dialog = NewWayDialog(working.start, working.walk, working.clock(), working.by, post or "")
        done: AcceptedNewWay | None = await self.app.push_screen_wait(dialog)
        if done is None:
            return
        if self.working.walk is not working.walk:
            self.notify("Something came in from another laptop meanwhile. Look at it, then log the new way again.", severity="warning")
        else:
            self.edit(
                f"new way from {done.given_up.way.from_post} to {done.given_up.way.to_post}",
                lambda job, at, by: with_new_way(job, working.walk, done.given_up, at, by, why=done.why, stays=done.stays),
            )

    @work
    async def _log_delivery(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.log_box import DeliveryDialog
        from tui.boxes.materials import delivery_rows

        def came_in(came: "Came") -> "Edit":
            said = {"packs": came.packs, "loose": came.loose, "brought_by": came.brought_by, "text": came.text}
            return lambda job, at, by: edits.delivery(job, came.stock, at, by, **said)  # type: ignore[arg-type]  # as the dialog read them

        dialog = DeliveryDialog(delivery_rows(self.working.job, self.working.walk), lambda came: self.refusal(came_in(came)))
        came: Came | None = await self.app.push_screen_wait(dialog)
        if came is not None:
            self.edit(f"{came.stock} came in", came_in(came))

    @work
    async def _log_note(self) -> None:
        from engine.job.edit import edits
        from tui.boxes.choice import Ask

        about = self.chosen or ""
        words = await self.app.push_screen_wait(Ask(f"Note about {about}" if about else "Note", placeholder="plain words"))
        if words is not None:
            self.edit("note", lambda job, at, by: edits.note(job, words, at, by, about=about))

    def _standing(self, name: str | None) -> bool:
        return bool(name) and name in self.working.walk.layout.supports

    async def _ask_post(self, title: str) -> str | None:
        """The chosen post, or one picked from all driven ones."""
        from engine.change.settling import posts_to_choose
        from tui.boxes.choice import Choice

        rows = [
            (post.id, Content(f"{post.id:<5} {post.kind:<7} {format_ft_in(post.station_ft):>11} on {post.line}"))
            for post in posts_to_choose(self.working.walk, self.chosen)
        ]
        return await self.app.push_screen_wait(Choice(title, rows))

    async def _ask_spot(self, title: str, edit: "Callable[[Spot], Edit]", *, obstacle: bool) -> "Spot | None":
        """A spot whose edit is not refused; it starts from the chosen thing's place."""
        from engine.change.found_in_ground import where_chosen
        from engine.change.station_by_name import station_told_ft
        from tui.boxes.log_box import SpotDialog, StartsAt

        lines = tuple(self.working.job.lines)
        if not lines:
            self.notify("There is no line yet. Draw one through surveyed points first.", severity="warning")
            return None
        line, station_ft, offset_ft = where_chosen(self.working.job, self.working.walk, self.chosen or "")
        offset = format_ft_in(offset_ft) if obstacle and abs(offset_ft) >= SAME_SPOT_FT else ""
        starts = StartsAt(line, "" if station_ft is None else format_ft_in(station_ft), offset)
        job, walked = self.working.job, self.working.walk
        dialog = SpotDialog(
            title,
            lines,
            starts,
            lambda spot: self.refusal(edit(spot)),
            lambda line, text: station_told_ft(job, walked, line, text),
            obstacle=obstacle,
        )
        return await self.app.push_screen_wait(dialog)
