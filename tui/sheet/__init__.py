"""The sheet of a stage on screen: its cursor, its columns, what is typed into a cell, the strip under it."""
