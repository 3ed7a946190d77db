"""From pieces ticked in a list to a sheet of them, or a talk."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from catalogue.holdings.fields import ids_from
from catalogue.holdings.requested import way_back

SHEETS = {"labels": "labels-sheet", "album": "album-sheet", "talk": "talk-new"}


@require_POST
def chosen_sheet(request: HttpRequest) -> HttpResponse:
    """On to labels, album pages or a talk of the ticked ones among what the list had found."""
    back = way_back(request, reverse("holdings") + "?view=list")
    ids = ids_from(request.POST.getlist("holding"))
    if not ids:
        messages.error(request, _("Choose at least one of your own pieces first."))
        return redirect(back)
    asked = QueryDict(urlsplit(back).query, mutable=True)
    for name in ("page", "piece", "view"):
        asked.pop(name, None)
    asked.setlist("holding", [str(pk) for pk in sorted(ids)])
    sheet = SHEETS.get(request.POST.get("sheet", ""), SHEETS["labels"])
    return redirect(f"{reverse(sheet)}?{asked.urlencode()}")
