"""The firm on its pages: who it is by its own file, the head of a page, and where people sign."""
