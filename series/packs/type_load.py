"""Load the types of a reference pack, with their faces, marks, issues and varieties, in bulk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from series.dates.issue_keys import mark_text
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
from series.packs.entries import IssueEntry, TypeEntry, flat, text_of
from series.packs.report import Report
from series.packs.stored_types import SIDES, StoredIssue, StoredType, stored_types
from series.packs.writing_back import save_changed, set_value, settle, withdraw

Keys = dict[str, dict[str, int]]


@dataclass
class _Change:
    """A type or issue to be saved: its record, and what to store and take out."""

    record: Any
    stored: StoredType | None
    values: dict[str, Any]
    gone: tuple[str, ...] = ()


def load_types(entries: Sequence[TypeEntry], pack: Pack, keys: Keys, report: Report) -> list[int]:
    """Load the types; return the ids of those that were added or changed in any part."""
    types = CoinType.everything.filter(pack=pack)
    list(types.order_by().select_for_update().values_list("pk"))
    stored = stored_types(types)
    changes = _type_changes(entries, stored, pack, report)
    added = [change for change in changes if change.stored is None]
    for change in changes:
        for path, value in change.values.items():
            set_value(change.record, path, value, keys)
    CoinType.everything.bulk_create([change.record for change in added], batch_size=500)
    save_changed([change.record for change in changes if change.stored is not None])
    _save_faces(changes, keys)
    _save_references([c for c in changes if "references" in c.values], "coin_type")
    marks = _save_marks(changes, stored, keys)
    records = {key: each.record for key, each in stored.items()}
    records |= {change.record.key: change.record for change in added}
    binned = {key for key, each in stored.items() if each.record.deleted_at is not None}
    touched = {change.record.pk for change in changes}
    touched |= _load_issues(
        [(records[entry.key], entry) for entry in entries if entry.key not in binned],
        stored, marks, report,
    )  # fmt: skip
    touched |= _withdraw_types(entries, stored, report)
    _drop_marks(changes)
    return sorted(touched)


def _type_changes(
    entries: Sequence[TypeEntry], stored: dict[str, StoredType], pack: Pack, report: Report
) -> list[_Change]:
    changes = []
    for entry in entries:
        values = flat(entry)
        if entry.key not in stored:
            record = CoinType(key=entry.key, pack=pack, loaded=values)
            changes.append(_Change(record, None, values))
            report.count("types", "added")
            continue
        at_hand = stored[entry.key]
        merged = settle("types", at_hand.record, flat(at_hand.entry), values, report)
        if merged is not None:
            changes.append(_Change(at_hand.record, at_hand, merged.changed, merged.gone))
    return changes


def _save_faces(changes: list[_Change], keys: Keys) -> None:
    """Make the faces that are missing and save what changed on the others."""
    new: list[Face] = []
    old: list[Face] = []
    parts: list[tuple[Face, str, Any]] = []
    for change in changes:
        faces = change.stored.faces if change.stored else {}
        for side, prefix in SIDES.items():
            said = {
                path.partition(".")[2]: value
                for path, value in change.values.items()
                if path.startswith(f"{prefix}.")
            }
            if side not in faces and side == "edge" and not any(said.values()):
                continue
            if side in faces and not said:
                continue
            face = faces.get(side) or Face(coin_type=change.record, side=side)
            for name, value in said.items():
                if name in ("legends", "motifs", "designers", "engravers"):
                    parts.append((face, name, value))
                else:
                    setattr(face, name, value)
            (old if face.pk else new).append(face)
    Face.everything.bulk_create(new, batch_size=500)
    save_changed(old)
    _save_parts(parts, {face.pk for face in old}, keys)


def _save_parts(parts: list[tuple[Face, str, Any]], old: set[int], keys: Keys) -> None:
    """Legends, motifs and people of faces; those of a face that was there before are replaced."""
    legends: list[Legend] = []
    motifs: list[FaceMotif] = []
    people: list[FacePerson] = []
    for face, name, value in parts:
        role = name.removesuffix("s")
        if name == "legends":
            if face.pk in old:
                Legend.objects.filter(face=face).delete()
            legends += [
                Legend(
                    face=face, text=text, script=script, transliteration=transliteration,
                    translation=translation, position=position,
                )
                for position, (text, script, transliteration, translation) in enumerate(value)
            ]  # fmt: skip
        elif name == "motifs":
            if face.pk in old:
                FaceMotif.objects.filter(face=face).delete()
            motifs += [
                FaceMotif(face=face, motif_id=keys["motifs"][key], note=note) for key, note in value
            ]
        else:
            if face.pk in old:
                FacePerson.objects.filter(face=face, role=role).delete()
            people += [
                FacePerson(face=face, person_id=keys["people"][key], role=role) for key in value
            ]
    Legend.objects.bulk_create(legends)
    FaceMotif.objects.bulk_create(motifs)
    FacePerson.objects.bulk_create(people)


def _save_references(changes: list[_Change], owner: str) -> None:
    """Replace the references of types (``coin_type``) or issues (``issue``)."""
    before = [change.record.pk for change in changes if change.stored is not None]
    if before:
        Reference.objects.filter(**{f"{owner}__in": before}).delete()
    Reference.objects.bulk_create(
        Reference(**{owner: change.record}, work=work, number=number, edition=edition)
        for change in changes
        for work, number, edition in change.values["references"]
    )


def _save_marks(
    changes: list[_Change], stored: dict[str, StoredType], keys: Keys
) -> dict[int, dict[str, Mark]]:
    """The marks of every type by its id and their identities, new and changed ones saved."""
    found = {each.record.pk: dict(each.marks) for each in stored.values()}
    new: list[Mark] = []
    for change in changes:
        marks = found.setdefault(change.record.pk, {})
        for path, value in change.values.items():
            if not path.startswith("marks."):
                continue
            identity = path.removeprefix("marks.")
            text, side, kind, clock, near, mint, person, on_all = value
            mark = marks.get(identity) or Mark(
                coin_type=change.record, kind=kind, text=text, side=side
            )
            mark.clock, mark.near, mark.on_all = clock, near, on_all
            mark.mint_id = keys["mints"][mint] if mint else None
            mark.person_id = keys["people"][person] if person else None
            marks[identity] = mark
            if mark.pk:
                mark.save()
            else:
                new.append(mark)
    Mark.objects.bulk_create(new)
    return found


def _drop_marks(changes: list[_Change]) -> None:
    """Take out the marks that the pack no longer has, unless an issue still bears them."""
    for change in changes:
        gone = {path.removeprefix("marks.") for path in change.gone if path.startswith("marks.")}
        if gone and change.stored:
            dropped = [mark.pk for key, mark in change.stored.marks.items() if key in gone]
            Mark.objects.filter(pk__in=dropped, issues__isnull=True).delete()


def _load_issues(
    entries: list[tuple[CoinType, TypeEntry]],
    stored: dict[str, StoredType],
    marks: dict[int, dict[str, Mark]],
    report: Report,
) -> set[int]:
    """Load the issues of all types; return the ids of the types in which any changed."""
    changes: list[_Change] = []
    reordered: list[Issue] = []
    renamed: list[Issue] = []
    gone: list[Issue] = []
    for record, entry in entries:
        at_hand = stored[entry.key].issues if entry.key in stored else {}
        renamed += _renamed(entry.issues, at_hand)
        added = False
        for new in entry.issues:
            values = flat(new)
            if new.key not in at_hand:
                added = True
                issue = Issue(coin_type=record, key=new.key, loaded=values, position=new.position)
                changes.append(_Change(issue, None, values))
                continue
            issue = at_hand[new.key].record
            merged = settle(
                "issues", issue, flat(at_hand[new.key].entry), values, report,
                f"{entry.key} {new.key}",
            )  # fmt: skip
            if merged is not None:
                changes.append(_Change(issue, stored[entry.key], merged.changed, merged.gone))
        if added:
            reordered += _reordered(entry.issues, {k: i.record for k, i in at_hand.items()})
        names = {new.key for new in entry.issues}
        gone += [i.record for k, i in at_hand.items() if k not in names and i.record.loaded]
    Issue.everything.bulk_update(renamed, ["key"], batch_size=200)
    _save_issues(changes, marks, report)
    Issue.everything.bulk_update(reordered, ["position"], batch_size=200)
    withdrawn = withdraw(gone, "issues", report)
    return {change.record.coin_type_id for change in changes} | {
        issue.coin_type_id for issue in withdrawn
    }


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


def _save_issues(changes: list[_Change], marks: dict[int, dict[str, Mark]], report: Report) -> None:
    added = [change for change in changes if change.stored is None]
    for change in changes:
        for path, value in change.values.items():
            if path == "marks":
                change.record.mark_text = mark_text([text_of(name) for name in value])
            elif path != "references" and "." not in path:
                setattr(change.record, path, value)
    Issue.everything.bulk_create([change.record for change in added], batch_size=500)
    report.count("issues", "added", len(added))
    save_changed([change.record for change in changes if change.stored is not None])
    _save_references(
        [
            c
            for c in changes
            if c.values.get("references") or (c.stored and "references" in c.values)
        ],
        "issue",
    )
    _save_issue_marks([change for change in changes if "marks" in change.values], marks)
    _save_varieties(changes)


def _save_issue_marks(changes: list[_Change], marks: dict[int, dict[str, Mark]]) -> None:
    through = Issue.marks.through
    before = [change.record.pk for change in changes if change.stored is not None]
    if before:
        through._default_manager.filter(issue__in=before).delete()
    through._default_manager.bulk_create(
        through(issue=change.record, mark=of_type[name])
        for change in changes
        for of_type in (marks.get(change.record.coin_type_id, {}),)
        for name in change.values["marks"]
        if name in of_type
    )


def _save_varieties(changes: list[_Change]) -> None:
    new: list[Variety] = []
    for change in changes:
        for path, (name, description) in (
            item for item in change.values.items() if item[0].startswith("varieties.")
        ):
            key = path.removeprefix("varieties.")
            if change.stored is None:
                new.append(
                    Variety(issue=change.record, key=key, name=name, description=description)
                )
            else:
                Variety.everything.update_or_create(
                    issue=change.record,
                    key=key,
                    defaults={"name": name, "description": description, "deleted_at": None},
                )
        for path in change.gone:
            if path.startswith("varieties."):
                key = path.removeprefix("varieties.")
                for variety in Variety.objects.filter(issue=change.record, key=key):
                    variety.bin()
    Variety.everything.bulk_create(new)


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
