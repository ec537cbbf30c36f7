"""Boxes that name picture files."""
