"""Keeping what was identified, and what was not.

Each function is one transaction. HoldingError says with a sentence for the page why something
cannot be kept; StaleEdit that the holding was changed since the page was opened.
"""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.actions import HoldingError, derive, habits_of
from catalogue.holdings.entry.saving import enter
from catalogue.holdings.finding.typeahead import enterable_types
from catalogue.identifying.evidence_of import stored_measure, texts_of
from catalogue.identifying.ranked_again import KNOWN, likeliest_for
from catalogue.identifying.wording import civil_years, working_title
from catalogue.models import Holding, Member, Observation
from series.identifying.evidence import Evidence
from series.models import CoinType, Issue
from series.years.struck import ShownIssue

__all__ = ["keep_identified", "keep_open", "texts_of"]


@transaction.atomic
def keep_identified(
    member: Member,
    evidence: Evidence,
    coin_type: CoinType,
    issue: Issue | None = None,
    *,
    over: Holding | None = None,
    seen_version: int = 0,
) -> Holding:
    """A new holding of a type and, if it is known, an issue of it, with all that was measured.

    With ``over``, an unidentified holding of the member as it was at ``seen_version`` becomes it.
    """
    if not enterable_types(member).filter(pk=coin_type.pk).exists():
        raise HoldingError(
            _("This type is proposed and not yet accepted: keep the piece as unidentified.")
        )
    if issue is not None and issue.coin_type_id != coin_type.pk:
        raise HoldingError(_("The date is not one of this type: choose it again."))
    if issue is not None and issue.fact == Issue.Fact.NOT_STRUCK:
        raise HoldingError(_("%(date)s was not struck.") % {"date": issue.label})
    fields = _measures(evidence) | {"coin_type": coin_type, "issue": issue}
    if evidence.year:
        fields["date_reading"] = _date_reading(evidence, coin_type, issue)
    holding = _save(member, fields, over, seen_version)
    if evidence.texts:
        _note(holding, evidence)
    return holding


def keep_open(
    member: Member, evidence: Evidence, *, over: Holding | None = None, seen_version: int = 0
) -> Holding:
    """An unidentified holding with its evidence, and what was likely when it was kept."""
    if not evidence.given:
        raise HoldingError(_("There is nothing to keep yet: put in at least one thing you see."))
    fields = _measures(evidence)
    if evidence.year:
        fields["date_reading"] = civil_years(evidence.year, evidence.calendar)
    if over is None or not over.title:
        fields["title"] = working_title(evidence) or _("not identified yet")
    now = timezone.now()
    type_id, probability = likeliest_for(member, evidence)
    known = type_id if probability >= KNOWN else None
    with transaction.atomic():
        holding = _save(member, fields, over, seen_version)
        _note(
            holding,
            evidence,
            likely_type_id=type_id,
            probability=probability,
            ranked_at=now,
            told_type_id=known,
            told_at=now if known else None,
        )
    return holding


def _date_reading(evidence: Evidence, coin_type: CoinType, issue: Issue | None) -> str:
    """Of a known issue only what could not be read whole; else the years its type was struck."""
    if issue is not None:
        as_read = civil_years(evidence.year, evidence.calendar)
        return as_read if "X" in as_read else ""
    issues = coin_type.issues.filter(withdrawn=False)
    shown = [ShownIssue(i.shown, i.calendar, i.struck_from, i.struck_to) for i in issues]
    return civil_years(evidence.year, evidence.calendar, shown)


def _measures(evidence: Evidence) -> dict[str, Any]:
    """What was measured, for the holding's own fields; what was not is not named."""
    fields: dict[str, Any] = {}
    for measure, names in Holding.MEASURES.items():
        measured = getattr(evidence, measure)
        if measured is not None:
            stored = stored_measure(measured, Holding(), measure)
            fields |= zip(names, stored, strict=True)
    return fields


def _save(
    member: Member, fields: dict[str, Any], over: Holding | None, seen_version: int
) -> Holding:
    if over is None:
        habits = habits_of(member)
        return enter(member, grade_scale=habits.scale, visibility=habits.visibility, **fields)
    if not access.may_edit_holding(member, over):
        raise PermissionError("only an owner changes a holding")
    if over.coin_type_id is not None:
        raise HoldingError(
            _("%(number)s is identified by now, as %(piece)s: nothing was changed.")
            % {"number": over.accession, "piece": over.label}
        )
    for name, value in fields.items():
        setattr(over, name, value)
    derive(over)
    over.save_over(seen_version)
    return over


def _note(holding: Holding, evidence: Evidence, **ranked: Any) -> None:
    unranked = dict.fromkeys(
        ("likely_type_id", "probability", "ranked_at", "told_type_id", "told_at")
    )
    Observation.objects.update_or_create(
        holding=holding,
        defaults={
            "texts": dict(evidence.texts),
            "kept_at": timezone.now(),
            **unranked,
            **ranked,
        },
    )
