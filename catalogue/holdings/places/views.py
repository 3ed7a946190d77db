"""Where pieces are kept: the tree of a member's places, and changing it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.holdings.actions import HoldingError, settle_place
from catalogue.holdings.places.tree import contents, place_tree, remove_place
from catalogue.members.requests import MemberRequest
from catalogue.models import Place
from catalogue.site.record_pages import own_or_404
from series.forms import RecordForm
from series.text.stored_numbers import record_number


class PlaceForm(RecordForm):
    class Meta:
        model = Place
        fields = ["name", "kind", "within", "holder", "inner_mm"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["within"]
        own = Place.objects.filter(owner=self.instance.owner).exclude(pk=self.instance.pk)
        field.queryset = own.order_by("path", "pk")
        field.empty_label = gettext_lazy("nothing; it stands by itself")
        self.fields["inner_mm"].help_text = gettext_lazy("So that a sheet can say which coins fit.")

    def clean_inner_mm(self) -> Any:
        size = self.cleaned_data["inner_mm"]
        if size is not None and size <= 0:
            raise forms.ValidationError(_("A size is more than nothing."))
        return size

    def save_settled(self) -> bool:
        """Save the place with its path and those of what stands in it; False with errors."""
        try:
            with transaction.atomic():
                if self.instance.pk and not self.save_checked():
                    return False
                settle_place(self.instance)
        except HoldingError as error:
            self.add_error("within", str(error))
            return False
        return True


@require_safe
def places(request: MemberRequest) -> HttpResponse:
    return render(request, "holdings/places.html", {"tree": place_tree(request.user)})


@require_http_methods(["GET", "POST"])
def place_new(request: MemberRequest) -> HttpResponse:
    """A new place; ``?within=`` (an id of an own one) starts it."""
    form = PlaceForm(request.POST or None, instance=Place(owner=request.user))
    asked = record_number(request.GET.get("within"))
    if asked is not None:
        form.initial["within"] = access.owned(Place.objects.filter(pk=asked), request.user).first()
    if request.method == "POST" and form.is_valid() and form.save_settled():
        messages.success(request, _("%(place)s is there.") % {"place": form.instance})
        return redirect("places")
    return render(request, "holdings/place_form.html", {"form": form, "place": None})


@require_http_methods(["GET", "POST"])
def place_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_or_404(request, Place.objects.all(), pk)
    name = str(found)
    form = PlaceForm(request.POST or None, instance=found)
    if request.method == "POST" and form.is_valid() and form.save_settled():
        messages.success(request, _("%(place)s is saved.") % {"place": found})
        return redirect("places")
    pieces, inner = contents(found)
    context = {
        "form": form,
        "place": found,
        "name": name,
        "pieces": pieces,
        "inner": inner,
    }
    return render(request, "holdings/place_form.html", context)


@require_POST
def place_bin(request: MemberRequest, pk: int) -> HttpResponse:
    """Into the bin; what lay in it moves to where it stood."""
    found = own_or_404(request, Place.objects.all(), pk)
    try:
        remove_place(found)
    except HoldingError as error:
        messages.error(request, str(error))
        return redirect("place-edit", pk)
    messages.success(
        request, _("%(place)s is in the bin; it stays there for 90 days.") % {"place": found}
    )
    return redirect("places")
