"""Provisional types for rows that no type of the catalogue is like: one a country and value.

What such a type belongs to is found or made as for a type that a member enters
(``catalogue.curation.belonging``); a curator looks at it later. Call ``make_types`` in the
transaction that takes the rows in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from catalogue import access
from catalogue.curation.belonging import Belonging, NowhereYet, belonging, find_issuer, make
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
class Made:
    """Ids by kind of what was made, the type and issue of each row, and why some have none."""

    kinds: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    of_rows: dict[int, tuple[CoinType, Issue | None]] = field(default_factory=dict)


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


def years_of(rows: Iterable[ImportedRow]) -> Years:
    """The first and last year that these rows say; where only one is said, it is both."""
    said = [(row.reading.get("first"), row.reading.get("last")) for row in rows]
    years = [year for pair in said for year in pair if isinstance(year, int)]
    return (min(years), max(years)) if years else (None, None)


def why_no_type(member: Member, rows: Sequence[ImportedRow]) -> str:
    """Why these rows, of one group, cannot have a provisional type; "" where they can."""
    try:
        _belonging(member, rows)
    except NowhereYet as reason:
        return str(reason)
    return ""


def _belonging(member: Member, rows: Sequence[ImportedRow]) -> Belonging:
    """Where the type of these rows belongs; NowhereYet with a sentence."""
    country, value = str(rows[0].reading.get("country", "")).strip(), value_of(rows[0])
    if not country or len(country) > LONGEST_COUNTRY:
        raise NowhereYet("country", _("Its country is not said: keep it as unidentified."))
    if not value:
        raise NowhereYet("value", _("Its value cannot be read: keep it as unidentified."))
    issuer = find_issuer(country) or _coded(str(rows[0].reading.get("country_code", "")))
    years = years_of(rows)
    name = issuer.name if issuer else country
    try:
        return belonging(member, country=name, value=value, years=years)
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


def make_types(member: Member, rows: Iterable[ImportedRow]) -> Made:
    """A provisional type for each group, with the dates of its rows; NowhereYet where one fails."""
    made = Made()
    groups: dict[Group, list[ImportedRow]] = defaultdict(list)
    for row in rows:
        groups[group_of(row)].append(row)
    for some in groups.values():
        coin_type = _make_type(member, some, made)
        issues = _make_issues(coin_type, some)
        for row in some:
            made.of_rows[row.pk] = (coin_type, issues.get(row.pk))
    if made.kinds["types"]:
        settle(made.kinds["types"])
    return made


def _make_type(member: Member, rows: Sequence[ImportedRow], made: Made) -> CoinType:
    found = _belonging(member, rows)
    there = (found.issuer, found.currency, found.denomination, found.series)
    series, denomination = make(found)
    now = (series.issuer, series.currency, denomination, series)
    names = ("issuers", "currencies", "denominations", "series")
    for name, before, record in zip(names, there, now, strict=True):
        if before is None:
            made.kinds[name].append(record.pk)
    coin_type = CoinType.objects.create(
        key=free_key(CoinType, series.key, denomination.name),
        series=series,
        denomination=denomination,
        standing=CoinType.Standing.PROVISIONAL,
        composition=_metal(rows),
    )
    Proposal.objects.create(
        coin_type=coin_type,
        proposed_by=member,
        note=_("Made from a list, by the country, value and dates it says."),
    )
    made.kinds["types"].append(coin_type.pk)
    return coin_type


def _metal(rows: Sequence[ImportedRow]) -> str:
    """The metal that all rows say which say one, where it can be read."""
    said = {" ".join(str(row.reading.get("metal", "")).split()) for row in rows} - {""}
    metal = said.pop() if len(said) == 1 else ""
    return metal if len(metal) <= LONGEST_METAL and build_of(metal) is not None else ""


def _make_issues(coin_type: CoinType, rows: Sequence[ImportedRow]) -> dict[int, Issue]:
    """The dates of a new type; which of them each row is of."""
    of: dict[DatedIssue, Issue] = {}
    taken: set[str] = set()
    rows_of: dict[int, DatedIssue] = {}
    for row in sorted(rows, key=lambda row: (row.reading.get("first") or 0, row.line)):
        dated = _dated(row.reading)
        if dated is None:
            continue
        rows_of[row.pk] = dated
        if dated not in of:
            fields = date_fields(dated)
            key = issue_key(dated, dated.marks, taken)
            taken.add(key)
            of[dated] = Issue(
                coin_type=coin_type, key=key, position=len(of), mark_text=mark_text(dated.marks),
                **fields,
            )  # fmt: skip
    Issue.objects.bulk_create(of.values())
    return {pk: of[dated] for pk, dated in rows_of.items()}


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
