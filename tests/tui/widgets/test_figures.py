"""Tables of figures: in place while the rows stay, the chosen row followed and handed up."""

import pytest
from textual.app import App, ComposeResult

from tui.base.theme import install
from tui.widgets.chosen import Chosen
from tui.widgets.figures import FigureColumn, FigureRow, Figures, FiguresPane

POST = (FigureColumn("Post", "left"), FigureColumn("Depth"))
POSTS = Figures(
    "Posts", POST, (FigureRow("P1", ("P1", '24"')), FigureRow("P2", ("P2", '9 1/2"')), FigureRow("P3", ("P3", '22"'))), "Tape from the top."
)
BAYS = Figures(
    "Bays",
    (FigureColumn("Bay", "left"), FigureColumn("Length")),
    (FigureRow("P1", ("P1 to P2", "23' 4\"")), FigureRow("", ("All", "46' 8\""))),
)


class _App(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.heard: list[str] = []
        self.pane = FiguresPane((POSTS, BAYS))

    def compose(self) -> ComposeResult:
        yield self.pane

    def on_mount(self) -> None:
        install(self)

    def on_chosen(self, message: Chosen) -> None:
        self.heard.append(message.id)

    def screen_rows(self) -> list[str]:
        strips = self.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]

    @property
    def at(self) -> tuple[int, str]:
        """The table and the thing that the cursor is on."""
        return self.pane.table, self.pane.cursor.id if self.pane.cursor else ""


async def test_tables_stand_under_each_other_with_figures_to_the_right() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)):
        assert app.screen_rows()[:10] == [
            " Posts",
            " Post   Depth",
            ' P1       24"',
            ' P2    9 1/2"',
            ' P3       22"',
            " Tape from the top.",
            "",
            " Bays",
            " Bay       Length",
            " P1 to P2  23' 4\"",
        ]


async def test_moving_the_cursor_chooses_and_runs_on_into_the_next_table() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.focus()
        await pilot.press("down", "down")
        assert app.heard == ["P2", "P3"]
        await pilot.press("down")
        assert app.at == (1, "P1")
        assert app.heard == ["P2", "P3", "P1"]
        await pilot.press("down")
        assert app.at == (1, "")
        assert app.heard == ["P2", "P3", "P1"]
        await pilot.press("up", "up")
        assert app.at == (0, "P3")
        await pilot.press("home")
        assert app.at == (0, "P1")
        await pilot.press("end")
        assert app.at == (1, "")


async def test_a_thing_chosen_elsewhere_moves_the_cursor_within_its_table_first_and_is_not_echoed() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.focus()
        await pilot.press("end")
        app.pane.chosen = "P2"
        await pilot.pause()
        assert app.at == (0, "P2")
        await pilot.press("end")
        app.pane.chosen = "P1"
        await pilot.pause()
        assert app.at == (1, "P1")
        assert app.heard == []


async def test_the_cursor_and_the_chosen_rows_of_other_tables_are_marked() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.focus()
        await pilot.press("down", "up")
        here, same = (app.pane.get_component_rich_style(f"figures--{name}").bgcolor for name in ("here", "same"))
        grounds = [next(iter(app.pane.render_line(y))).style.bgcolor for y in (2, 3, 9)]
        assert grounds[0] == here
        assert grounds[1] not in (here, same)
        assert grounds[2] == same


async def test_a_click_on_a_row_chooses_it() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        await pilot.click(FiguresPane, offset=(3, 4))
        assert app.heard == ["P3"]
        await pilot.click(FiguresPane, offset=(3, 5))
        assert app.heard == ["P3"]


async def test_other_figures_keep_the_cursor_on_its_thing() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.chosen = "P2"
        deeper = Figures("Posts", POST, (POSTS.rows[0], FigureRow("P2", ("P2", '24"')), POSTS.rows[2]), "New note.")
        app.pane.show((deeper, BAYS))
        await pilot.pause()
        assert app.screen_rows()[3:6] == [' P2      24"', ' P3      22"', " New note."]
        assert app.at == (0, "P2")
        app.pane.show((Figures("Posts", POST, (FigureRow("P0", ("P0", '1"')), *deeper.rows)), BAYS))
        await pilot.pause()
        assert app.at == (0, "P2")
        assert app.heard == []
        app.pane.show((Figures("Loops", POST, (FigureRow("L1", ("L1", "48'")),)),))
        assert app.at == (0, "L1")
        app.pane.show(())
        await pilot.pause()
        assert app.screen_rows()[0] == ""
        await pilot.press("down", "end", "pagedown")
        assert app.pane.cursor is None


async def test_tables_that_are_added_stand_below_and_leave_the_cursor_and_what_is_painted() -> None:
    app = _App()
    async with app.run_test(size=(40, 6)) as pilot:
        app.pane.focus()
        await pilot.press("down")
        before = app.screen_rows()
        app.pane.add((Figures("Loops", POST, (FigureRow("L1", ("L1", "48'")),)),))
        await pilot.pause()
        assert [row.rstrip("▁▂▃▄▅▆▇█ ") for row in app.screen_rows()] == [row.rstrip("▁▂▃▄▅▆▇█ ") for row in before]
        assert app.at == (0, "P2")
        assert app.pane.find("48'")
        assert app.at == (2, "L1")
        await pilot.press("end")
        assert app.at == (2, "L1")


