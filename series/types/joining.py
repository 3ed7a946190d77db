"""Two records of one type become one: what hangs on the double moves to the type that is kept.

Nothing is deleted. Issues that both have, by date shown, marks and purpose, become the kept
one's; the others move over with their marks. Upper apps hear ``types_joined`` in the same
transaction and let holdings, wants and values follow.
"""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from series.dates.issue_keys import numbered
from series.entries.stored_types import mark_identity
from series.models import CoinType, Face, Issue, Mark, Reference, Variety
from series.signals import types_joined
from series.text.keys import key_from
from series.types.dates_editing import looks_of, more_of
from series.types.editing import settle


class JoinRefused(Exception):
    """The two types cannot be joined; the message says why."""


def join_types(gone: CoinType, kept: CoinType) -> dict[int, int]:
    """Join ``gone`` to ``kept``, all or nothing; return what the id of each issue became."""
    with transaction.atomic():
        both = CoinType.everything.select_for_update().filter(pk__in=[gone.pk, kept.pk])
        list(both.order_by("pk"))
        gone.refresh_from_db()
        kept.refresh_from_db()
        _check(gone, kept)
        issue_map, variety_map = _join_issues(gone, kept)
        types_joined.send(
            sender=CoinType,
            gone=gone,
            kept=kept,
            issue_map=issue_map,
            variety_map=variety_map,
        )
        _join_references(gone, kept)
        _join_pictures(gone, kept)
        CoinType.everything.filter(joined_to=gone).update(joined_to=kept)
        gone.standing = CoinType.Standing.JOINED
        gone.joined_to = kept
        gone.save()
        kept.save()
        settle([gone.pk, kept.pk])
    return issue_map


def _check(gone: CoinType, kept: CoinType) -> None:
    joined = CoinType.Standing.JOINED
    if gone.pk == kept.pk:
        raise JoinRefused(_("A type cannot be joined to itself: choose the other one."))
    if gone.standing == joined:
        raise JoinRefused(_("It is joined to another type already."))
    if kept.standing == joined or kept.deleted_at is not None:
        raise JoinRefused(_("The type to keep is itself joined or in the bin: choose another."))


def _surely(issue: Issue) -> tuple[object, ...]:
    return *looks_of(issue), *more_of(issue)


def _join_issues(gone: CoinType, kept: CoinType) -> tuple[dict[int, int], dict[int, int]]:
    mine = list(Issue.everything.filter(coin_type=gone).order_by("position", "pk"))
    free = sorted(
        Issue.everything.filter(coin_type=kept),
        key=lambda i: (i.deleted_at is not None, i.withdrawn, i.position, i.pk),
    )
    keys = {issue.key for issue in free}
    pairs: dict[int, Issue] = {}
    for alike in (_surely, looks_of):
        for issue in mine:
            if issue.pk not in pairs:
                found = next((other for other in free if alike(other) == alike(issue)), None)
                if found is not None:
                    pairs[issue.pk] = found
                    free.remove(found)
    issue_map: dict[int, int] = {}
    variety_map: dict[int, int] = {}
    for issue in mine:
        other = pairs.get(issue.pk)
        issue_map[issue.pk] = other.pk if other else issue.pk
        if other is None:
            _move(issue, kept, keys)
        else:
            variety_map |= _merge(issue, other)
    return issue_map, variety_map


def _move(issue: Issue, kept: CoinType, keys: set[str]) -> None:
    """An issue that only the double has goes over with its marks, varieties and references."""
    marks = [_mark_on(kept, mark) for mark in issue.marks.all()]
    key = numbered(issue.key, keys)
    keys.add(key)
    issue.coin_type, issue.key, issue.loaded = kept, key, {}
    issue.save()
    issue.marks.set(marks)


def _mark_on(kept: CoinType, mark: Mark) -> Mark:
    """The same mark on the kept type, made if it has none like it."""
    for other in kept.marks.all():
        if mark_identity(other) == mark_identity(mark):
            return other
    copied = {f.name: getattr(mark, f.name) for f in Mark._meta.concrete_fields if f.name != "id"}
    return Mark.objects.create(**{**copied, "coin_type": kept})


def _merge(issue: Issue, other: Issue) -> dict[int, int]:
    """What the double knows of an issue and the kept type does not; the issue is then binned."""
    if issue.deleted_at is None:
        other.deleted_at = None
        other.withdrawn = other.withdrawn and issue.withdrawn
        if other.fact == Issue.Fact.NOT_RECORDED:
            other.fact = issue.fact
        if other.mintage is None and other.fact == Issue.Fact.STRUCK:
            other.mintage = issue.mintage
        other.note = other.note or issue.note
    other.save()
    varieties = {each.key: each for each in Variety.everything.filter(issue=other)}
    moved: dict[int, int] = {}
    for variety in Variety.everything.filter(issue=issue):
        same = next((v for v in varieties.values() if v.name == variety.name), None)
        if same is not None:
            if same.deleted_at is not None and variety.deleted_at is None:
                same.take_back()
            moved[variety.pk] = same.pk
            continue
        key = numbered(variety.key or key_from(variety.name), varieties)
        variety.issue, variety.key = other, key
        variety.save()
        varieties[key] = variety
    _move_references("issue", issue, other)
    if issue.deleted_at is None:
        issue.bin()
    return moved


def _join_references(gone: CoinType, kept: CoinType) -> None:
    _move_references("coin_type", gone, kept)
    said = [*kept.citations]
    kept.citations = said + [each for each in gone.citations if each not in said]


def _move_references(name: str, old: CoinType | Issue, new: CoinType | Issue) -> None:
    has = {(r.work, r.edition, r.number) for r in Reference.objects.filter(**{name: new})}
    for reference in Reference.objects.filter(**{name: old}):
        if (reference.work, reference.edition, reference.number) not in has:
            setattr(reference, name, new)
            reference.save()


def _join_pictures(gone: CoinType, kept: CoinType) -> None:
    """A picture of a face of which the kept type has none."""
    faces = {face.side: face for face in Face.objects.filter(coin_type=kept)}
    for face in Face.objects.filter(coin_type=gone).exclude(picture=""):
        other = faces.get(face.side)
        if other is not None and not other.picture:
            other.picture, other.picture_credit = face.picture, face.picture_credit
            other.save()
