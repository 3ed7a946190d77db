"""What labels read: a member's own stock, the facts of a piece, its address."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse

from catalogue.models import Holding, LabelStock
from catalogue.printing import words
from catalogue.printing.stock import Stock
from series.metal.material import metal_words
from series.models import CoinType
from series.text.words import plain


def measures_of(own: LabelStock) -> Stock:
    """A member's own stock as the computing modules take it."""
    names = ("width", "height", "left", "top", "gap_across", "gap_down")
    lengths: dict[str, Any] = {name: float(getattr(own, f"{name}_mm")) for name in names}
    return Stock(
        paper=own.paper,
        columns=own.columns,
        rows=own.rows,
        round=own.shape == LabelStock.Shape.ROUND,
        **lengths,
    )


def for_labels(holdings: QuerySet[Holding]) -> QuerySet[Holding]:
    """With all that a label can say. Three queries."""
    return holdings.select_related(
        "issue", "place", "coin_type__denomination", "coin_type__series__issuer"
    ).prefetch_related("references", "coin_type__references")


def facts_of(holding: Holding) -> dict[str, str]:
    """The facts of a piece (``for_labels``) by the names of catalogue.printing.label_contents."""
    coin_type = holding.coin_type
    mass, width = holding.mass_g, holding.diameter_mm
    facts = {
        "denomination": holding.title or words.UNIDENTIFIED,
        "date": holding.date_words,
        "grade": holding.grade,
        "pieces": words.pieces(holding.quantity),
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
