"""Draw a schedule as a PDF from its frozen lines alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.template.loader import render_to_string
from django.utils import timezone

from catalogue import access
from catalogue.models import Member
from catalogue.printing.drawing import draw
from catalogue.printing.geometry import PAPERS
from catalogue.printing.pdf import render_pdf
from catalogue.printing.words import LANGUAGE
from series.picture.pictures import printed_picture
from series.text.naming import joined
from series.text.words import number
from valuation.estimates.words import day_in_words
from valuation.money import figures, written
from valuation.schedules import words
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
    return render_pdf(html, title=words.title(schedule.number), lang=LANGUAGE, images=images)


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
        "title": words.title(schedule.number),
        "lang": LANGUAGE,
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
    """The words of a schedule."""
    made_on = timezone.localtime(schedule.made_at).date()
    return Said(
        title=words.title(schedule.number),
        lead=words.lead(day_in_words(made_on)),
        running=words.running(schedule.number, day_in_words(schedule.as_of)),
        columns=(*words.COLUMNS, schedule.currency),
        total_pieces=f"{schedule.pieces:,}",
        total_amount=figures(schedule.total),
        closing=words.closing(
            written(schedule.threshold, schedule.currency),
            written(schedule.bulk_rate, schedule.currency),
            schedule.rates_note.splitlines(),
            schedule.digest,
        ),
        sign=words.signing(schedule.insured),
    )


def _heading(schedule: Schedule) -> list[tuple[str, str]]:
    return [
        ("Number", schedule.number),
        ("Owner", schedule.insured),
        ("Insurer", schedule.insurer),
        ("Policy", schedule.policy),
        ("Values as of", day_in_words(schedule.as_of)),
        ("Currency", schedule.currency),
        ("Pieces", f"{schedule.pieces:,}"),
        ("Total", written(schedule.total, schedule.currency)),
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
            f"grade {facts['grade']}" if facts["grade"] else "",
            f"value {facts['value']['words']}",
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
        details.append(words.valued(facts["valued"], figures(Decimal(facts["known"]))))
    if facts["unvalued"]:
        rate, together = (figures(Decimal(facts[name])) for name in ("rate", "at_rate"))
        details.append(words.unvalued(facts["unvalued"], rate, together))
    section = words.smaller(written(schedule.threshold, schedule.currency))
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
    none = [] if faces else [(label("photographs"), words.NO_PICTURE_OF_IT)]
    unrecorded = ", ".join(label(field).lower() for field in missing(said))
    return Described(
        number=line.position,
        label=facts["label"],
        faces=faces,
        short=fields_in_words(said, SHORT),
        fields=[
            *none,
            ("Grade", facts["grade"] or words.NOT_RECORDED),
            ("Value of one piece", value),
            *fields_in_words(said, [field for field in FIELDS if field not in SHORT]),
            *([(words.NOT_RECORDED.capitalize(), unrecorded)] if unrecorded else []),
        ],
    )


def fields_in_words(said: dict[str, Any], fields: Iterable[str] = FIELDS) -> list[tuple[str, str]]:
    """Those Object ID fields that say something, but for photographs: name and words."""
    return [
        (label(field), "; ".join(texts) if isinstance(texts, list) else str(texts))
        for field in fields
        if field != "photographs" and (texts := said[field])
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
