"""The lines of a want list: what its aims lack, what would be better, what is asked for by hand.

A line says what is wanted and nothing else about the collection it is wanted for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.utils.translation import gettext as _

from catalogue.models import Aim, Want, WantList
from catalogue.wants.gaps import GAP, UPGRADE, lacking
from catalogue.wants.units import way_of
from series.models import CoinType, Denomination, Issue
from series.text.naming import joined

MOST_LINES = 5000
_OF_A_DATE = (  # what its line says; dates may be thousands
    "shown",
    "mark_text",
    "coin_type__key",
    "coin_type__name",
    "coin_type__denomination__name",
    "coin_type__series__name",
    "coin_type__series__issuer__name",
)


@dataclass(frozen=True)
class WantLine:
    """One thing wanted, in words, and the records it stands for where there are any."""

    country: str
    series: str
    what: str
    date: str
    lowest_grade: str
    better: bool
    price: str = ""
    note: str = ""
    coin_type: CoinType | None = None
    issue: Issue | None = None
    denomination: Denomination | None = None

    @property
    def key(self) -> tuple[Any, ...]:
        parts = (self.denomination, self.coin_type, self.issue)
        return tuple(part.pk if part else None for part in parts)


@dataclass(frozen=True)
class Asked:
    """Lines that differ in their date alone: one of them, and the dates."""

    line: WantLine
    dates: list[str]


@dataclass(frozen=True)
class WantGroup:
    """The lines of one series, in order."""

    country: str
    series: str
    lines: list[WantLine]

    @property
    def title(self) -> str:
        """Country and series as one heading."""
        return joined(self.country, self.series)

    @property
    def asked(self) -> list[Asked]:
        return put_together(self.lines)


def lines_of_list(want_list: WantList) -> list[WantLine]:
    """All lines of a list, each thing once; a constant number of queries for each aim."""
    aims = list(want_list.aims.all())
    states = [GAP, UPGRADE] if want_list.with_upgrades else [GAP]
    lines = [line for aim in aims for state in states for line in lines_of_aim(aim, state)]
    if want_list.with_hand_wants:
        lines = [*lines_by_hand(Want.objects.filter(owner=want_list.owner_id)), *lines]
    return _once(lines)[:MOST_LINES]


def list_of_aim(aim: Aim) -> WantList:
    """The list of this aim and of nothing beside it, made when there is none."""
    for found in WantList.objects.filter(owner=aim.owner_id, aims=aim, with_hand_wants=False):
        if found.aims.count() == 1:
            return found
    made = WantList.objects.create(
        owner=aim.owner, title=aim.name, with_hand_wants=False, asked_by=aim.owner.name
    )
    made.aims.add(aim)
    return made


def lines_of_aim(aim: Aim, state: str) -> list[WantLine]:
    """What an aim lacks (GAP) or would like better (UPGRADE)."""
    found = lacking(aim, state)
    if found.model is Issue:
        found = found.only(*_OF_A_DATE)
    return [_line(aim, record, state) for record in found[:MOST_LINES]]


def lines_by_hand(wants: Any) -> list[WantLine]:
    wanted = wants.select_related(
        "coin_type__denomination",
        "coin_type__series__issuer",
        "issue__coin_type__denomination",
        "issue__coin_type__series__issuer",
    )
    return [_line_by_hand(want) for want in wanted]


def grouped(lines: Iterable[WantLine]) -> list[WantGroup]:
    """Lines put together by series, in the order in which the series first come."""
    groups: dict[tuple[str, str], WantGroup] = {}
    for line in lines:
        key = (line.country, line.series)
        groups.setdefault(key, WantGroup(line.country, line.series, [])).lines.append(line)
    return list(groups.values())


def put_together(lines: Iterable[WantLine]) -> list[Asked]:
    """Neighbouring lines that differ in their date alone, as one row with its dates."""

    def but_date(line: WantLine) -> tuple[Any, ...]:
        type_id = line.coin_type.pk if line.coin_type is not None else 0
        return (line.what, type_id, line.lowest_grade, line.better, line.price, line.note)

    groups = (list(group) for _key, group in groupby(lines, key=but_date))
    return [Asked(some[0], [line.date for line in some if line.date]) for some in groups]


def _line(aim: Aim, record: Issue | CoinType | Denomination, state: str) -> WantLine:
    asked = (aim.lowest_grade, state == UPGRADE)
    if isinstance(record, Denomination):
        country, series = str(aim.issuer or record.currency), str(aim.series or "")
        return WantLine(country, series, record.name, _("any date"), *asked, denomination=record)
    issue = record if isinstance(record, Issue) else None
    coin_type = record.coin_type if isinstance(record, Issue) else record
    return WantLine(
        coin_type.series.issuer.name,
        coin_type.series.name,
        str(coin_type),
        way_of(aim).label(issue) if issue is not None else _("any date"),
        *asked,
        coin_type=coin_type,
        issue=issue,
    )


def _line_by_hand(want: Want) -> WantLine:
    coin_type = want.issue.coin_type if want.issue is not None else want.coin_type
    price = ""
    if want.highest_price is not None:
        price = f"{want.price_currency} {want.highest_price}".strip()
    return WantLine(
        coin_type.series.issuer.name if coin_type else "",
        coin_type.series.name if coin_type else str(_("Asked for in words")),
        str(coin_type) if coin_type else want.text,
        want.issue.label if want.issue is not None else str(_("any date")) if coin_type else "",
        want.lowest_grade,
        False,
        price,
        want.note if coin_type is None or not want.text else f"{want.text} {want.note}".strip(),
        coin_type,
        want.issue,
    )


def _once(lines: list[WantLine]) -> list[WantLine]:
    """Each thing once: the first line that asks for it stays."""
    seen: set[Any] = set()
    kept = []
    for line in lines:
        key = line.key if any(line.key) else (line.what, line.note)
        if key not in seen:
            seen.add(key)
            kept.append(line)
    return kept
