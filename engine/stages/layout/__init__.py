"""Stage 2: the layout."""
