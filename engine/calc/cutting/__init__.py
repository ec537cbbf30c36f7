"""Which piece from which roll, and how things are shared out along a run."""
