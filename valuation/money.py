"""Round money and write it down.

Computed: amounts of money as Decimals, rounded half up to two places (Council Regulation (EC)
No 1103/97, Article 5, rounds half up to the sub-unit), and how an amount is written. Currency
codes are those of ISO 4217, also of currencies since withdrawn; the names are plain English.

>>> cents(Decimal("14.505")), cents(Decimal("-0.004"))
(Decimal('14.51'), Decimal('0.00'))
>>> written(Decimal("1234.5"), "EUR"), written(Decimal("80"), "SEK")
('€\\xa01,234.50', 'SEK\\xa080.00')
>>> middle(Decimal("11"), Decimal("18"))
Decimal('14.5')
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
NO_BREAK = "\u00a0"
SYMBOLS = {"EUR": "€", "GBP": "£", "USD": "$"}

NAMES = {
    "EUR": "euro",
    "AUD": "Australian dollar",
    "BRL": "Brazilian real",
    "CAD": "Canadian dollar",
    "CHF": "Swiss franc",
    "CNY": "Chinese yuan",
    "CZK": "Czech koruna",
    "DKK": "Danish krone",
    "GBP": "pound sterling",
    "HKD": "Hong Kong dollar",
    "HUF": "Hungarian forint",
    "IDR": "Indonesian rupiah",
    "ILS": "Israeli shekel",
    "INR": "Indian rupee",
    "ISK": "Icelandic króna",
    "JPY": "Japanese yen",
    "KRW": "South Korean won",
    "MXN": "Mexican peso",
    "MYR": "Malaysian ringgit",
    "NOK": "Norwegian krone",
    "NZD": "New Zealand dollar",
    "PHP": "Philippine peso",
    "PLN": "Polish złoty",
    "RON": "Romanian leu",
    "RUB": "Russian rouble",
    "SEK": "Swedish krona",
    "SGD": "Singapore dollar",
    "THB": "Thai baht",
    "TRY": "Turkish lira",
    "USD": "United States dollar",
    "ZAR": "South African rand",
}
WITHDRAWN = {
    "ATS": "Austrian schilling",
    "BEF": "Belgian franc",
    "BGN": "Bulgarian lev",
    "CYP": "Cyprus pound",
    "DEM": "German mark",
    "EEK": "Estonian kroon",
    "ESP": "Spanish peseta",
    "FIM": "Finnish markka",
    "FRF": "French franc",
    "GRD": "Greek drachma",
    "HRK": "Croatian kuna",
    "IEP": "Irish pound",
    "ITL": "Italian lira",
    "LTL": "Lithuanian litas",
    "LUF": "Luxembourg franc",
    "LVL": "Latvian lats",
    "MTL": "Maltese lira",
    "NLG": "Dutch guilder",
    "ROL": "old Romanian leu",
    "SIT": "Slovenian tolar",
    "SKK": "Slovak koruna",
    "TRL": "old Turkish lira",
}


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
