"""What this app keeps of a member: for the export of everything, and for erasing."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from catalogue.members.member_data import Kind, MemberData
from catalogue.models import Member
from valuation.models import (
    PriceSource,
    Schedule,
    ScheduleLine,
    ScheduleNumbers,
    SchedulePhoto,
    Valuation,
)

OF_SCHEDULE = ("schedule__owner",)
KINDS = (
    Kind("price_sources", PriceSource, _("Your own sources.")),
    Kind(
        "values",
        Valuation,
        _("Values of your pieces, and those you entered for types."),
        ("holding__owner", "entered_by", "source__owner"),
    ),
    Kind("schedules", Schedule, _("Your insurance schedules.")),
    Kind(
        "schedule_lines",
        ScheduleLine,
        _("Every line of your schedules, as it was frozen."),
        OF_SCHEDULE,
    ),
    Kind(
        "schedule_photographs",
        SchedulePhoto,
        _("Which photographs your schedules show."),
        OF_SCHEDULE,
    ),
    Kind(
        "schedule_numbers",
        ScheduleNumbers,
        _("The highest number given to a schedule of yours in each year."),
    ),
)


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


VALUATION = MemberData(KINDS, remains=remains)
