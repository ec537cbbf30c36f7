"""The firm on its pages."""
