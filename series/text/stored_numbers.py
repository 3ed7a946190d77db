"""Whole numbers in texts from outside, no larger than every database stores.

Computed: the number a text names, without units, or None. The bound is 18 figures: SQLite's
INTEGER and PostgreSQL's bigint hold 64 bits with a sign, which end within the 19th figure
(common practice, no source).

>>> whole_number("-320"), whole_number("9" * 19), whole_number("12x")
(-320, None, None)
>>> record_number("12"), record_number("-1"), record_number("٣"), record_number(None)
(12, None, None, None)
"""

from __future__ import annotations

import re

MOST_FIGURES = 18
FIGURES = f"[0-9]{{1,{MOST_FIGURES}}}"
"""A number of a record as a regular expression, for addresses."""
_WHOLE = re.compile(f"-?{FIGURES}")


def whole_number(text: object) -> int | None:
    """The whole number that a text is, if a database can hold it."""
    said = str(text)
    return int(said) if _WHOLE.fullmatch(said) else None


def record_number(text: object) -> int | None:
    """The number of a record that a text is: a whole number that is not negative."""
    number = whole_number(text)
    return number if number is not None and number >= 0 else None
