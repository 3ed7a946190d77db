"""What a type's record says, as pages and sheets put it into words."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from django.utils.translation import gettext as _

from series.metal import material
from series.text.english import alignment_words, outline_words
from series.text.words import mm, years_text
from series.types.drawn import UNKNOWN_MM
from series.types.models import CoinType


def size_and_metal(coin_type: CoinType) -> str:
    """What is said beside a coin: "23.5 mm, copper-nickel"."""
    size = mm(coin_type.diameter_mm) or _("size not recorded")
    return ", ".join(part for part in (size, material.metal_words(coin_type.metal)) if part)


def supposed_note(types: Iterable[CoinType]) -> str:
    """What the "?" on some of these coins means; "" where every size is recorded."""
    if all(coin_type.diameter_mm is not None for coin_type in types):
        return ""
    width = mm(Decimal(str(UNKNOWN_MM)))
    return f"“?” marks a coin whose size is not recorded; it is drawn {width} wide."


def outline_said(coin_type: CoinType) -> str:
    """The outline, hole and centre of a type in words."""
    parts = [outline_words(coin_type.outline, coin_type.sides or 0)]
    if coin_type.hole:
        size = f" of {mm(coin_type.hole_mm)}" if coin_type.hole_mm else ""
        parts.append(f"a {coin_type.get_hole_display()} hole{size}")
    if coin_type.ring_mm:
        parts.append(f"a centre of {mm(coin_type.ring_mm)}")
    return ", ".join(parts)


def alignment_said(hours: int | None) -> str:
    """Die axis in words: "coin alignment (6 o'clock)"."""
    if hours is None:
        return ""
    words = alignment_words(hours)
    return f"{words} ({hours} o'clock)" if hours in {6, 12} else words


def since_words(coin_type: CoinType) -> str:
    """What a type is called when another is compared with it: "1919–30, Provisional"."""
    span = years_text(coin_type.first_year, coin_type.last_year)
    return f"{span}, {coin_type.series.name}" if span else coin_type.series.name


def metal_said(coin_type: CoinType) -> str:
    """The metal and build in plain words."""
    return material.described(coin_type.composition) or material.metal_words(coin_type.metal)


def density(coin_type: CoinType) -> str:
    """The density its composition implies: "8.94 g/cm³", or ""."""
    text = material.density_text(coin_type.composition)
    return f"{text} g/cm³" if text else ""


def fine_metal(coin_type: CoinType) -> str:
    """The precious metal in a new piece, where it follows from the record."""
    return material.fine_text(coin_type.composition, coin_type.mass_g)
