"""Arithmetic of what a crew measures: shots brought to one answer, traverses, tapes and paces."""
