"""What stands on an opening page: a country, a currency or a series in a few lines."""

from __future__ import annotations

from catalogue.talks import words
from series.issuers.in_words import became, unit_chain
from series.models import Currency, Issuer, Series
from series.text.words import years_text

MOST_BOUGHT = 3


def lines_of(record: object) -> tuple[str, ...]:
    """The lines beneath the heading of an opening page, without its years."""
    if isinstance(record, Currency):
        return tuple(line for line in _of_currency(record) if line)
    if isinstance(record, Issuer):
        money = [words.with_years(each.name, *_years(each)) for each in record.currencies.all()]
        return tuple(money)
    if isinstance(record, Series):
        return (words.capital(record.currency.name),)
    return ()


def _of_currency(currency: Currency) -> list[str]:
    replaced = [each for each in currency.replaced.all() if each.deleted_at is None]
    bought = [
        words.bought(note.amount, note.bought, note.year) for note in currency.price_notes.all()
    ]
    return [
        unit_chain(currency),
        *(words.capital(became(each)) for each in replaced),
        words.capital(became(currency)),
        *_spread(bought),
    ]


def _spread(lines: list[str]) -> list[str]:
    """The first, the last and one between, of many."""
    if len(lines) <= MOST_BOUGHT:
        return lines
    return [lines[0], lines[len(lines) // 2], lines[-1]]


def years_of(record: object) -> str:
    return years_text(*_years(record), short=False)


def _years(record: object) -> tuple[int | None, int | None]:
    return getattr(record, "first_year", None), getattr(record, "last_year", None)
