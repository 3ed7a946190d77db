"""Provisional types for rows that no type of the catalogue is like: one a country and value.

What such a type belongs to is found or made as for a type that a member enters
(``catalogue.curation.belonging``); a curator looks at it later. Call ``make_types`` in the
transaction that takes the rows in.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count
from typing import Any

from django.utils.translation import gettext as _

from catalogue import access
from catalogue.curation.belonging import Belonging, Memory, NowhereYet, belonging, make
from catalogue.models import ImportedRow, Member, Proposal
from series.dates.issue_keys import issue_key
from series.dates.issues import DatedIssue
from series.entries.marks import date_fields, mark_text, too_long
from series.metal.compositions import build_of
from series.models import CoinType, Issue, Issuer
from series.money.units import AmountError, write_number
from series.money.value_text import money_of_value, read_coin_value
from series.text.keys import free_key
from series.types.editing import settle

LONGEST_COUNTRY, LONGEST_METAL = 120, 200
Years = tuple[int | None, int | None]
Group = tuple[str, str]


@dataclass
class Wanted:
    """What the rows of one group say of the type they want, gathered row by row.

    ``dates`` are the dates the type is to have, each with the place it is known by until it is
    stored; ``place`` is that of the type.
    """

    country: str
    code: str
    value: str
    place: int = 0
    first: int | None = None
    last: int | None = None
    metals: set[str] = field(default_factory=set)
    dates: dict[DatedIssue, int] = field(default_factory=dict)

    @property
    def years(self) -> Years:
        return self.first, self.last

    def hear(self, row: ImportedRow) -> None:
        """Take note of the years and the metal that a row says."""
        said = row.reading
        years = [year for year in (said.get("first"), said.get("last")) if isinstance(year, int)]
        known = [year for year in self.years if year is not None]
        if years:
            self.first, self.last = min(known + years), max(known + years)
        self.metals.add(" ".join(str(said.get("metal", "")).split()))


@dataclass
class Made:
    """Ids by kind of what was made, and of each place what is stored for it."""

    kinds: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    ids: dict[int, int] = field(default_factory=dict)


def group_of(row: ImportedRow) -> Group:
    """Rows of one group share a type."""
    country = str(row.reading.get("country", ""))
    return " ".join(country.split()).casefold(), value_of(row).casefold()


def value_of(row: ImportedRow) -> str:
    """The value as a type takes it: a number and a unit, or else as it was written."""
    said = row.reading
    number, names = said.get("number", ""), [said.get("unit", ""), *said.get("units", ())]
    unit = next((name for name in names if any(letter.isalpha() for letter in name)), "")
    if not number or not unit:
        return " ".join(str(said.get("value", "")).split())
    return f"{write_number(Fraction(number))} {unit}"


def wanted_by(row: ImportedRow) -> Wanted:
    """What a group wants, from its first row."""
    said = row.reading
    country, code = str(said.get("country", "")).strip(), str(said.get("country_code", ""))
    wanted = Wanted(country, code, value_of(row))
    wanted.hear(row)
    return wanted


def why_no_type(member: Member, row: ImportedRow, memory: Memory) -> str:
    """Why the rows of this row's group cannot have a provisional type; "" where they can."""
    try:
        _belonging(member, wanted_by(row), memory)
    except NowhereYet as reason:
        return str(reason)
    return ""


def _belonging(member: Member, wanted: Wanted, memory: Memory) -> Belonging:
    """Where such a type belongs; NowhereYet with a sentence."""
    country, value, years = wanted.country, wanted.value, wanted.years
    if not country or len(country) > LONGEST_COUNTRY:
        raise NowhereYet("country", _("Its country is not said: keep it as unidentified."))
    if not value:
        raise NowhereYet("value", _("Its value cannot be read: keep it as unidentified."))
    issuer = memory.issuer(country) or _coded(wanted.code)
    name = issuer.name if issuer else country
    try:
        return belonging(member, country=name, value=value, years=years, memory=memory)
    except NowhereYet:
        if not access.issuers_to_add_to(member).filter(pk=issuer.pk if issuer else 0).exists():
            raise
    return _with_money_of_its_own(name, issuer, value, years)


def _coded(code: str) -> Issuer | None:
    return Issuer.objects.filter(code__iexact=code).first() if code else None


def _with_money_of_its_own(
    country: str, issuer: Issuer | None, value: str, years: Years
) -> Belonging:
    """The country's money does not know the value: it begins another, which a curator joins."""
    try:
        money = money_of_value(value)
        coin = read_coin_value(value, money)
    except AmountError as error:
        raise NowhereYet("value", str(error)) from error
    made = Belonging(country, issuer, None, money, coin, None, None, years=years)
    made.series_name = _("Coinage in %(unit)s") % {"unit": money.main.name}
    return made


