"""Draw a schedule as a PDF from its frozen lines alone."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.template.loader import render_to_string
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from PIL import Image

from catalogue import access
from catalogue.models import Member
from catalogue.printing.geometry import PAPERS
from catalogue.printing.pdf import render_pdf
from series.pictures import picture_bytes
from valuation.estimates.words import day_in_words
from valuation.money import figures, written
from valuation.schedules.layout import (
    Entry,
    fact_lines,
    heading_height,
    money_table,
)
from valuation.schedules.models import Schedule, ScheduleLine
from valuation.schedules.object_id import FIELDS, label, missing

PIXELS = 240  # longest side of a face as printed, 22 mm: 277 dots an inch
FACES = ("obverse", "reverse")
PICTURE_MM = Decimal(22)
SCALE_MM = 10
SHORT = (
    "type_of_object",
    "title",
    "date_or_period",
    "inventory_number",
    "place_of_origin",
    "date_documented",
)


@dataclass(frozen=True)
class PrintedFace:
    """A picture in the document, and how long 10 mm are in it (None when not known)."""

    name: str
    side: str
    scale: str | None


@dataclass(frozen=True)
class Described:
    """An itemised piece as its description prints it."""

    number: int
    label: str
    faces: list[PrintedFace]
    short: list[tuple[str, str]]
    fields: list[tuple[str, str]]
    unrecorded: str


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
    paper = PAPERS[schedule.owner.paper]
    images = _images(lines)
    facts = [(name, fact_lines(text, paper)) for name, text in _heading(schedule) if text]
    entries = _entries(schedule, lines, images)
    context = {
        "schedule": schedule,
        "paper": paper,
        "facts": facts,
        "pages": money_table(entries, paper, heading_height([text for _name, text in facts])),
        "total": schedule.total,
        "described": [_described(line, images) for line in lines if not line.grouped],
        "rates": schedule.rates_note.splitlines(),
        "scale_mm": SCALE_MM,
    }
    return render_to_string("print/schedule.html", context), images


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
    where = [facts["inventory_number"], facts["country"], facts["series"]]
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
        title=" · ".join(part for part in (facts["country"], facts["series"]) if part),
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
    return Described(
        number=line.position,
        label=facts["label"],
        faces=_faces(line, images),
        short=[
            *fields_in_words(said, SHORT),
            (_("Grade"), facts["grade"] or _("not recorded")),
        ],
        fields=[
            (_("Value of one piece"), value),
            *fields_in_words(said, [field for field in FIELDS if field not in SHORT]),
        ],
        unrecorded=", ".join(_(label(field)).lower() for field in missing(said)),
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
            scale = None
            if photo["trimmed"] and diameter:
                scale = f"{PICTURE_MM * SCALE_MM / Decimal(diameter):.2f}"
            found.setdefault(photo["face"], PrintedFace(name, photo["side"], scale))
    return [found[face] for face in FACES if face in found]


def _images(lines: list[ScheduleLine]) -> dict[str, bytes]:
    """The photographs of the itemised pieces as small JPEG pictures, by name."""
    images: dict[str, bytes] = {}
    for line in lines:
        for photo in line.facts.get("object_id", {}).get("photographs", ()):
            if photo["face"] in FACES:
                picture = _picture(photo["digest"])
                if picture is not None:
                    images[photo["digest"][:24]] = picture
    return images


def _picture(digest: str) -> bytes | None:
    try:
        image = Image.open(io.BytesIO(picture_bytes(digest, "medium"))).convert("RGBA")
    except FileNotFoundError:
        return None
    image.thumbnail((PIXELS, PIXELS), Image.Resampling.LANCZOS)
    flat = Image.new("RGB", image.size, "white")
    flat.paste(image, mask=image.getchannel("A"))
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=82)
    return out.getvalue()
