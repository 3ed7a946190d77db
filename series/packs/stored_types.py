"""Read stored types, with faces, marks and issues, back as the plain records of a pack."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet

from series.dates.issue_keys import mark_text
from series.models import (
    CoinType,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Legend,
    Mark,
    Reference,
    Variety,
)
from series.packs import entries as e
from series.packs.stored import common, grouped, number

SIDES = {"obverse": "obverse", "reverse": "reverse", "edge": "edge_face"}
"""The sides of a face, and the field of a ``TypeEntry`` each is read into."""

_PLAIN = (
    "name", "purpose", "composition", "outline", "sides", "hole", "inner_panel", "edge",
    "alignment", "convention", "withdrawn_on", "tender_until", "exchange_until",
    "exchange_where", "exchange_rate", "note",
)  # fmt: skip
_MEASURES = ("hole_mm", "ring_mm", "mass_g", "remedy_g", "diameter_mm", "thickness_mm")


@dataclass
class StoredIssue:
    record: Issue
    entry: e.IssueEntry


@dataclass
class StoredType:
    """A type with what hangs on it; issues by key, the binned and withdrawn among them."""

    record: CoinType
    entry: e.TypeEntry
    faces: dict[str, Face] = field(default_factory=dict)
    marks: dict[str, Mark] = field(default_factory=dict)
    issues: dict[str, StoredIssue] = field(default_factory=dict)


def stored_types(types: QuerySet[Any]) -> dict[str, StoredType]:
    """The types of a queryset by key; the number of queries does not depend on how many.

    The entry's issues are those neither withdrawn nor in the bin.
    """
    ids = types.order_by().values("pk")
    faces = grouped(Face.everything.filter(coin_type__in=ids), "coin_type_id")
    of_type = {"face__coin_type__in": ids}
    legends = grouped(Legend.objects.filter(**of_type), "face_id")
    shown = grouped(FaceMotif.objects.filter(**of_type).select_related("motif"), "face_id")
    credits = grouped(FacePerson.objects.filter(**of_type).select_related("person"), "face_id")
    marks = grouped(
        Mark.objects.filter(coin_type__in=ids).select_related("mint", "person"), "coin_type_id"
    )
    references = grouped(Reference.objects.filter(coin_type__in=ids), "coin_type_id")
    issues = _stored_issues(ids, {m.pk: m for each in marks.values() for m in each})
    found: dict[str, StoredType] = {}
    for record in types.select_related("series", "denomination").order_by("key"):
        of_record = issues.get(record.pk, [])
        on_sides = {face.side: face for face in faces.get(record.pk, [])}
        texts = {mark_identity(mark): mark for mark in marks.get(record.pk, [])}
        live = [i for i in of_record if not i.record.withdrawn and i.record.deleted_at is None]
        undated = not live
        named = {mark for i in live for mark in i.entry.marks if mark not in texts}
        bare = [e.MarkText(text) for text in named]
        fields: dict[str, Any] = {
            **common(record),
            **{name: getattr(record, name) for name in _PLAIN},
            **{name: number(getattr(record, name)) for name in _MEASURES},
        }
        for side, name in SIDES.items():
            fields[name] = _face(on_sides.get(side), legends, shown, credits)
        entry = e.TypeEntry(
            **fields,
            series=record.series.key,
            denomination=record.denomination.key,
            first_year=record.first_year if undated else None,
            last_year=record.last_year if undated else None,
            marks=tuple(sorted([*map(_mark, texts.values()), *bare], key=lambda m: m.identity)),
            references=_references(references.get(record.pk, [])),
            issues=tuple(i.entry for i in live),
        )
        by_key = {i.record.key: i for i in of_record}
        found[record.key] = StoredType(record, entry, on_sides, texts, by_key)
    return found


def mark_identity(mark: Mark) -> str:
    return e.MarkText(mark.text, mark.side, mark.kind).identity


def _face(
    face: Face | None,
    legends: dict[int, list[Any]],
    shown: dict[int, list[Any]],
    credits: dict[int, list[Any]],
) -> e.FaceText:
    if face is None:
        return e.FaceText()
    people: dict[str, list[str]] = {"designer": [], "engraver": []}
    for credit in credits.get(face.pk, []):
        people[credit.role].append(credit.person.key)
    motifs = [e.Shown(each.motif.key, each.note) for each in shown.get(face.pk, [])]
    return e.FaceText(
        role=face.role,
        description=face.description,
        legends=tuple(
            e.LegendText(each.text, each.script, each.transliteration, each.translation)
            for each in legends.get(face.pk, [])
        ),
        motifs=tuple(sorted(motifs, key=lambda each: each.motif)),
        designers=tuple(sorted(people["designer"])),
        engravers=tuple(sorted(people["engraver"])),
        value_as=face.value_as,
        bust=face.bust,
        border=face.border,
    )


def _mark(mark: Mark) -> e.MarkText:
    return e.MarkText(
        text=mark.text,
        side=mark.side,
        kind=mark.kind,
        clock=number(mark.clock),
        near=mark.near,
        mint=mark.mint.key if mark.mint else "",
        person=mark.person.key if mark.person else "",
        on_all=mark.on_all,
    )


def _references(records: list[Reference]) -> tuple[e.ReferenceText, ...]:
    found = {e.ReferenceText(each.work, each.number, each.edition) for each in records}
    return tuple(sorted(found, key=lambda each: (each.work, each.number, each.edition)))


def _stored_issues(ids: Any, marks: dict[int, Mark]) -> dict[int, list[StoredIssue]]:
    """The issues of the types ``ids`` by the id of the type, in order."""
    of_type = {"issue__coin_type__in": ids}
    borne = grouped(Issue.marks.through._default_manager.filter(**of_type), "issue_id")
    references = grouped(Reference.objects.filter(**of_type), "issue_id")
    varieties = grouped(Variety.objects.filter(**of_type), "issue_id")
    found: dict[int, list[StoredIssue]] = {}
    for record in Issue.everything.filter(coin_type__in=ids).order_by("position", "pk"):
        described = [marks[row.mark_id] for row in borne.get(record.pk, [])]
        texts = [mark.text for mark in sorted(described, key=mark_identity)]
        bare: set[str] = set()
        if record.mark_text and record.mark_text != mark_text(texts):
            bare = set(filter(None, record.mark_text.split("+"))) - set(texts)
        on_it = sorted([*map(mark_identity, described), *bare])
        entry = e.IssueEntry(
            key=record.key,
            shown=record.shown,
            calendar=record.calendar,
            struck_from=record.struck_from,
            struck_to=record.struck_to,
            marks=tuple(on_it),
            purpose=record.purpose,
            fact=record.fact,
            mintage=record.mintage,
            note=record.note,
            position=record.position,
            references=_references(references.get(record.pk, [])),
            varieties=tuple(
                e.VarietyText(each.key, each.name, each.description)
                for each in sorted(varieties.get(record.pk, []), key=lambda each: each.key)
            ),
        )
        found.setdefault(record.coin_type_id, []).append(StoredIssue(record, entry))
    for of_record in found.values():
        of_record.sort(
            key=lambda i: (
                i.entry.struck_from is None, i.entry.struck_from or 0, i.entry.position,
                i.record.pk,
            )
        )  # fmt: skip
    return found
