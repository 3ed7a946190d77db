"""Pages of a member's collection that open in any browser, without a site and without a network.

They stand in the archive beside the tables and the photographs, to which they point by name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.db.models import F, Prefetch
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.exports.records import holding_records
from catalogue.extensions import holding_extensions
from catalogue.holdings.dates.shown import shown_date
from catalogue.members.models import Member
from catalogue.models import Holding, Photo
from series.parcels import parcels
from series.picture.coins import coin
from series.types.queries import shown_types

PIECES_A_PAGE = 60
SCALE = 5
"""Pixels to the millimetre of a drawn piece."""
FOLDER = "pages"
_COUNTRY = "coin_type__series__issuer__name"
_SERIES = "coin_type__series__name"


@dataclass(frozen=True)
class KeptPage:
    """One page: pieces of one series, ``number`` of all pages from 1."""

    number: int
    country: str
    series: str
    ids: list[int] = field(repr=False)
    first: int = 1
    """Which piece of its series its first one is."""

    @property
    def last(self) -> int:
        return self.first + len(self.ids) - 1

    @property
    def name(self) -> str:
        return f"{FOLDER}/{self.number:04}.html"


@dataclass(frozen=True)
class KeptPiece:
    """A piece with what its owner recorded, and the files of its photographs."""

    holding: Holding
    record: dict[str, Any]
    photos: list[tuple[Photo, str]]
    more: list[tuple[Any, str]]
    """What upper apps say of it, under their label: its worth."""

    @property
    def drawn(self) -> SafeString | str:
        """From its record, since the struck picture of its type stands at the site."""
        coin_type = self.holding.coin_type
        if coin_type is None:
            return ""
        issue = self.holding.issue
        date = shown_date(issue.shown if issue else "", self.holding.date_reading)
        return coin(coin_type, SCALE, date=date, pictured=False)


def kept_pages(member: Member, photo_files: dict[int, str]) -> Iterator[tuple[str, str]]:
    """(name in the archive, text) of each page; ``photo_files`` names the file of each photo."""
    pages = list(_pages(member))
    words = {"member": member, "day": timezone.localdate(), "pages": pages}
    yield "index.html", render_to_string("exports/index.html", words)
    yield f"{FOLDER}/exergue.css", _stylesheet()
    for before, page, after in zip([None, *pages], pages, [*pages[1:], None], strict=False):
        pieces = _pieces(member, page.ids, photo_files)
        here = {"page": page, "pieces": pieces, "before": before, "after": after}
        yield page.name, render_to_string("exports/page.html", words | here)


def _pages(member: Member) -> Iterator[KeptPage]:
    """Series by series, in it by value and date; the unidentified come last."""
    rows = (
        access.own_holdings(member)
        .order_by(
            F(_COUNTRY).asc(nulls_last=True),
            "coin_type__series__first_year",
            _SERIES,
            "coin_type__denomination__sort_value",
            "issue__struck_from",
            "accession",
        )
        .values_list(_COUNTRY, _SERIES, "pk")
    )
    number = 0
    for (country, series), held in groupby(rows.iterator(), key=lambda row: row[:2]):
        first = 1
        for some in parcels([pk for *_of, pk in held], PIECES_A_PAGE):
            number += 1
            named = country or _("Not identified yet")
            yield KeptPage(number, named, series or "", list(some), first)
            first += len(some)


def _pieces(member: Member, ids: list[int], photo_files: dict[int, str]) -> list[KeptPiece]:
    records = {record["accession"]: record for record in holding_records(ids, member)}
    held = (
        access.own_holdings(member)
        .filter(pk__in=ids)
        .prefetch_related(
            "issue",
            "variety",
            "problems",
            Prefetch("coin_type", shown_types()),
            Prefetch("photos", Photo.objects.order_by("position", "pk")),
        )
        .in_bulk()
    )
    more = [(each.label, each.cells(list(held.values()), member)) for each in holding_extensions()]
    return [
        KeptPiece(
            held[pk],
            records[held[pk].accession],
            [(p, photo_files[p.pk]) for p in held[pk].photos.all() if p.pk in photo_files],
            [(label, cells[pk]) for label, cells in more if cells.get(pk)],
        )
        for pk in ids
        if pk in held
    ]


def _stylesheet() -> str:
    """The site's own, whose fonts give way to those of the machine."""
    return Path(str(finders.find("exergue.css"))).read_text("utf-8")
