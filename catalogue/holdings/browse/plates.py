"""How holdings of one page are laid out: as a plate by denomination, and as date runs by type."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import QuerySet
from django.urls import reverse

from catalogue import access
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.facets import FACETS
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from catalogue.photos.queries import faces_of
from series.models import CoinType, Issue

MOST_GAPS = 120
TYPES_A_PAGE = 12


@dataclass(frozen=True)
class Piece:
    """One place on a plate: a holding with its picture's address, or a gap's issue."""

    coin_type: CoinType | None
    holding: Holding | None = None
    issue: Issue | None = None
    picture: str = ""

    @property
    def caption(self) -> str:
        if self.issue is not None:
            return self.issue.label
        if self.holding is None:
            return ""
        return self.holding.date_words or self.holding.accession


@dataclass
class PlateRow:
    """The pieces of one type side by side; ``coin_type`` is None for the unidentified."""

    coin_type: CoinType | None
    pieces: list[Piece] = field(default_factory=list)


def plate_rows(holdings: Iterable[Holding], gaps: Iterable[Issue] = ()) -> list[PlateRow]:
    """One row a type in the order in which the types first come, with gaps at their dates."""
    holdings = list(holdings)
    pictures = trimmed_pictures(holdings)
    rows: dict[int | None, PlateRow] = {}
    for holding in holdings:
        row = rows.setdefault(holding.coin_type_id, PlateRow(holding.coin_type))
        picture = pictures.get(holding.pk, "")
        row.pieces.append(Piece(holding.coin_type, holding, picture=picture))
    for issue in gaps:
        row = rows.setdefault(issue.coin_type_id, PlateRow(issue.coin_type))
        row.pieces.append(Piece(issue.coin_type, issue=issue))
    for row in rows.values():
        if any(piece.issue for piece in row.pieces):
            row.pieces.sort(key=_date)
    return list(rows.values())


def _date(piece: Piece) -> tuple[int, int]:
    issue = piece.issue or (piece.holding.issue if piece.holding else None)
    if issue is None:
        return (9999, 0)
    return (issue.struck_from or 9999, issue.position)


def trimmed_pictures(holdings: list[Holding]) -> dict[int, str]:
    """The address of a picture fit for a plate (trimmed to the coin), by holding."""
    faces = trimmed_faces(holdings)
    found = {h.pk: faces.get((h.pk, "reverse")) or faces.get((h.pk, "obverse")) for h in holdings}
    return {pk: picture for pk, picture in found.items() if picture is not None}


def trimmed_faces(holdings: list[Holding]) -> dict[tuple[int, str], str]:
    """The address of each picture trimmed to the coin, by holding and side."""
    return {
        (holding_id, side): reverse("photo", args=[photo.pk, "small"])
        for holding_id, photos in faces_of(holdings, trimmed_only=True).items()
        for side, photo in photos.items()
    }


def dates_asked(browse: Browse) -> QuerySet[Issue] | None:
    """The struck circulation dates of the chosen series, denominations or countries.

    None where no such choice is made, or where the viewer browses others' holdings.
    """
    if not access.is_member(browse.viewer) or not browse.mine:
        return None
    types = access.visible_types(browse.viewer)
    narrowed = False
    for name in ("series", "denomination", "country", "metal"):
        chosen = browse.chosen.get(name)
        if chosen:
            of_type = FACETS[name].way.removeprefix("coin_type__")
            types = types.filter(
                **{f"{of_type}__in": [each for each in chosen if each is not None]}
            )
            narrowed = narrowed or name != "metal"
    if not narrowed:
        return None
    return struck_dates(types)


def struck_dates(types: QuerySet[CoinType]) -> QuerySet[Issue]:
    """The dates of these types that were struck for circulation, by face value, type and year."""
    return (
        Issue.objects.filter(
            coin_type__in=types,
            fact=Issue.Fact.STRUCK,
            purpose=Issue.Purpose.CIRCULATION,
            withdrawn=False,
        )
        .select_related("coin_type__denomination", "coin_type__series")
        .order_by("coin_type__denomination__sort_value", "coin_type", "struck_from", "position")
    )


def missing_of(issues: QuerySet[Issue], viewer: Viewer) -> QuerySet[Issue]:
    """Those of the issues of which the viewer holds no piece."""
    held = access.own_in_hand(viewer).filter(issue__isnull=False).order_by()
    return issues.exclude(pk__in=held.values("issue"))


@dataclass(frozen=True)
class DateOfRun:
    """One issue in a date run: "held", "missing", "not_struck" or "not_recorded"."""

    issue: Issue
    state: str
    holdings: list[Holding]

    @property
    def best(self) -> Holding | None:
        return max(self.holdings, key=lambda h: h.grade_rank or 0, default=None)

    @property
    def pieces(self) -> int:
        return sum(holding.quantity for holding in self.holdings)


@dataclass(frozen=True)
class Run:
    coin_type: CoinType
    dates: list[DateOfRun]

    @property
    def held(self) -> int:
        return sum(date.state == "held" for date in self.dates)

    @property
    def struck(self) -> int:
        return sum(date.state in {"held", "missing"} for date in self.dates)


def date_runs(types: Iterable[CoinType], holdings: QuerySet[Holding]) -> list[Run]:
    """The runs of these types, with what of ``holdings`` is of each date; two queries."""
    ids = [coin_type.pk for coin_type in types]
    of_issue: dict[int, list[Holding]] = {}
    for holding in holdings.filter(coin_type__in=ids, issue__isnull=False):
        of_issue.setdefault(holding.issue_id or 0, []).append(holding)
    loaded = (
        CoinType.objects.filter(pk__in=ids)
        .select_related("denomination", "series__issuer")
        .prefetch_related("issues", "faces")
    )
    found = {coin_type.pk: coin_type for coin_type in loaded}
    runs = []
    for pk in ids:
        coin_type = found[pk]
        dates = [
            DateOfRun(issue, _state(issue, of_issue), of_issue.get(issue.pk, []))
            for issue in coin_type.issues.all()
            if not issue.withdrawn or issue.pk in of_issue
        ]
        runs.append(Run(coin_type, dates))
    return runs


def _state(issue: Issue, of_issue: dict[int, list[Holding]]) -> str:
    if issue.pk in of_issue:
        return "held"
    return "missing" if issue.fact == Issue.Fact.STRUCK else str(issue.fact)
