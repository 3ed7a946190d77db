"""What an aim still lacks, and what would be better: computed in the database.

Words: an aim asks for *items* (denominations, types, dates, or dates with their mints). An item is
**held** when its owner has a piece of it, held or on loan, in the wanted grade or better; an
**upgrade** when all pieces of it are below the wanted grade or not graded; else a **gap**.
A date counts once, whatever its mint marks, when the aim asks for dates.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import (
    BooleanField,
    Case,
    CharField,
    Count,
    F,
    Model,
    Q,
    QuerySet,
    Value,
    When,
    Window,
)
from django.db.models.functions import Cast, Concat, RowNumber

from catalogue.models import Aim, Holding, Member
from catalogue.wants.units import way_of
from series.models import CoinType, Denomination, Issue

HELD, UPGRADE, GAP = "held", "upgrade", "gap"


@dataclass(frozen=True)
class Completion:
    """How far an aim has come, in items."""

    total: int
    held: int
    upgrades: int

    @property
    def gaps(self) -> int:
        return self.total - self.held - self.upgrades

    @property
    def percent(self) -> int:
        """Whole per cent held, rounded down, so that 100 means all."""
        return self.held * 100 // self.total if self.total else 0


def scope_issues(aim: Aim) -> QuerySet[Issue]:
    """The issues an aim speaks of, before they are put together into its items."""
    issues = Issue.objects.filter(
        fact=Issue.Fact.STRUCK,
        withdrawn=False,
        purpose__in=aim.purposes,
        coin_type__deleted_at__isnull=True,
        coin_type__standing__in=CoinType.IN_CATALOGUE,
    )
    lookups = {
        "coin_type__series__issuer": aim.issuer_id,
        "coin_type__denomination__currency": aim.currency_id,
        "coin_type__series": aim.series_id,
        "coin_type__denomination": aim.denomination_id,
        "coin_type": aim.coin_type_id,
        "struck_to__gte": aim.first_year,
        "struck_from__lte": aim.last_year,
    }
    issues = issues.filter(**{name: value for name, value in lookups.items() if value is not None})
    if not aim.commemoratives:
        issues = issues.exclude(coin_type__purpose=CoinType.Purpose.COMMEMORATIVE)
    if Issue.Purpose.PATTERN not in aim.purposes:
        issues = issues.exclude(coin_type__purpose=CoinType.Purpose.PATTERN)
    return issues


def items(aim: Aim, among: QuerySet[Issue] | None = None) -> QuerySet[Any]:
    """The aim's items, each annotated with its ``state``.

    Denominations, types or issues, as the aim's unit says; a date is its first issue.
    ``among``: a part of the aim's issues that leaves no type in pieces, when only its items
    are asked for.
    """
    issues = scope_issues(aim) if among is None else among
    pieces = Holding.objects.filter(owner=aim.owner_id, status__in=Holding.IN_HAND).order_by()
    found: QuerySet[Any]
    if aim.unit == Aim.Unit.DATE:
        first = _one_of("pk", _first_of_each_date(issues))
        found = issues.filter(first).annotate(date=_date())
    elif aim.unit == Aim.Unit.DATE_MINT:
        found = issues
    elif aim.unit == Aim.Unit.TYPE:
        found = CoinType.objects.filter(pk__in=issues.order_by().values("coin_type"))
    else:
        types = issues.order_by().values("coin_type")
        found = Denomination.objects.filter(pk__in=types.values("coin_type__denomination"))
        pieces = pieces.filter(coin_type__in=types)
    states = [When(_of_these(pieces, aim), then=Value(HELD))]
    if aim.lowest_rank is not None:
        good = pieces.filter(grade_rank__gte=aim.lowest_rank)
        states = [
            When(_of_these(good, aim), then=Value(HELD)),
            When(_of_these(pieces, aim), then=Value(UPGRADE)),
        ]
    state = Case(*states, default=Value(GAP), output_field=CharField())
    return found.annotate(state=state)


def _first_of_each_date(issues: QuerySet[Issue]) -> QuerySet[Any]:
    """The ids of the first issue of each date, found in one walk over the issues."""
    place = Window(
        RowNumber(),
        partition_by=[F("coin_type"), F("shown")],
        order_by=[F("struck_from").asc(), F("position").asc(), F("pk").asc()],
    )
    return issues.order_by().annotate(place=place).filter(place=1).values("pk")


def _one_of(field: str, found: QuerySet[Any]) -> Case:
    """Whether a field is among what was found, as a condition of a filter.

    In this form the database looks into a table of what was found. Of a plain ``IN`` it may make
    a join that walks through all of it for each row, when it expects it to be short.
    """
    there = When(**{f"{field}__in": found}, then=Value(True))
    return Case(there, default=Value(False), output_field=BooleanField())


def _date(of: str = "") -> Concat:
    """The date of an issue as one text: two issues have the same when type and date agree."""
    coin_type = Cast(f"{of}coin_type", CharField())
    return Concat(coin_type, Value(" "), F(f"{of}shown"), output_field=CharField())


def _of_these(pieces: QuerySet[Holding], aim: Aim) -> Q:
    """Whether one of the pieces is of the item.

    The pieces are named without a reference to the item, so that the database reads them once
    and not for each item anew.
    """
    if aim.unit == Aim.Unit.DATE:
        counting = pieces.filter(issue__purpose__in=aim.purposes)
        return Q(date__in=counting.values_list(_date("issue__")))
    item = way_of(aim).of_piece
    return Q(pk__in=pieces.filter(**{f"{item}__isnull": False}).values(item))


def completion(aim: Aim) -> Completion:
    """How many items an aim has, holds, and would like better; one query."""
    counted = (
        items(aim)
        .order_by()
        .aggregate(
            total=Count("pk"),
            held=Count("pk", filter=Q(state=HELD)),
            upgrades=Count("pk", filter=Q(state=UPGRADE)),
        )
    )
    return Completion(counted["total"], counted["held"], counted["upgrades"])


def lacking(aim: Aim, state: str, among: QuerySet[Issue] | None = None) -> QuerySet[Any]:
    """The aim's gaps or upgrades in the order of a list, with what their labels need."""
    found = in_order(items(aim, among).filter(state=state))
    return found.none() if state == UPGRADE and aim.lowest_rank is None else found


