"""The date in the form of a piece that was sent, after its type was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from catalogue import access
from catalogue.holdings.dates.carried import carry_reading
from catalogue.holdings.dates.type_change import (
    KEPT_AS_READ,
    LEFT_OPEN,
    DateQuestion,
    dates_of,
    question_of,
)
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from series.dates.written import DateError, read_date_input
from series.models import CoinType, Issue, Variety
from series.text.stored_numbers import record_number


@dataclass
class DateOfForm:
    """What becomes of the date: ``data`` goes into the form's fields.

    ``question`` is to be answered; ``kept`` went along with the piece, or was found by what was
    read of it; ``as_read`` is kept as text. ``new_dates``: the new type has dates, and the piece
    had none. ``variety_lost`` is none of the new date's. ``shown`` is the type whose dates were
    shown before.
    """

    data: dict[str, str] = field(default_factory=dict)
    shown: CoinType | None = None
    question: DateQuestion | None = None
    kept: Issue | None = None
    as_read: str = ""
    new_dates: bool = False
    variety_lost: str = ""


def date_of_form(
    sent: Mapping[str, Any],
    found: CoinType | None,
    viewer: Viewer,
    stored: Holding,
    *,
    unread: bool,
) -> DateOfForm:
    """Settle the date for the type ``found``; ``unread`` while it cannot be told which is meant."""
    types = access.visible_types(viewer) | CoinType.objects.filter(pk=stored.coin_type_id)
    texts = {name: str(sent.get(name, "")) for name in ("issue", "date_was", "date_reading")}
    shown = record_number(sent.get("shown_type")) or 0
    date = DateOfForm(shown=types.filter(pk=shown).first())
    if unread:
        return date
    issues = Issue.objects.filter(coin_type__in=types) | Issue.objects.filter(pk=stored.issue_id)
    had = issues.filter(pk=record_number(texts["issue"])).first()
    was = issues.filter(pk=record_number(texts["date_was"])).first()
    date.data["date_was"] = ""
    if texts["issue"] in (KEPT_AS_READ, LEFT_OPEN):
        date.data["issue"] = ""
        if texts["issue"] == KEPT_AS_READ and was is not None:
            _keep_as_read(date, was, texts["date_reading"])
        had = was = None
    if found is None:
        if had is not None:
            _keep_as_read(date, had, texts["date_reading"])
            date.data |= {"issue": "", "variety": ""}
        return date
    date.data["shown_type"] = str(found.pk)
    if sent.get("shown_type", "") != str(found.pk):
        _change(date, had or was, found, texts["date_reading"])
        had_varieties = Variety.objects.filter(issue__in=issues) | Variety.objects.filter(
            pk=stored.variety_id
        )
        _settle_variety(date, had_varieties.filter(pk=record_number(sent.get("variety"))).first())
    elif was is not None and had is None:
        _ask(date, question_of(was, found, texts["date_reading"]))
    return date


def _change(date: DateOfForm, was: Issue | None, found: CoinType, reading: str) -> None:
    date.data["issue"] = ""
    if was is None:
        issues = dates_of(found)
        date.kept = carry_reading(_edtf(reading), issues).issue
        date.new_dates = bool(issues) and date.kept is None
    else:
        question = question_of(was, found, reading)
        date.kept = question.kept
        if date.kept is None and question.fits_years:
            _keep_as_read(date, was, reading)
        elif date.kept is None:
            _ask(date, question)
    if date.kept is not None:
        date.data["issue"] = str(date.kept.pk)


def _ask(date: DateOfForm, question: DateQuestion) -> None:
    date.question = question
    date.data["date_was"] = str(question.was.pk)


def _keep_as_read(date: DateOfForm, was: Issue, reading: str) -> None:
    date.as_read = reading.strip() or DateQuestion(was).reading
    date.data["date_reading"] = date.as_read


def _settle_variety(date: DateOfForm, old: Variety | None) -> None:
    """The variety of the same name of the date that went along, else say that it is lost."""
    date.data["variety"] = ""
    if old is None:
        return
    same = Variety.objects.filter(issue=date.kept, name=old.name).first() if date.kept else None
    if same is not None:
        date.data["variety"] = str(same.pk)
    else:
        date.variety_lost = old.name


def _edtf(text: str) -> str:
    try:
        return str(read_date_input(text))
    except DateError:
        return ""
