"""Round money and write it down.

Computed: amounts of money as Decimals, rounded half up to two places (Council Regulation (EC)
No 1103/97, Article 5, rounds half up to the sub-unit), and how an amount is written. Currency
codes are those of ISO 4217, also of currencies since withdrawn; most names are those of the Unicode
Common Locale Data Repository, as the package babel brings them.

>>> cents(Decimal("14.505")), cents(Decimal("-0.004"))
(Decimal('14.51'), Decimal('0.00'))
>>> written(Decimal("1234.5"), "EUR"), written(Decimal("80"), "SEK")
('€\\xa01,234.50', 'SEK\\xa080.00')
>>> middle(Decimal("11"), Decimal("18"))
Decimal('14.5')
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from babel.numbers import get_currency_name

CENT = Decimal("0.01")
NO_BREAK = "\u00a0"
SYMBOLS = {"EUR": "€", "GBP": "£", "USD": "$"}

TODAY = (
    "EUR", "AUD", "BRL", "CAD", "CHF", "CNY", "CZK", "DKK", "GBP", "HKD", "HUF", "IDR", "ILS",
    "INR", "ISK", "JPY", "KRW", "MXN", "MYR", "NOK", "NZD", "PHP", "PLN", "RON", "RUB", "SEK",
    "SGD", "THB", "TRY", "USD", "ZAR",
)  # fmt: skip
WITHDRAWN = (
    "ATS", "BEF", "BGN", "CYP", "DEM", "EEK", "ESP", "FIM", "FRF", "GRD", "HRK", "IEP", "ITL",
    "LTL", "LUF", "LVL", "MTL", "NLG", "ROL", "SIT", "SKK", "TRL",
)  # fmt: skip
_NAMED = {
    "CYP": "Cyprus pound", "GBP": "pound sterling", "ILS": "Israeli shekel",
    "LUF": "Luxembourg franc", "PLN": "Polish złoty", "ROL": "old Romanian leu",
    "TRL": "old Turkish lira", "USD": "United States dollar",
}  # fmt: skip


def currency_name(code: str) -> str:
    """What a currency is called.

    >>> currency_name("CHF"), currency_name("DEM"), currency_name("GBP")
    ('Swiss franc', 'German mark', 'pound sterling')
    """
    return _NAMED.get(code) or get_currency_name(code, count=1, locale="en_GB")


def cents(amount: Decimal) -> Decimal:
    """An amount rounded half up, away from nought, to two places; never minus nought."""
    return amount.quantize(CENT, ROUND_HALF_UP) + Decimal("0.00")


def middle(low: Decimal, high: Decimal) -> Decimal:
    """Half way between two amounts, exactly."""
    return (low + high) / 2


def figures(amount: Decimal) -> str:
    """An amount in figures with two places and thousands apart: "1,234.50"."""
    return f"{cents(amount):,}"


def written(amount: Decimal, currency: str) -> str:
    """An amount with its currency, held together by a no-break space."""
    return f"{SYMBOLS.get(currency, currency)}{NO_BREAK}{figures(amount)}"


def short(amount: Decimal) -> str:
    """Figures without ".00" where there are no cents: "11", "18.50"."""
    text = figures(amount)
    return text.removesuffix(".00")
