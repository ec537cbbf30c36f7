"""Courses of a traverse as a book prints them."""

from engine.calc.lengths import parse_azimuth_deg
from engine.calc.measuring.traverse import Course


def courses(*legs: tuple[str, float]) -> list[Course]:
    """Printed bearing or azimuth and length, course by course."""
    return [Course(length_ft, parse_azimuth_deg(text)) for text, length_ft in legs]
