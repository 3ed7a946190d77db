"""Adding and changing one holding: full form, another like it, splitting, status, the bin."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.holdings.actions import (
    HoldingError,
    change_status,
    copy,
    habits_of,
    next_accessions,
    split,
)
from catalogue.holdings.finding.typeahead import enterable_types, type_options
from catalogue.holdings.grades import CODES
from catalogue.holdings.piece.forms import HoldingForm
from catalogue.holdings.piece.status_forms import SplitForm, StatusForm
from catalogue.holdings.requested import own_holding, way_back
from catalogue.members.currency_codes import currency_codes
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Reservation
from series.dates.words import in_words
from series.text.stored_numbers import record_number


def _form_page(request: MemberRequest, form: HoldingForm, label: str = "") -> HttpResponse:
    """The form; ``label`` is what the piece is called as long as nothing is saved."""
    context: dict[str, Any] = {
        "form": form,
        "holding": form.instance if form.instance.pk else None,
        "label": label,
        "types": type_options(form.read.choices),
        "codes": currency_codes(),
        "grades": CODES,
    }
    return render(request, "holdings/form.html", context)


@require_http_methods(["GET", "POST"])
def holding_new(request: MemberRequest) -> HttpResponse:
    """A new holding; ``?type=`` (a type's key) and ``?issue=`` (an id) start it."""
    member = request.user
    habits = habits_of(member)
    fresh = Holding(owner=member, grade_scale=habits.scale, visibility=habits.visibility)
    fresh.accession = next_accessions(member)[0]
    fresh.price_currency = member.currency
    if request.method == "GET":
        fresh.coin_type = enterable_types(member).filter(key=request.GET.get("type", "")).first()
        asked = record_number(request.GET.get("issue"))
        if fresh.coin_type is not None and asked is not None:
            fresh.issue = fresh.coin_type.issues.filter(pk=asked).first()
    form = HoldingForm(request.POST or None, instance=fresh, viewer=member)
    if request.method == "POST" and form.is_valid() and form.save_all():
        messages.success(request, _("%(number)s is entered.") % {"number": fresh.accession})
        if "another" in request.POST:
            key = fresh.coin_type.key if fresh.coin_type else ""
            return redirect(reverse("holding-new") + (f"?type={key}" if key else ""))
        return redirect(fresh)
    return _form_page(request, form)


@require_http_methods(["GET", "POST"])
def holding_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_holding(request, pk)
    label = found.label
    form = HoldingForm(request.POST or None, instance=found, viewer=request.user)
    if request.method == "POST" and form.is_valid() and form.save_all():
        messages.success(request, _saved_words(form))
        return redirect(found)
    return _form_page(request, form, label)


def _saved_words(form: HoldingForm) -> str:
    """That it is saved, and what became of its date if its type was changed."""
    saved: Holding = form.instance
    words = _("%(number)s is saved.") % {"number": saved.accession}
    if form.date.kept is not None:
        return words + " " + _("It is %(label)s now.") % {"label": saved.label}
    if form.date.as_read:
        date = in_words(form.date.as_read)
        return words + " " + _("Its date is kept as read: %(date)s.") % {"date": date}
    return words


@require_POST
def holding_dates(request: MemberRequest) -> HttpResponse:
    """The fields of the date, for the type that a form of a piece was given; nothing is saved."""
    asked = request.POST.get("holding", "")
    member = request.user
    found = own_holding(request, record_number(asked) or 0) if asked else Holding(owner=member)
    form = HoldingForm(request.POST, instance=found, viewer=member)
    form.looking = True
    return render(request, "holdings/_dates_of_piece.html", {"form": form})


@require_POST
def holding_copy(request: MemberRequest, pk: int) -> HttpResponse:
    """One more piece like this one, under its own number, opened to change what differs."""
    made = copy(own_holding(request, pk), quantity=1)
    messages.success(
        request,
        _("%(number)s is entered as one more like it. Change what differs.")
        % {"number": made.accession},
    )
    return redirect("holding-edit", made.pk)


@require_http_methods(["GET", "POST"])
def holding_split(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_holding(request, pk)
    form = SplitForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            with transaction.atomic():
                locked = own_holding(request, pk, lock=True)
                made = split(locked, form.cleaned_data["pieces"])
        except HoldingError as error:
            form.add_error("pieces", str(error))
        else:
            messages.success(
                request,
                _("%(n)d of %(old)s are now %(new)s.")
                % {"n": made.quantity, "old": found.accession, "new": made.accession},
            )
            return redirect(made)
    return render(request, "holdings/split.html", {"form": form, "holding": found})


@require_http_methods(["GET", "POST"])
def holding_status(request: MemberRequest, pk: int) -> HttpResponse:
    """Lend, take back, sell, swap, give away or lose a piece, on a day."""
    found = own_holding(request, pk)
    form = StatusForm(request.POST or None, owner=found.owner, now=found.status)
    if request.method == "POST" and form.is_valid():
        change_status(found, **form.cleaned_data)
        messages.success(
            request,
            _("%(number)s: %(status)s.")
            % {"number": found.accession, "status": found.get_status_display()},
        )
        return redirect(found)
    context = {"form": form, "holding": found, "codes": currency_codes()}
    return render(request, "holdings/status.html", context)


@require_POST
def holding_bin(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_holding(request, pk)
    promised = Reservation.objects.filter(holding=found).first()
    if promised is not None:
        messages.error(
            request,
            _("%(number)s is promised to %(member)s; take the promise back first.")
            % {"number": found.accession, "member": promised.wanted_by},
        )
        return redirect(found)
    found.bin()
    messages.success(
        request,
        format_html(
            '{} <a href="{}">{}</a>',
            _("%(number)s is in the bin for 90 days.") % {"number": found.accession},
            reverse("bin"),
            _("Take it back from there"),
        ),
    )
    return redirect(way_back(request, reverse("holdings")))
