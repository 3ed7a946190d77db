"""Every model of the app, where Django looks for them; each lives with its subject."""

from __future__ import annotations

from series.faces.models import Face, FaceMotif, FacePerson, Legend, Mark, Motif, Person
from series.issuers.models import Currency, CurrencyUnit, Denomination, Issuer, Mint, PriceNote
from series.packs.models import Pack, Source
from series.types.models import (
    CoinType,
    Issue,
    Reference,
    Series,
    SeriesDenomination,
    Variety,
)

__all__ = [
    "CoinType",
    "Currency",
    "CurrencyUnit",
    "Denomination",
    "Face",
    "FaceMotif",
    "FacePerson",
    "Issue",
    "Issuer",
    "Legend",
    "Mark",
    "Mint",
    "Motif",
    "Pack",
    "Person",
    "PriceNote",
    "Reference",
    "Series",
    "SeriesDenomination",
    "Source",
    "Variety",
]
