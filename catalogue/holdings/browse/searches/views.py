"""Saved searches: their page, keeping one, giving it another name, removing it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.holdings.browse.searches.models import SavedSearch
from catalogue.holdings.browse.searches.saved import (
    MOST,
    NotASearch,
    checked,
    kept_searches,
    name_taken,
    own_searches,
)
from catalogue.members.requests import MemberRequest
from catalogue.models import Member


class SearchForm(forms.Form):
    """A name for a search, which is handed along as its address has it."""

    name = forms.CharField(label=gettext_lazy("Name of the search"), max_length=80)
    asked = forms.CharField(required=False, max_length=20_000, widget=forms.HiddenInput)

    def __init__(self, *args: Any, search: SavedSearch, **kwargs: Any) -> None:
        self.search = search
        super().__init__(*args, **kwargs)

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        if name_taken(self.search.owner, name, self.search.pk):
            raise forms.ValidationError(
                _("You have a search named “%(name)s”. Choose another name."), params={"name": name}
            )
        return name

    def clean_asked(self) -> str:
        if self.search.pk:
            return self.search.asked
        if own_searches(self.search.owner).count() >= MOST:
            raise forms.ValidationError(
                _("You keep %(n)d searches already; remove one first.") % {"n": MOST}
            )
        try:
            return checked(self.cleaned_data["asked"], self.search.owner)
        except NotASearch as wrong:
            raise forms.ValidationError(
                _("This search cannot be kept: choose from the lists beside the holdings.")
            ) from wrong

    def save(self) -> bool:
        """Keep it; False when its name was taken meanwhile."""
        self.search.name, self.search.asked = (self.cleaned_data[n] for n in ("name", "asked"))
        try:
            with transaction.atomic():
                self.search.save()
        except IntegrityError:
            self.add_error("name", _("This name was taken meanwhile. Choose another one."))
            return False
        return True


@require_http_methods(["GET", "POST"])
def saved_searches(request: MemberRequest) -> HttpResponse:
    """The viewer's searches; a new one is sent here."""
    sending = request.method == "POST"
    form = SearchForm(request.POST if sending else None, search=SavedSearch(owner=request.user))
    if sending:
        good = form.is_valid()
        again = _sent_again(form, request.user)
        if again is not None or (good and form.save()):
            kept = again or form.search
            messages.success(request, _("The search “%(name)s” is kept.") % {"name": kept})
            return redirect(kept)
    return _page(request, form if sending else None)


def _sent_again(form: SearchForm, member: Member) -> SavedSearch | None:
    """The search that the same form, sent once already, has made."""
    asked = form.cleaned_data.get("asked")
    name = " ".join(form.data.get("name", "").split())
    if asked is None or not name:
        return None
    return own_searches(member).filter(name=name, asked=asked).first()


@require_http_methods(["GET", "POST"])
def saved_search(request: MemberRequest, pk: int) -> HttpResponse:
    """Another name for a search."""
    search = get_object_or_404(own_searches(request.user), pk=pk)
    old = search.name
    initial = {"name": old}
    sent = request.POST if request.method == "POST" else None
    form = SearchForm(sent, search=search, initial=initial)
    if sent is not None and form.is_valid() and form.save():
        messages.success(
            request, _("“%(old)s” is now “%(name)s”.") % {"old": old, "name": search.name}
        )
        return redirect("saved-searches")
    return render(
        request,
        "holdings/saved_search.html",
        {"form": form, "search": search, "old": old},
    )


@require_POST
def saved_search_remove(request: MemberRequest, pk: int) -> HttpResponse:
    search = get_object_or_404(own_searches(request.user), pk=pk)
    search.delete()
    messages.success(request, _("The search “%(name)s” is removed.") % {"name": search})
    return redirect("saved-searches")


def _page(request: MemberRequest, form: SearchForm | None) -> HttpResponse:
    context = {"kept": kept_searches(request.user), "form": form}
    return render(request, "holdings/saved_searches.html", context)
