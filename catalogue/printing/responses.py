"""How a sheet is answered: at once as a PDF, by a task where it is long, in words where neither."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, cast

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.module_loading import import_string
from django.utils.text import slugify
from django.views import View

from catalogue.members.requests import MemberRequest
from catalogue.models import Member
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.sheets import ENDINGS, PDF, Draw, Parameters, parts_of, silent
from catalogue.printing.tasks import ask_for, drawn_before


def file_answer(data: bytes, title: str, ending: str = PDF) -> HttpResponse:
    """A PDF shown in the browser, or another file to save, under a name fit for a file; kept by
    no cache."""
    response = HttpResponse(data, content_type=ENDINGS[ending])
    shown = "inline" if ending == PDF else "attachment"
    response["Content-Disposition"] = f'{shown}; filename="{file_name(title, ending)}"'
    response["Cache-Control"] = "private, no-store"
    return response


def file_name(title: str, ending: str) -> str:
    return f"{slugify(title) or 'sheet'}{ending}"


def drawn_now(
    request: HttpRequest,
    draw: Callable[[], bytes | Iterable[bytes]],
    title: str,
    ending: str = PDF,
) -> HttpResponse:
    """The file, or a page that says what to install (503) where Pango is missing."""
    try:
        return file_answer(b"".join(parts_of(draw())), title, ending)
    except PrintingUnavailable as missing:
        return not_drawn(request, title, str(missing), status=503)


def not_drawn(request: HttpRequest, title: str, message: str, status: int) -> HttpResponse:
    context = {"title": title, "message": message}
    return render(request, "printing/not_drawn.html", context, status=status)


@dataclass(frozen=True)
class Order:
    """A sheet as it is asked for: of ``size`` pieces, drawn at once when they are at most ``most``.

    ``parameters`` are plain values, which its drawing function takes.
    """

    title: str
    parameters: Parameters
    size: int
    most: int


class SheetPage(View):
    """A kind of sheet and the page where it is asked for; ``settings.SHEETS`` lists them.

    ``kind`` is kept with every sheet that a task draws, by ``draw``. A kind that is asked for by
    a form has a ``template`` for it. ``once``: a sheet never changes, so one drawn before serves.
    ``ending`` is that of its file.
    """

    http_method_names = ("get", "post")
    kind: str
    name: str
    route: str
    draw: Draw
    template = ""
    once = False
    ending = PDF

    @property
    def owner(self) -> Member:
        return cast("MemberRequest", self.request).user

    def form(self) -> Any:
        """The form by which the sheet is asked for, None where the address says all."""
        return None

    def context(self) -> dict[str, Any]:
        """What the page of the form says beside it."""
        return {}

    def order(self, form: Any) -> Order | HttpResponse | None:
        """What is asked for, another answer, or None for the page of the form once more.

        ``form`` is valid. May raise SheetProblem where there is one.
        """
        raise NotImplementedError

    def get(self, request: HttpRequest, **_where: Any) -> HttpResponse:
        form = self.form()
        if form is None:
            return self._without_form()
        if request.method == "POST" and form.is_valid():
            try:
                asked = self.order(form)
                answered = self._drawn(asked) if isinstance(asked, Order) else asked
            except SheetProblem as problem:
                form.add_error(None, str(problem))
            else:
                if answered is not None:
                    return answered
        context = {"form": form, **self.context()}
        return render(request, self.template, context)

    post = get

    def _without_form(self) -> HttpResponse:
        order = cast("Order", self.order(None))
        try:
            return self._drawn(order)
        except SheetProblem as problem:
            return not_drawn(self.request, order.title, str(problem), status=422)

    def _drawn(self, order: Order) -> HttpResponse:
        """Draw a short sheet now and a long one by a task, for which a button asks first."""
        request, owner = self.request, self.owner
        if order.size <= order.most:
            draw = partial(self.draw, owner, order.parameters, silent)
            return drawn_now(request, draw, order.title, self.ending)
        before = drawn_before(owner, self.kind, order.parameters) if self.once else None
        if before is not None:
            return redirect("sheet", before.pk)
        if request.method == "POST":
            made = ask_for(owner, self.kind, order.title, order.parameters, order.size)
            return redirect("sheet", made.pk)
        context = {"title": order.title, "size": order.size}
        return render(request, "printing/long.html", context)


def sheet_pages() -> tuple[type[SheetPage], ...]:
    """Every kind of sheet with its page."""
    return tuple(import_string(path) for path in settings.SHEETS)
