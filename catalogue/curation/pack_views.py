"""The reference packs that come with the site, for whoever keeps the catalogue."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from catalogue import access
from catalogue.curation.pack_loading import ask_to_load, states
from catalogue.members.requests import MemberRequest
from series.issuers.joining import doubles, join_issuers
from series.packs.shipped import shipped_packs


def _choices() -> list[tuple[str, str]]:
    return [(each.key, each.title) for each in shipped_packs()]


class PacksForm(forms.Form):
    """Which packs are loaded, by tick box."""

    pack = forms.MultipleChoiceField(
        label=_("Packs"),
        choices=_choices,
        error_messages={
            "required": _("Tick the packs that you want."),
            "invalid_choice": _("No pack %(value)s comes with this site. Tick those listed."),
        },
    )


@require_http_methods(["GET", "POST"])
def packs(request: MemberRequest) -> HttpResponse:
    """Packs to tick, each with what it covers; those that were asked for are loaded by a task."""
    if not access.may_curate(request.user):
        raise PermissionDenied
    form = PacksForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        asked = ask_to_load(form.cleaned_data["pack"])
        said = ngettext("%(n)d pack is being loaded.", "%(n)d packs are being loaded.", asked)
        messages.success(request, said % {"n": asked})
        return redirect("packs")
    rows = states(shipped_packs())
    waiting = any(state == "waiting" for _pack, state, _wrong in rows)
    context = {"form": form, "rows": rows, "waiting": waiting, "doubles": doubles()}
    return render(request, "curation/packs.html", context)


@require_POST
def country_join(request: MemberRequest, key: str) -> HttpResponse:
    """Join a country that members began to the one of the same name or code in a pack."""
    if not access.may_curate(request.user):
        raise PermissionDenied
    found = {gone.key: (gone, kept) for gone, kept in doubles()}
    if key not in found:
        raise Http404
    gone, kept = found[key]
    join_issuers(gone, kept)
    said = _("%(name)s is one country now; its money, series and types went along.")
    messages.success(request, said % {"name": kept.name})
    return redirect(kept)
