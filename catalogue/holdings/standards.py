"""A holding's measures against the standard of its type, in words for its page."""

from __future__ import annotations

from decimal import Decimal

from catalogue.models import Holding
from series.measuring.against_standard import (
    NOT_A_GRADE,
    Compared,
    Quantity,
    difference_words,
)

__all__ = ["NOT_A_GRADE", "against_standard"]

_FIELDS: tuple[tuple[Quantity, str, str], ...] = (
    ("mass", "mass_g", "mass_within"),
    ("diameter", "diameter_mm", "diameter_within"),
    ("thickness", "thickness_mm", "thickness_within"),
)


def against_standard(holding: Holding) -> list[str]:
    """Each measure that was taken, and by how much it differs from the standard, if that is known.

    >>> against_standard(Holding())
    []
    """
    coin_type = holding.coin_type
    if coin_type is None:
        return []
    found = []
    for quantity, measure, within in _FIELDS:
        measured, standard = getattr(holding, measure), getattr(coin_type, measure)
        if measured and standard and measured > 0 and standard > 0:
            off = getattr(holding, within) or Decimal(0)
            found.append(difference_words(Compared(quantity, measured, off, standard)))
    return found
