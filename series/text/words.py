r"""Figures of coins as people write them: years, lengths, masses, places by the clock.

What is computed: short texts from plain numbers. Years are civil years, lengths mm, mass g,
clock places hours (1 to 12 in quarters). Typography is that of English books: an en dash
between years, the second one cut short; common practice, no source.

>>> years_text(1931, 1959), years_text(1931, 1959, short=False), years_text(1998, 2004)
('1931–59', '1931–1959', '1998–2004')
>>> years_text(1931, 1931), years_text(1931, None), years_text(None, 1959), years_text(None, None)
('1931', 'from 1931', 'to 1959', '')
>>> from decimal import Decimal
>>> plain(Decimal("23.500")), plain(Decimal("5.00")), plain(Decimal("100"))
('23.5', '5', '100')
>>> mm(Decimal("23.500")), grams(Decimal("5.4")), mm(None)
('23.5\xa0mm', '5.4\xa0g', '')
>>> clock_text(Decimal("6.00")), clock_text(Decimal("6.25")), clock_text(Decimal("12.5"))
("6 o'clock", 'a quarter past 6', 'half past 12')
"""

from __future__ import annotations

from decimal import Decimal


def years_text(first: int | None, last: int | None, short: bool = True) -> str:
    """The years from first to last; open ends in words; "" when neither is known."""
    if first is None and last is None:
        return ""
    if last is None:
        return f"from {year_text(first or 0)}"
    if first is None:
        return f"to {year_text(last)}"
    if first == last:
        return year_text(first)
    if short and first // 100 == last // 100 and first > 999:
        return f"{first}–{last % 100:02d}"
    return f"{year_text(first)}–{year_text(last)}"


def year_text(year: int) -> str:
    """An astronomical year as written: 0 is 1 BC."""
    return str(year) if year > 0 else f"{1 - year} BC"


def plain(value: Decimal | int | None) -> str:
    """A figure without trailing zeros and without an exponent; "" for None."""
    if value is None:
        return ""
    text = f"{value:f}" if isinstance(value, Decimal) else str(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


def number(value: float, places: int = 3) -> str:
    """A number as short as so many decimals allow, never an exponent.

    >>> number(12.1250), number(-0.0001), number(70), number(63.456, 2)
    ('12.125', '0', '70', '63.46')
    """
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def mm(value: Decimal | None) -> str:
    """A length that is never parted from its unit; "" for None."""
    return f"{plain(value)}\u00a0mm" if value is not None else ""


def grams(value: Decimal | None) -> str:
    """A mass that is never parted from its unit; "" for None."""
    return f"{plain(value)}\u00a0g" if value is not None else ""


def clock_text(place: Decimal | None) -> str:
    """A place by the clock, in quarters of an hour; "" for None."""
    if place is None:
        return ""
    hour, quarter = int(place), round((place - int(place)) * 4)
    hour = hour or 12
    if quarter == 0:
        return f"{hour} o'clock"
    if quarter == 2:
        return f"half past {hour}"
    return f"a quarter past {hour}" if quarter == 1 else f"a quarter to {hour % 12 + 1}"
