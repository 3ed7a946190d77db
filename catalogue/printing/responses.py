"""How a sheet is answered: at once as a PDF, by a task where it is long, in words where neither."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify

from catalogue.models import Member
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.sheets import silent
from catalogue.printing.tasks import ask_for, drawer


def pdf_answer(pdf: bytes, title: str) -> HttpResponse:
    """A PDF shown in the browser, under a name fit for a file; kept by no cache."""
    response = HttpResponse(pdf, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{slugify(title) or "sheet"}.pdf"'
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response


def drawn_now(request: HttpRequest, draw: Callable[[], bytes], title: str) -> HttpResponse:
    """The PDF, or a page that says what to install (503) where Pango is missing."""
    try:
        return pdf_answer(draw(), title)
    except PrintingUnavailable as missing:
        return not_drawn(request, title, str(missing), status=503)


def not_drawn(request: HttpRequest, title: str, message: str, status: int) -> HttpResponse:
    context = {"title": title, "message": message}
    return render(request, "printing/not_drawn.html", context, status=status)


def answer(
    request: HttpRequest,
    owner: Member,
    kind: str,
    title: str,
    parameters: Mapping[str, Any],
    *,
    size: int,
    most: int,
) -> HttpResponse:
    """Draw a sheet of ``size`` pieces now when they are at most ``most``, else by a task.

    A long sheet that is only looked at (GET) is asked for by a button first. Raises
    SheetProblem for a short one that cannot be laid out.
    """
    if size <= most:
        return drawn_now(request, lambda: drawer(kind)(owner, parameters, silent), title)
    if request.method == "POST":
        return redirect("sheet", ask_for(owner, kind, title, parameters, size).pk)
    return render(request, "printing/long.html", {"title": title, "size": size})
