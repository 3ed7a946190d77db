"""What this app keeps of a member, for the export of everything and for erasing."""

from __future__ import annotations

from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from catalogue.members.records import MemberData, Table
from catalogue.models import Member
from valuation.models import PriceSource, Schedule, ScheduleLine, Valuation


def _tables(member: Member) -> list[Table]:
    return [
        Table(
            "price_sources",
            _("Your own price sources."),
            PriceSource.everything.filter(owner=member),
        ),
        Table(
            "valuations",
            _("Values of your pieces, and values you entered. An estimate is no appraisal."),
            Valuation.everything.filter(Q(holding__owner=member) | Q(entered_by=member)),
        ),
        Table("schedules", _("Your insurance schedules."), Schedule.objects.filter(owner=member)),
        Table(
            "schedule_lines",
            _("Their lines, as they were frozen."),
            ScheduleLine.objects.filter(schedule__owner=member),
        ),
    ]


def _before_erase(member: Member) -> None:
    """Values protect their source: those of the member's pieces or own sources go first."""
    Valuation.everything.filter(Q(holding__owner=member) | Q(source__owner=member)).delete()


VALUATION = MemberData(_tables, before_erase=_before_erase)
