"""Describe pieces by the fields of Object ID, in words taken from their records."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils import timezone

from catalogue.models import Holding, Photo
from series.dates.words import in_words
from series.faces.models import Face, Mark
from series.models import CoinType, Issue
from series.parcels import parcels
from series.text.english import some_of
from series.text.naming import joined
from series.text.words import clock_text, plain, years_text
from series.types.queries import with_design
from valuation.schedules import words

MOST_RELATED = 12


def descriptions(holdings: QuerySet[Holding], ids: Sequence[int]) -> dict[int, dict[str, Any]]:
    """Object ID fields of each holding by id: texts, lists of texts, photographs.

    An empty field means that nothing is recorded. ``holdings`` is where related pieces of the
    same type are looked for.
    """
    described: dict[int, dict[str, Any]] = {}
    related = _of_one_type(holdings)
    for some in parcels(ids):
        for holding in _with_all(some):
            others = [n for n in related.get(holding.coin_type_id, ()) if n != holding.accession]
            described[holding.pk] = _description(holding, others)
    return described


def _with_all(ids: Sequence[int]) -> QuerySet[Holding]:
    types = with_design(
        CoinType.objects.select_related("series__issuer", "denomination"), Issue.objects.none()
    )
    marks = Mark.objects.select_related("mint", "person")
    photos = Photo.objects.order_by("position", "pk")
    return (
        Holding.objects.filter(pk__in=ids)
        .select_related("variety", "place")
        .prefetch_related(
            Prefetch("coin_type", queryset=types.prefetch_related("references")),
            Prefetch(
                "issue",
                queryset=Issue.objects.prefetch_related(
                    "references", Prefetch("marks", queryset=marks)
                ),
            ),
            Prefetch("photos", queryset=photos),
            "problems",
            "provenance",
            "receipts",
            "references",
        )
    )


def _of_one_type(holdings: QuerySet[Holding]) -> dict[int | None, list[str]]:
    found: dict[int | None, list[str]] = {}
    rows = holdings.filter(coin_type__isnull=False).order_by("accession")
    for type_id, accession in rows.values_list("coin_type_id", "accession"):
        found.setdefault(type_id, []).append(accession)
    return found


def _description(holding: Holding, others: list[str]) -> dict[str, Any]:
    coin_type = holding.coin_type
    faces = list(coin_type.faces.all()) if coin_type is not None else []
    marks = _marks(holding)
    return {
        "photographs": [
            {
                "face": photo.side,
                "side": str(photo.get_side_display()),
                "digest": photo.digest,
                "trimmed": photo.trimmed,
            }
            for photo in holding.photos.all()
        ],
        "type_of_object": _kind(holding),
        "materials_and_techniques": _materials(coin_type),
        "measurements": _measurements(holding),
        "inscriptions_and_markings": [*_legends(faces), *(_mark(mark) for mark in marks)],
        "distinguishing_features": _features(holding),
        "title": str(coin_type) if coin_type is not None else holding.title,
        "subject": _subject(faces),
        "date_or_period": _date(holding),
        "maker": _maker(holding, faces, marks),
        "short_description": _short(holding, faces),
        "inventory_number": holding.accession,
        "related_written_material": _written(holding),
        "place_of_origin": _origin(coin_type, marks),
        "cross_reference": _related(others),
        "date_documented": timezone.localtime(holding.changed_at).date().isoformat(),
    }


def _kind(holding: Holding) -> str:
    coin_type = holding.coin_type
    if coin_type is None:
        return words.kind(words.UNIDENTIFIED)
    circulating = coin_type.purpose == CoinType.Purpose.CIRCULATING
    return words.kind("" if circulating else coin_type.get_purpose_display())


def _materials(coin_type: CoinType | None) -> list[str]:
    if coin_type is None:
        return []
    metals = dict.fromkeys(filter(None, (coin_type.metal, coin_type.composition)))
    return [line for line in (", ".join(metals), words.edge(coin_type.edge)) if line]


def _measurements(holding: Holding) -> list[str]:
    measures = (
        (words.MASS, "g", holding.mass_g, holding.mass_within, "mass_g"),
        (words.DIAMETER, "mm", holding.diameter_mm, holding.diameter_within, "diameter_mm"),
        (words.THICKNESS, "mm", holding.thickness_mm, holding.thickness_within, "thickness_mm"),
    )
    lines = []
    for name, unit, measured, within, field in measures:
        specified = getattr(holding.coin_type, field, None)
        if measured is not None:
            lines.append(words.measured(name, unit, plain(measured), plain(within)))
        elif specified is not None:
            lines.append(words.specified(name, unit, plain(specified)))
    alignment = holding.alignment
    if alignment is not None:
        lines.append(words.alignment(plain(alignment)))
    if holding.coin_type is not None and holding.coin_type.outline != CoinType.Outline.ROUND:
        lines.append(str(holding.coin_type.get_outline_display()))
    return lines


def _legends(faces: Iterable[Face]) -> list[str]:
    lines = []
    for face in faces:
        for legend in face.legends.all():
            meant = ", ".join(t for t in (legend.transliteration, legend.translation) if t)
            text = f"{legend.text} ({meant})" if meant else legend.text
            lines.append(f"{face}: {text}")
    return lines


def _marks(holding: Holding) -> list[Mark]:
    """The marks of the piece's issue, and those that stand on every issue of its type."""
    everywhere = [] if holding.coin_type is None else list(holding.coin_type.marks.all())
    own = [] if holding.issue is None else list(holding.issue.marks.all())
    found = {mark.pk: mark for mark in everywhere if mark.on_all}
    found.update({mark.pk: mark for mark in own})
    return list(found.values())


