"""What the sheets read: facts for labels, the pieces and gaps of an album, a ladder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from django.http import QueryDict
from django.urls import reverse
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.browse import Browse
from catalogue.holdings.held import HELD
from catalogue.holdings.plates import dates_asked, missing_of, struck_dates
from catalogue.models import Holding, LabelStock, Member
from catalogue.printing.selection import chosen_holdings
from catalogue.printing.stock import Stock
from series.date_words import in_words
from series.models import CoinType, Issue, Series
from series.templatetags.coins import size_and_metal
from series.types.material import metal_words
from series.words import plain, years_text


# ---- labels ----
def measures_of(own: LabelStock) -> Stock:
    """A member's own stock as the computing modules take it."""
    return Stock(
        paper=own.paper,
        columns=own.columns,
        rows=own.rows,
        width=float(own.width_mm),
        height=float(own.height_mm),
        left=float(own.left_mm),
        top=float(own.top_mm),
        gap_across=float(own.gap_across_mm),
        gap_down=float(own.gap_down_mm),
        round=own.shape == LabelStock.Shape.ROUND,
    )


def for_labels(holdings: QuerySet[Holding]) -> QuerySet[Holding]:
    """With all that a label can say. Three queries."""
    return holdings.select_related(
        "issue", "place", "coin_type__denomination", "coin_type__series__issuer"
    ).prefetch_related("references", "coin_type__references")


def facts_of(holding: Holding) -> dict[str, str]:
    """The facts of a piece (``for_labels``) by the names of catalogue.printing.contents."""
    coin_type = holding.coin_type
    mass, width = holding.mass_g, holding.diameter_mm
    facts = {
        "denomination": holding.title or _("unidentified"),
        "date": holding.issue.label
        if holding.issue is not None
        else in_words(holding.date_reading),
        "grade": holding.grade,
        "pieces": _("%(n)d pieces") % {"n": holding.quantity} if holding.quantity > 1 else "",
        "reference": _reference(holding),
        "accession": holding.accession,
        "place": str(holding.place) if holding.place is not None else "",
    }
    if coin_type is not None:
        mass = mass if mass is not None else coin_type.mass_g
        width = width if width is not None else coin_type.diameter_mm
        facts |= {
            "denomination": str(coin_type),
            "country": coin_type.series.issuer.name,
            "series": coin_type.series.name,
            "metal": metal_words(coin_type.metal),
        }
    measures = ((mass, "g"), (width, "mm"))
    facts["size"] = ", ".join(f"{plain(m)}\u00a0{unit}" for m, unit in measures if m is not None)
    return facts


def _reference(holding: Holding) -> str:
    """The first free reference: of the very piece, else of its type."""
    found: list[Any] = list(holding.references.all())
    if not found and holding.coin_type is not None:
        found = list(holding.coin_type.references.all())
    return str(found[0]) if found else ""


def address_of(holding: Holding) -> str:
    """The full address of a piece's page."""
    return f"{settings.SITE_ADDRESS}{reverse('holding', args=[holding.pk])}"


def told_apart_by(coin_type: CoinType) -> str:
    """What tells a type from its like, unless the metal that stands beside it says it."""
    return "" if coin_type.name == metal_words(coin_type.metal) else coin_type.name


# ---- album pages ----
@dataclass
class PocketOf:
    """What goes into one pocket: pieces of one date, or a gap."""

    coin_type: CoinType | None
    issue: Issue | None = None
    holdings: list[Holding] = field(default_factory=list)

    @property
    def best(self) -> Holding | None:
        return max(self.holdings, key=lambda h: h.grade_rank or 0, default=None)

    @property
    def key(self) -> str:
        if self.best is not None:
            return f"piece-{self.best.pk}"
        return f"date-{self.issue.pk}" if self.issue is not None else f"type-{self.type_id}"

    @property
    def type_id(self) -> int:
        return self.coin_type.pk if self.coin_type is not None else 0

    @property
    def date(self) -> str:
        if self.issue is not None:
            return self.issue.label
        if self.best is None:
            return _("any date")
        return in_words(self.best.date_reading) or self.best.accession

    @property
    def label(self) -> tuple[str, ...]:
        """Date and mark; grade; how many, where more than one."""
        pieces = sum(holding.quantity for holding in self.holdings)
        grade = self.best.grade if self.best is not None else ""
        more = f"× {pieces}" if pieces > 1 else ""
        return tuple(part for part in (self.date, " ".join(filter(None, (grade, more)))) if part)

    @property
    def place(self) -> tuple[Any, ...]:
        if self.issue is not None:
            return (self.issue.struck_from or 9999, self.issue.position, self.key)
        return (9999, 0, self.date)


@dataclass
class RowOf:
    """The pockets of one type; ``coin_type`` None: pieces that are not identified."""

    coin_type: CoinType | None
    pockets: list[PocketOf] = field(default_factory=list)

    @property
    def note(self) -> str:
        if self.coin_type is None:
            return ""
        span = years_text(self.coin_type.first_year, self.coin_type.last_year)
        name = told_apart_by(self.coin_type)
        return "\n".join(filter(None, (name, size_and_metal(self.coin_type), span)))


@dataclass
class PartOf:
    """The rows of one series, which begin on a page of their own."""

    series: Series | None
    rows: list[RowOf] = field(default_factory=list)


