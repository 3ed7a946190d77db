"""Types as the ranking needs them, fetched from the records.

A constant number of queries for each ``PARCEL`` of types; only one parcel is in memory at a time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from django.db.models import QuerySet

from series.dates.issues import PURPOSE_WORDS, Purpose
from series.faces.broader import broader_motifs
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.table import TypeTable
from series.legends.spellings import StruckText
from series.models import (
    CoinType,
    Currency,
    Denomination,
    FaceMotif,
    Issue,
    Issuer,
    Legend,
    Motif,
)
from series.reaching import reached

PARCEL = 2_000
_COLUMNS = (
    "pk", "key", "name", "purpose", "standing", "composition", "outline", "sides", "hole",
    "ring_mm", "inner_panel", "edge", "mass_g", "remedy_g", "diameter_mm", "thickness_mm",
    "first_year", "last_year", "denomination__name", "denomination__currency_id",
    "series__issuer_id",
)  # fmt: skip
_COMMON = (Issue.Purpose.CIRCULATION, Issue.Purpose.MELTED)


def load_table() -> TypeTable:
    """The table of the types that pieces are ranked against."""
    return TypeTable.of(facts_of(ranked_types()))


def ranked_types() -> QuerySet[CoinType]:
    """The types that pieces are ranked against: all that are not joined to another."""
    return CoinType.objects.exclude(standing=CoinType.Standing.JOINED)


def facts_of(types: QuerySet[CoinType]) -> Iterator[RankedType]:
    """The facts of these types, by id."""
    countries = _Countries()
    motifs = _motifs()
    last = 0
    while True:
        parcel: list[dict[str, Any]] = list(
            types.filter(pk__gt=last).order_by("pk").values(*_COLUMNS)[:PARCEL]
        )
        if not parcel:
            return
        first, last = parcel[0]["pk"], parcel[-1]["pk"]
        within = types.filter(pk__range=(first, last)).order_by().values("pk")
        legends = _legends(within)
        shown = _gathered(
            FaceMotif.objects.filter(face__coin_type__in=within)
            .order_by("pk")
            .values_list("face__coin_type_id", "motif_id")
        )
        issues = _issues(within)
        for row in parcel:
            pk = row["pk"]
            yield _facts(
                row,
                countries,
                legends.get(pk, ()),
                tuple(dict.fromkeys(name for each in shown.get(pk, ()) for name in motifs[each])),
                issues.get(pk, ()),
            )
        if len(parcel) < PARCEL:
            return


def surroundings() -> dict[str, Any]:
    """What facts take from records beside the type's own, by record; as JSON says it.

    Where one of these has changed, more types have other facts than those that were changed.
    """
    countries = _Countries()
    found: dict[str, Any] = {f"motif {pk}": list(names) for pk, names in _motifs().items()}
    for pk, own in countries.own.items():
        found[f"country {pk}"] = [countries.names[pk], *own, *countries.near(pk)]
    for pk in Currency.objects.order_by().values_list("pk", flat=True):
        found[f"currency {pk}"] = countries.users(pk)
    for pk, name in Denomination.everything.order_by().values_list("pk", "name"):
        found[f"denomination {pk}"] = name
    return found


def _facts(
    row: dict[str, Any],
    countries: _Countries,
    legends: Iterable[StruckText],
    motifs: tuple[str, ...],
    issues: Iterable[RankedIssue],
) -> RankedType:
    denomination = row["denomination__name"]
    issuer = row["series__issuer_id"]
    return RankedType(
        id=row["pk"],
        key=row["key"],
        label=f"{denomination}, {row['name']}" if row["name"] else denomination,
        country=countries.names[issuer],
        countries=countries.own[issuer],
        related=countries.related(issuer, row["denomination__currency_id"]),
        denomination=denomination,
        purpose=row["purpose"],
        composition=row["composition"],
        outline=row["outline"],
        sides=row["sides"],
        hole=row["hole"],
        ring_mm=_number(row["ring_mm"]),
        panel=row["inner_panel"],
        edge=row["edge"],
        mass_g=_number(row["mass_g"]),
        remedy_g=_number(row["remedy_g"]),
        diameter_mm=_number(row["diameter_mm"]),
        thickness_mm=_number(row["thickness_mm"]),
        legends=tuple(legends),
        motifs=motifs,
        issues=tuple(issues),
        first_year=row["first_year"],
        last_year=row["last_year"],
        everyones=row["standing"] != CoinType.Standing.PROPOSED,
    )


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _gathered(pairs: Iterable[tuple[int, Any]]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for key, value in pairs:
        found[key].append(value)
    return found


def _legends(within: QuerySet[Any]) -> dict[int, list[StruckText]]:
    rows = (
        Legend.objects.filter(face__coin_type__in=within, face__deleted_at=None)
        .order_by("face_id", "position", "pk")
        .values_list("face__coin_type_id", "text", "script", "transliteration")
    )
    return _gathered((pk, StruckText(*text)) for pk, *text in rows)


def _issues(within: QuerySet[Any]) -> dict[int, list[RankedIssue]]:
    rows = (
        Issue.objects.filter(coin_type__in=within, withdrawn=False, fact=Issue.Fact.STRUCK)
        .order_by("coin_type_id", "struck_from", "position", "pk")
        .values_list(
            "coin_type_id", "pk", "shown", "mark_text", "calendar", "struck_from", "struck_to",
            "purpose",
        )
    )  # fmt: skip
    return _gathered(
        (
            type_id,
            RankedIssue(
                pk, _label(shown, marks, purpose), shown, calendar, first,
                last, purpose in _COMMON,
            ),
        )
        for type_id, pk, shown, marks, calendar, first, last, purpose in rows
    )  # fmt: skip


def _label(shown: str, marks: str, purpose: Purpose) -> str:
    return " ".join(filter(None, (shown or "undated", marks, PURPOSE_WORDS[purpose])))


def _motifs() -> dict[int, tuple[str, ...]]:
    """Each motif's own name, then those of all broader ones."""
    names = dict(Motif.everything.order_by().values_list("pk", "name"))
    broader = broader_motifs()
    return {motif: tuple(names[each] for each in reached([motif], broader)) for motif in names}