def _mark(mark: Mark) -> str:
    where = [str(mark.get_side_display()), clock_text(mark.clock)]
    if mark.near:
        where.append(words.near(mark.near))
    place = ", ".join(part for part in where if part)
    return f"{mark.get_kind_display()} {mark.text} ({place})"


def _features(holding: Holding) -> list[str]:
    lines = [
        f"{problem}: {problem.note}" if problem.note else str(problem)
        for problem in holding.problems.all()
    ]
    if holding.variety is not None:
        lines.append(words.variety(holding.variety.name))
    return lines


def _subject(faces: Iterable[Face]) -> list[str]:
    shown = [(face, [each.motif.name for each in face.shown.all()]) for face in faces]
    return [f"{face}: {', '.join(names)}" for face, names in shown if names]


def _date(holding: Holding) -> str:
    issue = holding.issue
    if issue is not None:
        struck = years_text(issue.struck_from, issue.struck_to)
        if struck and struck != issue.shown:
            return words.dated(issue.label, struck)
        return issue.label
    if holding.date_reading:
        return in_words(holding.date_reading)
    coin_type = holding.coin_type
    return "" if coin_type is None else years_text(coin_type.first_year, coin_type.last_year)


def _maker(holding: Holding, faces: Iterable[Face], marks: Iterable[Mark]) -> list[str]:
    if holding.coin_type is None:
        return []
    lines = [words.issued_by(holding.coin_type.series.issuer.name)]
    lines += dict.fromkeys(words.struck_at(mark.mint.name) for mark in marks if mark.mint)
    lines += dict.fromkeys(
        f"{credit.get_role_display()} {credit.person.name}"
        for face in faces
        for credit in face.credits.all()
    )
    return lines


def _short(holding: Holding, faces: Iterable[Face]) -> str:
    parts = [holding.label]
    parts += [f"{face}: {face.description}" for face in faces if face.description]
    if holding.coin_type is not None:
        parts[0] = joined(holding.coin_type.series.issuer.name, holding.label)
    return ". ".join(part.rstrip(".") for part in parts) + "."


def _written(holding: Holding) -> list[str]:
    works: list[Any] = [*holding.references.all()]
    for record in (holding.issue, holding.coin_type):
        works += [] if record is None else record.references.all()
    lines = [
        ", ".join(part for part in (work.work, work.edition, work.number) if part) for work in works
    ]
    lines += [words.paper_kept(paper.name) for paper in holding.receipts.all()]
    lines += [
        words.provenance(", ".join(filter(None, (line.when, line.text))))
        for line in holding.provenance.all()
    ]
    return lines


def _origin(coin_type: CoinType | None, marks: Iterable[Mark]) -> str:
    if coin_type is None:
        return ""
    towns = dict.fromkeys(mark.mint.town for mark in marks if mark.mint and mark.mint.town)
    return ", ".join(dict.fromkeys([*towns, coin_type.series.issuer.name]))


def _related(others: list[str]) -> str:
    return words.of_the_same_type(some_of(others, MOST_RELATED)) if others else ""
