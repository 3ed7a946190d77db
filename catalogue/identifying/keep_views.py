"""What the page of identification sends: this is it, not sure, and news taken note of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from catalogue import access
from catalogue.holdings.actions import HoldingError
from catalogue.holdings.requested import own_holding, way_back
from catalogue.identifying.evidence_of import evidence_lines, texts_of
from catalogue.identifying.keeping import keep_identified, keep_open
from catalogue.identifying.ranked_again import take_note
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding
from series.identifying.evidence import FIELDS, EvidenceError, read_evidence
from series.models import CoinType, Issue
from series.records import StaleEdit
from series.text.stored_numbers import record_number

LONGEST = 1000
"""Letters of one text that are carried back to the page; no text may be nearly as long."""


@require_POST
def identify_keep(request: MemberRequest) -> HttpResponse:
    """Keep a piece as the type chosen, or as unidentified when none is."""
    given = {name: request.POST.get(name, "").replace("\x00", "").strip() for name in FIELDS}
    asked = request.POST.get("holding", "")
    over = own_holding(request, pk_from(asked)) if asked else None
    coin_type = _chosen_type(request)
    try:
        evidence = read_evidence(given)
        version = _version(request)
        if coin_type is None:
            kept = keep_open(request.user, evidence, over=over, seen_version=version)
        else:
            issue = _chosen_issue(request, coin_type)
            kept = keep_identified(
                request.user, evidence, coin_type, issue, over=over, seen_version=version
            )
    except EvidenceError as error:
        messages.error(request, _("Nothing is kept yet. ") + " ".join(error.errors.values()))
        return _back(given, over)
    except HoldingError as error:
        messages.error(request, str(error))
        identified = over is not None and over.coin_type_id is not None
        return _back(given, None if identified else over)
    except StaleEdit as stale:
        current = cast(Holding, stale.current)
        messages.error(request, _stale_words(current, given))
        return _back(given, current if current.coin_type_id is None else None)
    next_one = format_html('<a href="{}">{}</a>', reverse("identify"), _("Look at another piece"))
    if coin_type is None:
        said = _("%(number)s is kept as unidentified, with what you saw of it.")
        target = redirect(kept)
    else:
        said = _("%(number)s is kept as %(piece)s. Add its grade and where it lies.")
        target = redirect("holding-edit", kept.pk)
    words = said % {"number": kept.accession, "piece": kept.label}
    messages.success(request, format_html("{} {}", words, next_one))
    return target


@require_POST
def identify_told(request: MemberRequest) -> HttpResponse:
    """Take note of what has become likely: ``told`` is a holding and its type, "12-7"."""
    told = []
    for pair in request.POST.getlist("told"):
        holding_id, _dash, type_id = pair.partition("-")
        told.append((pk_from(holding_id), pk_from(type_id)))
    take_note(request.user, told)
    return redirect(way_back(request, reverse("home")))


def pk_from(text: str) -> int:
    """The key of a record in an address or a form; Http404 for what is none."""
    number = record_number(text)
    if number is None:
        raise Http404
    return number


def _version(request: MemberRequest) -> int:
    """The version of the holding that was seen; 0, which none has, when it is not said."""
    return record_number(request.POST.get("row_version")) or 0


def _chosen_type(request: MemberRequest) -> CoinType | None:
    """The type chosen, which the viewer must see; if it was joined meanwhile, the kept one."""
    asked = request.POST.get("type", "")
    if not asked:
        return None
    number = pk_from(asked)
    joined = CoinType.objects.filter(pk=number, standing=CoinType.Standing.JOINED)
    kept = joined.values_list("joined_to", flat=True).first()
    return get_object_or_404(access.visible_types(request.user), pk=kept or number)


def _chosen_issue(request: MemberRequest, coin_type: CoinType) -> Issue | None:
    asked = request.POST.get("issue", "")
    if not asked:
        return None
    issues = Issue.objects.filter(coin_type=coin_type, withdrawn=False, pk=pk_from(asked))
    found = issues.first()
    if found is None:
        raise HoldingError(_("The date is not one of this type: choose it again."))
    return found


def _back(given: Mapping[str, str], over: Holding | None) -> HttpResponse:
    """The page again, with everything that was put in."""
    texts = {name: text[:LONGEST] for name, text in given.items() if text}
    if over is not None:
        texts["holding"] = str(over.pk)
    return redirect(f"{reverse('identify')}?{urlencode(texts)}")


def _stale_words(current: Holding, given: Mapping[str, str]) -> str:
    """What is stored now where it differs from what was put in, and what to do."""
    if current.coin_type_id is not None:
        return _(
            "%(number)s was identified meanwhile, as %(piece)s: nothing was changed. What you put "
            "in is below; keeping it makes another piece."
        ) % {"number": current.accession, "piece": current.label}
    yours = dict(evidence_lines({name: text for name, text in given.items() if text}))
    stored = dict(evidence_lines(texts_of(current)))
    nothing = _("nothing")
    differences = "; ".join(
        _("%(label)s: %(stored)s is stored, you put in %(yours)s")
        % {
            "label": label,
            "stored": stored.get(label, nothing),
            "yours": yours.get(label, nothing),
        }
        for label in dict.fromkeys([*stored, *yours])
        if stored.get(label) != yours.get(label)
    )
    words = _(
        "%(number)s was changed since you opened this page, so nothing is kept yet. What you put "
        "in is below; send it again to keep it."
    ) % {"number": current.accession}
    return f"{words} {differences}." if differences else words
