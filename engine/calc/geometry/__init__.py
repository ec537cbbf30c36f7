"""Plane geometry, the ground, and where supports may stand along a line."""
