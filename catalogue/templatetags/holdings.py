"""Holdings in words and addresses: ``{% load holdings %}``."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import template
from django.utils.translation import gettext as _

from catalogue.holdings.browse import Browse
from catalogue.holdings.grades import GradeError
from catalogue.holdings.grades import grade as read_grade
from catalogue.models import Holding
from series.words import plain

register = template.Library()


@register.simple_tag
def browse_address(browse: Browse, **changes: Any) -> str:
    """The address of this state of browsing, with some parameters changed."""
    return browse.address(**changes)


@register.filter
def grade_words(code: str, scale: str) -> str:
    """ "VF" as "very fine"; a grade the scale does not know stays as written."""
    try:
        return _(read_grade(scale, code).label)
    except GradeError:
        return code


@register.simple_tag
def measured(holding: Holding) -> str:
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
