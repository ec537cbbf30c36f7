"""Two themes of our own, one for sun and one for dusk, and the colour roles that every pane draws with.

Panes name a role (`$stop` in a style sheet, `"cable"` in a picture), never a colour. Which role stands on which, and with how much
contrast, the tests say and compute. Utility roles follow the APWA uniform colour code for paint on the ground, darkened or
lightened until they can be seen.
"""

from typing import Any

from textual.app import App
from textual.theme import Theme

SUN = "linewalk-sun"
DUSK = "linewalk-dusk"

# One sign a level, so that state reads without colour.
SIGNS = {"stop": "X", "fix": "!", "note": "i", "done": "✓", "planned": ""}

_ROLES = {
    "muted": ("#3b4249", "#bcc5ca"),
    "stop": ("#8c1212", "#ff9d93"),
    "fix": ("#6a3700", "#f0b866"),
    "note": ("#123f7a", "#93c6ff"),
    "done": ("#0d4a20", "#8fdaa0"),
    "label": ("#12161a", "#f0f2ec"),
    "yard": ("#3b4249", "#bcc5ca"),
    "chosen": ("#0b3d91", "#ffd75e"),
    "fence": ("#12161a", "#f0f2ec"),
    "post": ("#12161a", "#f0f2ec"),
    "cable": ("#1c4f9c", "#7fb2ff"),
    "wire": ("#5a5148", "#b3aca0"),
    "brace": ("#6d4312", "#c99c63"),
    "gate": ("#9a3412", "#ff9d6b"),
    "eye": ("#12161a", "#f0f2ec"),
    "ground": ("#6d4312", "#c99c63"),
    "tree": ("#17602b", "#74c584"),
    "wall": ("#4b4f55", "#a5abb2"),
    "deck": ("#7d4a12", "#c79a5c"),
    "yard-tint": ("#e4ecd8", "#16291d"),
    "boundary": ("#7b1f86", "#d79be0"),
    "keepout": ("#9c2f14", "#ff8f73"),
    "ghost": ("#565a61", "#969da5"),
    "scale": ("#3b4249", "#bcc5ca"),
    "electric": ("#b01818", "#ff8080"),
    "gas": ("#7a5800", "#e0b93f"),
    "comms": ("#a84300", "#f79a4d"),
    "water": ("#0a5c96", "#62b8ee"),
    "reclaimed": ("#6d2f9c", "#c8a0f0"),
    "sewer": ("#1d6b2d", "#6cc77c"),
    "buried": ("#5a5148", "#b3aca0"),
}
"""Every role with its colour by sun and at dusk."""
_SUN_ROLES, _DUSK_ROLES = ({role: colours[at] for role, colours in _ROLES.items()} for at in (0, 1))


def _theme(name: str, roles: dict[str, str], background: str, surface: str, panel: str, quiet: str, dark: bool) -> Theme:
    """One theme from its roles; Textual's own variables are tied to them so that no widget falls back to a faint default."""
    ink = roles["label"]
    tied = {
        "text": ink,
        "text-muted": roles["muted"],
        "text-disabled": roles["muted"],
        "foreground-muted": roles["muted"],
        "foreground-disabled": roles["muted"],
        "text-primary": roles["chosen"],
        "text-secondary": roles["note"],
        "text-accent": roles["note"],
        "text-error": roles["stop"],
        "text-warning": roles["fix"],
        "text-success": roles["done"],
        "border": roles["chosen"],
        "border-blurred": quiet,
        "block-cursor-foreground": background,
        "block-cursor-background": roles["chosen"],
        "block-cursor-blurred-foreground": ink,
        "block-cursor-blurred-background": panel,
        "block-cursor-blurred-text-style": "none",
        "block-hover-background": panel,
        "input-cursor-foreground": background,
        "input-cursor-background": ink,
        "input-selection-foreground": background,
        "input-selection-background": roles["note"],
        "screen-selection-foreground": background,
        "screen-selection-background": roles["note"],
        "footer-foreground": ink,
        "footer-background": panel,
        "footer-key-foreground": roles["chosen"],
        "footer-description-foreground": ink,
        "button-foreground": ink,
        "button-color-foreground": background,
        "link-color": roles["note"],
        "link-color-hover": background,
        "scrollbar": roles["scale"],
        "scrollbar-hover": ink,
        "scrollbar-active": roles["chosen"],
        "scrollbar-background": panel,
        "scrollbar-background-hover": panel,
        "scrollbar-background-active": panel,
        "scrollbar-corner-color": panel,
        "markdown-h1-color": ink,
        "markdown-h2-color": ink,
        "markdown-h3-color": ink,
        "markdown-h6-color": roles["muted"],
    }
    return Theme(
        name=name,
        primary=roles["chosen"],
        secondary=roles["note"],
        accent=roles["chosen"],
        error=roles["stop"],
        warning=roles["fix"],
        success=roles["done"],
        foreground=ink,
        background=background,
        surface=surface,
        panel=panel,
        dark=dark,
        variables={**tied, **roles},
    )


THEMES = (
    _theme(SUN, _SUN_ROLES, "#fdfcf8", "#f5f3ec", "#e9e6da", "#62666b", dark=False),
    _theme(DUSK, _DUSK_ROLES, "#10151a", "#171e25", "#1e262e", "#8a939b", dark=True),
)


def role_defaults() -> dict[str, str]:
    """Roles for style sheets read before one of our themes is set; an App returns them from `get_theme_variable_defaults`."""
    return dict(_SUN_ROLES)


def install(app: App[Any], name: str = SUN) -> None:
    """Register both themes with `app` and set the one called `name`."""
    for theme in THEMES:
        app.register_theme(theme)
    app.theme = name
