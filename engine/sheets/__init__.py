"""The nine sheets: what a stage asks and its figures, as rows and columns."""
