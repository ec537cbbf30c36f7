"""A grid of cells that drawings are inked on: knows no widget."""
