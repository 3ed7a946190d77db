"""Draw a schedule as a PDF from its frozen lines alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Member
from catalogue.printing.drawing import draw, number
from catalogue.printing.geometry import PAPERS
from catalogue.printing.pdf import render_pdf
from series.picture.pictures import printed_picture
from series.text.naming import joined
from valuation.estimates.words import day_in_words
from valuation.money import figures, written
from valuation.schedules.layout import Entry
from valuation.schedules.models import Schedule, ScheduleLine
from valuation.schedules.object_id import FIELDS, label, missing
from valuation.schedules.paper import CAPTION_GAP, FACE, lay_schedule
from valuation.schedules.parts import (
    SCALE_MM,
    Described,
    Picture,
    PrintedFace,
    Said,
    Sheet,
    bar,
)

FACES = ("obverse", "reverse")
SHORT = (
    "type_of_object",
    "title",
    "date_or_period",
    "inventory_number",
    "place_of_origin",
    "date_documented",
)


def draw_schedule(schedule: Schedule) -> bytes:
    """The schedule as a PDF on its owner's paper; raises PrintingUnavailable without Pango."""
    html, images = schedule_html(schedule)
    title = _("Schedule %(number)s") % {"number": schedule.number}
    return render_pdf(html, title=title, lang=get_language() or "en-GB", images=images)


def draw_as_sheet(
    owner: Member, parameters: Mapping[str, Any], progress: Callable[[int, int], None]
) -> bytes:
    """The owner's schedule with the id ``schedule``, for a task (``settings.SHEET_KINDS``)."""
    return draw_schedule(access.owned(Schedule.objects.all(), owner).get(pk=parameters["schedule"]))


def schedule_html(schedule: Schedule) -> tuple[str, dict[str, bytes]]:
    """The document that is drawn, and the pictures it names."""
    lines = list(schedule.lines.all())
    images = _images(lines)
    sheets = lay_schedule(
        _said(schedule),
        [(name, text) for name, text in _heading(schedule) if text],
        _entries(schedule, lines, images),
        [_described(line, images) for line in lines if not line.grouped],
        PAPERS[schedule.owner.paper],
    )
    context = {
        "title": _("Schedule %(number)s") % {"number": schedule.number},
        "lang": get_language() or "en-GB",
        **_drawn(sheets),
    }
    return render_to_string("print/schedule.html", context), images


def _drawn(sheets: Sequence[Sheet]) -> dict[str, Any]:
    """Pages with their pictures; every place and size of a picture is one class."""
    drawn = draw([sheet.page for sheet in sheets])
    places: dict[str, str] = {}

    def at(rule: str) -> str:
        return places.setdefault(rule, f"f{len(places)}")

    def placed(picture: Picture) -> dict[str, Any]:
        left = at(f"left:{number(picture.x)}mm")
        size = at(f"width:{number(picture.size)}mm;height:{number(picture.size)}mm")
        under = picture.y + picture.size + CAPTION_GAP
        return {
            "name": picture.name,
            "alt": picture.alt,
            "scale": picture.scale,
            "classes": f"{left} {at(f'top:{number(picture.y)}mm')} {size}",
            "bar": f"{left} {at(f'top:{number(under)}mm')}" if picture.scale else "",
        }

    pages = [
        (page, [placed(picture) for picture in sheet.pictures])
        for page, sheet in zip(drawn.pages, sheets, strict=True)
    ]
    return {"drawn": drawn, "pages": pages, "places": places}


def _said(schedule: Schedule) -> Said:
    """The words of a schedule in the reader's language."""
    amount = written(schedule.threshold, schedule.currency)
    rate = written(schedule.bulk_rate, schedule.currency)
    rates = schedule.rates_note.splitlines()
    sums = _(
        "Each piece is converted and rounded to the cent, half up, then multiplied by the number "
        "of pieces; the total is the sum of the amounts shown."
    )
    closing = (
        _(
            "The values are estimates, or appraisals where an appraiser is named; each is what "
            "its source stated on its day. None is an offer, and what a piece would bring or "
            "cost may differ."
        ),
        _(
            "A piece worth %(amount)s or more is listed by itself. Smaller ones are counted "
            "together by country and series: at their known values, and at %(rate)s each where "
            "no value is known."
        )
        % {"amount": amount, "rate": rate},
        _(
            "The words of the policy decide what is insured and at what value. If the sum "
            "insured is less than the value, many policies pay only that share of a loss (this "
            "is called average). Ask the insurer."
        ),
        f"{sums} {_('Rates used:')}" if rates else sums,
        *rates,
        f"{_('SHA-256 of what this schedule says:')} {schedule.digest}",
    )
    return Said(
        title=_("Schedule %(number)s") % {"number": schedule.number},
        lead="{} ({}).".format(
            _("A list of coins and their values, frozen on the day it was made"),
            day_in_words(timezone.localtime(schedule.made_at).date()),
        ),
        running=_("Schedule %(number)s, values as of %(day)s")
        % {"number": schedule.number, "day": day_in_words(schedule.as_of)},
        columns=(_("No."), _("Piece"), _("Pieces"), _("Each"), schedule.currency),
        brought=_("brought forward"),
        carried=_("carried forward"),
        total=_("Total"),
        total_pieces=f"{schedule.pieces:,}",
        total_amount=figures(schedule.total),
        no_picture=_("no photograph"),
        closing_head=_("What this list says, and what it does not"),
        closing=closing,
        sign=(
            _("Place and date"),
            f"{_('Owner')}: {schedule.insured}",
            _("For the insurer"),
        ),
        described_head=_("Descriptions of the pieces listed one by one"),
        described_lead=_("By the fields of Object ID (International Council of Museums)."),
        figures=figures,
    )


