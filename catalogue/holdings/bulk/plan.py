"""What a bulk change does to each holding, worked out before anything is changed.

A holding for which one of the changes does not fit is left as it is, with all of them: the reason
is said in words.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Any, NamedTuple

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from catalogue.holdings.actions import HoldingError, derive
from catalogue.holdings.bulk.dates import Dates, LeftAlone
from catalogue.models import Holding, HoldingProblem, Place
from series.dates.words import in_words
from series.models import CoinType

MOST = 5000


@dataclass(frozen=True)
class Changes:
    """What is to change; None (or an empty text) leaves a thing as it is.

    An empty ``date``, ``grade`` or ``source`` clears it. ``as_read``: a date that is none of the
    type's is kept as it was read; else the piece is left alone.
    """

    coin_type: CoinType | None = None
    date: str | None = None
    as_read: bool = False
    scale: str = ""
    grade: str | None = None
    price: Decimal | None = None
    no_price: bool = False
    currency: str = ""
    source: str | None = None
    place: Place | None = None
    no_place: bool = False
    spare: bool | None = None
    visibility: str = ""
    add_problem: str = ""
    remove_problem: str = ""

    @property
    def nothing(self) -> bool:
        return self == Changes()


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

    def set(self, what: Any, was: Any, becomes: Any, **values: Any) -> None:
        """Change fields of the holding; nothing is said where they are so already."""
        found = {n: v for n, v in values.items() if getattr(self.holding, n) != v}
        if not found:
            return
        for name, value in found.items():
            setattr(self.holding, name, value)
        self.fields |= set(found)
        self.say(what, was, becomes)

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
    _grade(planned, changes)
    _price(planned, changes)
    _where_and_whose(planned, changes)
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


def _date_words(holding: Holding) -> str:
    return holding.issue.label if holding.issue is not None else in_words(holding.date_reading)


def _type_and_date(planned: Planned, dates: Dates) -> None:
    holding = planned.holding
    found = dates.of(holding)
    if found is None:
        return
    variety_was = holding.variety
    was, date_was = str(holding.coin_type or _("unidentified")), _date_words(holding)
    planned.set(_("Type"), was, found.coin_type, coin_type=found.coin_type)
    values = {"issue": found.issue, "date_reading": found.reading, "variety": found.variety}
    changed = {name: value for name, value in values.items() if getattr(holding, name) != value}
    for name, value in changed.items():
        setattr(holding, name, value)
    planned.fields |= set(changed)
    if "variety" in changed and variety_was is not None:
        planned.say(_("Variety"), variety_was, holding.variety or "")
    becomes = _date_words(holding)
    if date_was != becomes:
        planned.say(_("Date"), date_was, becomes)
    elif changed and not found.type_changed:
        planned.say(_("Date"), date_was, _("%(date)s, as one of its dates") % {"date": becomes})


def _grade(planned: Planned, changes: Changes) -> None:
    holding = planned.holding
    if changes.grade is None:
        return
    sided = holding.grade_obverse or holding.grade_reverse
    if changes.grade and sided and holding.grade_scale != changes.scale:
        raise LeftAlone(_("its sides are graded on another scale; change it by itself"))
    values = {"grade": changes.grade}
    if changes.grade:
        values["grade_scale"] = changes.scale
    was = _graded(holding.grade, holding.grade_scale)
    planned.set(_("Grade"), was, _graded(changes.grade, changes.scale), **values)


def _graded(grade: str, scale: str) -> str:
    if not grade:
        return ""
    return _("%(grade)s (%(scale)s)") % {"grade": grade, "scale": Holding.Scale(scale).label}


def _price(planned: Planned, changes: Changes) -> None:
    holding = planned.holding
    values: dict[str, Any] = {}
    if changes.no_price:
        values["price"] = None
    elif changes.price is not None:
        if not (changes.currency or holding.price_currency):
            raise LeftAlone(_("it has no currency for its price; set that too"))
        values["price"] = changes.price
    if changes.currency:
        values["price_currency"] = changes.currency
    was = _paid(holding)
    priced = values.get("price", holding.price)
    code = changes.currency or holding.price_currency
    becomes = f"{code} {priced}" if priced is not None else changes.currency
    planned.set(_("Paid"), was, becomes, **values)
    if changes.source is not None:
        planned.set(
            _("Acquired from"), holding.acquired_from, changes.source, acquired_from=changes.source
        )


def _paid(holding: Holding) -> str:
    return f"{holding.price_currency} {holding.price}" if holding.price is not None else ""


def _where_and_whose(planned: Planned, changes: Changes) -> None:
    holding = planned.holding
    if changes.no_place or changes.place is not None:
        place = None if changes.no_place else changes.place
        planned.set(_("Place"), holding.place or "", place or "", place=place)
    if changes.spare is not None:
        promise = getattr(holding, "reservation", None)
        if promise is not None and not changes.spare:
            raise LeftAlone(
                _("it is promised to %(member)s; take the promise back first")
                % {"member": promise.wanted_by}
            )
        words = {True: _("spare"), False: _("not spare")}
        planned.set(_("Spare"), words[holding.spare], words[changes.spare], spare=changes.spare)
    if changes.visibility:
        label = Holding.Visibility(changes.visibility).label
        was = holding.get_visibility_display()
        planned.set(_("Who may see it"), was, label, visibility=changes.visibility)
