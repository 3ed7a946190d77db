"""Whole numbers in addresses: no more digits than every database takes."""

from __future__ import annotations

from series.text.stored_numbers import FIGURES


class NumberConverter:
    """Up to 18 digits, so that no address names a number beyond 64 bits.

    >>> import re
    >>> [bool(re.fullmatch(NumberConverter.regex, text)) for text in ("12", "9" * 19, "-1")]
    [True, False, False]
    """

    regex = FIGURES

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: int) -> str:
        return str(value)
