"""Make a schedule: work out its lines, freeze their words and figures, number and sign it off.

Nothing here changes a schedule once it is made; a test edits holdings and finds it the same.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.models import Holding, Member
from catalogue.site.stored_files import Naming, picture_files
from valuation.estimates.queries import worths
from valuation.estimates.words import rate_in_words, value_in_words
from valuation.estimates.worth import Worth
from valuation.money import cents
from valuation.schedules import words
from valuation.schedules.describing import descriptions
from valuation.schedules.lines import Group, Item, Piece, Plan, digest, plan
from valuation.schedules.models import Schedule, ScheduleLine, ScheduleNumbers, SchedulePhoto

PICTURES = Naming(SchedulePhoto, "digest", picture_files)
"""A photograph that a schedule shows is not deleted while it shows it."""


class NothingToList(ValueError):
    """No holding answers the selection on that day."""


@dataclass(frozen=True)
class Terms:
    """What the owner asks for: to whom it goes, as of when, and how pieces are divided."""

    insured: str
    insurer: str
    policy: str
    as_of: date
    currency: str
    threshold: Decimal
    bulk_rate: Decimal


@transaction.atomic
def make_schedule(owner: Member, terms: Terms, holdings: QuerySet[Holding]) -> Schedule:
    """Freeze the owner's ``holdings`` as worth on the day; raises NothingToList for none."""
    Member.objects.select_for_update().get(pk=owner.pk)
    found = list(
        holdings.filter(owner=owner)
        .select_related("coin_type__denomination", "coin_type__series__issuer", "issue")
        .order_by("accession", "pk")
    )
    if not found:
        raise NothingToList(_("None of your holdings answers this choice on that day."))
    known = worths(holdings.filter(owner=owner), terms.currency, terms.as_of)
    by_id = {holding.pk: holding for holding in found}
    made = plan((_piece(h, known.get(h.pk)) for h in found), terms.threshold, terms.bulk_rate)
    schedule = Schedule(
        owner=owner,
        number=_next_number(owner),
        **asdict(terms),
        rates_note=_rates(made, known),
        total=made.total,
        pieces=made.pieces,
    )
    lines = [*_item_lines(made, by_id, known, holdings), *_group_lines(made)]
    for position, line in enumerate(lines, start=1):
        line.position = position
    schedule.digest = digest(document(schedule, lines))
    schedule.save()
    for line in lines:
        line.schedule = schedule
    ScheduleLine.objects.bulk_create(lines)
    SchedulePhoto.objects.bulk_create(
        SchedulePhoto(schedule=schedule, digest=shown) for shown in _photographs(lines)
    )
    return schedule


_SAID_AS_IT_IS = ("number", "insured", "insurer", "policy", "currency", "pieces")


def document(schedule: Schedule, lines: list[ScheduleLine]) -> dict[str, Any]:
    """Everything a schedule says, as what its digest is taken over."""
    money = ("threshold", "bulk_rate", "total")
    return {
        **{name: getattr(schedule, name) for name in _SAID_AS_IT_IS},
        **{name: str(cents(getattr(schedule, name))) for name in money},
        "as_of": schedule.as_of.isoformat(),
        "rates": schedule.rates_note,
        "lines": [
            {
                "position": line.position,
                "grouped": line.grouped,
                "pieces": line.pieces,
                "amount": str(cents(line.amount)),
                "facts": line.facts,
            }
            for line in lines
        ],
    }


def is_unchanged(schedule: Schedule) -> bool:
    """Whether the stored schedule still has the digest it was made with."""
    return digest(document(schedule, list(schedule.lines.all()))) == schedule.digest


def _next_number(owner: Member) -> str:
    """The next number of the year, "S-2026-01"; one once given is never given again.

    The owner's row is locked, so that no two schedules take the same.
    """
    year = timezone.localdate().year
    given, _new = ScheduleNumbers.objects.get_or_create(owner=owner, year=year)
    given.highest += 1
    given.save(update_fields=["highest"])
    return f"S-{year}-{given.highest:02}"


