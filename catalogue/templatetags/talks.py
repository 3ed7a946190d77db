"""Where a talk begins from pages of other records: ``{% load talks %}``."""

from __future__ import annotations

from urllib.parse import urlencode

from django import template
from django.urls import reverse

from catalogue.models import Aim

register = template.Library()


@register.simple_tag
def talk_of_aim(aim: Aim) -> str:
    """The address that makes a talk of what an aim goes through."""
    asked = {
        "country": aim.issuer_id,
        "currency": aim.currency_id,
        "series": aim.series_id,
        "denomination": aim.denomination_id,
    }
    if aim.coin_type is not None:
        asked |= {
            "series": aim.coin_type.series_id,
            "denomination": aim.coin_type.denomination_id,
        }
    given = {name: value for name, value in asked.items() if value is not None}
    return f"{reverse('talk-new')}?{urlencode(given)}"
