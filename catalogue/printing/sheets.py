"""What all kinds of sheets share: how one is drawn, and how pages become a PDF.

A sheet is drawn by one function, for a page, a task and a command alike. It takes the owner,
parameters (plain values that can be kept as JSON) and a function that is told how much is done
(so many of so many); it returns a PDF or, in parts, a file of another of ``ENDINGS``. What cannot
be laid out raises SheetProblem, a machine without Pango PrintingUnavailable.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import Any, TypeVar

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.module_loading import import_string

from catalogue.models import Member
from catalogue.printing import words
from catalogue.printing.drawing import draw
from catalogue.printing.geometry import Page
from catalogue.printing.pdf import render_pdf

Progress = Callable[[int, int], None]
Parameters = Mapping[str, Any]
P = TypeVar("P")
Draw = Callable[[Member, Parameters, Progress], bytes | Iterable[bytes]]

PDF, HTML = ".pdf", ".html"
ENDINGS = {PDF: "application/pdf", HTML: "text/html; charset=utf-8"}
"""How the file of a sheet ends, and what it then is."""


@cache
def _kinds() -> dict[str, Any]:
    return {page.kind: page for page in map(import_string, settings.SHEETS)}


def drawer(kind: str) -> Draw:
    """What draws a kind of sheet."""
    draw: Draw = _kinds()[kind].draw
    return draw


def ending(kind: str) -> str:
    """How the file of a kind of sheet ends."""
    return str(_kinds()[kind].ending)


def parts_of(drawn: bytes | Iterable[bytes]) -> Iterable[bytes]:
    """What was drawn, in its parts."""
    return [drawn] if isinstance(drawn, bytes) else drawn


def silent(done: int, total: int) -> None:
    """For a sheet that nobody waits for."""


def pdf_from(
    template: str,
    context: Mapping[str, Any],
    title: str,
    images: Mapping[str, bytes] | None = None,
    tagged: bool = True,
    lang: str = words.LANGUAGE,
) -> bytes:
    """The PDF of a template of ``print/``; ``lang`` is the language it speaks."""
    html = render_to_string(template, {**context, "title": title, "lang": lang})
    return render_pdf(html, title=title, lang=lang, images=images, tagged=tagged)


def pdf_of(
    pages: Sequence[Page],
    title: str,
    art: Mapping[str, str] | None = None,
    *,
    images: Mapping[str, bytes] | None = None,
    tagged: bool = True,
) -> bytes:
    """The PDF of pages that were laid out; see :func:`catalogue.printing.drawing.draw`."""
    return pdf_from("print/sheet.html", {"sheet": draw(pages, art)}, title, images, tagged)


def in_parts(parts: Sequence[P], lay: Callable[[P, int, int], Sequence[Page]]) -> list[Page]:
    """The pages of a document in parts, each laid out knowing how many pages stand before it.

    ``lay`` takes a part, the pages before it and those of all; it is asked twice where there are
    several parts, first to count.
    """
    laid: list[Sequence[Page]] = [()] * len(parts)
    for _pass in ("count", "number") if len(parts) > 1 else ("once",):
        total, before = sum(map(len, laid)), 0
        for place, part in enumerate(parts):
            laid[place] = lay(part, before, total)
            before += len(laid[place])
    return [page for pages in laid for page in pages]
