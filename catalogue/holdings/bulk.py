"""Changing many holdings at once: all of them, or none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.holdings.changes import note_holdings
from catalogue.holdings.grades import rank
from catalogue.holdings.records import HoldingError, join
from catalogue.models import Holding, HoldingProblem, Place

_BATCH = 500


@dataclass(frozen=True)
class Changes:
    """What is to change; None (or an empty text) leaves a thing as it is."""

    place: Place | None = None
    no_place: bool = False
    spare: bool | None = None
    visibility: str = ""
    scale: str = ""
    grade: str = ""
    add_problem: str = ""
    remove_problem: str = ""

    @property
    def nothing(self) -> bool:
        return self == Changes()

    def in_words(self) -> list[str]:
        """One sentence for each change."""
        words = []
        if self.no_place:
            words.append(_("no place"))
        elif self.place is not None:
            words.append(_("kept in %(place)s") % {"place": self.place})
        if self.spare is not None:
            words.append(_("spare") if self.spare else _("not spare"))
        if self.visibility:
            shown = Holding.Visibility(self.visibility).label
            words.append(_("seen by %(whom)s") % {"whom": shown})
        if self.grade:
            words.append(_("graded %(grade)s") % {"grade": self.grade})
        kinds = HoldingProblem.Kind
        if self.add_problem:
            words.append(_("with the problem: %(p)s") % {"p": kinds(self.add_problem).label})
        if self.remove_problem:
            words.append(_("without the problem: %(p)s") % {"p": kinds(self.remove_problem).label})
        return words


@transaction.atomic
def change_all(holdings: QuerySet[Holding], changes: Changes) -> int:
    """Change all of these holdings (of one owner); returns how many."""
    ids = list(holdings.order_by().values_list("pk", flat=True))
    fields: dict[str, Any] = {}
    if changes.no_place or changes.place is not None:
        fields["place"] = None if changes.no_place else changes.place
    if changes.spare is not None:
        fields["spare"] = changes.spare
    if changes.visibility:
        fields["visibility"] = changes.visibility
    if changes.grade:
        fields |= {"grade": changes.grade, "grade_scale": changes.scale}
        fields["grade_rank"] = rank(changes.scale, changes.grade)
    for start in range(0, len(ids), _BATCH):
        rows = Holding.objects.filter(pk__in=ids[start : start + _BATCH])
        if changes.grade:
            _refuse_other_scale(rows, changes.scale)
        if changes.spare is False:
            _refuse_promised(rows)
        rows.update(row_version=F("row_version") + 1, changed_at=timezone.now(), **fields)
        problems = HoldingProblem.objects.filter(holding__in=ids[start : start + _BATCH])
        if changes.add_problem:
            had = set(
                problems.filter(kind=changes.add_problem).values_list("holding_id", flat=True)
            )
            HoldingProblem.objects.bulk_create(
                HoldingProblem(holding_id=pk, kind=changes.add_problem)
                for pk in ids[start : start + _BATCH]
                if pk not in had
            )
        if changes.remove_problem:
            problems.filter(kind=changes.remove_problem).delete()
    note_holdings(ids)
    return len(ids)


def _refuse_other_scale(rows: QuerySet[Holding], scale: str) -> None:
    sided = rows.exclude(grade_obverse="", grade_reverse="").exclude(grade_scale=scale).first()
    if sided is not None:
        raise HoldingError(
            _("The sides of %(number)s are graded on another scale; change that piece by itself.")
            % {"number": sided.accession}
        )


def _refuse_promised(rows: QuerySet[Holding]) -> None:
    promised = rows.filter(reservation__isnull=False).first()
    if promised is not None:
        raise HoldingError(
            _("%(number)s is promised to another member; take the promise back first.")
            % {"number": promised.accession}
        )


@transaction.atomic
def bin_all(holdings: QuerySet[Holding]) -> int:
    """Put all of these holdings into the bin; returns how many."""
    ids = list(holdings.order_by().values_list("pk", flat=True))
    _refuse_promised(holdings)
    for start in range(0, len(ids), _BATCH):
        Holding.objects.filter(pk__in=ids[start : start + _BATCH]).update(
            deleted_at=timezone.now(), row_version=F("row_version") + 1
        )
    note_holdings(ids)
    return len(ids)


@transaction.atomic
def join_all(holdings: QuerySet[Holding]) -> Holding:
    """Make one lot of these; the one with the first number keeps it."""
    return join(holdings.select_for_update().order_by("accession", "pk"))