class Plan:
    """The provisional types that rows want. Every type and date has a place below nought."""

    def __init__(self) -> None:
        self.groups: dict[Group, Wanted] = {}
        self._places = count(-1, -1)

    def next_place(self) -> int:
        return next(self._places)

    def take(self, row: ImportedRow) -> tuple[int, Issue | None]:
        """The place of the row's type, and its date, whose place it has for an id."""
        group = group_of(row)
        wanted = self.groups.get(group)
        if wanted is None:
            wanted = self.groups[group] = wanted_by(row)
            wanted.place = self.next_place()
        else:
            wanted.hear(row)
        dated = _dated(row.reading)
        if dated is None:
            return wanted.place, None
        if dated not in wanted.dates:
            wanted.dates[dated] = self.next_place()
        issue = _issue(dated)
        issue.pk = wanted.dates[dated]
        return wanted.place, issue


def make_types(member: Member, plan: Plan) -> Made:
    """A provisional type for each group, with the dates of its rows; NowhereYet where one fails."""
    made, memory = Made(), Memory()
    fresh: dict[str, CoinType] = {}
    for wanted in plan.groups.values():
        coin_type = _type_of(member, wanted, made, memory)
        coin_type.key = free_key(
            CoinType, coin_type.series.key, coin_type.denomination.name, besides=fresh
        )
        fresh[coin_type.key] = coin_type
    types = list(fresh.values())
    CoinType.objects.bulk_create(types)
    note = _("Made from a list, by the country, value and dates it says.")
    Proposal.objects.bulk_create(
        Proposal(coin_type=coin_type, proposed_by=member, note=note) for coin_type in types
    )
    dates: dict[int, Issue] = {}
    for coin_type, wanted in zip(types, plan.groups.values(), strict=True):
        made.ids[wanted.place] = coin_type.pk
        dates |= _dates_of(coin_type, wanted)
    Issue.objects.bulk_create(dates.values(), batch_size=500)
    made.ids |= {place: issue.pk for place, issue in dates.items()}
    if types:
        made.kinds["types"] += [coin_type.pk for coin_type in types]
        settle(made.kinds["types"])
    return made


def _type_of(member: Member, wanted: Wanted, made: Made, memory: Memory) -> CoinType:
    """The type, not stored yet, of which what it belongs to is found or made."""
    found = _belonging(member, wanted, memory)
    there = (found.issuer, found.currency, found.denomination, found.series)
    series, denomination = make(found)
    memory.learn(found, series, denomination)
    now = (series.issuer, series.currency, denomination, series)
    names = ("issuers", "currencies", "denominations", "series")
    for name, before, record in zip(names, there, now, strict=True):
        if before is None:
            made.kinds[name].append(record.pk)
    return CoinType(
        series=series,
        denomination=denomination,
        standing=CoinType.Standing.PROVISIONAL,
        composition=_metal(wanted),
    )


def _metal(wanted: Wanted) -> str:
    """The metal that all rows say which say one, where it can be read."""
    said = wanted.metals - {""}
    metal = next(iter(said)) if len(said) == 1 else ""
    return metal if len(metal) <= LONGEST_METAL and build_of(metal) is not None else ""


def _issue(dated: DatedIssue) -> Issue:
    return Issue(mark_text=mark_text(dated.marks), **date_fields(dated))


def _dates_of(coin_type: CoinType, wanted: Wanted) -> dict[int, Issue]:
    """The dates of a new type in their order, not stored yet, by their places."""
    issues: dict[int, Issue] = {}
    taken: set[str] = set()
    in_order = sorted(wanted.dates.items(), key=lambda each: (each[0].struck_from or 0, -each[1]))
    for dated, place in in_order:
        issue = _issue(dated)
        issue.coin_type, issue.position = coin_type, len(issues)
        issue.key = issue_key(dated, dated.marks, taken)
        taken.add(issue.key)
        issues[place] = issue
    return issues


def _dated(said: dict[str, Any]) -> DatedIssue | None:
    """The one date a row says; None where it is doubtful, a range, or cannot be kept."""
    first, last = said.get("first"), said.get("last")
    if first is None or first != last or not said.get("shown"):
        return None
    marks = tuple(mark.strip() for mark in said.get("marks", ()) if mark.strip())
    try:
        dated = DatedIssue(str(said["shown"]).strip(), first, last, marks)
        purpose: Any = said.get("purpose") or "circulation"
        dated = replace(dated, purpose=purpose)
    except ValueError:
        return None
    return None if any(too_long(dated, marks)) else dated
