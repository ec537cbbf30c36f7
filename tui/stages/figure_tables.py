"""Short ways to say a table of figures."""

from collections.abc import Iterable

from tui.widgets.figures import FigureColumn, FigureRow, Figures


def table(title: str, columns: str, rows: Iterable[tuple[str, ...]], note: str = "") -> Figures:
    """A table; `columns` parted by `|`, a name that starts with `<` stands left; each row is its id, then its
    cells."""
    names = columns.split("|")
    heads = tuple(FigureColumn(name.lstrip("<"), "left" if name.startswith("<") else "right") for name in names)
    return Figures(title, heads, tuple(FigureRow(row[0], row[1:]) for row in rows), note)


def summed(title: str, says: str) -> Figures:
    """A sentence under a title, where the sheet holds the rows."""
    return Figures(title, (), (), says)
