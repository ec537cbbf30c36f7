"""A crew's hands: keys and clicks counted by kind, for the tests that say how much a job takes."""

from textual.pilot import Pilot

from tests.tui.driving import keys, shown, typed
from tui.app import LinewalkApp


class Hands:
    """Presses and clicks on what is shown, and how many there were: commands, letters, digits, clicks."""

    def __init__(self, pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app, LinewalkApp)
        self.pilot, self.app = pilot, pilot.app
        self.commands = self.letters = self.digits = self.clicks = 0

    async def press(self, *names: str) -> None:
        """Keys by their names, each a command."""
        self.commands += len(names)
        await keys(self.pilot, *names)

    async def write(self, text: str) -> None:
        """Text into a box, a row or a cell: digits and marks of a length apart from letters."""
        digits = sum(not one.isalpha() and one != " " for one in text)
        self.digits, self.letters = self.digits + digits, self.letters + len(text) - digits
        await typed(self.pilot, text)

    async def click(self, words: str, *, row: str = "", last: bool = False) -> None:
        """A click on words that are shown: on the first line with them, or the last; `row` names what else stands on that line."""
        lines = list(enumerate(shown(self.app).splitlines()))
        found = [(line.rindex(words) if last else line.index(words), y) for y, line in lines if words in line and row in line]
        assert found, f"{words!r} is nowhere:\n{shown(self.app)}"
        await self.click_at(*found[-1 if last else 0])

    async def click_at(self, x: int, y: int) -> None:
        """A click at a place."""
        self.clicks += 1
        await self.pilot.click(offset=(x, y))
        await keys(self.pilot)

    @property
    def told(self) -> str:
        """The counts in words."""
        counts = {"command presses": self.commands, "letters": self.letters, "digits and marks": self.digits, "clicks": self.clicks}
        return ", ".join(f"{count} {what}" for what, count in counts.items() if count)
