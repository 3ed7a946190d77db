"""What an aim may be complete in: denominations, types, dates, or dates with their mints.

The one place that says of each how its items are found from a piece, told apart, called, and put
into rows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from django.db.models import Model

from catalogue.models import Aim, Holding
from series.models import CoinType, Currency, Series

BY_DATE = frozenset({Aim.Unit.DATE, Aim.Unit.DATE_MINT})


@dataclass(frozen=True)
class Way:
    """The items of one kind of aim.

    ``of_piece``: from a piece to its item, "" where several issues are one item. ``key`` and
    ``piece_key`` are alike for an item and a piece of it.
    """

    of_piece: str
    key: Callable[[Any], Any]
    piece_key: Callable[[Holding], Any]
    label: Callable[[Any], str]
    row: type[Model]
    row_field: str  # from an item to its row
    row_of_piece: str
    order: tuple[str, ...]  # of the rows


_OF_TYPE = (
    CoinType,
    "coin_type",
    "coin_type",
    ("series__issuer__name", "series__first_year", "denomination__sort_value", "pk"),
)
_WAYS: dict[str, Way] = {
    Aim.Unit.DATE: Way(
        "",
        attrgetter("coin_type_id", "shown"),
        lambda piece: (piece.coin_type_id, piece.issue.shown) if piece.issue else None,
        lambda issue: issue.shown or issue.label,
        *_OF_TYPE,
    ),
    Aim.Unit.DATE_MINT: Way(
        "issue", attrgetter("pk"), attrgetter("issue_id"), attrgetter("label"), *_OF_TYPE
    ),
    Aim.Unit.TYPE: Way(
        "coin_type",
        attrgetter("pk"),
        attrgetter("coin_type_id"),
        str,
        Series,
        "series",
        "coin_type__series",
        ("issuer__name", "first_year", "pk"),
    ),
    Aim.Unit.DENOMINATION: Way(
        "coin_type__denomination",
        attrgetter("pk"),
        lambda piece: piece.coin_type and piece.coin_type.denomination_id,
        attrgetter("name"),
        Currency,
        "currency",
        "coin_type__denomination__currency",
        ("first_year", "name", "pk"),
    ),
}


def way_of(aim: Aim) -> Way:
    return _WAYS[aim.unit]
