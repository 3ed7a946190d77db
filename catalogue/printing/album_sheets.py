"""Album pages: what they show is read from records, laid out and drawn."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

from django.http import Http404

from catalogue.holdings.browse.filters import ANY, NONE
from catalogue.holdings.dates.shown import shown_date
from catalogue.models import Member, WantList
from catalogue.printing import album, words
from catalogue.printing.album_aims import album_of_aim, album_of_list
from catalogue.printing.album_pieces import (
    AlbumOf,
    PartOf,
    PocketOf,
    album_of,
    album_pieces,
    album_title,
    album_types,
)
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.forms import AlbumForm
from catalogue.printing.furniture import shown_in_words
from catalogue.printing.geometry import PAPERS, Page, SheetProblem
from catalogue.printing.pictures import Pictures, names_of_pieces
from catalogue.printing.responses import Order, SheetPage
from catalogue.printing.selection import in_words
from catalogue.printing.sheets import Parameters, Progress, in_parts, pdf_of, silent
from catalogue.site.record_pages import own_or_404
from catalogue.wants.gaps import completion, live_aims
from catalogue.wants.lists import lines_of_list
from series.picture.drawing import Drawn, supposed_mark
from series.text.stored_numbers import whole_number
from series.types.drawn import drawn

POCKETS_AT_ONCE, PAGES_AT_ONCE = 120, 10


def album_asked_for(owner: Member, parameters: Parameters) -> AlbumOf:
    """The album of an ``aim`` or a want ``list`` (an id), else what ``album_of`` finds."""
    if parameters.get("aim"):
        return album_of_aim(owner, parameters)
    if parameters.get("list"):
        return album_of_list(owner, parameters)
    return album_of(owner, parameters)


def draw_album(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Album pages true to scale; see ``album_asked_for`` for what is asked for.

    Further ``paper``, ``clearance`` (mm) and ``coins``: "pictures", "drawn" or "empty" pockets.
    """
    found = album_asked_for(owner, parameters)
    pages = lay_parts(found, parameters)
    if not pages:
        raise SheetProblem(words.NOTHING_DRAWN)
    pictures = Pictures()
    art = _album_art(found, str(parameters.get("coins", "pictures")), pictures, progress)
    return pdf_of(pages, found.title, art, images=pictures.files)


def lay_parts(found: AlbumOf, parameters: Parameters) -> list[Page]:
    """The pages of an album; each series begins on a page of its own."""

    def lay(part: PartOf, before: int, total: int) -> tuple[Page, ...]:
        return _lay_part(found, part, parameters, before, total)

    return in_parts(found.parts, lay)


def _lay_part(
    found: AlbumOf, part: PartOf, parameters: Parameters, before: int, total: int
) -> tuple[Page, ...]:
    series = part.series
    story = series.story.split("\n\n") if series is not None and series.story else []
    if found.left_out and part is found.parts[0]:
        story = [*story, words.left_out("; ".join(found.left_out))]
    rows = [
        album.AlbumRow(
            row.heading,
            row.note,
            tuple(
                album.Pocket(p.key, widest_mm(_drawn(p)), p.label, bool(p.holdings), p.year)
                for p in row.pockets
            ),
        )
        for row in part.rows
    ]
    shown = [
        ("" if row.group else row.heading, pocket.year)
        for row in part.rows
        for pocket in row.pockets
    ]
    made_for = "" if found.made_for == part.name else found.made_for
    subtitle = [made_for, part.countries, shown_in_words(shown)]
    return album.lay_album(
        part.name, rows,
        subtitle=" · ".join(filter(None, subtitle)),
        story=story,
        paper=PAPERS[parameters.get("paper", "A4")],
        measures=album.Measures(clearance=float(parameters.get("clearance", 1))),
        before=before,
        total=total,
    )  # fmt: skip


def _drawn(pocket: PocketOf) -> Drawn:
    if pocket.coin_type is not None:
        best, issue = pocket.best, pocket.issue
        shown = issue.shown if issue is not None else ""
        return drawn(pocket.coin_type, date=shown_date(shown, best.date_reading if best else ""))
    measured = pocket.best.diameter_mm if pocket.best is not None else None
    return Drawn(float(measured or 0), text="?")