def _piece(holding: Holding, worth: Worth | None) -> Piece:
    coin_type = holding.coin_type
    unknown = (words.UNIDENTIFIED, "")
    return Piece(
        id=holding.pk,
        accession=holding.accession,
        label=holding.label,
        group=unknown
        if coin_type is None
        else (coin_type.series.issuer.name, coin_type.series.name),
        pieces=holding.quantity,
        each=None if worth is None else worth.each,
    )


def _rates(made: Plan, known: dict[int, Worth]) -> str:
    """Every rate used and every value left out for want of one, a line each."""
    pieces = [item.piece for item in made.items]
    pieces += [part for group in made.groups for part in group.parts]
    used = [known[piece.id] for piece in pieces if piece.id in known]
    notes = {rate_in_words(w.converted) or str(w.no_rate or "") for w in used} - {""}
    return "\n".join(sorted(notes))


def _item_lines(
    made: Plan, by_id: dict[int, Holding], known: dict[int, Worth], holdings: QuerySet[Holding]
) -> list[ScheduleLine]:
    described = descriptions(holdings, [item.piece.id for item in made.items])
    return [
        ScheduleLine(
            holding=by_id[item.piece.id],
            grouped=False,
            pieces=item.piece.pieces,
            amount=item.amount,
            facts=_item_facts(item, by_id[item.piece.id], known[item.piece.id])
            | {"object_id": described[item.piece.id]},
        )
        for item in made.items
    ]


_OF_A_VALUE = ("amount", "low", "high", "currency", "on", "basis", "source", "appraiser")


def _text(fact: Any) -> str:
    """A figure or a day as it is frozen; "" for what is not known."""
    return "" if fact is None else str(fact)


def _item_facts(item: Item, holding: Holding, worth: Worth) -> dict[str, Any]:
    value = worth.value
    return {
        "label": item.piece.label,
        "country": item.piece.group[0],
        "series": item.piece.group[1],
        "inventory_number": item.piece.accession,
        "grade": _grade(holding),
        "diameter_mm": _diameter(holding),
        "each": str(item.piece.each),
        "value": {name: _text(getattr(value, name)) for name in _OF_A_VALUE}
        | {"at_grade": value.grade, "words": value_in_words(value)},
        "rate": rate_in_words(worth.converted),
    }


def _grade(holding: Holding) -> str:
    """ "EF (British scale), graded by M. Vane on 3 May 2024"."""
    sides = " / ".join(g for g in (holding.grade_obverse, holding.grade_reverse) if g)
    grade = holding.grade or sides
    if not grade:
        return ""
    text = f"{grade} ({holding.get_grade_scale_display()})"
    if not holding.graded_by:
        return text
    return words.graded(text, holding.graded_by, _text(holding.graded_on))


def _diameter(holding: Holding) -> str:
    found = holding.diameter_mm or getattr(holding.coin_type, "diameter_mm", None)
    return _text(found)


def _photographs(lines: list[ScheduleLine]) -> list[str]:
    """The digests of all photographs that lines show, each once."""
    shown = (line.facts["object_id"]["photographs"] for line in lines if not line.grouped)
    return sorted({photo["digest"] for photos in shown for photo in photos})


def _group_lines(made: Plan) -> list[ScheduleLine]:
    return [
        ScheduleLine(
            grouped=True, pieces=group.pieces, amount=group.amount, facts=_group_facts(group)
        )
        for group in made.groups
    ]


def _group_facts(group: Group) -> dict[str, Any]:
    return {
        "country": group.group[0],
        "series": group.group[1],
        "valued": group.valued,
        "known": str(group.known),
        "unvalued": group.unvalued,
        "rate": str(group.rate),
        "at_rate": str(group.at_rate),
        "parts": [
            {
                "inventory_number": part.accession,
                "label": part.label,
                "pieces": part.pieces,
                "each": _text(part.each),
            }
            for part in group.parts
        ],
    }