class _Countries:
    """By which names and codes a type's country may be called.

    ``own``: its name and code. ``related``: those of its predecessors and successors, of every
    country that shares its currency, or whose money that currency replaced (a coin of a union may
    be called by a member).
    """

    def __init__(self) -> None:
        rows = list(Issuer.everything.order_by().values_list("pk", "name", "code"))
        self.names = {pk: name for pk, name, _ in rows}
        self.own = {pk: tuple(filter(None, (name, code))) for pk, name, code in rows}
        follows = list(
            Issuer.predecessors.through.objects.values_list("from_issuer_id", "to_issuer_id")
        )
        self._near = _gathered([*follows, *((before, after) for after, before in follows)])
        self._sharing = _gathered(
            Currency.issuers.through.objects.values_list("currency_id", "issuer_id")
        )
        self._replaced = _gathered(
            (successor, pk)
            for pk, successor in Currency.objects.order_by().values_list("pk", "successor_id")
            if successor is not None
        )
        self._known: dict[tuple[int, int], tuple[str, ...]] = {}

    def related(self, issuer: int, currency: int) -> tuple[str, ...]:
        found = self._known.get((issuer, currency))
        if found is None:
            also = [*self.near(issuer), *self.users(currency)]
            names = [name for each in also if each != issuer for name in self.own[each]]
            found = self._known[issuer, currency] = tuple(dict.fromkeys(names))
        return found

    def near(self, issuer: int) -> list[int]:
        """The countries before and after this one."""
        return self._near.get(issuer, [])

    def users(self, currency: int) -> list[int]:
        """The countries that share a currency, or whose money it replaced."""
        replaced = self._replaced.get(currency, ())
        return [each for one in (currency, *replaced) for each in self._sharing.get(one, ())]
