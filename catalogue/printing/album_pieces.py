"""What an album shows: the pieces and gaps of a series, a type, a country, a selection, an aim or
a want list, put into rows and parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet
from django.http import QueryDict

from catalogue import access
from catalogue.holdings.browse.plates import dates_asked, missing_of, struck_dates
from catalogue.holdings.browse.results import Browse
from catalogue.models import Holding, Member
from catalogue.printing import words
from catalogue.printing.queries import told_apart_by
from catalogue.printing.selection import chosen_holdings
from series.models import CoinType, Issue, Series
from series.text.naming import joined
from series.text.words import years_text
from series.types.in_words import size_and_metal


@dataclass
class PocketOf:
    """What goes into one pocket: pieces of one date, or a gap.

    ``caption`` names the coin where its row, ``group``, holds several types; ``part`` names the
    part of the album where that is no series; ``asked`` says what is looked for.
    """

    coin_type: CoinType | None
    issue: Issue | None = None
    holdings: list[Holding] = field(default_factory=list)
    caption: str = ""
    group: str = ""
    part: str = ""
    asked: str = ""

    @property
    def best(self) -> Holding | None:
        return max(self.holdings, key=lambda h: h.grade_rank or 0, default=None)

    @property
    def key(self) -> str:
        if self.best is not None:
            return f"piece-{self.best.pk}"
        return f"date-{self.issue.pk}" if self.issue is not None else f"type-{self.type_id}"

    @property
    def series(self) -> Series | None:
        return self.coin_type.series if self.coin_type is not None and not self.part else None

    @property
    def type_id(self) -> int:
        return self.coin_type.pk if self.coin_type is not None else 0

    @property
    def date(self) -> str:
        if self.issue is not None:
            return self.issue.label
        if self.best is None:
            return words.ANY_DATE
        return self.best.date_words or self.best.accession

    @property
    def label(self) -> tuple[str, ...]:
        """What it is; date and mark; grade; how many, where more than one; what is looked for."""
        pieces = sum(holding.quantity for holding in self.holdings)
        grade = self.best.grade if self.best is not None else ""
        more = f"× {pieces}" if pieces > 1 else ""
        date = "" if self.caption and not self.holdings else self.date
        said = (self.caption, date, " ".join(filter(None, (grade, more))), self.asked)
        return tuple(part for part in said if part)

    @property
    def year(self) -> int | None:
        return self.issue.struck_from if self.issue is not None else None

    @property
    def place(self) -> tuple[Any, ...]:
        if self.issue is not None:
            return (self.issue.struck_from or 9999, self.issue.position, self.key)
        return (9999, 0, self.date)


@dataclass
class RowOf:
    """The pockets of one type, or of a group; without either pieces that are not identified.

    ``series`` is its name where rows of several series stand in one part.
    """

    coin_type: CoinType | None
    group: str = ""
    series: str = ""
    pockets: list[PocketOf] = field(default_factory=list)

    @property
    def heading(self) -> str:
        if self.group or self.coin_type is None:
            return self.group
        return self.coin_type.denomination.name

    @property
    def note(self) -> str:
        if self.group or self.coin_type is None:
            return self.series
        span = years_text(self.coin_type.first_year, self.coin_type.last_year)
        name = told_apart_by(self.coin_type)
        said = (self.series, name, size_and_metal(self.coin_type), span)
        return "\n".join(filter(None, said))


@dataclass
class PartOf:
    """The rows of one series, or of a part called ``title``; they begin on a page of their own.

    ``countries`` names those of a part of several series.
    """

    series: Series | None
    title: str = ""
    rows: list[RowOf] = field(default_factory=list)
    countries: str = ""

    @property
    def name(self) -> str:
        """Its country and series."""
        if self.title:
            return self.title
        return self.series.with_country if self.series is not None else words.NOT_IDENTIFIED


@dataclass
class AlbumOf:
    """All an album shows; ``left_out`` names what cannot be drawn to scale.

    ``made_for`` is the aim or want list it was made of.
    """

    title: str
    parts: list[PartOf]
    left_out: list[str]
    made_for: str = ""

    @property
    def pockets(self) -> list[PocketOf]:
        return [pocket for part in self.parts for row in part.rows for pocket in row.pockets]


def album_types(owner: Member, parameters: Mapping[str, Any]) -> QuerySet[CoinType] | None:
    """The types an album is about by ``series``, ``type`` or ``country``; None for a selection."""
    types = access.visible_types(owner).filter(withdrawn=False)
    for name, lookup in (
        ("series", "series__key"),
        ("type", "key"),
        ("country", "series__issuer__key"),
    ):
        if parameters.get(name):
            return types.filter(**{lookup: parameters[name]})
    return None


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
    return album_from(album_title(owner, parameters), pockets)


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
    return access.own_in_hand(owner).filter(coin_type__in=types)


def album_title(owner: Member, parameters: Mapping[str, Any]) -> str:
    """What an album is called: the series, type or country it is about; "" for a selection."""
    types = album_types(owner, parameters)
    first = None if types is None else _with_series(types).first()
    if first is None:
        return ""
    if parameters.get("country"):
        return first.series.issuer.name
    return joined(first.series.with_country, str(first) if parameters.get("type") else "")


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


def album_from(title: str, pockets: list[PocketOf], made_for: str = "") -> AlbumOf:
    """Pockets put into rows by type and parts by series, in their order.

    Without a ``title`` the album is called by the series or country that all parts are of. One
    that is ``made_for`` an aim or a list is a single part, since a page may hold next to nothing
    of each series.
    """
    parts: dict[Any, PartOf] = {}
    rows: dict[Any, RowOf] = {}
    left_out = []
    for pocket in sorted(pockets, key=_order):
        if not has_width(pocket):
            left_out.append(_named(pocket))
            continue
        part = pocket.part or (pocket.series.pk if pocket.series is not None else None)
        key = (part, pocket.group or pocket.type_id)
        if key not in rows:
            rows[key] = RowOf(pocket.coin_type, pocket.group)
            of_part = parts.setdefault(part, PartOf(pocket.series, pocket.part))
            of_part.rows.append(rows[key])
        rows[key].pockets.append(pocket)
    found = list(parts.values())
    if made_for and len(found) > 1:
        found = [_as_one(found, made_for)]
    return AlbumOf(title or _title_of(found), found, left_out, made_for)


def _as_one(parts: list[PartOf], title: str) -> PartOf:
    """All rows in one part, each with the name of its series."""
    for part in parts:
        for row in part.rows:
            row.series = part.name
    countries = [part.series.issuer.name if part.series else part.title for part in parts]
    rows = [row for part in parts for row in part.rows]
    return PartOf(None, title, rows, joined(*dict.fromkeys(countries)))


def _named(pocket: PocketOf) -> str:
    name = pocket.caption or str(pocket.coin_type or words.UNIDENTIFIED)
    return " ".join(name.split()) if pocket.caption else joined(name, pocket.date)


def _title_of(parts: list[PartOf]) -> str:
    countries = {part.series.issuer.name if part.series else "" for part in parts}
    if len(parts) == 1:
        return parts[0].name
    country = countries.pop() if len(countries) == 1 else ""
    return country or words.ALBUM


def has_width(pocket: PocketOf) -> bool:
    if pocket.coin_type is not None:
        return bool(pocket.coin_type.diameter_mm)
    return pocket.best is not None and bool(pocket.best.diameter_mm)


def _order(pocket: PocketOf) -> tuple[Any, ...]:
    """By country, series, face value, type and date; the unidentified last."""
    coin_type = pocket.coin_type
    if coin_type is None:
        return (1, "", 0, 0, 0, 0, "", *pocket.place)
    if pocket.part:
        return (0, pocket.part, 0, 0, coin_type.denomination.sort_value, 0, "", *pocket.place)
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
