"""Which stops a talk is proposed to have: of a selection, in an order, with its opening pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, Model, OuterRef, QuerySet
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.holdings.browse.results import Browse
from catalogue.models import Holding, Member, Photo, Stop
from catalogue.printing.selection import chosen_holdings
from catalogue.talks import order as orders
from catalogue.talks.words import capital
from series.metal.material import metal_words
from series.models import CoinType, Currency, Denomination, FaceMotif, Issuer, Series
from series.parcels import parcels
from series.types.queries import standing_types

MOST_STOPS = 300
MOST_MISSING = 200
SCOPES = {
    "country": "series__issuer",
    "currency": "denomination__currency",
    "series": "series",
    "denomination": "denomination",
}
"""What of an address of browsing says which part of the catalogue a talk goes through."""
_NAMED: dict[str, type[Model]] = {
    "series": Series,
    "denomination": Denomination,
    "currency": Currency,
    "country": Issuer,
}


class TooManyStops(ValueError):
    """The talk would be longer than a talk may be; the message says what to do."""

    def __init__(self, stops: int) -> None:
        super().__init__(
            _(
                "That would be %(n)d stops; a talk has at most %(most)d. Narrow the holdings down "
                "first, or show one piece of each type."
            )
            % {"n": stops, "most": MOST_STOPS}
        )


WHICH = (
    ("best", gettext_lazy("The best piece of each type")),
    ("dates", gettext_lazy("The best piece of each date")),
    ("all", gettext_lazy("Every piece")),
)


@dataclass(frozen=True)
class Line:
    """A coin that may become a stop: a piece by its id, or a type that is not held."""

    coin_type: int | None
    issue: int | None = None
    piece: int | None = None


def lines_of(owner: Member, query: str, which: str = "best") -> list[Line]:
    """The owner's pieces that an address finds, in the order of the catalogue.

    Of several pieces of a type, or of a date, the best is the one that is photographed, in the
    higher grade.
    """
    photographed = Exists(Photo.objects.filter(holding=OuterRef("pk"), side="reverse"))
    found = chosen_holdings(owner, query).annotate(photographed=photographed)
    columns = ("coin_type_id", "issue_id", "pk", "photographed", "grade_rank")
    best: dict[object, tuple[tuple[bool, int], Line]] = {}
    for coin_type, issue, pk, pictured, rank in found.values_list(*columns):
        line = Line(coin_type, issue, pk)
        apart: object = pk
        if coin_type is not None and which != "all":
            apart = ("type", coin_type, issue if which == "dates" else None)
        worth = (bool(pictured), rank or 0)
        if apart not in best or worth > best[apart][0]:
            best[apart] = (worth, line)
    return [line for _worth, line in best.values()]


def missing(owner: Member, query: str) -> QuerySet[CoinType]:
    """The types of the ladder that an address names of which its owner holds no piece."""
    chosen = Browse(QueryDict(query), owner).chosen
    scope = {
        f"{path}__in": [pk for pk in chosen.get(name, ()) if pk is not None]
        for name, path in SCOPES.items()
        if chosen.get(name)
    }
    if not scope:
        return standing_types().none()
    held = access.own_in_hand(owner).filter(coin_type=OuterRef("pk")).order_by()
    types = standing_types().filter(~Exists(held), **scope)
    return types.order_by("series__first_year", "denomination__sort_value", "first_year", "key")


def title_of(owner: Member, query: str) -> str:
    """What a talk of one series, denomination, money or country is called at first; else ""."""
    chosen = Browse(QueryDict(query), owner).chosen
    for name, model in _NAMED.items():
        ids = [pk for pk in chosen.get(name, ()) if pk is not None]
        if len(ids) == 1:
            return capital(str(model._default_manager.filter(pk=ids[0]).first() or ""))
    return ""


def stops_for(
    lines: Iterable[Line], order: str, *, with_openings: bool, most: int = MOST_STOPS
) -> list[Stop]:
    """Stops of these coins in an order, not saved; TooManyStops where they are too many."""
    lines = list(lines)
    if len(lines) > most:
        raise TooManyStops(len(lines))
    types = _types({line.coin_type for line in lines if line.coin_type is not None})
    struck = _struck(line.piece for line in lines)
    motifs = _motifs(types) if order == "motif" else {}
    coins = [_coin(line, types, struck, motifs) for line in lines]
    ordered = orders.in_order(coins, order)
    pages: dict[int, list[str]] = {}
    if with_openings:
        for kind, at in orders.openings(ordered, with_series=order == "series"):
            pages.setdefault(at, []).append(kind)
    stops: list[Stop] = []
    for at, coin in enumerate(ordered):
        line: Line = coin.key
        stops += [_opening(kind, types[line.coin_type]) for kind in pages.get(at, ())]  # type: ignore[index]
        stops.append(_stop(line))
    if len(stops) > most:
        raise TooManyStops(len(stops))
    return stops


# ---- what an order and an opening need ----
def _types(ids: set[int]) -> dict[int, CoinType]:
    found: dict[int, CoinType] = {}
    for some in parcels(ids):
        rows = CoinType.everything.filter(pk__in=some).select_related(
            "series__issuer", "series__currency", "denomination__currency"
        )
        found |= {row.pk: row for row in rows}
    return found


def _motifs(ids: Iterable[int]) -> dict[int, str]:
    """The motif named first on the reverse of each type."""
    found: dict[int, str] = {}
    for some in parcels(ids):
        motifs = FaceMotif.objects.filter(face__coin_type__in=some, face__side="reverse")
        for pk, name in motifs.order_by("pk").values_list("face__coin_type", "motif__name"):
            found.setdefault(pk, name)
    return found


def _struck(pieces: Iterable[int | None]) -> dict[int, int | None]:
    found: dict[int, int | None] = {}
    for some in parcels([pk for pk in pieces if pk is not None]):
        found |= dict(Holding.objects.filter(pk__in=some).values_list("pk", "issue__struck_from"))
    return found


def _coin(
    line: Line,
    types: dict[int, CoinType],
    struck: dict[int, int | None],
    motifs: dict[int, str],
) -> orders.Coin:
    coin_type = types.get(line.coin_type) if line.coin_type is not None else None
    if coin_type is None:
        return orders.Coin(line)
    series, money = coin_type.series, coin_type.denomination.currency
    return orders.Coin(
        key=line,
        country=series.issuer.name,
        money=money.name,
        money_from=money.first_year,
        denomination=coin_type.denomination.name,
        value=coin_type.denomination.sort_value,
        series_from=series.first_year,
        type_from=coin_type.first_year,
        struck=struck.get(line.piece) if line.piece is not None else coin_type.first_year,
        diameter=float(coin_type.diameter_mm) if coin_type.diameter_mm is not None else None,
        metal=metal_words(coin_type.metal),
        motif=motifs.get(coin_type.pk, ""),
        series=series.name,
    )


def _stop(line: Line) -> Stop:
    if line.piece is not None:
        return Stop(kind=Stop.Kind.PIECE, holding_id=line.piece)
    return Stop(kind=Stop.Kind.TYPE, coin_type_id=line.coin_type)


def _opening(kind: str, coin_type: CoinType) -> Stop:
    if kind == Stop.Kind.COUNTRY:
        return Stop(kind=kind, issuer=coin_type.series.issuer)
    if kind == Stop.Kind.CURRENCY:
        return Stop(kind=kind, currency=coin_type.denomination.currency)
    return Stop(kind=kind, series=coin_type.series)
