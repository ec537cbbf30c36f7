"""What the keys of the checklist do: tick, read, correct, not needed, photo."""

from collections.abc import Callable, Coroutine, Sequence
from dataclasses import replace
from datetime import datetime
from functools import reduce
from typing import TYPE_CHECKING, Any

from engine.calc.phrases import counted, listed, plural
from engine.checklist import ChecklistLine, Item
from engine.job.edit import edits
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from tui.boxes.in_name import by_name, in_name
from tui.screens.photo_keys import photo_of_tick
from tui.sheet.cell_typing import Given
from tui.sheet.strip_words import ticked_words
from tui.working.job_in_hand import Followed, FreshNames

if TYPE_CHECKING:
    from tui.screens.walk_screen import WalkScreen
    from tui.working.called_now import NewNames


class Ticking:
    """The keys that tick."""

    def __init__(self, screen: "WalkScreen", settle: Callable[[str], Coroutine[Any, Any, None]]) -> None:
        self.screen, self.hand, self.sheet = screen, screen.hand, screen.sheet
        self._settle = settle
        """What to do about a post whose sleeve stopped short."""
        self._fresh = FreshNames(self.hand)

    def _line(self) -> ChecklistLine | None:
        """The item in the cell under the cursor, on the page it is on."""
        return self.sheet.cursor.cell.line if self.screen.page == "sheet" else None

    @by_name
    def action_tick(self) -> None:
        """Tick or open again; a reading is typed, and one that was read or said not needed asks what is meant. On a name, the row."""
        line = self._line()
        if line is None:
            if self.screen.page == "sheet":
                self._tick_all(self.sheet.cursor.of_row(), f"{self.sheet.cursor.subject}: row ticked")
        elif line.tick is not None and (line.item.reading is not None or line.tick.note or line.tick.photos):
            self.screen.begin(self._ask_what_of(line))
        elif line.tick is not None:
            self._open_again(line)
        elif line.item.reading is not None:
            self.sheet.start()
        else:
            self._tick(line.item)

    @by_name
    def action_fill(self) -> None:
        """Tick every open plain check of this column from its top to here, told and undone as one."""
        head = self.sheet.cursor.head
        if self.screen.page == "sheet" and head is not None:
            self._tick_all(self.sheet.cursor.to_here(), f"{head.head} filled")

    def _tick_all(self, lines: Sequence[ChecklistLine], words: str) -> None:
        """Open plain checks, as one."""
        from engine.change.settling import ticked

        opens = [line for line in lines if line.state == "open" and line.item.reading is None]
        if not opens:
            self.screen.say("There is nothing open here that is ticked without a reading.")
            return

        def tick_these(these: Sequence[ChecklistLine]) -> None:
            def all_ticked(job: Job, at: datetime, by: str) -> Job:
                return reduce(lambda so_far, line: ticked(so_far, line.item, at, by, None, ""), these, job)

            if these and self.screen.edit(words, all_ticked):
                self.screen.say(f"{words}: {counted(len(these), 'check')}. u takes that back.")
                self.sheet.step_on()

        slips = [self.followed(line) for line in opens if self._opened_last(line.item.key)]
        if not slips:
            tick_these(opens)
            return
        keys = {one.now.item.key for one in slips}
        others = [self.followed(line) for line in opens if line.item.key not in keys]

        def anew() -> None:
            tick_these([one.now for one in (*slips, *others)])

        def as_it_stood() -> None:
            tick_these([one.now for one in others])

        self.screen.begin(self._ask_whether_anew([one.now.item for one in slips], anew, as_it_stood))

    async def action_only_open(self) -> None:
        await self.screen.going.away(lambda: self.sheet.show_only_open(not self.sheet.only_open))

    def start_reading(self, text: str, *, entered: bool) -> None:
        """A digit starts a reading where something may be changed. Elsewhere a number is lost, and its Enter no tick."""
        if entered:
            self.screen.warn("Not ticked, and the number isn't kept: nothing is read in this cell.")
        elif not text:
            self.screen.say("Nothing is read in this cell. n and p change the stage, Alt and its number too.")
        elif self.screen.may_change():
            self.sheet.start(text)

    def follow_names(self) -> Callable[[str], str]:
        """What is typed goes on under the name that its post, gate, line or tree was given meanwhile; gives what a thing is called now."""
        fresh = self._fresh.take()
        if self.sheet.typing is not None and fresh:
            line = reduce(lambda so_far, names: self._called(names, so_far), fresh, self.sheet.typing.line)
            self.sheet.typing = replace(self.sheet.typing, line=line)
        return lambda name: reduce(lambda so_far, names: names.thing(so_far), fresh, name)

    def followed(self, line: ChecklistLine) -> Followed[ChecklistLine]:
        """An item that something is asked about."""
        return Followed(FreshNames(self.hand), line, self._called)

    def _called(self, names: "NewNames", line: ChecklistLine) -> ChecklistLine:
        """An item, and what was ticked there, with the names that hold now."""
        asked = Tick(at=self.hand.working.at, by=self.hand.working.by, of=line.item.of)
        key, asked = names.item(line.item.key, asked)
        tick = None if line.tick is None else names.item(line.item.key, line.tick)[1]
        there = self.hand.walk.checklists[key.stage].by_key.get(key)  # type: ignore[index]  # a key of ours names a stage
        says = line.item.says if there is None else there.item.says
        return line._replace(item=line.item._replace(key=key, of=asked.of, says=says), tick=tick)

    def keep_reading(self, line: ChecklistLine, given: Given) -> None:
        """What was typed goes into the job, under a name; where one came in while it was typed, once it is said which stands."""

        typed = self.followed(line)

        def kept() -> Coroutine[Any, Any, None] | None:
            line = typed.now
            key = line.item.key
            there = next((one.by_key[key] for one in self.hand.walk.checklists.values() if key in one.by_key), None)
            if there is not None and there.tick is not None and there.tick != line.tick and there.tick.reading != given.value:
                return self._ask_which(there, given)
            self._tick(line.item, given)
            return None

        in_name(self.screen, kept)

    async def _ask_which(self, there: ChecklistLine, given: Given) -> None:
        from tui.boxes.choice import Answer, Choice

        item, read = there.item, self.followed(there)
        typed = item.reading.words(given.value) if item.reading is not None else ""
        answers = (Answer("theirs", ticked_words(there), "t"), Answer("mine", f"{typed}, as typed here", "m"))
        stands = await self.screen.ask(Choice(item.says, answers, "It was read twice. Which stands?", uncalled=True))
        if stands == "mine":
            self._tick(read.now.item, given)
        elif stands == "theirs":
            self.sheet.drop()

    async def _ask_what_of(self, line: ChecklistLine) -> None:
        """A reading isn't wiped by one key: corrected, or opened again with the old one in the log. Digits typed at once begin another one,
        which is asked about when it is whole: who typed it may not have seen what stands."""
        from tui.boxes.choice import Answer, Choice, WhatOfReading

        item, asked = line.item, self.followed(line)
        answers = [Answer("correct", "read it again", "c")] if line.item.reading is not None else []
        answers.append(Answer("open", "open it again; what stood here stays in the log", "o"))
        box = Choice if item.reading is None else WhatOfReading
        answer = await self.screen.ask(box(item.says, answers, ticked_words(line)))
        if answer == "open":
            self._open_again(asked.now)
        elif answer is not None and self.sheet.typing is None:  # else what was typed meanwhile is it
            self.sheet.go(asked.now.item.key)
            self.sheet.start("" if answer == "correct" else answer)
            if answer != "correct" and self.sheet.typing is not None:
                self.sheet.typing = replace(self.sheet.typing, line=asked.now._replace(tick=None))

    def _open_again(self, line: ChecklistLine) -> None:
        """What hangs on it is opened with it, where it stands from before a repair."""
        from engine.change.settling import opened
        from engine.stages.standing_line import hung_on

        item = line.item
        hung = hung_on(line, self.hand.walk.checklists, self.hand.job.repair_of)
        if self.screen.edit(f"open again: {item.says}", lambda job, at, by: opened(job, (line, *hung), at, by)):
            also = f", and {counted(len(hung), 'item')} that {plural(len(hung), 'hangs', 'hang')} on it" if hung else ""
            self.screen.say(f"Open again: {item.says}{also}. u takes that back.")

    @by_name
    def action_not_needed(self) -> None:
        """Mark as not needed here; where a reading is wanted, why is asked."""
        line = self._line()
        if line is not None and line.item.reading is not None:
            self.screen.begin(self._ask_why_not(line))
        elif line is not None:
            self._not_needed(line.item, "")

    async def _ask_why_not(self, line: ChecklistLine) -> None:
        from tui.boxes.choice import Ask

        asked = self.followed(line)

        async def marked(why: str) -> bool:
            return self._not_needed(asked.now.item, why)

        await self.screen.ask_then(Ask("Why is it not needed", f"{line.item.says}. The reason goes beside it.", "why"), marked)

    @by_name
    async def action_photo(self) -> None:
        """A picture file beside the tick under the cursor."""
        line = self._line()
        if line is None:
            self.screen.say("A photo stands beside a tick: go to its cell. Of anything else l logs one.")
        else:
            await photo_of_tick(self.screen, line)

    def _not_needed(self, item: Item, why: str) -> bool:
        def marked(job: Job, at: datetime, by: str) -> Job:
            return edits.tick(job, item.key, at, by, note=why, of=item.of, needed=False)

        done = self.screen.edit(f"not needed: {item.says}", marked)
        if done and why:
            self.screen.say(f"Not needed: {item.says}, {why}. u takes that back.")
        if done:
            self.sheet.step_on()
        return done

    def _tick(self, item: Item, given: Given | None = None) -> None:
        """Ticked; where the last thing done was to open what stands from before a repair, once it is said whether it was done anew."""
        if self._opened_last(item.key):
            asked = self.followed(self.hand.walk.checklists[item.key.stage].by_key[item.key])  # type: ignore[index]  # a key of ours names a stage
            self.screen.begin(self._ask_whether_anew([item], lambda: self._done(asked.now.item, given), self.sheet.drop))
        else:
            self._done(item, given)

    def _opened_last(self, key: ItemKey) -> bool:
        from engine.stages.standing_line import stands

        last = self.hand.working.past[-1:]
        return any(stands(one.before.checks.get(key), self.hand.job.repair_of) and key not in one.after.checks for one in last)

    async def _ask_whether_anew(self, items: Sequence[Item], anew: Callable[[], object], as_it_stood: Callable[[], object]) -> None:
        """Space twice by mistake is no work and uses nothing: what was opened stands as it did."""
        from tui.boxes.choice import Answer, Choice

        answers = (
            Answer("stands", "no, it was opened by mistake and stands as it did", "n"),
            Answer("anew", "yes, done anew: what it takes is used", "y"),
        )
        it, was = ("It", "Was it") if len(items) == 1 else ("They", "Were they")
        says = f"{it} stood before this repair and {was.split()[0].lower()} opened last of all. {was} done anew since?"
        since = len(self.hand.working.past)
        answer = await self.screen.ask(Choice(listed([item.says for item in items]), answers, says))
        if answer == "anew":
            anew()
        elif answer == "stands" and len(self.hand.working.past) == since:
            self.screen.say(self.hand.undo())
            as_it_stood()

    def _done(self, item: Item, given: Given | None) -> None:
        from engine.change.settling import asked_as_then, ticked, to_settle

        value, reason = (None, "") if given is None else (given.value, given.reason)
        changed = not asked_as_then(self.hand.walk, item)
        if self.screen.edit(item.says, lambda job, at, by: ticked(job, item, at, by, value, reason)):
            if given is not None:
                self.sheet.drop()
            if changed:
                self.screen.warn(f"{item.says}: what came in meanwhile changed what that is about. It is kept for what stood before.")
            elif post := to_settle(self.hand.walk, item.key):
                self.screen.begin(self._settle(post))
            else:
                self.sheet.step_on()
