"""Holdings in words and addresses: ``{% load holdings %}``."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Any

from django import template
from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from catalogue.holdings.browse.plates import Piece
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.dates.shown import shown_date
from catalogue.holdings.grades import GradeError
from catalogue.holdings.grades import grade as read_grade
from catalogue.models import Holding
from series.models import CoinType
from series.picture.coins import coin, initial, pictures_piece
from series.text.words import grams, plain
from series.types.drawn import dated_side

register = template.Library()


@register.simple_tag
def browse_address(browse: Browse, **changes: Any) -> str:
    """The address of this state of browsing, with some parameters changed."""
    return browse.address(**changes)


@register.simple_tag
def piece(
    holding: Holding,
    scale: float = 2.2,
    side: str = "",
    picture: str = "",
    size: str = "small",
) -> SafeString:
    """A piece of a known type, by its picture or drawn from the record with its own date.

    ``picture`` is the address of a photograph of it. Of both faces, each (``side``) has what
    stands on it: the value and the date, or the first letter of its legend.
    """
    coin_type = holding.coin_type
    if coin_type is None:
        return SafeString("")
    date, text = date_on(holding), None
    faces = [face for face in coin_type.faces.all() if face.side != "edge"] if side else []
    face = next((face for face in faces if face.side == side), None)
    if side and side != dated_side(coin_type):
        date = ""
    if face is not None and not face.value_as and any(other.value_as for other in faces):
        text = initial(face)
    return coin(coin_type, scale, text, picture=picture, side=side, size=size, date=date)


@register.simple_tag
def plate_piece(place: Piece, scale: float) -> SafeString:
    """One piece of a plate, linked: its picture, date, grade and number; nothing that is private.

    Sixty stand on a page, so this is written here and not in the template.
    """
    holding = place.holding
    if holding is None:
        return SafeString("")
    drawn = piece(holding, scale, picture=place.picture) if place.coin_type else _UNKNOWN
    notes = [holding.grade, f"×{holding.quantity}" if holding.quantity > 1 else ""]
    said = format_html_join("", ' <span class="muted">{}</span>', ((n,) for n in notes if n))
    return format_html(
        '<a href="{}" data-card="{}" title="{}">{}<span class="caption">{}{}</span></a>',
        *_addresses(holding.pk),
        holding.accession,
        drawn,
        place.caption,
        said,
    )


_UNKNOWN = SafeString('<span class="unknown-coin" aria-hidden="true">?</span>')


@lru_cache(maxsize=16_384)
def _addresses(pk: int) -> tuple[str, str]:
    """Of the page of a holding and of its card."""
    return reverse("holding", args=[pk]), reverse("holding-card", args=[pk])


@register.simple_tag
def pictured_by_type(holding: Holding, scale: float, side: str, size: str = "small") -> bool:
    """Whether :func:`piece` shows a face by a picture of the type."""
    coin_type = holding.coin_type
    return coin_type is not None and pictures_piece(coin_type, scale, side, size)


@register.filter
def date_on(holding: Holding) -> str:
    """The date that stands on a piece, in its own script; "" when it is not known."""
    issue = holding.issue
    return shown_date(issue.shown if issue is not None else "", holding.date_reading)


@register.filter
def grade_words(code: str, scale: str) -> str:
    """ "VF" as "very fine"; a grade the scale does not know stays as written."""
    try:
        return read_grade(scale, code).label
    except GradeError:
        return code


@register.filter
def made_of(coin_type: CoinType) -> str:
    """What a type is made of, and how large: "Cu75Ni25, 5.4 g, 23.5 × 1.7 mm"."""
    across = " × ".join(
        plain(length) for length in (coin_type.diameter_mm, coin_type.thickness_mm) if length
    )
    size = f"{across} mm" if coin_type.diameter_mm else ""
    parts = (coin_type.composition or coin_type.metal, grams(coin_type.mass_g), size)
    return ", ".join(part for part in parts if part)


@register.simple_tag
def this_piece(holding: Holding) -> str:
    """What was measured of it and how it is graded: "5.36 g, 0.04 g light; very fine"."""
    grade = grade_words(holding.grade, holding.grade_scale) if holding.grade else ""
    said = [words for words in (_measured(holding), grade) if words]
    return "; ".join(said) or _("not graded or measured yet")


def _measured(holding: Holding) -> str:
    """What was measured, against the type's standard: "5.36 g, 0.04 g light"."""
    coin_type = holding.coin_type
    parts = []
    if holding.mass_g is not None:
        standard = coin_type.mass_g if coin_type is not None else None
        parts.append(_against(holding.mass_g, standard, "g", _("light"), _("heavy")))
    if holding.diameter_mm is not None:
        standard = coin_type.diameter_mm if coin_type is not None else None
        parts.append(_against(holding.diameter_mm, standard, "mm", _("small"), _("large")))
    if holding.thickness_mm is not None:
        parts.append(f"{plain(holding.thickness_mm)} mm " + _("thick"))
    return ", ".join(parts)


def _against(value: Decimal, standard: Decimal | None, unit: str, less: str, more: str) -> str:
    text = f"{plain(value)}\u00a0{unit}"
    if standard is None or value == standard:
        return text
    word = less if value < standard else more
    return f"{text}, {plain(abs(value - standard))}\u00a0{unit} {word}"
