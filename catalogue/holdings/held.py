"""What one member holds of given types: pieces and best grade, for a page of the catalogue."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Count, Sum

from catalogue import access
from catalogue.members.requests import Viewer
from series.models import CoinType


@dataclass
class Held:
    """Pieces held, and the best grade among them as written."""

    count: int = 0
    grade: str = ""
    rank: int = -1

    def add(self, quantity: int, grade: str, rank: int | None) -> None:
        self.count += quantity
        if grade and (rank or 0) > self.rank:
            self.grade, self.rank = grade, rank or 0


@dataclass
class HeldOnPage:
    """What is held of each type and of each issue, by id."""

    types: dict[int, Held] = field(default_factory=dict)
    issues: dict[int, Held] = field(default_factory=dict)

    @property
    def pieces(self) -> int:
        return sum(held.count for held in self.types.values())


def held_of_types(viewer: Viewer, types: Iterable[CoinType]) -> HeldOnPage:
    """The viewer's own pieces of these types that are held or on loan. One query."""
    found = HeldOnPage()
    ids = {coin_type.pk for coin_type in types}
    if not ids:
        return found
    rows = access.own_in_hand(viewer).filter(coin_type__in=ids)
    for type_id, issue_id, quantity, grade, rank in rows.values_list(
        "coin_type_id", "issue_id", "quantity", "grade", "grade_rank"
    ):
        found.types.setdefault(type_id, Held()).add(quantity, grade, rank)
        if issue_id is not None:
            found.issues.setdefault(issue_id, Held()).add(quantity, grade, rank)
    return found


@dataclass(frozen=True)
class HeldOfCountry:
    """How many types a member holds of a country, and in how many pieces."""

    types: int
    pieces: int


def held_by_country(viewer: Viewer) -> dict[int, HeldOfCountry]:
    """What the viewer holds of each country, by its id. One query."""
    rows = (
        access.own_in_hand(viewer)
        .filter(coin_type__isnull=False)
        .order_by()
        .values("coin_type__series__issuer_id")
        .annotate(types=Count("coin_type", distinct=True), pieces=Sum("quantity"))
    )
    return {
        row["coin_type__series__issuer_id"]: HeldOfCountry(row["types"], row["pieces"])
        for row in rows
    }
