"""What this app keeps of a member: for the export of everything, and for erasing."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.grades import GradeError, grade
from catalogue.members.coming_back import LeftOut, plainly
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


def valued_again(record: Any, row: dict[str, Any], member: Member) -> None:
    """A value of a piece comes back; a source of the club by its name, else as one of one's own."""
    if record.holding_id is None:
        raise LeftOut(
            gettext("it is a value of a type, which belongs to the club it was entered for.")
        )
    code = record.grade
    try:
        record.grade_rank = grade(record.grade_scale, code).rank if code else None
    except GradeError as error:
        raise LeftOut(str(error)) from error
    if record.source_id is None:
        name = str(row.get("source") or "")[:160]
        of_club = PriceSource.objects.filter(owner=None, name=name).first()
        own = PriceSource.objects.filter(owner=member, name=name).first()
        record.source = of_club or own or PriceSource.objects.create(owner=member, name=name)


OF_SCHEDULE = ("schedule__owner",)
KINDS = (
    Kind("price_sources", PriceSource, _("Your own sources."), comes_back=plainly),
    Kind(
        "values",
        Valuation,
        _("Values of your pieces, and those you entered for types."),
        ("holding__owner", "entered_by", "source__owner"),
        comes_back=valued_again,
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
