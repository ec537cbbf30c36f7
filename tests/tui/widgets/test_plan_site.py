"""The plan's quiet ground: buildings, yards, buried lines, property lines, rocks, each with a sign of its own."""

import pytest

from engine.drawing.shapes import Area, Drawing, Stroke, Words
from tui.base.plain_characters import INSTEAD
from tui.canvas.canvas import Tinted
from tui.canvas.plan_pens import DASHES
from tui.canvas.viewport import Viewport, fit
from tui.widgets.plan_view import paint_plan, plan_bounds

SITE = Drawing(
    (
        Area("yard", ((0, 0), (60, 0), (60, 30), (0, 30)), kind="back"),
        Area("house", ((0, 30), (60, 30), (60, 42), (0, 42)), kind="house"),
        Words("house", (30, 36), "house", along=((0, 30), (60, 30), (60, 42), (0, 42))),
        Area("deck", ((10, 20), (30, 20), (30, 30), (10, 30)), "deck", "deck"),
        Stroke("wall", ((0, 0), (60, 0)), kind="wall"),
        Stroke("buried", ((5, 0), (5, 30)), "gas", kind="gas"),
        Stroke("buried", ((55, 0), (55, 30)), "main", kind="water"),
        Stroke("boundary", ((-3, 0), (-3, 40))),
        Area("keepout", ((40, 8), (41, 8), (41, 9), (40, 9)), "rock", "rock"),
        Area("keepout", ((30, 8), (31, 8), (31, 9), (30, 9)), "pit", "pit"),
    )
)


def _site(plain: bool) -> tuple[str, dict[str | None, str]]:
    """The rows of a site without a fence, and what is drawn in each role, on whatever ground."""
    rows = paint_plan(SITE, fit(plan_bounds(SITE), 60, 22), plain=plain)
    roles: dict[str | None, str] = {}
    for text, look in (run for row in rows for run in row):
        role = look.role if isinstance(look, Tinted) else look
        roles[role] = roles.get(role, "") + text
    return "\n".join("".join(text for text, _ in row) for row in rows), roles


@pytest.mark.parametrize("plain", [False, True])
def test_every_thing_on_site_has_a_sign_of_its_own(plain: bool) -> None:
    text, roles = _site(plain)
    assert text.count("house") == 1
    assert set(roles["wall"]) - {" "} >= ({"#"} if plain else {"█"})
    assert set(roles["deck"]) == ({"="} if plain else {"▒"})
    assert "g" in roles["gas"]
    assert "w" in roles["water"]
    assert roles["keepout"] == ("*^" if plain else "▨▲")
    assert set(roles["boundary"]) <= {"~"} or not plain
    assert text.translate(INSTEAD).isascii() is plain


def test_gas_water_and_a_rock_differ_without_their_colours() -> None:
    """In the dots of their dashes, or by plain characters, and by their letters; a large rock bears its sign over its hatch."""
    assert DASHES["gas"] != DASHES["water"]
    assert not {DASHES["gas"], DASHES["water"]} & {DASHES[kind] for kind in DASHES if kind not in ("gas", "water")}
    _, roles = _site(plain=True)
    assert set(roles["gas"]) == {":", "g"}
    assert set(roles["water"]) == {",", "w"}
    _, dotted = _site(plain=False)
    inked = {kind: sum((ord(char) - 0x2800).bit_count() for char in dotted[kind] if char >= "\u2800") for kind in ("gas", "water")}
    assert inked["gas"] > 1.3 * inked["water"]
    ledge = Area("keepout", ((20, 10), (50, 10), (50, 40), (20, 40)), "ledge", "rock")
    rows = paint_plan(Drawing((ledge,)), Viewport(60, 22, (30.0, 20.0), 1.0))
    assert "▲" in "".join(text for row in rows for text, _ in row)


def test_a_yard_is_tinted_and_what_is_round_it_is_not() -> None:
    rows = paint_plan(SITE, fit(plan_bounds(SITE), 60, 22))
    tinted = [len(text) for row in rows for text, look in row if isinstance(look, Tinted)]
    assert {look.tint for row in rows for _, look in row if isinstance(look, Tinted)} == {"yard-tint"}
    assert 300 < sum(tinted) < 0.6 * 60 * 22
