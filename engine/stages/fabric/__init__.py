"""Stage 6: wire and mesh."""
