"""Stage 4: bracing."""