@dataclass
class AlbumOf:
    """All an album shows; ``left_out`` names what cannot be drawn to scale."""

    title: str
    parts: list[PartOf]
    left_out: list[str]

    @property
    def pockets(self) -> list[PocketOf]:
        return [pocket for part in self.parts for row in part.rows for pocket in row.pockets]


def album_types(owner: Member, parameters: Mapping[str, Any]) -> QuerySet[CoinType] | None:
    """The types an album is about by ``series``, ``type`` or ``country``; None for a selection."""
    types = access.visible_types(owner).filter(withdrawn=False)
    for name, lookup in (("series", "series__key"), ("type", "key"), ("country", _COUNTRY)):
        if parameters.get(name):
            return types.filter(**{lookup: parameters[name]})
    return None


_COUNTRY = "series__issuer__key"


def album_of(owner: Member, parameters: Mapping[str, Any]) -> AlbumOf:
    """The pieces and gaps of an album. A constant number of queries.

    ``parameters``: ``series``, ``type`` or ``country`` (a key) or ``query`` (an address of
    browsing); ``gaps``: with the circulation dates of which the owner holds no piece; ``each``:
    a pocket for each piece instead of one for each date.
    """
    types = album_types(owner, parameters)
    missing: list[Issue] = []
    bare: list[CoinType] = []
    if types is None:
        query = parameters.get("query", "")
        if parameters.get("gaps"):
            asked = dates_asked(Browse(QueryDict(query), owner))
            missing = [] if asked is None else list(_gaps(asked, owner))
    elif parameters.get("gaps"):
        missing = list(_gaps(struck_dates(types), owner))
        bare = list(_with_series(types.filter(issues__isnull=True)))
    held = (
        album_pieces(owner, parameters)
        .select_related("issue", "coin_type__denomination", "coin_type__series__issuer")
        .prefetch_related("coin_type__faces")
    )
    pockets = _pockets(held, each=bool(parameters.get("each")))
    pockets += [PocketOf(issue.coin_type, issue) for issue in missing]
    known = {pocket.type_id for pocket in pockets}
    pockets += [PocketOf(coin_type) for coin_type in bare if coin_type.pk not in known]
    return _album(album_title(owner, parameters), pockets)


def _gaps(dates: QuerySet[Issue], owner: Member) -> QuerySet[Issue]:
    return missing_of(dates, owner).select_related(
        "coin_type__denomination", "coin_type__series__issuer"
    )


def _with_series(types: QuerySet[CoinType]) -> QuerySet[CoinType]:
    return types.select_related("denomination", "series__issuer")


def album_pieces(owner: Member, parameters: Mapping[str, Any]) -> QuerySet[Holding]:
    """The owner's pieces that an album is about."""
    types = album_types(owner, parameters)
    if types is None:
        return chosen_holdings(owner, parameters.get("query", ""))
    return access.own_holdings(owner).filter(coin_type__in=types, status__in=HELD)


def album_title(owner: Member, parameters: Mapping[str, Any]) -> str:
    """What an album is called: the series, type or country it is about."""
    types = album_types(owner, parameters)
    first = None if types is None else _with_series(types).first()
    if first is None:
        return _("Album pages")
    if parameters.get("series"):
        return first.series.name
    return str(first) if parameters.get("type") else first.series.issuer.name


def _pockets(holdings: Iterable[Holding], each: bool) -> list[PocketOf]:
    pockets: list[PocketOf] = []
    of_issue: dict[int, PocketOf] = {}
    for holding in holdings:
        there = of_issue.get(holding.issue_id or 0)
        if there is not None and not each:
            there.holdings.append(holding)
            continue
        pocket = PocketOf(holding.coin_type, holding.issue, [holding])
        pockets.append(pocket)
        if holding.issue_id is not None:
            of_issue[holding.issue_id] = pocket
    return pockets


def _album(title: str, pockets: list[PocketOf]) -> AlbumOf:
    """Pockets put into rows by type and parts by series, in their order."""
    parts: dict[int | None, PartOf] = {}
    rows: dict[int, RowOf] = {}
    left_out = []
    for pocket in sorted(pockets, key=_order):
        if not has_width(pocket):
            left_out.append(", ".join([str(pocket.coin_type or _("unidentified")), pocket.date]))
            continue
        row = rows.get(pocket.type_id)
        if row is None:
            series = pocket.coin_type.series if pocket.coin_type is not None else None
            row = rows[pocket.type_id] = RowOf(pocket.coin_type)
            part = parts.setdefault(series.pk if series else None, PartOf(series))
            part.rows.append(row)
        row.pockets.append(pocket)
    return AlbumOf(title, list(parts.values()), left_out)


def has_width(pocket: PocketOf) -> bool:
    if pocket.coin_type is not None:
        return bool(pocket.coin_type.diameter_mm)
    return pocket.best is not None and bool(pocket.best.diameter_mm)


def _order(pocket: PocketOf) -> tuple[Any, ...]:
    """By country, series, face value, type and date; the unidentified last."""
    coin_type = pocket.coin_type
    if coin_type is None:
        return (1, "", 0, 0, 0, 0, "", *pocket.place)
    series = coin_type.series
    return (
        0,
        series.issuer.name,
        series.first_year or 9999,
        series.pk,
        coin_type.denomination.sort_value,
        coin_type.first_year or 9999,
        coin_type.key,
        *pocket.place,
    )
