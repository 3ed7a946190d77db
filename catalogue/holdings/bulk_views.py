"""Bulk edit: what to change of the chosen holdings, a last look, and the change."""

from __future__ import annotations

from typing import Any, cast
from urllib.parse import urlsplit

from django import forms
from django.contrib import messages
from django.db.models import QuerySet, Sum
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_POST

from catalogue import access
from catalogue.holdings.browse import Browse
from catalogue.holdings.bulk import Changes, bin_all, change_all, join_all
from catalogue.holdings.bulk_status_views import status_step
from catalogue.holdings.edit_views import way_back
from catalogue.holdings.entry_views import GRADE_CODES
from catalogue.holdings.fields import ids_from
from catalogue.holdings.grades import GradeError, normalise
from catalogue.holdings.records import HoldingError
from catalogue.models import Holding, HoldingProblem, Member, Place

AS_IT_IS = ("", gettext_lazy("leave as it is"))
JOIN_MOST = 200
SAMPLE = 8


class BulkForm(forms.Form):
    """What to change; every field may stay as it is."""

    place = forms.ChoiceField(label=gettext_lazy("Place"), required=False)
    spare = forms.ChoiceField(
        label=gettext_lazy("Spare"),
        required=False,
        choices=[AS_IT_IS, ("yes", gettext_lazy("spare")), ("no", gettext_lazy("not spare"))],
    )
    visibility = forms.ChoiceField(
        label=gettext_lazy("Who may see it"),
        required=False,
        choices=[AS_IT_IS, *Holding.Visibility.choices],
    )
    grade = forms.CharField(
        label=gettext_lazy("Grade"),
        required=False,
        max_length=12,
        help_text=gettext_lazy("Left empty, grades stay as they are."),
        widget=forms.TextInput(attrs={"list": "grade-codes", "autocomplete": "off"}),
    )
    grade_scale = forms.ChoiceField(
        label=gettext_lazy("Scale"), required=False, choices=Holding.Scale.choices
    )
    add_problem = forms.ChoiceField(
        label=gettext_lazy("Add a problem"),
        required=False,
        choices=[("", gettext_lazy("none")), *HoldingProblem.Kind.choices],
    )
    remove_problem = forms.ChoiceField(
        label=gettext_lazy("Remove a problem"),
        required=False,
        choices=[("", gettext_lazy("none")), *HoldingProblem.Kind.choices],
    )

    def __init__(self, *args: Any, owner: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.places = {
            str(place.pk): place
            for place in access.owned(Place.objects.all(), owner).order_by("path", "pk")
        }
        field: Any = self.fields["place"]
        field.choices = [AS_IT_IS, ("none", gettext_lazy("no place"))] + [
            (key, str(place)) for key, place in self.places.items()
        ]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if cleaned.get("grade"):
            try:
                cleaned["grade"] = normalise(cleaned.get("grade_scale") or "", cleaned["grade"])
            except GradeError as error:
                self.add_error("grade", str(error))
        added, removed = cleaned.get("add_problem"), cleaned.get("remove_problem")
        if added and added == removed:
            self.add_error("remove_problem", _("This is the problem you add."))
        if not self.errors and self.changes().nothing:
            raise forms.ValidationError(_("Choose at least one thing to change."))
        return cleaned

    def changes(self) -> Changes:
        given = self.cleaned_data
        return Changes(
            place=self.places.get(given["place"]),
            no_place=given["place"] == "none",
            spare={"yes": True, "no": False}.get(given["spare"]),
            visibility=given["visibility"],
            scale=given["grade_scale"] if given["grade"] else "",
            grade=given["grade"],
            add_problem=given["add_problem"],
            remove_problem=given["remove_problem"],
        )


def _chosen(request: HttpRequest, back: str) -> QuerySet[Holding]:
    """The viewer's own among the holdings chosen, or among all that the list had found."""
    own = access.own_holdings(request.user)
    if request.POST.get("all") == "1":
        found = Browse(QueryDict(urlsplit(back).query), request.user).queryset()
        return own.filter(pk__in=found.order_by().values("pk"))
    return own.filter(pk__in=ids_from(request.POST.getlist("holding")))


@require_POST
def holdings_bulk(request: HttpRequest) -> HttpResponse:
    """``do`` says how far it has come: nothing yet, ``look`` (a last look), or the deed itself.

    The deeds are ``change``, ``status``, ``join`` and ``bin``; each is confirmed with the number
    it had when it was last looked at (``expected``).
    """
    back = way_back(request, reverse("holdings") + "?view=list")
    holdings = _chosen(request, back)
    figures = holdings.aggregate(pieces=Sum("quantity"))
    count = holdings.order_by().count()
    if not count:
        messages.error(request, _("Choose at least one of your own pieces first."))
        return redirect(back)
    step = request.POST.get("do", "")
    deed = request.POST.get("deed", "")
    sent = request.POST if step else None
    form = BulkForm(sent, owner=cast("Member", request.user))
    context: dict[str, Any] = {
        "section": "holdings",
        "form": form,
        "back": back,
        "count": count,
        "pieces": figures["pieces"],
        "sample": holdings.select_related("coin_type__denomination", "issue").order_by(
            "accession", "pk"
        )[:SAMPLE],
        "ids": [] if request.POST.get("all") == "1" else request.POST.getlist("holding"),
        "all": request.POST.get("all") == "1",
        "grades": GRADE_CODES,
        "deed": deed,
    }
    if not step:
        found = Browse(QueryDict(urlsplit(back).query), request.user).queryset()
        own = access.own_holdings(request.user).filter(pk__in=found.order_by().values("pk"))
        context["found"] = own.count()
        return render(request, "holdings/bulk.html", context)
    if deed == "status":
        return status_step(request, holdings, context)
    if deed == "change" and not form.is_valid():
        return render(request, "holdings/bulk.html", context)
    if deed == "change":
        context["words"] = form.changes().in_words()
    if deed not in {"change", "join", "bin"}:
        return render(request, "holdings/bulk.html", context)
    if step == "do" and request.POST.get("expected") == str(count):
        try:
            _do(request, deed, holdings, form)
        except HoldingError as error:
            context["refused"] = str(error)
        else:
            return redirect(back)
    elif step == "do":
        context["refused"] = _("The number of pieces has changed since you looked; look again.")
    return render(request, "holdings/bulk_confirm.html", context)


def _do(request: HttpRequest, deed: str, holdings: QuerySet[Holding], form: BulkForm) -> None:
    if deed == "join":
        if holdings.count() > JOIN_MOST:
            raise HoldingError(_("Join at most %(n)d lots at a time.") % {"n": JOIN_MOST})
        made = join_all(holdings)
        messages.success(
            request,
            _("%(number)s is now a lot of %(n)d pieces; the others are in the bin.")
            % {"number": made.accession, "n": made.quantity},
        )
        return
    done = bin_all(holdings) if deed == "bin" else change_all(holdings, form.changes())
    words = (
        ngettext("%(n)d holding is in the bin.", "%(n)d holdings are in the bin.", done)
        if deed == "bin"
        else ngettext("%(n)d holding is changed.", "%(n)d holdings are changed.", done)
    )
    messages.success(request, words % {"n": done})
