"""What this app keeps of a member: for the export of everything, and for erasing."""

from __future__ import annotations

from django.db.models import Q
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from catalogue.members.member_data import MemberData, Table
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


def remains(member: Member) -> list[str]:
    """Values of types, and papers that an insurer holds."""
    lines = []
    values = Valuation.everything.filter(entered_by=member, holding=None, source__owner=None)
    if n := values.count():
        lines.append(
            ngettext(
                "%(n)d value that you entered for a type from a source of the club stays, "
                "without your name.",
                "%(n)d values that you entered for types from sources of the club stay, "
                "without your name.",
                n,
            )
            % {"n": n}
        )
    numbers = list(Schedule.objects.filter(owner=member).values_list("number", flat=True))
    if numbers:
        lines.append(
            gettext(
                "Schedules that you made (%(numbers)s) are erased here. The papers that an "
                "insurer holds keep your name, your pieces and their values, and this site can "
                "then no longer confirm them."
            )
            % {"numbers": ", ".join(numbers)}
        )
    return lines


VALUATION = MemberData(member_data, remains=remains)
