"""A length that keeps what was typed: in metres it stands in the file as it was typed, however often units go to and fro."""


class TypedLength(float):
    """A length in the unit of its place, with the text it was typed as, unit and all: `7.25 m`. It counts, compares and prints as the
    number it is; what is worked out of it is a plain number."""

    text: str

    def __new__(cls, length: float, text: str) -> "TypedLength":
        kept = super().__new__(cls, length)
        kept.text = text
        return kept

    def __getnewargs__(self) -> tuple[float, str]:  # type: ignore[override]  # what __new__ takes
        return float(self), self.text


def as_typed(length: float, read: float) -> float:
    """A length that is another number for what was read, in other units or rounded, with the text that what was read has.

    length: in any unit. read: what was typed, as it was read.
    Returns the length; a plain number where nothing is kept of what was typed.
    Source: derived.
    Valid for: any length.
    """
    return TypedLength(length, read.text) if isinstance(read, TypedLength) else length
