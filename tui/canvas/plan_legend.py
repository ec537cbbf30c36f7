"""What the signs of a plan mean, each drawn by the very pen that draws it in the picture, in rows as wide as the picture."""

from engine.drawing.plan_signs import BURIED_LETTERS, Meaning, meanings
from engine.drawing.shapes import Area, Drawing, Mark, Stroke
from engine.drawing.site_shapes import BUILDINGS
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import draw
from tui.canvas.plan_pens import GROUND, PENS, SIGNS, keepout_sign
from tui.canvas.viewport import Viewport

LINE, AREA = 6, 3
"""Cells of a sign: a line needs more to show its dashes."""
APART = 2
AREAS = ("yard", "house", "deck")
BEYOND = ((-9.0, -9.0), (12.0, -9.0), (12.0, 11.0), (-9.0, 11.0))


def legend(picture: Drawing, width: int, most_rows: int, plain: bool) -> list[list[Run]]:
    """Rows of signs with their words; where there are not enough rows for all, the last says that there are more."""
    rows: list[list[Run]] = []
    left = 0
    for meaning in meanings(picture):
        sample = _sample(picture, meaning, plain)
        wide = sum(len(text) for text, _ in sample) + 1 + len(meaning.says)
        if not sample or wide > width:
            continue
        if not rows or left < wide:
            rows.append([])
            left = width
        rows[-1] += [*sample, (f" {meaning.says}{' ' * min(APART, left - wide)}", "muted")]
        left -= wide + APART
    return rows if len(rows) <= most_rows else [*rows[: max(most_rows - 1, 0)], [(MORE[:width], "muted")]]


MORE = "More signs with more room."


def _sample(picture: Drawing, meaning: Meaning, plain: bool) -> list[Run]:
    """A sign alone; nothing for one that the screen doesn't draw."""
    role, kind, _ = meaning
    if role in SIGNS:
        sign, colour = SIGNS[role](Mark(role, (0.0, 0.0), kind=kind), plain)
        return [(f" {sign} ", colour)]
    if role == "keepout":
        return [(f" {keepout_sign(kind, plain)} ", GROUND[role].colour)]
    drawn = role in GROUND or role in PENS
    if role == "wall":
        drawn = any(run.kind not in BUILDINGS for run in picture.of(Stroke, "wall"))
    if not drawn:
        return []
    wide = AREA if role in AREAS else LINE
    canvas = Canvas(Viewport(wide, 1, (wide / 2, 1.0), 1.0), plain)
    line = Stroke(role, ((0.0, 1.0), (wide - 0.1, 1.0)), kind=kind)
    draw(canvas, [Area(role, BEYOND, kind=kind) if role in AREAS else line], {**GROUND, **PENS})
    if kind in BURIED_LETTERS:
        canvas.put(LINE // 2, 0, BURIED_LETTERS[kind], GROUND["buried"].kinds.get(kind, "buried"))
    return canvas.rows()[0]
