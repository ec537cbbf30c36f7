"""Cables, posts, braces, gates and wind: guidance for light yard fences."""
