"""A holding's measures against the standard of its type, in words for its page.

The remedy is named for an uncirculated piece alone: it binds the mint, not a piece that was about.
"""

from __future__ import annotations

from decimal import Decimal

from django.utils.translation import gettext as _

from catalogue.holdings.grades import rank
from catalogue.models import Holding
from series.measuring.against_standard import (
    NOT_A_GRADE,
    Compared,
    difference_words,
    remedy_words,
)
from series.measuring.cylinder import Read, implied_density, implied_words
from series.measuring.real_density import real_density
from series.metal.material import build_of

__all__ = ["NOT_A_GRADE", "against_standard"]


def against_standard(holding: Holding) -> list[str]:
    """Each measure that was taken, and by how much it differs from the standard, if that is known.

    >>> against_standard(Holding())
    []
    """
    coin_type = holding.coin_type
    if coin_type is None:
        return []
    found = []
    for quantity, (measure, within) in Holding.MEASURES.items():
        measured, standard = getattr(holding, measure), getattr(coin_type, measure)
        if measured and standard and measured > 0 and standard > 0:
            off = getattr(holding, within) or Decimal(0)
            compared = Compared(quantity, measured, off, standard)
            remedy = remedy_words(compared, coin_type.remedy_g, new=_is_new(holding))
            found.append("; ".join(filter(None, (difference_words(compared), remedy))))
    return found + _implied(holding)


def _is_new(holding: Holding) -> bool:
    return holding.grade_rank is not None and holding.grade_rank >= rank("british", "UNC")


def _implied(holding: Holding) -> list[str]:
    """The density that mass and size imply, beside that of the recorded metal."""
    coin_type = holding.coin_type
    reads = [
        Read(value, getattr(holding, within) or Decimal(0))
        for measure, within in Holding.MEASURES.values()
        if (value := getattr(holding, measure)) and value > 0
    ]
    if coin_type is None or len(reads) < len(Holding.MEASURES):
        return []
    try:
        implied = implied_density(
            *reads,
            outline=coin_type.outline,
            sides=coin_type.sides or 0,
            hole=coin_type.hole,
            hole_mm=coin_type.hole_mm or 0,
        )
    except ValueError:
        return []  # a reading that may be off by all of itself
    said = _("density by size %(range)s") % {"range": implied_words(implied)}
    build = build_of(coin_type.composition)
    metal = real_density(build) if build is not None else None
    if metal is not None:
        low, high = (f"{each:.1f}" for each in metal)
        said += _("; the recorded metal has %(low)s to %(high)s") % {"low": low, "high": high}
    return [said]
