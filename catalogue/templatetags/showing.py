"""Whether members show something to all: ``{% load showing %}``."""

from __future__ import annotations

from django import template

from catalogue import access

register = template.Library()


@register.simple_tag
def any_open_showing() -> bool:
    return access.open_showings().exists()
