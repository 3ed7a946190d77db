"""Coins in the rows of a list, light enough for many: ``{% load coin_rows %}``."""

from __future__ import annotations

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from series.picture.coins import coin, extent, face_address
from series.text.words import number
from series.types.drawn import drawn
from series.types.models import CoinType

register = template.Library()

SCALE = 1.55
"""Pixels to the millimetre: two faces stand side by side on a phone."""


@register.simple_tag
def small_coin(coin_type: CoinType, side: str, picture: str = "") -> SafeString:
    """One face of a coin for a row of a list, fetched when it comes into sight.

    ``picture``: the address of a photograph trimmed to the coin's edge; left out, the struck
    picture of the type is shown, or the coin is drawn.
    """
    struck = "" if picture else face_address(coin_type, side)
    shape = drawn(coin_type)
    if not struck and not (picture and shape.outline == "round"):
        return coin(coin_type, scale=SCALE, side=side, picture=picture)
    width = number(shape.diameter_mm * SCALE * extent(shape.outline, shape.sides))
    return format_html(
        '<img class="small-coin{}" src="{}" alt="" width="{}" height="{}"'
        ' loading="lazy" decoding="async">',
        "" if struck else " cut",
        struck or picture,
        width,
        width,
    )
