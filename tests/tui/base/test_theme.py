"""Contrast of every pair of colours the screens use, computed by the WCAG formula.

W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio"; success criteria 1.4.6 (7:1) and
1.4.3 (4.5:1).
"""

import pytest
from rich.color import Color as RichColor
from rich.color import ColorSystem
from textual.color import Color
from textual.theme import Theme

from tui.base.plain_characters import INSTEAD
from tui.base.theme import (
    DUSK,
    SIGNS,
    SUN,
    THEMES,
    role_defaults,
)

BACKGROUNDS = ("background", "surface", "panel", "yard-tint")
TEXT_ROLES = ("foreground", "muted", "stop", "fix", "note", "done", "label", "yard", "chosen")
MARK_ROLES = (
    *("fence", "post", "cable", "wire", "brace", "gate", "eye", "deck"),
    *("ground", "tree", "wall", "boundary", "keepout", "ghost", "scale", "buried"),
    *("electric", "gas", "comms", "water", "reclaimed", "sewer"),
    *("border", "primary", "secondary", "accent", "warning", "error", "success"),
)
TEXT_PAIRS = (
    *((role, ground) for role in TEXT_ROLES for ground in BACKGROUNDS),
    *((role, ground) for role in ("text", "text-muted", "text-disabled", "foreground-muted") for ground in BACKGROUNDS),
    *((f"text-{name}", ground) for name in ("error", "warning", "success", "primary", "accent") for ground in BACKGROUNDS),
    ("block-cursor-foreground", "block-cursor-background"),
    ("block-cursor-blurred-foreground", "block-cursor-blurred-background"),
    ("input-cursor-foreground", "input-cursor-background"),
    ("input-selection-foreground", "input-selection-background"),
    ("screen-selection-foreground", "screen-selection-background"),
    ("footer-key-foreground", "footer-background"),
    ("footer-description-foreground", "footer-background"),
    ("button-foreground", "surface"),
    ("button-color-foreground", "primary"),
    ("button-color-foreground", "success"),
    ("button-color-foreground", "warning"),
    ("button-color-foreground", "error"),
    ("background", "chosen"),
)
"""Words, and what they are read on."""
MARK_PAIRS = (
    *((role, ground) for role in MARK_ROLES for ground in BACKGROUNDS),
    ("scrollbar", "scrollbar-background"),
    ("scrollbar-active", "scrollbar-background"),
)


def _luminance(color: Color) -> float:
    parts = [part / 255 for part in color.rgb]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _ratio(one: Color, other: Color) -> float:
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _colours(theme: Theme) -> dict[str, str]:
    return {**theme.to_color_system().generate(), **theme.variables}


@pytest.mark.closed_form
def test_ratio_of_black_on_white_is_21() -> None:
    assert _ratio(Color.parse("#000000"), Color.parse("#ffffff")) == pytest.approx(21, abs=0.05)


@pytest.mark.published
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(("pairs", "least"), [(TEXT_PAIRS, 7.0), (MARK_PAIRS, 4.5)], ids=["text", "marks"])
def test_every_pair_has_the_contrast_promised(theme: Theme, pairs: tuple[tuple[str, str], ...], least: float) -> None:
    colours = _colours(theme)
    low = {
        f"{front} on {back}": round(_ratio(Color.parse(colours[front]), Color.parse(colours[back])), 2)
        for front, back in pairs
        if _ratio(Color.parse(colours[front]), Color.parse(colours[back])) < least
    }
    assert low == {}


@pytest.mark.published
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_without_colour_every_pair_still_has_its_contrast(theme: Theme) -> None:
    colours = _colours(theme)
    low = [
        (front, back)
        for pairs, least in ((TEXT_PAIRS, 7.0), (MARK_PAIRS, 3.0))
        for front, back in pairs
        if _ratio(Color.parse(colours[front]).monochrome, Color.parse(colours[back]).monochrome) < least
    ]
    assert low == []


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_with_16_colours_nothing_sinks_into_its_background(theme: Theme) -> None:
    colours = _colours(theme)

    def nearest(role: str) -> int | None:
        return RichColor.parse(colours[role]).downgrade(ColorSystem.STANDARD).number

    sunk = [(role, ground) for role in (*TEXT_ROLES, *MARK_ROLES) for ground in BACKGROUNDS if nearest(role) == nearest(ground)]
    assert sunk == []


def test_both_themes_name_the_same_roles() -> None:
    sun, dusk = THEMES
    assert (sun.name, sun.dark, dusk.name, dusk.dark) == (SUN, False, DUSK, True)
    assert set(sun.variables) == set(dusk.variables)
    assert set(role_defaults()) <= set(sun.variables)
    assert {*TEXT_ROLES, *MARK_ROLES} <= set(_colours(sun))


def test_each_state_has_a_sign_of_its_own() -> None:
    plain = [sign.translate(INSTEAD) for sign in SIGNS.values()]
    assert len(set(SIGNS.values())) == len(set(plain)) == len(SIGNS)
    assert all(sign.isascii() for sign in plain)