def _album_art(
    found: AlbumOf, coins: str, pictures: Pictures, progress: Progress
) -> dict[str, str]:
    """What lies in the pockets that are held, by pocket; nothing for empty ones."""
    held = [(pocket, pocket.best) for pocket in found.pockets if pocket.best is not None]
    if coins == "empty":
        return {}
    names: dict[int, str] = {}
    if coins == "pictures":
        names = names_of_pieces(
            [best for _pocket, best in held], pictures, lambda done: progress(done, len(held))
        )
    return {
        pocket.key: coin_art(_drawn(pocket), 1, names.get(best.pk, ""), pocket.key)
        + supposed_mark(_drawn(pocket))
        for pocket, best in held
    }


class AlbumPage(SheetPage):
    """Album pages of a series, a type, a country, or the pieces that the address finds."""

    kind = "album"
    name = "album-sheet"
    route = "sheets/album/"
    draw = staticmethod(draw_album)
    template = "printing/album.html"
    without: Sequence[str] = ()
    """Fields of the form that are not asked for."""

    @cached_property
    def scope(self) -> dict[str, Any]:
        """What the album is about: a key under its name, or the address of browsing as ``query``.

        Browsing knows series and countries by number, so a key is told from a choice by its form.
        """
        for name in ("series", "type", "country"):
            key = self.request.GET.get(name, "")
            if key and whole_number(key) is None and key not in {ANY, NONE}:
                return {name: key}
        return {"query": self.request.GET.urlencode()}

    @cached_property
    def about(self) -> dict[str, Any]:
        """What the page says the album is about; ``whole``: not of a choice of pieces."""
        types = album_types(self.owner, self.scope)
        if types is not None and not types.exists():
            raise Http404
        return {
            "title": album_title(self.owner, self.scope),
            "count": album_pieces(self.owner, self.scope).count(),
            "said": [] if types is not None else in_words(self.owner, self.scope["query"]),
            "whole": types is not None,
        }

    def context(self) -> dict[str, Any]:
        return self.about

    def form(self) -> AlbumForm:
        whole = self.about.get("whole", True)
        gaps = whole or self.request.GET.get("gaps") == "1"
        initial = {"paper": self.owner.paper, "gaps": gaps, "each": not whole}
        return AlbumForm(self.request.POST or None, initial=initial, without=self.without)

    def order(self, form: AlbumForm) -> Order:
        parameters = form.parameters(self.scope)
        called = words.album_of(self.about["title"])
        size, short = _size(self.owner, parameters)
        return Order(called, parameters, size, size if short else -1)


class AlbumOfAimPage(AlbumPage):
    """Album pages of an aim: what is held in its place, an empty circle for what is missing."""

    name = "album-of-aim"
    route = "sheets/album/aim/<number:pk>/"
    without = ("each",)

    @cached_property
    def about(self) -> dict[str, Any]:
        found = own_or_404(self.request, live_aims(self.owner), self.scope["aim"])
        return {"title": found.name, "aim": found, "completion": completion(found)}

    @cached_property
    def scope(self) -> dict[str, Any]:
        return {"aim": self.kwargs["pk"]}


class AlbumOfWantsPage(AlbumPage):
    """Album pages with an empty circle for everything a want list asks for."""

    name = "album-of-wants"
    route = "sheets/album/list/<number:pk>/"
    without = ("coins", "gaps", "each")

    @cached_property
    def about(self) -> dict[str, Any]:
        found = own_or_404(self.request, WantList.objects.all(), self.scope["list"])
        return {"title": found.title, "list": found, "count": len(lines_of_list(found))}

    @cached_property
    def scope(self) -> dict[str, Any]:
        return {"list": self.kwargs["pk"]}


def _size(owner: Member, parameters: Parameters) -> tuple[int, bool]:
    """How many pieces an album shows, and whether it is drawn at once.

    Raises SheetProblem when it cannot be laid out.
    """
    if not parameters.keys() & {"aim", "list"}:
        count = album_pieces(owner, parameters).count()
        if count > POCKETS_AT_ONCE:
            return count, False
    found = album_asked_for(owner, parameters)
    held = sum(bool(pocket.holdings) for pocket in found.pockets)
    pages = 0 if held > POCKETS_AT_ONCE else len(lay_parts(found, parameters))
    return len(found.pockets), held <= POCKETS_AT_ONCE and pages <= PAGES_AT_ONCE
