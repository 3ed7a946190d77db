"""What was changed of a record, on its own page: ``{% load history_parts %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.template import RequestContext
from django.urls import reverse

from catalogue.history.life import events_of, last_change

register = template.Library()


@register.inclusion_tag("history/_folded.html", takes_context=True)
def record_life(context: RequestContext, record: Any) -> dict[str, Any]:
    """All that was changed of a record, folded; for whoever may see it."""
    return {"events": events_of(record, context["user"])}


@register.inclusion_tag("history/_undo.html", takes_context=True)
def undo_last(context: RequestContext, record: Any, name: str) -> dict[str, Any]:
    """For curators, the button that takes back the last change of a record of the catalogue.

    ``name``: of the address of its history, as "series-history".
    """
    last = last_change(record, context["user"])
    kind = name.removesuffix("-history")
    address = reverse(f"{kind}-undo", args=[record.key]) if last is not None else ""
    return {"last": last, "address": address, "csrf_token": context.get("csrf_token")}
