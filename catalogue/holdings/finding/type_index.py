"""The texts and years of all types in memory: loaded from the database, kept up to date.

``type_texts()`` is what finding a type asks; it costs one query when nothing has changed. Who may
see a type, and whether pieces can be entered as it, is not kept here: that is asked each time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from django.db.models import QuerySet

from catalogue.holdings.finding.meanings import Meanings, Money
from catalogue.holdings.finding.type_words import SearchedType, TypeTexts
from catalogue.holdings.up_to_date import Changed, UpToDate
from catalogue.models import Change
from series.models import CoinType, Currency, CurrencyUnit, Denomination, Issuer
from series.parcels import parcels
from series.text.folding import fold

_OF = ("denomination_id", "series__currency_id", "series__issuer_id")
_VALUE = ("currency_id", "value_numerator", "value_denominator")


def type_texts() -> TypeTexts:
    """The texts as of the last committed change."""
    return _texts.current()


def _all_texts() -> TypeTexts:
    return TypeTexts.of(_words_of(CoinType.everything.all()), _meanings())


def _patched(texts: TypeTexts, changed: Changed) -> TypeTexts:
    ids = sorted({ref for kind, ref in changed if kind == Change.Kind.TYPE})
    if ids:
        texts = replace(texts, meanings=_meanings())
    for some in parcels(ids):
        rows = list(_words_of(CoinType.everything.filter(pk__in=some)))
        texts = texts.patched(rows, set(some) - {row.id for row in rows})
    return texts


_texts = UpToDate(
    "type-texts",
    _all_texts,
    _patched,
    TypeTexts.packed,
    lambda arrays, _rest: TypeTexts.unpacked(arrays, _meanings()),
    (Change.Kind.TYPE,),
)
forget = _texts.forget


def _words_of(types: QuerySet[CoinType]) -> Iterator[SearchedType]:
    rows = types.order_by("pk").values_list("pk", "search_text", "first_year", "last_year", *_OF)
    for row in rows.iterator(chunk_size=5_000):
        yield SearchedType(*row)


def _meanings() -> Meanings:
    """The values and countries of the records. Five queries."""
    currencies = {each.pk: each for each in Currency.objects.all()}
    money = [
        Money(pk, _folded(each.name, each.plural, each.symbol, each.code), Fraction(1))
        for pk, each in currencies.items()
    ]
    money += [
        Money(each.currency_id, _folded(each.name, each.plural, each.symbol), each.ratio)
        for each in CurrencyUnit.objects.filter(currency__in=currencies)
    ]
    values = [
        (each.pk, each.currency_id, each.value)
        for each in Denomination.objects.only(*_VALUE).order_by()
    ]
    shared: dict[int, set[int]] = defaultdict(set)
    for currency, issuer in Currency.issuers.through.objects.values_list(
        "currency_id", "issuer_id"
    ):
        shared[issuer] |= _and_after(currency, currencies)
    countries = [
        (pk, fold(name), fold(code), frozenset(shared[pk]))
        for pk, name, code in Issuer.objects.order_by().values_list("pk", "name", "code")
    ]
    return Meanings.of(money, values, countries)


def _folded(*names: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(fold(name) for name in names if fold(name)))


def _and_after(currency: int, currencies: dict[int, Currency]) -> set[int]:
    """A currency and those that took its place."""
    found: set[int] = set()
    ahead: int | None = currency
    while ahead in currencies and ahead not in found:
        found.add(ahead)
        ahead = currencies[ahead].successor_id
    return found
