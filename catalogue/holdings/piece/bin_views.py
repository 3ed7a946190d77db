"""The bin of a member: what was put there, and taking it back."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from catalogue import access
from catalogue.holdings.places.tree import place_back
from catalogue.holdings.requested import way_back
from catalogue.members.requests import MemberRequest
from catalogue.models import Aim, Holding, Photo, Place, Showing, Talk, Want, WantList
from series.records import BIN_DAYS, Record

MOST = 200


@dataclass(frozen=True)
class Kind:
    """A kind of record that a member can take back from the bin."""

    key: str
    label: Any
    model: type[Record]
    related: tuple[str, ...]
    words: Callable[[Any], str]


KINDS = (
    Kind(
        "holding",
        gettext_lazy("Holdings"),
        Holding,
        ("coin_type__denomination", "issue"),
        lambda holding: f"{holding.accession}: {holding.label}",
    ),
    Kind(
        "photo",
        gettext_lazy("Photographs"),
        Photo,
        ("holding",),
        lambda photo: f"{photo.holding.accession}, {photo.get_side_display()}",
    ),
    Kind("place", gettext_lazy("Places"), Place, (), str),
    Kind(
        "want",
        gettext_lazy("Wants"),
        Want,
        ("coin_type__denomination", "issue"),
        lambda want: want.text or ", ".join(str(x) for x in (want.coin_type, want.issue) if x),
    ),
    Kind("aim", gettext_lazy("Aims"), Aim, (), str),
    Kind("list", gettext_lazy("Want lists"), WantList, (), str),
    Kind("showing", gettext_lazy("Pages for others"), Showing, (), str),
    Kind("talk", gettext_lazy("Talks"), Talk, (), str),
)


def _binned(kind: Kind, request: MemberRequest) -> QuerySet[Any]:
    since = timezone.now() - datetime.timedelta(days=BIN_DAYS)
    rows: QuerySet[Any] = access.own_bin(kind.model, request.user)
    return rows.filter(deleted_at__gte=since).select_related(*kind.related)


@require_safe
def bin_page(request: MemberRequest) -> HttpResponse:
    """What lies in the viewer's bin, by kind, the newest first, and until when."""
    groups = []
    for kind in KINDS:
        rows = _binned(kind, request).order_by("-deleted_at", "-pk")
        lines = [
            {
                "pk": row.pk,
                "words": kind.words(row),
                "deleted_at": row.deleted_at,
                "until": row.deleted_at + datetime.timedelta(days=BIN_DAYS),
            }
            for row in rows[:MOST]
        ]
        if lines:
            groups.append({"kind": kind, "lines": lines})
    return render(request, "holdings/bin.html", {"groups": groups, "days": BIN_DAYS})


@require_POST
def take_back(request: MemberRequest, kind: str, pk: int) -> HttpResponse:
    """Take one record out of the bin."""
    one = next((each for each in KINDS if each.key == kind), None)
    if one is None:
        raise Http404
    with transaction.atomic():
        record = get_object_or_404(_binned(one, request), pk=pk)
        if isinstance(record, Place):
            place_back(record)
        elif isinstance(record, Holding):
            _holding_back(record)
        else:
            record.take_back()
    messages.success(request, _("%(what)s is back.") % {"what": one.words(record)})
    if "back" in request.POST:
        return redirect(way_back(request, reverse("bin")))
    return redirect(record if isinstance(record, Holding) else "bin")


def _holding_back(holding: Holding) -> None:
    """Out of the bin; a place that has gone meanwhile is no longer its place."""
    if holding.place is not None and holding.place.deleted_at is not None:
        holding.place = None
        holding.save()
    holding.take_back()
