"""Coins drawn in a page, and figures of coins in words: ``{% load coins %}``.

``{% coin_defs %}`` once on a page, then ``{% coin coin_type scale=2.2 %}`` wherever a coin is
to stand. What is drawn and said comes from plain modules, which code imports instead of this one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe

from series.dates import words as date_words
from series.differences import changes
from series.faces.models import Face
from series.issuers import in_words as money_words
from series.picture import coins as coin_pictures
from series.picture import outlines
from series.text import english, words
from series.text.scripts import script_name
from series.text.words import years_text
from series.types import in_words as type_words
from series.types.drawn import width_mm
from series.types.models import CoinType, Issue

register = template.Library()

for tag in (coin_pictures.coin_defs, coin_pictures.coin, coin_pictures.face_address):
    register.simple_tag(tag)

FILTERS: dict[str, Callable[..., str]] = {
    "figure": words.plain,
    "mm": words.mm,
    "grams": words.grams,
    "clock": words.clock_text,
    "px": outlines.number,
    "near": english.beside,
    "said": changes.in_words,
    "edtf": date_words.in_words,
    "initial": coin_pictures.initial,
    "became": money_words.became,
    "unit_chain": money_words.unit_chain,
    "worth": money_words.worth,
    "size_and_metal": type_words.size_and_metal,
    "supposed_note": type_words.supposed_note,
    "outline_said": type_words.outline_said,
    "alignment_said": type_words.alignment_said,
    "since_words": type_words.since_words,
    "metal_said": type_words.metal_said,
    "density": type_words.density,
    "fine_metal": type_words.fine_metal,
    "script_name": script_name,
}
for name, says in FILTERS.items():
    register.filter(name, says)


@register.filter
def years(record: Any) -> str:
    """The years of a record with ``first_year`` and ``last_year`` in full: "1931–1959"."""
    return years_text(record.first_year, record.last_year, short=False) if record else ""


@register.filter
def span_years(issuer: Any) -> str:
    """The years of a country's series, from ``countries_with_counts``."""
    return years_text(issuer.earliest, issuer.latest, short=False)


@register.filter
def struck_years(issue: Issue) -> str:
    """The civil years an issue was struck in."""
    return years_text(issue.struck_from, issue.struck_to)


@register.filter
def share(part: int, whole: int) -> str:
    """A part of a whole in hundredths, at most 100, for the width of a bar."""
    return outlines.number(min(100, 100 * part / whole)) if whole else "0"


@register.filter
def thousands(count: int) -> str:
    """A count with thin spaces between thousands, the same in every language."""
    return f"{count:,}".replace(",", "\u202f")


@register.filter
def has_picture(coin_type: CoinType, side: str) -> bool:
    """Whether the face has a struck picture (faces prefetched)."""
    return coin_pictures.pictured_face(coin_type, side) is not None


@register.filter
def side_name(side: str) -> str:
    return str(Face(side=side))


@register.filter
def widest(types: list[CoinType]) -> float:
    """The largest width among types, in mm."""
    return max(map(width_mm, types), default=0)


@register.simple_tag
def clock_dial(place: Decimal | None, size: int = 30) -> SafeString:
    """A small dial with a dot where a mark stands; "" when its place is not recorded."""
    if place is None:
        return SafeString("")
    half = size / 2
    number = outlines.number
    angle = math.radians(float(place) * 30 - 90)
    x, y = (half * 0.62 * f(angle) for f in (math.cos, math.sin))
    tick = f"M0 {number(-half * 0.9)}v{number(half * 0.14)}"
    ticks = "".join(f'<path d="{tick}" transform="rotate({hour * 30})"/>' for hour in range(12))
    return mark_safe(
        f'<svg class="dial" width="{size}" height="{size}" viewBox="{number(-half)} '
        f'{number(-half)} {size} {size}" aria-hidden="true" focusable="false">'
        f'<circle r="{number(half * 0.93)}"/>{ticks}'
        f'<circle class="dot" cx="{number(x)}" cy="{number(y)}" r="{number(half * 0.2)}"/></svg>'
    )