def in_order(found: QuerySet[Any]) -> QuerySet[Any]:
    """Items of an aim in the order of a list, with what their labels need."""
    model: type[Model] = found.model
    if model is Denomination:
        return found.select_related("currency").order_by("currency", "sort_value", "pk")
    if model is CoinType:
        return found.select_related("denomination", "series__issuer").order_by(
            "series__issuer__name", "series__first_year", "denomination__sort_value", "pk"
        )
    return found.select_related("coin_type__denomination", "coin_type__series__issuer").order_by(
        "coin_type__series__issuer__name",
        "coin_type__series__first_year",
        "coin_type__denomination__sort_value",
        "coin_type",
        "struck_from",
        "position",
        "pk",
    )


def filling(aim: Aim, state: str, pieces: QuerySet[Holding]) -> QuerySet[Holding]:
    """Which of ``pieces`` would fill a gap of the aim (or better an upgrade), in SQL."""
    inside = scope_issues(aim).order_by()
    if aim.unit != Aim.Unit.DENOMINATION:
        of = "coin_type" if aim.unit == Aim.Unit.TYPE else "issue__coin_type"
        types = pieces.filter(**{f"{of}__isnull": False}).order_by().values(of)
        inside = inside.filter(coin_type__in=types)
    missing = items(aim, inside).filter(state=state)
    if aim.unit == Aim.Unit.DATE:
        found: QuerySet[Any] = pieces.alias(date=_date("issue__")).filter(
            _one_of("date", missing.values("date")), issue__purpose__in=aim.purposes
        )
    else:
        found = pieces.filter(_one_of(way_of(aim).of_piece, missing.values("pk")))
    if aim.unit == Aim.Unit.DENOMINATION:
        found = found.filter(coin_type__in=inside.values("coin_type"))
    if aim.lowest_rank is not None:
        found = found.filter(grade_rank__gte=aim.lowest_rank)
    return found


def live_aims(member: Member) -> QuerySet[Aim]:
    return Aim.objects.filter(owner=member).select_related(
        "issuer", "currency", "series", "denomination", "coin_type__denomination"
    )
