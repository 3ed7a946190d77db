"""What this app keeps of a member: for the export of everything, and for erasing."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext_lazy
from django.utils.translation import gettext_lazy as _

from catalogue.members.member_data import Kept, MemberData
from catalogue.members.remains import counted
from catalogue.models import Member
from valuation.models import (
    PriceSource,
    Schedule,
    ScheduleLine,
    ScheduleNumbers,
    SchedulePhoto,
    Valuation,
)

KEPT = (
    Kept("price_sources", _("Your own sources."), PriceSource),
    Kept(
        "values",
        _("Values of your pieces, and those you entered for types."),
        Valuation,
        ("holding__owner", "entered_by", "source__owner"),
    ),
    Kept("schedules", _("Your insurance schedules."), Schedule),
    Kept(
        "schedule_lines",
        _("Every line of your schedules, as it was frozen."),
        ScheduleLine,
        ("schedule__owner",),
    ),
    Kept(
        "schedule_photographs",
        _("Which photographs your schedules show."),
        SchedulePhoto,
        ("schedule__owner",),
    ),
    Kept(
        "schedule_numbers",
        _("The highest number given to a schedule of yours in each year."),
        ScheduleNumbers,
    ),
)


def remains(member: Member) -> list[str]:
    """Values of types, and papers that an insurer holds."""
    values = Valuation.everything.filter(entered_by=member, holding=None, source__owner=None)
    lines = counted(
        values.count(),
        ngettext_lazy(
            "%(n)d value that you entered for a type from a source of the club stays, without "
            "your name.",
            "%(n)d values that you entered for types from sources of the club stay, without your "
            "name.",
            "n",
        ),
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


VALUATION = MemberData(KEPT, remains=remains)
