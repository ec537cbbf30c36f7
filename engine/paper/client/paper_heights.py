"""How high a part of the client's copy is on paper at most, out of its own markup, whatever sans-serif the reader's machine has."""

import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterable, Mapping

PAGE_WIDE_PT, PAGE_HIGH_PT = 521.0, 709.0
"""Between the margins of both US letter and A4: as wide as A4, as high as letter."""
LETTERS_PT, LINE = 9.5, 1.33
"""Letters and lines of the page, as client.css has them; all other sizes in it go with the letters."""
TITLE_PT, FACT_WIDE_PT, POINT_WIDE_PT = 19.3, 175.0, 500.0
"""Letters of the title, bold as they are; how wide what is said of client and site stands, and a point of a list."""
SMALL_PT, SMALL_LINE = 9.1, 1.28
"""Letters and lines of care notes and warranty."""
CELL_PT, CELL_LINE_PT, CELL_ROOM_PT, CELL_SIDE_PT = 8.9, 11.6, 4.2, 6.3
"""Letters of a table, a line of them, and what stands between rows and columns."""
MOST_APART_PT = 44.0
"""How much higher one of two columns may be than half of both: a heading and the point under it stay together."""
LOGO_WIDE_PT, LOGO_HIGH_PT = 152.0, 51.0
BOLD = 1.13
"""How much wider bold letters are. From memory, of the widest usual fonts, as all widths here."""
GROUPS = {
    " .,ijlI": 0.35, ":;'|!J": 0.4, 'ftr-()[]/"': 0.43, "scz": 0.55, "aekovxy": 0.62, "bdghnpqu0123456789": 0.64, "m": 0.98, "w": 0.82,
    "EFLTSPBRXYZKCA": 0.7, "DHNUVGOQ": 0.79, "MW@%&+=<>~": 1.0,
}  # fmt: skip
WIDTHS: Mapping[str, float] = {letter: wide for letters, wide in GROUPS.items() for letter in letters}
NARROWEST = min(WIDTHS.values())
ASCII, OTHER, PICTURE = 0.84, 1.0, 1.4
"""Shares of the letters' size; those of all other letters, and of pictures that stand for one."""
High = Callable[[ET.Element, float], float]


def letter_wide(letter: str) -> float:
    """How wide a letter is at most, as a share of its size."""
    if letter in WIDTHS:
        return WIDTHS[letter]
    return ASCII if letter.isascii() else PICTURE if ord(letter) > 0xFFFF else OTHER


def line_count(text: str, wide_pt: float, letters_pt: float = LETTERS_PT) -> int:
    """How many lines text takes at most: words are kept whole where one fits a line."""
    most = max(wide_pt / letters_pt, PICTURE)
    return sum(_lines_of(line, most) for line in text.splitlines()) or 1


def _lines_of(line: str, most: float) -> int:
    lines, used = 1, 0.0
    for word in line.split(" "):
        wide = sum(map(letter_wide, word))
        space = WIDTHS[" "] if used else 0.0
        if used + space + wide <= most:
            used += space + wide
            continue
        lines += bool(used)
        used = 0.0
        for letter in word:
            step = letter_wide(letter)
            if used + step > most:
                lines, used = lines + 1, 0.0
            used += step
    return lines


def high_pt(markup: str, share: float = 1.0) -> float:
    """The height of some elements one below another at most, pt, in letters of so large a share of the usual ones. Raises: KeyError for an
    element that the client's copy doesn't have."""
    return _column(ET.fromstring(f"<body>{markup}</body>"), PAGE_WIDE_PT / share) * share


def _column(parts: Iterable[ET.Element], wide_pt: float) -> float:
    return sum(part_pt(part, wide_pt) for part in parts)


def part_pt(part: ET.Element, wide_pt: float) -> float:
    """The height of one element at most, so wide, in the usual letters."""
    kind = f"{part.tag}.{part.get('class', '').split(' ')[0]}"
    return FIXED_PT[kind] if kind in FIXED_PT else (KINDS.get(kind) or KINDS[part.tag])(part, wide_pt)


def _text(part: ET.Element) -> str:
    return "".join(part.itertext())


