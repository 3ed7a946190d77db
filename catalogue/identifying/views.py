"""What is this coin? The page that ranks the types a piece may be, as it is described."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue.identifying.asked import asked
from catalogue.identifying.forms import IdentifyForm, suggestions
from catalogue.identifying.tables import current_table, eligible
from series.identifying.looks import TOOLS
from series.identifying.ranking import identify

TOP = 8


@require_safe
def identify_page(request: HttpRequest) -> HttpResponse:
    """The form and the ranking; to htmx the ranking and the messages alone."""
    table = current_table()
    what = asked(request)
    answer = identify(
        table, what.evidence, eligible=eligible(table, request.user), top=TOP, tools=what.tools
    )
    context: dict[str, Any] = {
        "section": "identify",
        "asked": what,
        "answer": answer,
        "form": IdentifyForm(what.texts, what.errors),
        "tools": [(tool, tool in what.tools) for tool in TOOLS],
        **suggestions(table),
    }
    return render(request, "identifying/identify.html", context)
