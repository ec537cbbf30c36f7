"""Tables of figures: in place while the rows stay, the chosen row followed and handed up."""

from textual.app import App, ComposeResult

from tui.base.theme import install
from tui.widgets.chosen import Chosen
from tui.widgets.figures import FigureColumn, FigureRow, Figures, FiguresPane, FiguresTable

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

    def table(self, number: int) -> FiguresTable:
        return list(self.query(FiguresTable))[number]


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
        app.table(0).focus()
        await pilot.press("down", "down")
        assert app.heard == ["P2", "P3"]
        await pilot.press("down")
        await pilot.pause()
        assert app.focused is app.table(1)
        assert app.heard == ["P2", "P3", "P1"]
        await pilot.press("down")
        assert app.heard == ["P2", "P3", "P1"]
        await pilot.press("up", "up")
        await pilot.pause()
        assert app.focused is app.table(0)


async def test_a_thing_chosen_elsewhere_moves_every_cursor_and_is_not_echoed() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.table(1).focus()
        await pilot.press("down")
        app.pane.chosen = "P2"
        await pilot.pause()
        assert app.table(0).cursor_row == 1
        app.pane.chosen = "P1"
        await pilot.pause()
        assert [app.table(number).cursor_row for number in (0, 1)] == [0, 0]
        assert app.heard == []


async def test_a_click_on_a_row_chooses_it() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        await pilot.click(FiguresTable, offset=(3, 3))
        await pilot.pause()
        assert app.heard == ["P3"]


async def test_cells_change_in_place_and_new_rows_rebuild() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        table = app.table(0)
        app.pane.chosen = "P2"
        deeper = Figures("Posts", POST, (POSTS.rows[0], FigureRow("P2", ("P2", '24"')), POSTS.rows[2]), "New note.")
        app.pane.show((deeper, BAYS))
        await pilot.pause()
        assert app.table(0) is table
        assert [str(cell) for cell in table.get_row_at(1)] == ["P2", '24"']
        assert table.cursor_row == 1
        assert app.screen_rows()[5] == " New note."
        app.pane.show((Figures("Posts", POST, (FigureRow("P0", ("P0", '1"')), *deeper.rows)), BAYS))
        await pilot.pause()
        assert app.table(0) is table
        assert (table.row_count, table.cursor_row) == (4, 2)
        assert app.heard == []


async def test_other_tables_replace_these_and_keep_the_focus_in_the_pane() -> None:
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.table(0).focus()
        app.pane.show((BAYS,))
        app.pane.show((Figures("Loops", POST, (FigureRow("L1", ("L1", "48'")), FigureRow("P9", ("P9", "1'")))),))
        app.pane.chosen = "P9"
        await pilot.pause()
        await pilot.pause()
        assert [table.figures.title for table in app.query(FiguresTable)] == ["Loops"]
        assert app.focused is app.table(0)
        assert app.table(0).cursor_row == 1
        app.pane.show(())
        await pilot.pause()
        assert list(app.query(FiguresTable)) == []


async def test_rows_about_the_same_thing_and_ragged_rows_are_shown() -> None:
    twice = Figures("Twice", POST, (FigureRow("P1", ("P1", '1"', "extra")), FigureRow("P1", ("P1",)), FigureRow("", ())))
    app = _App()
    async with app.run_test(size=(40, 14)) as pilot:
        app.pane.show((twice,))
        await pilot.pause()
        await pilot.pause()
        assert app.table(0).row_count == 3


async def test_text_from_a_file_is_never_markup() -> None:
    app = _App()
    async with app.run_test(size=(60, 14)) as pilot:
        app.pane.show((Figures("[red]T", (FigureColumn("[b]C"),), (FigureRow("x", ("[bold]a[/bold] [/]",)),), "[link=x]n"),))
        await pilot.pause()
        await pilot.pause()
        assert [row.strip() for row in app.screen_rows()[:4]] == ["[red]T", "[b]C", "[bold]a[/bold] [/]", "[link=x]n"]


async def test_a_low_screen_scrolls_to_the_cursor() -> None:
    rows = tuple(FigureRow(f"P{number}", (f"P{number}", '24"')) for number in range(30))
    app = _App()
    async with app.run_test(size=(40, 10)) as pilot:
        app.pane.show((Figures("Many", POST, rows), BAYS))
        await pilot.pause()
        await pilot.pause()
        app.table(0).focus()
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
