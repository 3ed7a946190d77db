"""Draw a schedule as a PDF from its frozen lines alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone

from catalogue import access
from catalogue.models import Member
from catalogue.printing.geometry import PAPERS, Page
from catalogue.printing.responses import Order, SheetPage
from catalogue.printing.sheets import pdf_of
from catalogue.site.record_pages import own_or_404
from series.picture.pictures import printed_picture
from series.text.naming import joined
from valuation.estimates.words import day_in_words
from valuation.money import figures, written
from valuation.schedules import words
from valuation.schedules.contents import SCALE_MM, Described, PrintedFace, Said, bar
from valuation.schedules.layout import Entry
from valuation.schedules.models import Schedule, ScheduleLine
from valuation.schedules.object_id import FIELDS, label, missing
from valuation.schedules.paper import FACE, lay_schedule

LINES_AT_ONCE = 100
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
    pages, images = laid_out(schedule)
    return pdf_of(pages, words.title(schedule.number), images=images)


def draw_as_sheet(
    owner: Member, parameters: Mapping[str, Any], progress: Callable[[int, int], None]
) -> bytes:
    """The owner's schedule with the id ``schedule``."""
    return draw_schedule(access.owned(Schedule.objects.all(), owner).get(pk=parameters["schedule"]))


class SchedulePage(SheetPage):
    """A schedule as a PDF; a long one is drawn once, since it never changes."""

    kind = "schedule"
    name = "schedule-file"
    route = "schedules/<number:pk>/schedule.pdf"
    draw = staticmethod(draw_as_sheet)
    once = True

    def order(self, form: None) -> Order:
        found = own_or_404(self.request, Schedule.objects.all(), self.kwargs["pk"])
        title = words.title(found.number)
        return Order(title, {"schedule": found.pk}, found.lines.count(), LINES_AT_ONCE)


def laid_out(schedule: Schedule) -> tuple[tuple[Page, ...], dict[str, bytes]]:
    """The pages of a schedule, and the pictures they name."""
    lines = list(schedule.lines.all())
    images = _images(lines)
    pages = lay_schedule(
        _said(schedule),
        _entries(schedule, lines, images),
        [_described(line, images) for line in lines if not line.grouped],
        PAPERS[schedule.owner.paper],
    )
    return pages, images


def _said(schedule: Schedule) -> Said:
    made = day_in_words(timezone.localtime(schedule.made_at).date())
    return Said(
        title=words.title(schedule.number),
        lead=words.lead(made),
        running=words.running(schedule.number, day_in_words(schedule.as_of)),
        currency=schedule.currency,
        pieces=schedule.pieces,
        total=schedule.total,
        insured=schedule.insured,
        facts=[(name, text) for name, text in _heading(schedule) if text],
        closing=words.closing(
            written(schedule.threshold, schedule.currency),
            written(schedule.bulk_rate, schedule.currency),
            schedule.rates_note.splitlines(),
            schedule.digest,
        ),
    )


def _heading(schedule: Schedule) -> Iterable[tuple[str, str]]:
    said = (
        schedule.number,
        schedule.insured,
        schedule.insurer,
        schedule.policy,
        day_in_words(schedule.as_of),
        schedule.currency,
        f"{schedule.pieces:,}",
        written(schedule.total, schedule.currency),
    )
    return zip(words.FACTS, said, strict=True)


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
            words.grade(facts["grade"]),
            words.value(facts["value"]["words"]),
        ),
        pieces=line.pieces,
        each=Decimal(facts["each"]),
        amount=line.amount,
        pictured=True,
        faces=_faces(line, images),
    )


def _group_entry(schedule: Schedule, line: ScheduleLine, first: bool) -> Entry:
    facts: dict[str, Any] = line.facts
    known, rate, at_rate = (figures(Decimal(facts[name])) for name in ("known", "rate", "at_rate"))
    valued = words.valued(facts["valued"], known)
    unvalued = words.unvalued(facts["unvalued"], rate, at_rate)
    section = words.smaller(written(schedule.threshold, schedule.currency))
    return Entry(
        number=str(line.position),
        title=joined(facts["country"], facts["series"], by=" · "),
        details=(valued if facts["valued"] else "", unvalued if facts["unvalued"] else ""),
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
            (words.GRADE, facts["grade"] or words.NOT_RECORDED),
            (words.VALUE, value),
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