async def test_a_table_that_is_added_where_there_is_room_is_seen() -> None:
    app = _App()
    async with app.run_test(size=(40, 20)) as pilot:
        app.pane.add((Figures("Loops", POST, (FigureRow("L1", ("L1", "48'")),)),))
        await pilot.pause()
        assert app.screen_rows()[12:15] == [" Loops", " Post  Depth", " L1      48'"]


async def test_rows_about_the_same_thing_and_ragged_rows_are_shown() -> None:
    twice = Figures("Twice", POST, (FigureRow("P1", ("P1", '1"', "extra")), FigureRow("P1", ("P1",)), FigureRow("", ())))
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.show((twice,))
        await pilot.pause()
        assert app.screen_rows()[:5] == [" Twice", " Post  Depth", ' P1       1"', " P1", ""]


async def test_text_from_a_file_is_never_markup() -> None:
    app = _App()
    async with app.run_test(size=(60, 14)) as pilot:
        app.pane.show((Figures("[red]T", (FigureColumn("[b]C"),), (FigureRow("x", ("[bold]a[/bold]\n[/]",)),), "[link=x]n"),))
        await pilot.pause()
        assert [row.strip() for row in app.screen_rows()[:4]] == ["[red]T", "[b]C", "[bold]a[/bold] [/]", "[link=x]n"]


async def test_long_titles_notes_and_words_go_on_below() -> None:
    wide = Figures(
        "One two three four five six",
        (FigureColumn("A", "left"), FigureColumn("B", "left")),
        (FigureRow("x", ("a" * 30, "end")),),
        "word " * 9,
    )
    app = _App()
    async with app.run_test(size=(24, 14)) as pilot:
        app.pane.show((wide,))
        await pilot.pause()
        assert app.screen_rows()[:2] == [" One two three four", " five six"]
        assert app.screen_rows()[2:6] == [" A", f" {'a' * 20}", f" {'a' * 10}", "           B: end"]
        assert app.screen_rows()[6:9] == [" word word word word", " word word word word", " word"]


TAPED = (FigureColumn("post", "left"), FigureColumn("tape", "left"), FigureColumn("depth"), FigureColumn("found", "left"))
TAPED_ROWS = (
    FigureRow("P1", ("P1", "15' 9 1/4\" from A", '24 1/2"', "")),
    FigureRow("P2", ("P2", '3" from B', '9"', "clay over gravel, wet to the knee")),
    FigureRow("P3", ("P3", "", '30"', "sand")),
)


@pytest.mark.parametrize(
    ("wide", "rows"),
    [
        (
            50,
            [
                " post  tape              depth  found",
                ' P1    15\' 9 1/4"      24 1/2"',
                "       from A",
                ' P2    3" from B            9"  clay over',
                "                                gravel, wet to",
                "                                the knee",
            ],
        ),
        (
            36,
            [
                " post  tape                 depth",
                ' P1    15\' 9 1/4" from A  24 1/2"',
                ' P2    3" from B               9"',
                "       found: clay over gravel,",
                "       wet to the knee",
            ],
        ),
    ],
)
async def test_what_has_no_room_beside_the_rest_goes_on_below_it_and_no_length_is_parted(wide: int, rows: list[str]) -> None:
    app = _App()
    async with app.run_test(size=(wide, 16)) as pilot:
        app.pane.show((Figures("Taped", TAPED, TAPED_ROWS),))
        app.pane.focus()
        await pilot.pause()
        assert app.screen_rows()[1 : len(rows) + 1] == rows
        await pilot.press("down")
        here = app.pane.get_component_rich_style("figures--here").bgcolor
        grounds = [next(iter(app.pane.render_line(y))).style.bgcolor == here for y in range(1, 8)]
        assert [at for at, marked in enumerate(grounds, 1) if marked] == ([4, 5, 6] if wide == 50 else [3, 4, 5])
        await pilot.press("down")
        assert app.at == (0, "P3")
        await pilot.click(FiguresPane, offset=(3, 5))
        assert app.at == (0, "P2")
        assert app.pane.find("WET to the")


async def test_a_table_without_heads_has_no_line_for_them() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.show((Figures("What was built", (FigureColumn("", "left"),) * 2, (FigureRow("", ("job", "2611")),)),))
        await pilot.pause()
        assert app.screen_rows()[:2] == [" What was built", " job  2611"]


async def test_a_low_screen_scrolls_to_the_cursor() -> None:
    rows = tuple(FigureRow(f"P{number}", (f"P{number}", '24"')) for number in range(30))
    app = _App()
    async with app.run_test(size=(40, 10)) as pilot:
        app.pane.show((Figures("Many", POST, rows), BAYS))
        app.pane.focus()
        await pilot.press(*["down"] * 20)
        await pilot.pause()
        assert any(" P20 " in row for row in app.screen_rows())
        await pilot.press("down", *["down"] * 9)
        await pilot.pause()
        assert app.heard[-1] == "P1"
        assert any("P1 to P2" in row for row in app.screen_rows())
        await pilot.press("up", *["up"] * 29)
        await pilot.pause()
        assert app.screen_rows()[0] == " Many"
        app.pane.go_to_table(1)
        await pilot.pause()
        assert app.at == (1, "P1")
        assert " Bays" in app.screen_rows()
