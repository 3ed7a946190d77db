"""Records as a talk tells them: stories of types and pieces, openings of countries and money.

A fixed number of queries however many stops there are. Facts of a piece come from the caller as
plain values, for what is held belongs to another app.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from django.db.models import Prefetch

from series.differences.facts import undated
from series.faces.models import Face, Mark
from series.issuers.models import Currency, Issuer
from series.telling.story import (
    ChangeOfMoney,
    CountryOpening,
    CurrencyOpening,
    DateTold,
    FaceTold,
    LegendTold,
    MarkTold,
    MotifTold,
    PieceTold,
    PriceTold,
    SeriesOpening,
    Story,
    UnitTold,
    ValueTold,
)
from series.types.models import CoinType, Issue, Series
from series.types.queries import standing_types, with_design
from series.types.recorded import type_facts


@dataclass(frozen=True)
class Shown:
    """A coin to be told: its type and issue by id, and what is told of the piece, if it is one."""

    type_id: int
    issue_id: int | None = None
    piece: PieceTold | None = None


# ---- coins ----
def stories(coins: Iterable[Shown]) -> list[Story | None]:
    """The story of each, in the same order; None for a type that is not there any more.

    Ten queries. Types in the bin too, since pieces keep them; who may see a type, the caller
    knows.
    """
    asked = list(coins)
    types = _types({coin.type_id for coin in asked})
    issues = _issues({coin.issue_id for coin in asked if coin.issue_id})
    told = {pk: _of_type(coin_type) for pk, coin_type in types.items()}
    found: list[Story | None] = []
    for coin in asked:
        story, issue = told.get(coin.type_id), issues.get(coin.issue_id or 0)
        if story is not None and issue is not None:
            story = _of_issue(story, types[coin.type_id], issue)
        found.append(story and replace(story, piece=coin.piece))
    return found


def story_of(coin_type: CoinType) -> Story:
    """The story of a type that is ``with_design``, with its country and currency at hand."""
    return _of_type(coin_type)


def _types(ids: Collection[int]) -> dict[int, CoinType]:
    found = with_design(CoinType.everything.filter(pk__in=ids)).select_related(
        "series__issuer", "denomination__currency"
    )
    return {t.pk: t for t in found.prefetch_related("denomination__currency__units")}


def _issues(ids: Collection[int]) -> dict[int, Issue]:
    marks = Prefetch("marks", queryset=Mark.objects.select_related("mint", "person"))
    return {issue.pk: issue for issue in Issue.objects.filter(pk__in=ids).prefetch_related(marks)}


def _of_type(coin_type: CoinType) -> Story:
    currency = coin_type.denomination.currency
    dates = {issue.shown for issue in coin_type.issues.all() if issue.shown}
    return Story(
        key=coin_type.key,
        denomination=coin_type.denomination.name,
        country=coin_type.series.issuer.name,
        currency=currency.name,
        series=coin_type.series.name,
        name=coin_type.name,
        purpose=coin_type.purpose,
        first_year=coin_type.first_year,
        last_year=coin_type.last_year,
        units=_unit_names(currency),
        amount=coin_type.denomination.value,
        body=replace(type_facts(coin_type), faces=(), marks=()),
        faces=tuple(_face(face, dates) for face in coin_type.faces.all()),
        marks=tuple(map(_mark, coin_type.marks.all())),
        note=coin_type.note,
    )


def _of_issue(story: Story, coin_type: CoinType, issue: Issue) -> Story:
    """With the date of an issue, and of the marks only those it bears."""
    run = dict.fromkeys(
        each.shown
        for each in coin_type.issues.all()
        if each.shown and each.fact == Issue.Fact.STRUCK
    )
    date = DateTold(
        shown=issue.shown,
        calendar=issue.calendar,
        struck_from=issue.struck_from,
        struck_to=issue.struck_to,
        run=tuple(run),
        purpose=issue.purpose,
        mintage=issue.mintage,
        note=issue.note,
    )
    borne = {mark.pk for mark in issue.marks.all()}
    marks = [m for m in coin_type.marks.all() if m.on_all or m.pk in borne]
    return replace(story, date=date, marks=tuple(map(_mark, marks)))


def _unit_names(currency: Currency) -> tuple[tuple[str, str], ...]:
    return (
        (currency.name, currency.plural),
        *((unit.name, unit.plural) for unit in currency.units.all()),
    )


def _face(face: Face, dates: set[str]) -> FaceTold:
    texts = [(legend, undated(legend.text, dates)) for legend in face.legends.all()]
    people: dict[str, list[str]] = defaultdict(list)
    for credit in face.credits.all():
        people[credit.role].append(credit.person.name)
    return FaceTold(
        side=face.side,
        description=face.description,
        legends=tuple(
            LegendTold(text, legend.script, legend.transliteration, legend.translation)
            for legend, text in texts
            if text
        ),
        motifs=tuple(
            MotifTold(shown.motif.name, shown.note, shown.motif.note) for shown in face.shown.all()
        ),
        value_as=face.value_as,
        bust=face.bust,
        border=face.border,
        designers=tuple(people["designer"]),
        engravers=tuple(people["engraver"]),
    )


def _mark(mark: Mark) -> MarkTold:
    whose = mark.mint or mark.person
    name = whose.name if whose is not None else ""
    return MarkTold(mark.kind, mark.text, mark.side, mark.clock, mark.near, name, mark.on_all)


# ---- openings ----
def country_openings(ids: Collection[int]) -> Mapping[int, CountryOpening]:
    """By the id of ``Issuer``. Three queries."""
    currencies = Prefetch("currencies", queryset=Currency.objects.order_by("first_year", "name"))
    issuers = Issuer.objects.filter(pk__in=ids).prefetch_related(currencies, "predecessors")
    return {
        issuer.pk: CountryOpening(
            name=issuer.name,
            first_year=issuer.first_year,
            last_year=issuer.last_year,
            story=issuer.story,
            currencies=tuple(
                (each.name, each.first_year, each.last_year) for each in issuer.currencies.all()
            ),
            predecessors=tuple(each.name for each in issuer.predecessors.all()),
        )
        for issuer in issuers
    }


def currency_openings(ids: Collection[int]) -> Mapping[int, CurrencyOpening]:
    """By the id of ``Currency``. Four queries."""
    found = (
        Currency.objects.filter(pk__in=ids)
        .select_related("successor")
        .prefetch_related("units", "price_notes", "replaced")
    )
    return {currency.pk: _currency(currency) for currency in found}


def _currency(currency: Currency) -> CurrencyOpening:
    units = [UnitTold(u.name, u.plural, u.ratio) for u in currency.units.all()]
    if all(unit.per_main != 1 for unit in units):
        units = [UnitTold(currency.name, currency.plural, Fraction(1)), *units]
    after = currency.successor
    return CurrencyOpening(
        name=currency.name,
        first_year=currency.first_year,
        last_year=currency.last_year,
        units=tuple(units),
        note=currency.note,
        replaced=tuple(_change(old, currency) for old in currency.replaced.all()),
        became=_change(currency, after) if after is not None else None,
        prices=tuple(
            PriceTold(each.year, each.amount, each.bought, each.index)
            for each in currency.price_notes.all()
        ),
    )


def _change(old: Currency, new: Currency) -> ChangeOfMoney:
    return ChangeOfMoney(old.name, old.plural, new.name, new.plural, old.rate, old.rate_from)


def series_openings(
    ids: Collection[int], held: Collection[int] | None = None
) -> Mapping[int, SeriesOpening]:
    """By the id of ``Series``; ``held`` are the ids of the types that the owner has.

    Five queries.
    """
    asked = list(
        Series.objects.filter(pk__in=ids)
        .select_related("issuer", "currency")
        .prefetch_related("rungs__denomination", "currency__units")
    )
    types: dict[int, list[CoinType]] = defaultdict(list)
    for coin_type in standing_types().filter(series__in=asked).defer("search_text"):
        types[coin_type.series_id].append(coin_type)
    others = Series.objects.filter(issuer__in={s.issuer_id for s in asked})
    return {series.pk: _series(series, types[series.pk], held, list(others)) for series in asked}


def _series(
    series: Series, types: list[CoinType], held: Collection[int] | None, others: list[Series]
) -> SeriesOpening:
    before, before_ended = _series_before(series, others)
    return SeriesOpening(
        name=series.name,
        country=series.issuer.name,
        currency=series.currency.name,
        first_year=series.first_year,
        last_year=series.last_year,
        story=series.story,
        units=_unit_names(series.currency),
        values=_values(series, types, held),
        before=before,
        before_ended=before_ended,
    )


def _series_before(series: Series, others: list[Series]) -> tuple[str, int | None]:
    """The series of the country that had ended last when this one began; none if one went on."""
    began = series.first_year
    earlier = [
        other
        for other in others
        if other.issuer_id == series.issuer_id
        and began is not None
        and other.first_year is not None
        and other.first_year < began
    ]
    if began is None or not earlier or any(s.last_year is None for s in earlier):
        return "", None
    ended, name = max((s.last_year or 0, s.name) for s in earlier)
    return (name, ended) if ended < began else ("", None)


def _values(
    series: Series, types: list[CoinType], held: Collection[int] | None
) -> tuple[ValueTold, ...]:
    rungs = {rung.denomination_id: rung for rung in series.rungs.all()}
    denominations = {rung.denomination_id: rung.denomination for rung in rungs.values()}
    denominations |= {t.denomination_id: t.denomination for t in types}
    found = []
    for pk, denomination in sorted(denominations.items(), key=lambda d: (d[1].sort_value, d[0])):
        rung, of_it = rungs.get(pk), [t for t in types if t.denomination_id == pk]
        firsts = [t.first_year for t in of_it if t.first_year is not None]
        lasts = [t.last_year for t in of_it if t.last_year is not None]
        found.append(
            ValueTold(
                denomination.name,
                min(firsts, default=rung.first_year if rung else None),
                max(lasts, default=rung.last_year if rung else None),
                not_struck=bool(rung and rung.not_struck and not of_it),
                note=rung.note if rung else "",
                held=None if held is None else any(t.pk in held for t in of_it),
            )
        )
    return tuple(found)
