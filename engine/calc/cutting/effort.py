"""How much work a search may still do, counted and not timed, so that it ends at the same place on every machine."""


class Effort:
    """Work left, in looks at one size or one place: well under a microsecond each."""

    def __init__(self, allowed: int) -> None:
        self.left = allowed

    @property
    def is_spent(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0

    def spend(self, looks: int) -> bool:
        """Take so many looks off, and say whether any are left.

        looks: 0 or more.
        Returns: False once all is spent; what has begun may go over by one part of its work.
        Source: derived: a count.
        Valid for: any count.
        """
        self.left -= looks
        return self.left > 0

    def share(self, parts: int) -> "Effort":
        """An effort of its own, one part of what is left, that is taken off here at once; what it doesn't use is given up.

        parts: 1 or more.
        Returns: the share.
        Source: derived: a division.
        Valid for: any number of parts.
        """
        given = max(self.left, 0) // parts
        self.left -= given
        return Effort(given)
