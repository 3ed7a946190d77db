"""What a bulk change does to each holding, worked out before anything is changed.

A holding for which one of the changes does not fit is left as it is, with all of them: the reason
is said in words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from catalogue.holdings.actions import HoldingError, derive, why_promised
from catalogue.holdings.bulk.dates import Dates, LeftAlone
from catalogue.models import Holding, HoldingProblem
from series.models import CoinType

MOST = 5000


@dataclass(frozen=True)
class Changes:
    """What is to change; None (or an empty text) leaves a thing as it is.

    An empty ``date`` clears it. ``as_read``: a date that is none of the type's is kept as it was
    read; else the piece is left alone. ``values`` are those of other fields, by name.
    """

    coin_type: CoinType | None = None
    date: str | None = None
    as_read: bool = False
    values: Mapping[str, Any] = field(default_factory=dict)
    add_problem: str = ""
    remove_problem: str = ""


class Step(NamedTuple):
    """One thing that changes on one holding, in words."""

    what: str
    was: str
    becomes: str


@dataclass
class Planned:
    """A holding with what it becomes (already set on it, unsaved), and the same in words."""

    holding: Holding
    steps: list[Step] = field(default_factory=list)
    fields: set[str] = field(default_factory=set)
    add_problem: str = ""
    remove_problem: str = ""

    def set(self, values: Mapping[str, Any], *names: str) -> bool:
        """Give these fields their values, if they have any; whether one was not so already."""
        found = {
            n: values[n] for n in names if n in values and values[n] != getattr(self.holding, n)
        }
        for name, value in found.items():
            setattr(self.holding, name, value)
        self.fields |= set(found)
        return bool(found)

    def change(
        self, what: str, words: Callable[[Holding], Any], values: Mapping[str, Any], *names: str
    ) -> None:
        """Change fields, and say in these words what the holding was and what it becomes."""
        was = words(self.holding)
        if self.set(values, *names):
            self.say(what, was, words(self.holding))

    def say(self, what: Any, was: Any, becomes: Any) -> None:
        nothing = _("none")
        self.steps.append(Step(str(what), str(was) or nothing, str(becomes) or nothing))


@dataclass(frozen=True)
class Plan:
    """What is changed, what is so already, and what is left alone with the reason."""

    changed: list[Planned]
    already: list[Holding]
    left: list[tuple[Holding, str]]

    @cached_property
    def versions(self) -> str:
        """Every holding looked at with the version it was seen at: "12-1,13-4"."""
        seen = [each.holding for each in self.changed]
        seen += [*self.already, *(holding for holding, _reason in self.left)]
        pairs = sorted((holding.pk, holding.row_version) for holding in seen)
        return ",".join(f"{pk}-{version}" for pk, version in pairs)


def plan_of(holdings: QuerySet[Holding], changes: Changes) -> Plan:
    """Work out the changes; a constant number of queries, and one for each type among them.

    Raises HoldingError when there are more holdings than MOST.
    """
    rows = list(
        holdings.select_related(
            "coin_type__denomination", "issue", "variety", "place", "reservation__wanted_by"
        ).order_by("accession", "pk")[: MOST + 1]
    )
    if len(rows) > MOST:
        raise HoldingError(_("Change at most %(n)d holdings at a time.") % {"n": MOST})
    problems = _problems(rows) if changes.add_problem or changes.remove_problem else {}
    dates = Dates(changes.coin_type, changes.date, changes.as_read)
    plan = Plan([], [], [])
    for holding in rows:
        planned = Planned(holding)
        try:
            _work_out(planned, changes, dates, problems.get(holding.pk, set()))
        except (LeftAlone, HoldingError) as reason:
            plan.left.append((holding, str(reason)))
            continue
        if planned.steps:
            plan.changed.append(planned)
        else:
            plan.already.append(holding)
    return plan


def _problems(rows: Iterable[Holding]) -> dict[int, set[str]]:
    found: dict[int, set[str]] = {}
    had = HoldingProblem.objects.filter(holding__in=[row.pk for row in rows])
    for pk, kind in had.values_list("holding_id", "kind"):
        found.setdefault(pk, set()).add(kind)
    return found


def _work_out(planned: Planned, changes: Changes, dates: Dates, problems: set[str]) -> None:
    _type_and_date(planned, dates)
    _refuse(planned.holding, changes.values)
    _other_fields(planned, changes.values)
    kinds = HoldingProblem.Kind
    if changes.add_problem and changes.add_problem not in problems:
        planned.add_problem = changes.add_problem
        planned.say(_("Problem"), "", kinds(changes.add_problem).label)
    if changes.remove_problem in problems:
        planned.remove_problem = changes.remove_problem
        planned.say(_("Problem"), kinds(changes.remove_problem).label, "")
    _derive(planned)


def _derive(planned: Planned) -> None:
    """The figures that follow from what changed; only those that are other than before."""
    holding = planned.holding
    if not planned.fields:
        return
    before = {"grade_rank": holding.grade_rank, "search_text": holding.search_text}
    derive(holding)
    planned.fields |= {name for name, was in before.items() if getattr(holding, name) != was}


def _type_and_date(planned: Planned, dates: Dates) -> None:
    holding = planned.holding
    found = dates.of(holding)
    if found is None:
        return
    date_was = holding.date_words
    values: dict[str, Any] = {"coin_type": found.coin_type, "variety": found.variety}
    values |= {"issue": found.issue, "date_reading": found.reading}
    kind = _("unidentified")
    planned.change(_("Type"), lambda piece: piece.coin_type or kind, values, "coin_type")
    planned.change(_("Variety"), lambda piece: piece.variety or "", values, "variety")
    changed = planned.set(values, "issue", "date_reading")
    becomes = holding.date_words
    if date_was != becomes:
        planned.say(_("Date"), date_was, becomes)
    elif changed and not found.type_changed:
        planned.say(_("Date"), date_was, _("%(date)s, as one of its dates") % {"date": becomes})


def _refuse(holding: Holding, values: Mapping[str, Any]) -> None:
    """LeftAlone where one of the values does not fit what the holding is."""
    sided = holding.grade_obverse or holding.grade_reverse
    if values.get("grade") and sided and holding.grade_scale != values["grade_scale"]:
        raise LeftAlone(_("its sides are graded on another scale; change it by itself"))
    priced = values.get("price") is not None
    if priced and not (values.get("price_currency") or holding.price_currency):
        raise LeftAlone(_("it has no currency for its price; set that too"))
    if values.get("spare") is False and (promised := why_promised(holding)):
        raise LeftAlone(promised)


def _graded(holding: Holding) -> str:
    if not holding.grade:
        return ""
    scale = Holding.Scale(holding.grade_scale).label
    return _("%(grade)s (%(scale)s)") % {"grade": holding.grade, "scale": scale}


def _other_fields(planned: Planned, values: Mapping[str, Any]) -> None:
    spare = {True: _("spare"), False: _("not spare")}
    visible = Holding.get_visibility_display
    planned.change(_("Grade"), _graded, values, "grade", "grade_scale")
    was = _paid(planned.holding)
    if planned.set(values, "price", "price_currency"):  # without a price the currency alone is told
        planned.say(_("Paid"), was, _paid(planned.holding) or values.get("price_currency", ""))
    planned.change(_("Acquired from"), lambda piece: piece.acquired_from, values, "acquired_from")
    planned.change(_("Place"), lambda piece: piece.place or "", values, "place")
    planned.change(_("Spare"), lambda piece: spare[piece.spare], values, "spare")
    planned.change(_("Who may see it"), visible, values, "visibility")


def _paid(holding: Holding) -> str:
    return f"{holding.price_currency} {holding.price}" if holding.price is not None else ""
