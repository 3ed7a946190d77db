"""The reference catalogue as a member sees it, laid out for the matching of lists."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from catalogue import access
from catalogue.importing.reading.matching import (
    CurrencyFacts,
    DenominationFacts,
    IssueFacts,
    IssuerFacts,
    Reference,
    SeriesFacts,
    TypeFacts,
    UnitFacts,
)
from catalogue.models import Member
from series.models import (
    CoinType,
    Currency,
    Denomination,
    Face,
    FaceMotif,
    Issue,
    Issuer,
    Legend,
    Series,
)
from series.text.words import plain


@dataclass(frozen=True)
class Known:
    """The reference, and the ids of its types by key and of their issues by both keys."""

    reference: Reference
    types: dict[str, int]
    issues: dict[tuple[str, str], int]


def known_to(member: Member) -> Known:
    """All that a row of this member's list may mean. A constant number of queries."""
    types = access.visible_types(member).filter(withdrawn=False)
    keys = dict(types.order_by().values_list("pk", "key"))
    issues: dict[tuple[str, str], int] = {}
    reference = Reference.of(
        _issuers(), _currencies(), _denominations(), _series(), _types(types, keys, issues)
    )
    return Known(reference, {key: pk for pk, key in keys.items()}, issues)


def _issuers() -> Iterator[IssuerFacts]:
    for one in Issuer.objects.prefetch_related("predecessors").order_by("pk"):
        before = tuple(each.key for each in one.predecessors.all())
        yield IssuerFacts(one.key, one.name, one.code, one.first_year, one.last_year, before)


def _currencies() -> Iterator[CurrencyFacts]:
    for one in (
        Currency.objects.select_related("successor")
        .prefetch_related("issuers", "units")
        .order_by("pk")
    ):
        yield CurrencyFacts(
            key=one.key,
            name=one.name,
            plural=one.plural,
            symbol=one.symbol,
            code=one.code,
            issuers=tuple(each.key for each in one.issuers.all()),
            units=tuple(
                UnitFacts(each.name, each.plural, each.symbol, each.ratio)
                for each in one.units.all()
            ),
            first_year=one.first_year,
            last_year=one.last_year,
            successor=one.successor.key if one.successor is not None else "",
            successor_from=one.rate_from.year if one.rate_from is not None else None,
            subunit_in_use=one.subunit_in_use,
        )


def _denominations() -> Iterator[DenominationFacts]:
    for one in Denomination.objects.select_related("currency").order_by("pk"):
        yield DenominationFacts(one.key, one.name, one.currency.key, one.value)


def _series() -> Iterator[SeriesFacts]:
    rows = Series.objects.order_by("pk").values_list(
        "key", "name", "issuer__key", "currency__key", "first_year", "last_year"
    )
    return (SeriesFacts(*row) for row in rows)


def _types(
    types: QuerySet[CoinType], keys: dict[int, str], ids: dict[tuple[str, str], int]
) -> Iterator[TypeFacts]:
    issues = _issues(keys, ids)
    legends = _texts(Legend.objects.values_list("face__coin_type_id", "text"), keys)
    words = _texts(Face.objects.values_list("coin_type_id", "description"), keys)
    shown = _texts(FaceMotif.objects.values_list("face__coin_type_id", "motif__name"), keys)
    common = set(Face.objects.filter(role="common").values_list("coin_type", flat=True))
    columns = (
        "pk", "key", "series__key", "denomination__key", "name", "purpose", "composition",
        "diameter_mm", "mass_g", "first_year", "last_year",
    )  # fmt: skip
    for row in types.order_by("pk").values_list(*columns):
        pk, key, series, denomination, name, purpose, metal, across, mass, first, last = row
        yield TypeFacts(
            key=key,
            series=series,
            denomination=denomination,
            name=name,
            purpose=purpose,
            metal=metal,
            diameter_mm=plain(across),
            mass_g=plain(mass),
            legends=tuple(legends.get(pk, ())),
            words=(*words.get(pk, ()), *shown.get(pk, ())),
            first_year=first,
            last_year=last,
            issues=tuple(issues.get(pk, ())),
            common_side=pk in common,
        )


def _texts(rows: Iterable[tuple[Any, Any]], keys: dict[int, str]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    for pk, text in rows:
        if text and pk in keys:
            found[pk].append(text)
    return found


def _issues(keys: dict[int, str], ids: dict[tuple[str, str], int]) -> dict[int, list[IssueFacts]]:
    """The issues of each type; their ids are put into ``ids``."""
    marks: dict[int, list[str]] = defaultdict(list)
    mints: dict[int, list[str]] = defaultdict(list)
    borne = Issue.marks.through.objects.values_list(
        "issue_id", "mark__text", "mark__mint__name", "mark__mint__town"
    )
    for issue, text, *names in borne:
        marks[issue].append(text)
        mints[issue] += [name for name in names if name]
    found: dict[int, list[IssueFacts]] = defaultdict(list)
    columns = (
        "pk", "coin_type_id", "key", "shown", "mark_text", "struck_from", "struck_to", "purpose",
        "fact",
    )  # fmt: skip
    for row in Issue.objects.filter(withdrawn=False).order_by("pk").values_list(*columns):
        pk, coin_type, key, shown, mark_text, first, last, purpose, fact = row
        if coin_type not in keys:
            continue
        if fact != Issue.Fact.NOT_STRUCK:  # of which nobody has a piece: the date stays as read
            ids[keys[coin_type], key] = pk
        texts = tuple(dict.fromkeys([*marks.get(pk, ()), *mark_text.replace("+", " ").split()]))
        label = " ".join(part for part in (shown or "no date", mark_text) if part)
        named = tuple(dict.fromkeys(mints.get(pk, ())))
        found[coin_type].append(
            IssueFacts(key, label, shown, first, last, texts, named, purpose, fact)
        )
    return found
