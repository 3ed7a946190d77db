"""Names joined so that nothing is said twice: ``{% load names %}``."""

from __future__ import annotations

from typing import Any

from django import template

from series.text import naming

register = template.Library()


@register.simple_tag
def joined(*names: Any, by: str = ", ") -> str:
    """ "Halvern, Harbour Board" of a country and a series of it; see :mod:`series.text.naming`.

    One of the names may be several, as a tuple.
    """
    each = [one for name in names for one in (name if isinstance(name, tuple) else (name,))]
    return naming.joined(*(str(name or "") for name in each), by=by)
