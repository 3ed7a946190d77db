"""Load the types of a reference pack, with their faces, marks, issues and varieties, in bulk."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from series.entries.flat import as_fields, parts
from series.entries.marks import mark_text, text_of
from series.entries.stored_types import StoredIssue, StoredType, stored_types
from series.entries.tables import (
    FACES,
    IssueEntry,
    LegendText,
    MarkText,
    ReferenceText,
    TypeEntry,
    VarietyText,
)
from series.models import (
    CoinType,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Legend,
    Mark,
    Pack,
    Reference,
    Variety,
)
from series.packs.report import Report
from series.packs.writing_back import Change, Keys, planned, save_changed, withdraw

Marks = dict[int, dict[str, Mark]]
"""The marks of every type by its id and their identities."""


def load_types(entries: Sequence[TypeEntry], pack: Pack, keys: Keys, report: Report) -> list[int]:
    """Load the types; return the ids of those that were added or changed in any part."""
    types = CoinType.everything.filter(pack=pack)
    list(types.order_by().select_for_update().values_list("pk"))
    stored = stored_types(types)
    at_hand = {key: (each.record, each.entry) for key, each in stored.items()}
    changes = planned("types", entries, at_hand, lambda _new: CoinType(pack=pack), report)
    _save(CoinType, changes, keys)
    _save_faces(changes, stored, keys)
    _save_references([c for c in changes if "references" in c.values], "coin_type")
    marks = _save_marks(changes, stored, keys)
    records = {key: each.record for key, each in stored.items() if each.record.deleted_at is None}
    records |= {change.record.key: change.record for change in changes if change.is_new}
    touched = {change.record.pk for change in changes}
    there = [(records[entry.key], entry) for entry in entries if entry.key in records]
    touched |= _load_issues(there, stored, marks, keys, report)
    touched |= _withdraw_types(entries, stored, report)
    _drop_marks(changes, stored)
    return sorted(touched)


def _save(model: Any, changes: list[Change], keys: Keys) -> None:
    """Save the columns of types or issues, new ones and old ones."""
    for change in changes:
        change.set_values(keys)
    new = [change.record for change in changes if change.is_new]
    model.everything.bulk_create(new, batch_size=500)
    save_changed([change.record for change in changes if not change.is_new])


def _save_faces(changes: list[Change], stored: dict[str, StoredType], keys: Keys) -> None:
    """Make the faces that are missing and save what changed on the others."""
    new: list[Face] = []
    old: list[Face] = []
    rows: list[tuple[Face, str, Any]] = []
    for change in changes:
        faces = {} if change.is_new else stored[change.record.key].faces
        for side, name in FACES.items():
            said = dict(parts(change.values, name))
            if not said or (side not in faces and side == "edge" and not any(said.values())):
                continue
            face = faces.get(side) or Face(coin_type=change.record, side=side.value)
            rows += [(face, part, said.pop(part)) for part in _ROWS if part in said]
            for column, value in said.items():
                setattr(face, column, value)
            (old if face.pk else new).append(face)
    Face.everything.bulk_create(new, batch_size=500)
    save_changed(old)
    _save_rows(rows, {face.pk for face in old}, keys)


_ROWS = ("legends", "motifs", "designers", "engravers")
"""What of a face stands in rows of its own."""


def _save_rows(rows: list[tuple[Face, str, Any]], old: set[int], keys: Keys) -> None:
    """Legends, motifs and people of faces; those of a face that was there before are replaced."""
    made: dict[Any, list[Any]] = {Legend: [], FaceMotif: [], FacePerson: []}
    for face, name, said in rows:
        before: dict[str, Any] = {"face": face}
        if name == "legends":
            model: Any = Legend
            fields = [{"position": n, **as_fields(LegendText, row)} for n, row in enumerate(said)]
        elif name == "motifs":
            model = FaceMotif
            fields = [{"motif_id": keys["motifs"][key], "note": note} for key, note in said]
        else:
            model = FacePerson
            before["role"] = name.removesuffix("s")
            fields = [{"person_id": keys["people"][key]} for key in said]
        if face.pk in old:
            model.objects.filter(**before).delete()
        made[model] += [model(**before, **each) for each in fields]
    for model, records in made.items():
        model.objects.bulk_create(records)


def _save_references(changes: list[Change], owner: str) -> None:
    """Replace the references of types (``coin_type``) or issues (``issue``)."""
    if before := [change.record.pk for change in changes if not change.is_new]:
        Reference.objects.filter(**{f"{owner}__in": before}).delete()
    Reference.objects.bulk_create(
        Reference(**{owner: change.record}, **as_fields(ReferenceText, row))
        for change in changes
        for row in change.values["references"]
    )


def _save_marks(changes: list[Change], stored: dict[str, StoredType], keys: Keys) -> Marks:
    """The marks of every type, new and changed ones saved."""
    found = {each.record.pk: dict(each.marks) for each in stored.values()}
    new: list[Mark] = []
    for change in changes:
        marks = found.setdefault(change.record.pk, {})
        for identity, row in parts(change.values, "marks"):
            said = as_fields(MarkText, row)
            mint, person = said.pop("mint"), said.pop("person")
            mark = marks.setdefault(identity, Mark(coin_type=change.record))
            for name, value in said.items():
                setattr(mark, name, value)
            mark.mint_id = keys["mints"][mint] if mint else None
            mark.person_id = keys["people"][person] if person else None
            if mark.pk:
                mark.save()
            else:
                new.append(mark)
    Mark.objects.bulk_create(new)
    return found


def _drop_marks(changes: list[Change], stored: dict[str, StoredType]) -> None:
    """Take out the marks that the pack no longer has, unless an issue still bears them."""
    for change in changes:
        gone = dict(parts(dict.fromkeys(change.gone), "marks"))
        if gone:
            marks = stored[change.record.key].marks
            dropped = [mark.pk for identity, mark in marks.items() if identity in gone]
            Mark.objects.filter(pk__in=dropped, issues__isnull=True).delete()


def _load_issues(
    entries: list[tuple[CoinType, TypeEntry]],
    stored: dict[str, StoredType],
    marks: Marks,
    keys: Keys,
    report: Report,
) -> set[int]:
    """Load the issues of all types; return the ids of the types in which any changed."""
    changes: list[Change] = []
    reordered: list[Issue] = []
    renamed: list[Issue] = []
    gone: list[Issue] = []
    for record, entry in entries:
        at_hand = stored[entry.key].issues if entry.key in stored else {}
        renamed += _renamed(entry.issues, at_hand)
        own = planned(
            "issues",
            entry.issues,
            {key: (each.record, each.entry) for key, each in at_hand.items()},
            partial(_new_issue, record),
            report,
            f"{entry.key} ",
        )
        if any(change.is_new for change in own):
            reordered += _reordered(entry.issues, {k: i.record for k, i in at_hand.items()})
        changes += own
        names = {new.key for new in entry.issues}
        gone += [i.record for k, i in at_hand.items() if k not in names and i.record.loaded]
    Issue.everything.bulk_update(renamed, ["key"], batch_size=200)
    _save_issues(changes, marks, keys)
    Issue.everything.bulk_update(reordered, ["position"], batch_size=200)
    withdrawn = withdraw(gone, "issues", report)
    return {issue.coin_type_id for issue in (*(c.record for c in changes), *withdrawn)}


def _new_issue(coin_type: CoinType, entry: IssueEntry) -> Issue:
    return Issue(coin_type=coin_type, position=entry.position)


def _renamed(entries: Sequence[IssueEntry], at_hand: dict[str, StoredIssue]) -> list[Issue]:
    """Stored issues given the key that the pack now has for them, so that holdings stay on them.

    An issue whose key is gone and one whose key is new are the same if they show the same date
    with the same marks, struck in the same years for the same purpose.
    """

    def bears(issue: IssueEntry) -> tuple[object, ...]:
        years = (issue.struck_from, issue.struck_to)
        return issue.shown, tuple(sorted(issue.marks)), years, issue.purpose

    named = {entry.key for entry in entries}
    left = {
        bears(each.entry): key
        for key, each in at_hand.items()
        if key not in named and each.record.loaded
    }
    found = []
    for entry in entries:
        if entry.key not in at_hand and (key := left.pop(bears(entry), None)) is not None:
            at_hand[entry.key] = at_hand.pop(key)
            at_hand[entry.key].record.key = entry.key
            found.append(at_hand[entry.key].record)
    return found


def _reordered(entries: Sequence[IssueEntry], records: dict[str, Issue]) -> list[Issue]:
    """The stored issues that stand in another place now that there are more."""
    found = []
    for entry in entries:
        record = records.get(entry.key)
        if record is not None and record.position != entry.position:
            record.position = entry.position
            found.append(record)
    return found


def _save_issues(changes: list[Change], marks: Marks, keys: Keys) -> None:
    for change in changes:
        if "marks" in change.values:
            change.record.mark_text = mark_text([text_of(name) for name in change.values["marks"]])
    _save(Issue, changes, keys)
    _save_references(
        [
            c
            for c in changes
            if c.values.get("references") or (not c.is_new and "references" in c.values)
        ],
        "issue",
    )
    _save_issue_marks([change for change in changes if "marks" in change.values], marks)
    for change in changes:
        _save_varieties(change)


def _save_issue_marks(changes: list[Change], marks: Marks) -> None:
    through = Issue.marks.through
    before = [change.record.pk for change in changes if not change.is_new]
    if before:
        through._default_manager.filter(issue__in=before).delete()
    through._default_manager.bulk_create(
        through(issue=change.record, mark=of_type[name])
        for change in changes
        for of_type in (marks.get(change.record.coin_type_id, {}),)
        for name in change.values["marks"]
        if name in of_type
    )


def _save_varieties(change: Change) -> None:
    for key, row in parts(change.values, "varieties"):
        said = {**as_fields(VarietyText, row), "deleted_at": None}
        Variety.everything.update_or_create(issue=change.record, key=key, defaults=said)
    for key, _nothing in parts(dict.fromkeys(change.gone), "varieties"):
        for variety in Variety.objects.filter(issue=change.record, key=key):
            variety.bin()


def _withdraw_types(
    entries: Sequence[TypeEntry], stored: dict[str, StoredType], report: Report
) -> set[int]:
    """Mark the types that are gone, and their issues with them."""
    names = {entry.key for entry in entries}
    gone = [each for key, each in stored.items() if key not in names]
    types = withdraw([each.record for each in gone], "types", report)
    issues = withdraw(
        [i.record for each in gone for i in each.issues.values() if i.record.loaded],
        "issues", report,
    )  # fmt: skip
    return {each.pk for each in types} | {issue.coin_type_id for issue in issues}
