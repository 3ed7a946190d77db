"""Read stored types, with faces, marks and issues, back as the plain records of a pack."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import QuerySet

from series.entries import tables
from series.entries.marks import mark_text
from series.entries.stored import grouped, stored, with_named
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


@dataclass
class StoredIssue:
    record: Issue
    entry: tables.IssueEntry

    @property
    def is_live(self) -> bool:
        """Neither withdrawn nor in the bin."""
        return not self.record.withdrawn and self.record.deleted_at is None


@dataclass
class StoredType:
    """A type with what hangs on it; issues by key, the binned and withdrawn among them."""

    record: CoinType
    entry: tables.TypeEntry
    faces: dict[str, Face] = field(default_factory=dict)
    marks: dict[str, Mark] = field(default_factory=dict)
    issues: dict[str, StoredIssue] = field(default_factory=dict)


def stored_types(types: QuerySet[Any]) -> dict[str, StoredType]:
    """The types of a queryset by key; the number of queries does not depend on how many.

    The entry's issues are those neither withdrawn nor in the bin.
    """
    ids = types.order_by().values("pk")
    faces = _Faces(ids)
    marks = grouped(with_named(tables.MarkText, Mark.objects.filter(coin_type__in=ids)),
                    "coin_type_id")  # fmt: skip
    references = grouped(Reference.objects.filter(coin_type__in=ids), "coin_type_id")
    issues = _stored_issues(ids, {m.pk: m for each in marks.values() for m in each})
    found: dict[str, StoredType] = {}
    for record in with_named(tables.TypeEntry, types).order_by("key"):
        of_record = issues.get(record.pk, [])
        by_identity = {mark_identity(mark): mark for mark in marks.get(record.pk, [])}
        live = tuple(each.entry for each in of_record if each.is_live)
        entry = stored(
            tables.TypeEntry,
            record,
            **{name: faces.of(record.pk, side) for side, name in tables.FACES.items()},
            **({"first_year": None, "last_year": None} if live else {}),
            marks=_marks(by_identity, live),
            references=_references(references.get(record.pk, [])),
            issues=live,
        )
        by_key = {each.record.key: each for each in of_record}
        on_sides = faces.by_type.get(record.pk, {})
        found[record.key] = StoredType(record, entry, on_sides, by_identity, by_key)
    return found


def mark_identity(mark: Mark) -> str:
    return tables.MarkText(mark.text, mark.side, mark.kind).identity


class _Faces:
    """The faces of types with what stands in rows of its own."""

    def __init__(self, ids: QuerySet[Any]) -> None:
        self.by_type: dict[int, dict[str, Face]] = {}
        for face in Face.everything.filter(coin_type__in=ids):
            self.by_type.setdefault(face.coin_type_id, {})[face.side] = face
        of_type = {"face__coin_type__in": ids}
        self.legends = grouped(Legend.objects.filter(**of_type), "face_id")
        shown = FaceMotif.objects.filter(**of_type).select_related("motif")
        self.shown = grouped(shown, "face_id")
        credits = FacePerson.objects.filter(**of_type).select_related("person")
        self.credits = grouped(credits, "face_id")

    def of(self, coin_type: int, side: str) -> tables.FaceText:
        face = self.by_type.get(coin_type, {}).get(side)
        if face is None:
            return tables.FaceText()
        motifs = [stored(tables.Shown, each) for each in self.shown.get(face.pk, [])]
        return stored(
            tables.FaceText,
            face,
            legends=tuple(stored(tables.LegendText, e) for e in self.legends.get(face.pk, [])),
            motifs=tuple(sorted(motifs, key=lambda each: each.motif)),
            designers=self._people(face, FacePerson.Role.DESIGNER),
            engravers=self._people(face, FacePerson.Role.ENGRAVER),
        )

    def _people(self, face: Face, role: str) -> tuple[str, ...]:
        credits = self.credits.get(face.pk, [])
        return tuple(sorted(each.person.key for each in credits if each.role == role))


def _marks(
    described: dict[str, Mark], issues: Iterable[tables.IssueEntry]
) -> tuple[tables.MarkText, ...]:
    """The marks of a type, and those that are only named by its issues."""
    named = {mark for issue in issues for mark in issue.marks if mark not in described}
    marks = [stored(tables.MarkText, mark) for mark in described.values()]
    marks += [tables.MarkText(text) for text in named]
    return tuple(sorted(marks, key=lambda mark: mark.identity))


def _references(records: list[Reference]) -> tuple[tables.ReferenceText, ...]:
    found = {stored(tables.ReferenceText, each) for each in records}
    return tuple(sorted(found, key=lambda each: (each.work, each.number, each.edition)))


def _varieties(records: list[Variety]) -> tuple[tables.VarietyText, ...]:
    found = [stored(tables.VarietyText, each) for each in records]
    return tuple(sorted(found, key=lambda each: each.key))


def _stored_issues(ids: Any, marks: dict[int, Mark]) -> dict[int, list[StoredIssue]]:
    """The issues of the types ``ids`` by the id of the type, in order."""
    of_type = {"issue__coin_type__in": ids}
    borne = grouped(Issue.marks.through._default_manager.filter(**of_type), "issue_id")
    references = grouped(Reference.objects.filter(**of_type), "issue_id")
    varieties = grouped(Variety.objects.filter(**of_type), "issue_id")
    found: dict[int, list[StoredIssue]] = {}
    for record in Issue.everything.filter(coin_type__in=ids).order_by("position", "pk"):
        entry = stored(
            tables.IssueEntry,
            record,
            marks=_borne(record, [marks[row.mark_id] for row in borne.get(record.pk, [])]),
            references=_references(references.get(record.pk, [])),
            varieties=_varieties(varieties.get(record.pk, [])),
        )
        found.setdefault(record.coin_type_id, []).append(StoredIssue(record, entry))
    for of_record in found.values():
        of_record.sort(key=lambda each: each.entry.order)
    return found


def _borne(record: Issue, described: list[Mark]) -> tuple[str, ...]:
    """The marks on an issue by identity, those of which only the text is kept among them."""
    texts = [mark.text for mark in sorted(described, key=mark_identity)]
    bare: set[str] = set()
    if record.mark_text and record.mark_text != mark_text(texts):
        bare = set(filter(None, record.mark_text.split("+"))) - set(texts)
    return tuple(sorted([*map(mark_identity, described), *bare]))
