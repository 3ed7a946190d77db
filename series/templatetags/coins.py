"""Coins drawn in a page, and figures of coins in words: ``{% load coins %}``.

``{% coin_defs %}`` once on a page, then ``{% coin coin_type scale=2.2 %}`` wherever a coin is
to stand. Geometry goes into SVG attributes, so a strict content policy holds.
"""

from __future__ import annotations

import secrets
from decimal import Decimal
from itertools import count
from typing import Any

from django import template
from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from series import drawing
from series.faces.models import Face
from series.outlines import number, outline_path
from series.types.drawn import drawn
from series.types.models import CoinType
from series.words import clock_text, plain, years_text

register = template.Library()

MARGIN = 0.06
"""Room around a coin for its shadow, as a share of its width."""

_cut_numbers = count(1)
_cut_prefix = secrets.token_hex(3)


@register.simple_tag
def coin_defs(colours: Any = None) -> SafeString:
    """The gradients coins refer to, in an SVG that takes no room: once on a page, before them.

    ``colours``: a list of colour words or of types; left out, every metal's.
    """
    names = [
        name
        for item in (colours if colours is not None else drawing.METALS)
        for name in (_colour_words(item))
    ]
    return _safe(
        '<svg class="coin-defs" width="0" height="0" aria-hidden="true" focusable="false">'
        f"{drawing.defs(names)}</svg>"
    )


@register.simple_tag
def coin(
    coin_type: CoinType,
    scale: float = 2.2,
    text: str | None = None,
    gap: bool = False,
    picture: str = "",
    title: str = "",
    side: str = "",
    ghost: bool = False,
    size: str = "small",
) -> SafeString:
    """One coin as an inline SVG, ``scale`` pixels to the millimetre.

    ``picture``: the address of a photograph trimmed to the coin's edge. Left out, the struck
    picture of ``side`` is shown where the type has one ("" chooses the side with the value);
    else the coin is drawn from its record with ``text`` (default: the denomination's numeral).
    ``gap``: an empty dashed outline. ``ghost``: the coin faint in a dashed outline, one not
    held. ``title`` is read out; without it the picture is left out for a screen reader.
    Faces are looked at only when they were prefetched, so no query is run here.
    """
    shape = drawn(coin_type, text=text, gap=gap)
    if not picture and not gap:
        picture = face_address(coin_type, side, size)
    width = shape.diameter_mm * scale
    box = width * (1 + 2 * MARGIN)
    if gap:
        inside = drawing.coin(shape, scale)
    elif picture:
        inside = _pictured(shape, scale, picture)
    else:
        inside = drawing.coin(shape, scale)
    if ghost and not gap:
        outline = drawing.coin(drawn(coin_type, text="", gap=True), scale)
        inside = f'<g opacity="0.4">{inside}</g>{outline}'
    label = (
        f'role="img" aria-label="{escape(title)}"'
        if title
        else 'aria-hidden="true" focusable="false"'
    )
    side_px, half = number(box), number(-box / 2)
    return _safe(
        f'<svg class="coin-svg" width="{side_px}" height="{side_px}" '
        f'viewBox="{half} {half} {side_px} {side_px}" {label}>{inside}</svg>'
    )


def _pictured(shape: drawing.Drawn, scale: float, address: str) -> str:
    """A picture cut by the coin's outline, at the coin's scale, over its shadow."""
    width = shape.diameter_mm * scale
    data = outline_path(shape.outline, width, shape.sides, shape.hole, shape.hole_mm * scale)
    cut = f"cut-{_cut_prefix}-{next(_cut_numbers)}"
    half, whole, drop = number(-width / 2), number(width), number(width * 0.022)
    return (
        f'<clipPath id="{cut}"><path d="{data}" clip-rule="evenodd"/></clipPath>'
        f'<path d="{data}" transform="translate({drop} {drop})" fill="#000000" '
        'fill-opacity="0.2" fill-rule="evenodd"/>'
        f'<image href="{escape(address)}" x="{half}" y="{half}" width="{whole}" '
        f'height="{whole}" preserveAspectRatio="xMidYMid slice" clip-path="url(#{cut})"/>'
    )


@register.simple_tag
def face_address(coin_type: CoinType, side: str = "", size: str = "small") -> str:
    """The address of a type's struck picture, or "" (also when its faces are not prefetched)."""
    face = pictured_face(coin_type, side)
    if face is None:
        return ""
    address = reverse("face-picture", args=[coin_type.key, face.side, size])
    return f"{address}?v={face.picture[:12]}"


def pictured_face(coin_type: CoinType, side: str = "") -> Face | None:
    """The prefetched face with a picture: of ``side``, or the one that shows the value."""
    faces = getattr(coin_type, "_prefetched_objects_cache", {}).get("faces")
    if faces is None:
        return None
    found = [f for f in faces if f.picture and (f.side == side if side else f.side != "edge")]
    found.sort(key=lambda face: (not face.value_as, face.side != "reverse"))
    return found[0] if found else None


def _colour_words(item: Any) -> tuple[str, ...]:
    if isinstance(item, CoinType):
        shape = drawn(item, text="")
        return (shape.colour, shape.centre_colour)
    return (str(item),)


def _safe(text: str) -> SafeString:
    """Markup built above from numbers and escaped texts."""
    return mark_safe(text)


@register.filter
def years(record: Any) -> str:
    """The years of a record with ``first_year`` and ``last_year`` in full: "1931–1959"."""
    return years_text(record.first_year, record.last_year, short=False) if record else ""


@register.filter
def short_years(record: Any) -> str:
    """The years of such a record, the second one cut short: "1931–59"."""
    return years_text(record.first_year, record.last_year) if record else ""


@register.filter
def figure(value: Decimal | int | None) -> str:
    """A figure without trailing zeros: "23.5"."""
    return plain(value)


@register.filter
def mm(value: Decimal | None) -> str:
    """A length: "23.5 mm", or "" when it is not recorded."""
    return f"{plain(value)}\u00a0mm" if value is not None else ""


@register.filter
def grams(value: Decimal | None) -> str:
    """A mass: "5.4 g", or "" when it is not recorded."""
    return f"{plain(value)}\u00a0g" if value is not None else ""


@register.filter
def clock(value: Decimal | None) -> str:
    """A place by the clock in words: "6 o'clock"."""
    return clock_text(value)


@register.filter
def size_and_metal(coin_type: CoinType) -> str:
    """What is said beside a coin: "23.5 mm, copper-nickel"."""
    parts = (mm(coin_type.diameter_mm), coin_type.metal)
    return ", ".join(part for part in parts if part) or _("size not recorded")