def _heading(schedule: Schedule) -> list[tuple[str, str]]:
    return [
        (_("Number"), schedule.number),
        (_("Owner"), schedule.insured),
        (_("Insurer"), schedule.insurer),
        (_("Policy"), schedule.policy),
        (_("Values as of"), day_in_words(schedule.as_of)),
        (_("Currency"), schedule.currency),
        (_("Pieces"), f"{schedule.pieces:,}"),
        (_("Total"), written(schedule.total, schedule.currency)),
    ]


def _entries(
    schedule: Schedule, lines: list[ScheduleLine], images: dict[str, bytes]
) -> list[Entry]:
    entries: list[Entry] = []
    for line in lines:
        first = not entries or entries[-1].pictured == line.grouped
        entries.append(
            _group_entry(schedule, line, first) if line.grouped else _item_entry(line, images)
        )
    return entries


def _item_entry(line: ScheduleLine, images: dict[str, bytes]) -> Entry:
    facts: dict[str, Any] = line.facts
    where = [facts["inventory_number"], joined(facts["country"], facts["series"], by=" · ")]
    return Entry(
        number=str(line.position),
        title=facts["label"],
        details=(
            " · ".join(part for part in where if part),
            _("grade %(grade)s") % {"grade": facts["grade"]} if facts["grade"] else "",
            _("value %(words)s") % {"words": facts["value"]["words"]},
        ),
        pieces=line.pieces,
        each=Decimal(facts["each"]),
        amount=line.amount,
        pictured=True,
        faces=tuple((f.name, f.side) for f in _faces(line, images)),
    )


def _group_entry(schedule: Schedule, line: ScheduleLine, first: bool) -> Entry:
    facts: dict[str, Any] = line.facts
    details = []
    if facts["valued"]:
        details.append(
            _("%(n)d with a known value, together %(amount)s")
            % {"n": facts["valued"], "amount": figures(Decimal(facts["known"]))}
        )
    if facts["unvalued"]:
        details.append(
            _("%(n)d without one, at the stated rate of %(rate)s each, together %(amount)s")
            % {
                "n": facts["unvalued"],
                "rate": figures(Decimal(facts["rate"])),
                "amount": figures(Decimal(facts["at_rate"])),
            }
        )
    section = _("Pieces below %(amount)s each, by country and series") % {
        "amount": written(schedule.threshold, schedule.currency)
    }
    return Entry(
        number=str(line.position),
        title=joined(facts["country"], facts["series"], by=" · "),
        details=tuple(details),
        pieces=line.pieces,
        each=None,
        amount=line.amount,
        section=section if first else "",
    )


def _described(line: ScheduleLine, images: dict[str, bytes]) -> Described:
    facts: dict[str, Any] = line.facts
    said = facts["object_id"]
    value = facts["value"]["words"]
    if facts["rate"]:
        value = f"{value}; {facts['rate']}"
    faces = _faces(line, images)
    none = [] if faces else [(_(label("photographs")), _("No photograph of this piece."))]
    unrecorded = ", ".join(_(label(field)).lower() for field in missing(said))
    return Described(
        number=line.position,
        label=facts["label"],
        faces=faces,
        short=fields_in_words(said, SHORT),
        fields=[
            *none,
            (_("Grade"), facts["grade"] or _("not recorded")),
            (_("Value of one piece"), value),
            *fields_in_words(said, [field for field in FIELDS if field not in SHORT]),
            *([(_("Not recorded"), unrecorded)] if unrecorded else []),
        ],
    )


def fields_in_words(said: dict[str, Any], fields: Iterable[str] = FIELDS) -> list[tuple[str, str]]:
    """Those Object ID fields that say something, but for photographs: name and words."""
    return [
        (_(label(field)), "; ".join(words) if isinstance(words, list) else str(words))
        for field in fields
        if field != "photographs" and (words := said[field])
    ]


def _faces(line: ScheduleLine, images: dict[str, bytes]) -> list[PrintedFace]:
    """The first photograph of each face, obverse before reverse, that is still kept."""
    diameter = line.facts["diameter_mm"]
    found: dict[str, PrintedFace] = {}
    for photo in line.facts["object_id"]["photographs"]:
        name = photo["digest"][:24]
        if name in images:
            scale, caption = None, photo["side"]
            if photo["trimmed"] and diameter:
                scale = bar(diameter, FACE)
                caption = f"{caption} · {SCALE_MM} mm"
            shown = PrintedFace(name, photo["side"], caption, scale)
            found.setdefault(photo["face"], shown)
    return [found[face] for face in FACES if face in found]


def _images(lines: list[ScheduleLine]) -> dict[str, bytes]:
    """The photographs of the itemised pieces as small JPEG pictures, by name."""
    images: dict[str, bytes] = {}
    for line in lines:
        for photo in line.facts.get("object_id", {}).get("photographs", ()):
            if photo["face"] in FACES:
                try:
                    images[photo["digest"][:24]] = printed_picture(photo["digest"])
                except FileNotFoundError:
                    continue
    return images
