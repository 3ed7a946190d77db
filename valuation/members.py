"""What this app keeps of a member: for the export of everything, and for erasing."""

from __future__ import annotations

from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from catalogue.members.records import MemberData, Table
from catalogue.models import Member
from valuation.models import (
    PriceSource,
    Schedule,
    ScheduleLine,
    ScheduleNumbers,
    SchedulePhoto,
    Valuation,
)


def member_data(member: Member) -> list[Table]:
    """Values of the member's holdings, those they entered for types, and their schedules."""
    values = Valuation.everything.filter(
        Q(holding__owner=member) | Q(entered_by=member) | Q(source__owner=member)
    )
    return [
        Table("price_sources", _("Your own sources."), PriceSource.everything.filter(owner=member)),
        Table("values", _("Values of your pieces, and those you entered for types."), values),
        Table("schedules", _("Your insurance schedules."), Schedule.objects.filter(owner=member)),
        Table(
            "schedule_lines",
            _("Every line of your schedules, as it was frozen."),
            ScheduleLine.objects.filter(schedule__owner=member),
        ),
        Table(
            "schedule_photographs",
            _("Which photographs your schedules show."),
            SchedulePhoto.objects.filter(schedule__owner=member),
        ),
        Table(
            "schedule_numbers",
            _("The highest number given to a schedule of yours in each year."),
            ScheduleNumbers.objects.filter(owner=member),
        ),
    ]


VALUATION = MemberData(member_data)
