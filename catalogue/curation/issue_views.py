"""One issue of a type: its date, mintage, varieties and references."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from catalogue import access
from catalogue.curation.text_fields import TextsForm, box
from catalogue.curation.used import why_they_stay
from catalogue.members.requests import MemberRequest, Viewer
from series.models import Issue
from series.records import Record
from series.types.dates_editing import Wanted
from series.types.issue_editing import (
    IssueWords,
    apply_date,
    issue_texts,
    left_out,
    plan_issue,
    save_issue,
)
from series.types.lines import read_references


class IssueForm(TextsForm):
    date = forms.CharField(
        label=gettext_lazy("Date"),
        max_length=400,
        help_text=gettext_lazy(
            "As in the dates of the type: 1947 S, 1952 (1953), 1953 proof, not struck 1943; a "
            "remark stands in quotes."
        ),
    )
    varieties = box(
        gettext_lazy("Varieties"),
        gettext_lazy("One a line: name: what tells it from the others."),
        3,
        prose=True,
    )
    references = box(
        gettext_lazy("References"),
        gettext_lazy("One a line: work | number, or work | edition | number."),
    )

    class Meta:
        model = Issue
        fields = ["mintage"]

    field_order = ["date", "mintage", "varieties", "references"]

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        self.initial = {**issue_texts(self.instance), **self.initial}

    def clean_mintage(self) -> int | None:
        mintage: int | None = self.cleaned_data["mintage"]
        if mintage is not None and not 0 <= mintage < 2**63:
            raise forms.ValidationError(_("Write the number struck in figures."))
        return mintage

    def clean_varieties(self) -> tuple[tuple[str, str], ...]:
        said: dict[str, str] = {}
        for line in self.cleaned_data["varieties"].splitlines():
            name, _colon, text = line.partition(":")
            if name.strip():
                said[name.strip()] = " ".join(text.split())
        if too_long := [name for name in said if len(name) > 160]:
            raise forms.ValidationError(
                _("“%(name)s…” is too long for a name: put a colon after the name.")
                % {"name": too_long[0][:40]}
            )
        found = tuple(said.items())
        refused = why_they_stay(
            left_out(self.instance, found),
            self.viewer,
            told=_("Members hold %(names)s, so it cannot be left out: write it again."),
            untold=_("%(names)s cannot be left out here: write it again, or ask a curator."),
        )
        if refused:
            raise forms.ValidationError(refused)
        return found

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        self.read("references", read_references)
        self.read("date", lambda written: plan_issue(self.instance, written))
        wanted: Wanted | None = cleaned.get("date")
        if wanted is not None and wanted.dated.fact == Issue.Fact.NOT_STRUCK:
            refused = why_they_stay(
                [self.instance] if self.instance.fact != wanted.dated.fact else [],
                self.viewer,
                told=_("Members hold or want it, so it cannot be “not struck”."),
                untold=_("It cannot be made “not struck” here: ask a curator."),
            )
            if refused:
                self.add_error("date", refused)
            elif cleaned.get("mintage"):
                self.add_error("mintage", _("It is not struck, so it has no mintage."))
        return cleaned

    def stored_texts(self, current: Record) -> dict[str, str]:
        return issue_texts(Issue.objects.select_related("coin_type").get(pk=current.pk))

    def save_checked(self) -> bool:
        with transaction.atomic():
            apply_date(self.instance, self.cleaned_data["date"])
            saved = super().save_checked()
            if saved:
                words = IssueWords(
                    self.cleaned_data["date"],
                    self.cleaned_data["varieties"],
                    self.cleaned_data["references"],
                )
                save_issue(self.instance, words)
        return saved


@require_http_methods(["GET", "POST"])
def issue_edit(request: MemberRequest, key: str, issue_key: str) -> HttpResponse:
    types = access.visible_types(request.user)
    issues = Issue.objects.filter(coin_type__in=types).select_related(
        "coin_type__series__issuer", "coin_type__denomination", "coin_type__proposal"
    )
    found = get_object_or_404(issues, coin_type__key=key, key=issue_key)
    if not access.may_edit_type(request.user, found.coin_type):
        raise PermissionDenied
    label = found.label
    form = IssueForm(request.POST or None, instance=found, viewer=request.user)
    if request.method == "POST" and form.is_valid() and form.save_checked():
        messages.success(request, _("%(date)s is saved.") % {"date": found.label})
        return redirect(found.coin_type)
    context = {"form": form, "coin_type": found.coin_type, "label": label}
    return render(request, "curation/issue_form.html", context)