def _lines(letters_pt: float = LETTERS_PT, line: float = LINE, room_pt: float = 3.0, inset_pt: float = 0.0, bold: float = 1.0) -> High:
    """Of an element of running text."""

    def high(part: ET.Element, wide_pt: float) -> float:
        heavy = BOLD if part.find("strong") is not None else bold
        return line_count(_text(part), wide_pt - inset_pt, letters_pt * heavy) * letters_pt * line + room_pt

    return high


def _boxed(room_pt: float = 0.0, inset_pt: float = 0.0) -> High:
    """Of an element that holds others one below another."""
    return lambda part, wide_pt: _column(part, wide_pt - inset_pt) + room_pt


def row_pts(part: ET.Element, wide_pt: float) -> list[float]:
    """The heights of a table's rows at most, its heads first."""
    heads = [float(head.get("style", "").removeprefix("width:").removesuffix("%")) for head in part.iter("th")]
    wides = [share / sum(heads) * wide_pt - CELL_SIDE_PT for share in heads]

    def row(cells: Iterable[ET.Element], bold: float) -> float:
        lines = (line_count(_text(cell), wide, CELL_PT * bold) for cell, wide in zip(cells, wides, strict=True))
        return max(lines) * CELL_LINE_PT + CELL_ROOM_PT

    return [row(one, BOLD if one.find("th") is not None else 1.0) for one in part.iter("tr")]


def _table(part: ET.Element, wide_pt: float) -> float:
    return sum(row_pts(part, wide_pt)) + 2.0


def _care(part: ET.Element, wide_pt: float) -> float:
    point = _lines(SMALL_PT, SMALL_LINE, 0.0, 11.5)
    inside = {"ul": lambda one, wide: sum(point(each, wide) for each in one) + 3.0, "h3": _lines(9.6, SMALL_LINE, 6.5, bold=BOLD)}
    return sum(inside[one.tag](one, wide_pt / 2 - 9.0) for one in part) / 2 + MOST_APART_PT


def _facts(part: ET.Element, wide_pt: float) -> float:
    """Two abreast, the higher of each two counts."""
    each = [_lines(room_pt=6.0)(one[1], (wide_pt - PAGE_WIDE_PT) / 2 + FACT_WIDE_PT) for one in part]
    return sum(max(each[at : at + 2]) for at in range(0, len(each), 2)) + 3.0


def _firm(part: ET.Element, wide_pt: float) -> float:
    """A picture beside the words, or places to write in."""
    words = part.find("p")
    if words is None:
        return 26.0
    logo = part.find("img") is not None
    left_pt = wide_pt - (LOGO_WIDE_PT if logo else 0.0)
    name, says = (line_count(_text(one), left_pt, letters_pt) for one, letters_pt in zip(words, (12.0 * BOLD, LETTERS_PT), strict=True))
    return max(name * 12.0 * LINE + says * LETTERS_PT * LINE, LOGO_HIGH_PT if logo else 0.0) + 8.0


FIXED_PT: Mapping[str, float] = {"p.line": 16.0, "p.firm": 22.0, "div.signs": 78.0}
KINDS: Mapping[str, High] = {
    **{"body": _boxed(), "section": _boxed(), "div": _boxed(), "header": _boxed(12.0), "section.state": _boxed(26.0, 26.0)},
    **{"h1": _lines(17.1, 1.15, 5.0, bold=BOLD), "h2": _lines(12.0, LINE, 16.0, bold=BOLD), "p.kind": _lines(10.5, room_pt=0.0)},
    **{"p": _lines(), "p.built": _lines(room_pt=12.0), "ul": _boxed(6.0), "li": _lines(room_pt=0.0, inset_pt=15.0)},
    **{"div.care": _care, "dl": _facts, "div.firm": _firm, "table": _table, "footer": _lines(8.6, LINE, 12.0)},
    "section.warranty": lambda part, wide_pt: part_pt(part[0], wide_pt) + sum(_warranty(one, wide_pt) for one in part[1:]),
}
"""The height of each kind of element, of some by their class."""


def _warranty(part: ET.Element, wide_pt: float) -> float:
    written = part_pt(part, wide_pt) if part.get("class") else 0.0
    return written or _lines(SMALL_PT, SMALL_LINE)(part, wide_pt)
