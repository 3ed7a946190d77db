"""Reads of values shared by pages, sheets and commands: what is worth how much on a day.

The rule by which a value is chosen stands in :mod:`valuation.estimates.worth`; here it is asked
of the database, and a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db.models import (
    Case,
    CharField,
    DecimalField,
    Exists,
    F,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    When,
)
from django.db.models import Value as Constant
from django.db.models.functions import Coalesce, NullIf

from catalogue import access
from catalogue.members.requests import Viewer
from catalogue.models import Holding, StatusChange
from series.models import CoinType, Currency
from series.parcels import parcels
from valuation.estimates.models import PriceSource, Valuation
from valuation.estimates.worth import Value, Worth, worth
from valuation.exchange import FIXED, FixedRate, NoRate, convert
from valuation.money import TODAY, WITHDRAWN, middle

_BATCH = 20_000  # ids named in one query; SQLite takes 32,766
_BASIS = dict(Valuation.Basis.choices)
_OF_A_VALUE = (
    "holding_id",
    "issue_id",
    "on",
    "currency",
    "single",
    "low",
    "high",
    "grade_rank",
    "grade",
    "basis",
    "source__name",
    "appraiser",
    "note",
)
_MONEY: Any = DecimalField(max_digits=30, decimal_places=12)


def held_on(holdings: QuerySet[Holding], day: date) -> QuerySet[Holding]:
    """The holdings that were in hand on a day: acquired by then, not yet parted with.

    A holding without a date of acquisition counts as held from the beginning. Quantities are
    those of now: a lot that was split or sold in part is not put together again.
    """
    changes = StatusChange.objects.filter(holding=OuterRef("pk"))
    status: Any = Coalesce(
        Subquery(changes.filter(on__lte=day).order_by("-on", "-pk").values("status")[:1]),
        Case(
            When(Exists(changes), then=Constant(Holding.Status.HELD)),
            default=F("status"),
            output_field=CharField(),
        ),
    )
    return (
        holdings.filter(Q(acquired_on__isnull=True) | Q(acquired_on__lte=day))
        .alias(status_then=status)
        .filter(status_then__in=Holding.IN_HAND)
    )


def with_worth(holdings: QuerySet[Holding], as_of: date) -> QuerySet[Any]:
    """Holdings annotated with ``worth_id``, the value that counts on a day, or None."""
    return holdings.annotate(worth_id=_chosen(as_of, F("pk")))


def with_worth_in(holdings: QuerySet[Holding], currency: str, as_of: date) -> QuerySet[Any]:
    """Holdings with ``worth``, an amount in a currency for all pieces, to sort and to filter by.

    It is not rounded piece by piece, and None where nothing is known or there is no rate; what
    is shown and summed comes from :func:`worths`.
    """
    no_rate = Constant(Decimal(-1), output_field=_MONEY)
    amount: Any = Case(
        *(
            When(currency=code, then=_amount() * Constant(rate, output_field=_MONEY))
            for code, rate in _rates_into(currency, as_of)
        ),
        default=no_rate,
        output_field=_MONEY,
    )
    each: Any = NullIf(_chosen(as_of, amount, _MONEY), no_rate)
    return holdings.annotate(worth=each * F("quantity"))


def _amount() -> Any:
    half = Constant(Decimal("0.5"), output_field=_MONEY)
    return Coalesce(F("single"), (F("low") + F("high")) * half, output_field=_MONEY)


def _chosen(as_of: date, what: Any, output_field: Any = None) -> Any:
    """``what`` of the value that counts for the outer holding: the rule of ``worth.choose``."""
    values = Valuation.objects.filter(on__lte=as_of).annotate(what=what)
    own = values.filter(holding=OuterRef("pk")).order_by("-on", "-pk")
    open_to_owner = Q(source__owner__isnull=True) | Q(source__owner=OuterRef("owner"))
    at_grade = Q(grade_rank__isnull=True) | Q(grade_rank__lte=OuterRef("grade_rank"))
    estimates = values.filter(open_to_owner, at_grade).order_by(
        F("grade_rank").desc(nulls_last=True), "-on", "-pk"
    )
    of_issue = estimates.filter(issue=OuterRef("issue"))
    of_type = estimates.filter(coin_type=OuterRef("coin_type"), issue__isnull=True)
    return Coalesce(
        *(Subquery(found.values("what")[:1]) for found in (own, of_issue, of_type)),
        output_field=output_field,
    )


def _rates_into(currency: str, as_of: date) -> list[tuple[str, Decimal]]:
    """The rate into a currency from each that has one; those most met first."""
    fixed = fixed_rates()
    rates = []
    for code in dict.fromkeys([currency, "EUR", "USD", "GBP", *TODAY, *WITHDRAWN, *fixed]):
        try:
            rate = convert(Decimal(1), code, currency, as_of, fixed).rate
        except NoRate:
            continue
        rates.append((code, round(rate, 12)))
    return rates


def fixed_rates() -> Mapping[str, FixedRate]:
    """Rates fixed by law: those of the regulation, and those that currencies here name."""
    named = Currency.objects.exclude(code="").exclude(rate="").exclude(successor__code="")
    rows = named.filter(rate_from__isnull=False).values_list(
        "code", "successor__code", "rate", "rate_from", "name"
    )
    rates = dict(FIXED)
    for code, successor, rate, since, name in rows:
        try:
            units = Fraction(rate)
        except (ValueError, ZeroDivisionError):
            continue  # not a number: whoever edits the currency is told so there
        if units <= 0:
            continue
        exact = Decimal(units.numerator) / Decimal(units.denominator)
        rates.setdefault(code, FixedRate(successor, exact, since, f"legal rate, {name}"))
    return rates


def worths(holdings: QuerySet[Holding], currency: str, as_of: date) -> dict[int, Worth]:
    """What each holding is worth, by id; one without a known value is left out.

    A constant number of queries (one more for every 20,000 values).
    """
    rows: list[tuple[int, int, int | None]] = list(
        with_worth(holdings, as_of).order_by().values_list("pk", "quantity", "worth_id")
    )
    fixed = fixed_rates()
    values = values_by_id({chosen for _pk, _pieces, chosen in rows if chosen is not None})
    return {
        pk: worth(values[chosen], pieces, currency, as_of, fixed)
        for pk, pieces, chosen in rows
        if chosen is not None
    }


def values_by_id(ids: Iterable[int]) -> dict[int, Value]:
    """Values as plain figures and words, by id."""
    return {row["pk"]: _value(row) for row in _rows_by_id(ids, *_OF_A_VALUE)}


def amounts_by_id(ids: Iterable[int]) -> dict[int, tuple[Decimal, str]]:
    """The amount of one piece and its currency alone, by id of the value."""
    rows = _rows_by_id(ids, "single", "low", "high", "currency")
    return {row["pk"]: (_single(row), row["currency"]) for row in rows}


def _rows_by_id(ids: Iterable[int], *fields: str) -> Iterator[dict[str, Any]]:
    for some in parcels(sorted(ids), _BATCH):
        batch = Valuation.objects.filter(pk__in=some)
        yield from batch.order_by().values("pk", *fields)


def as_value(valuation: Valuation) -> Value:
    """A stored value as plain figures and words."""
    row = {field: getattr(valuation, field) for field in _OF_A_VALUE if "__" not in field}
    return _value({**row, "pk": valuation.pk, "source__name": valuation.source.name})


def _value(row: dict[str, Any]) -> Value:
    if row["holding_id"] is not None:
        kind = "appraisal" if row["appraiser"] else "own"
    else:
        kind = "issue" if row["issue_id"] is not None else "type"
    return Value(
        id=row["pk"],
        on=row["on"],
        currency=row["currency"],
        amount=_single(row),
        low=row["low"],
        high=row["high"],
        rank=row["grade_rank"],
        kind=kind,
        grade=row["grade"],
        basis=str(_BASIS.get(row["basis"], row["basis"])),
        source=row["source__name"],
        appraiser=row["appraiser"],
        note=row["note"],
    )


def _single(row: dict[str, Any]) -> Decimal:
    """The amount stated, or the middle of the range."""
    single: Decimal | None = row["single"]
    if single is not None:
        return single
    return middle(row["low"] or Decimal(0), row["high"] or Decimal(0))


def values_that_count(holding: Holding) -> list[Valuation]:
    """Every value of a holding, of its issue and of its type that its owner may use, by day."""
    return list(
        Valuation.objects.filter(
            Q(holding=holding)
            | (
                (Q(source__owner__isnull=True) | Q(source__owner=holding.owner_id))
                & (
                    Q(issue__isnull=False, issue=holding.issue_id)
                    | Q(coin_type__isnull=False, coin_type=holding.coin_type_id)
                )
            )
        )
        .select_related("source")
        .order_by("on", "pk")
    )


def candidates(found: Iterable[Valuation]) -> tuple[list[Value], list[Value], list[Value]]:
    """Values of a holding, of its issue and of its type, as ``worth.choose`` takes them."""
    found = list(found)
    own = [as_value(v) for v in found if v.holding_id is not None]
    of_issue = [as_value(v) for v in found if v.holding_id is None and v.issue_id is not None]
    of_type = [as_value(v) for v in found if v.holding_id is None and v.issue_id is None]
    return own, of_issue, of_type


# ---- what a viewer may see and use ----
def visible_sources(viewer: Viewer) -> QuerySet[PriceSource]:
    return access.shared_or_owned(PriceSource.objects.all(), viewer)


def visible_values(viewer: Viewer) -> QuerySet[Valuation]:
    """Values of the viewer's own holdings, and of types from sources open to the viewer."""
    types = access.visible_types(viewer).values("pk")
    of_types = Q(holding__isnull=True, source__in=visible_sources(viewer)) & (
        Q(coin_type__in=types) | Q(issue__coin_type__in=types)
    )
    return Valuation.objects.filter(Q(holding__in=access.own_holdings(viewer)) | of_types)


def values_of_type(coin_type: CoinType, viewer: Viewer) -> QuerySet[Valuation]:
    """The values of a type and of its issues that a viewer may see, newest first."""
    return (
        Valuation.objects.filter(
            Q(coin_type=coin_type) | Q(issue__coin_type=coin_type),
            holding__isnull=True,
            source__in=visible_sources(viewer),
        )
        .select_related("source", "issue")
        .order_by("issue__position", "-grade_rank", "-on", "-pk")
    )
