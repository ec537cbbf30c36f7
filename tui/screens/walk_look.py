"""How the walk screen shares its room, and its colours."""

LOOK = """
WalkScreen { layout: vertical; background: $background; }
WalkScreen #top { height: 1; background: $panel; color: $foreground; }
WalkScreen #trouble { display: none; height: auto; max-height: 4; background: $surface; color: $stop; text-style: bold; padding: 0 1; }
WalkScreen #trouble.-shown { display: block; }
WalkScreen #pages { height: 1fr; layout: horizontal; }
WalkScreen #sheet { width: 1fr; height: 1fr; }
WalkScreen #beside { width: 1fr; height: 1fr; layout: vertical; }
WalkScreen #pictures { height: 1fr; }
WalkScreen #picture-title { height: 1; background: $panel; color: $muted; }
WalkScreen #tabs { height: 1; background: $panel; }
WalkScreen #tabs { link-color: $foreground; link-style: none; link-background-hover: $block-cursor-background; }
WalkScreen.-vast #beside { layout: horizontal; }
WalkScreen.-vast #pictures { width: 3fr; }
WalkScreen.-vast #under { width: 2fr; }
WalkScreen #beside .-pane { height: 1fr; width: 1fr; border: none; }
"""
