"""A want list on paper: grouped by series, each thing with its dates to tick off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.models import Member, WantList
from catalogue.printing.lettering import bound
from catalogue.printing.responses import Order, SheetPage, drawn_now, not_drawn
from catalogue.printing.sheets import Parameters, Progress, pdf_from, silent
from catalogue.printing.words import LANGUAGE
from catalogue.site.record_pages import own_or_404
from catalogue.site.secret_pages import secret_page
from catalogue.wants.lists import WantLine, grouped, lines_of_list

LINES_AT_ONCE = 600
LINES_SHARED = 1000  # of a list behind a link, which anybody may ask for again and again
TOGETHER = 3  # entries at the end that are not parted, so that no page holds one line
LONG = 60  # dates: an entry of more may go on overleaf


@dataclass(frozen=True)
class Entry:
    """Lines that differ in their date alone: one of them, and the dates.

    One that is ``kept`` stays on the page of the entry before it. ``heading`` is the name of its
    series and how many lines that has, for the first entry of each.
    """

    line: WantLine
    dates: list[str]
    heading: tuple[str, int] | None
    kept: bool = False

    @property
    def what(self) -> str:
        return bound(self.line.what)

    @property
    def note(self) -> str:
        return bound(self.line.note)

    @property
    def is_long(self) -> bool:
        return len(self.dates) > LONG


def draw_wants(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """The owner's want list with the id ``list`` as a list to tick off, grouped by series."""
    found = access.owned(WantList.objects.all(), owner).get(pk=parameters["list"])
    return draw_lines(found, lines_of_list(found), str(parameters.get("paper", "A4")))


def draw_lines(found: WantList, lines: Sequence[WantLine], paper: str) -> bytes:
    """A list of these lines, under the title of a want list."""
    context = {
        "list": found,
        "entries": entries_of(lines),
        "count": len(lines),
        "page_name": f"flow-{paper.lower()}",
        "day": timezone.localdate(),
    }
    lang = get_language() or LANGUAGE  # its template is translated, as pages are
    return pdf_from("print/wants.html", context, found.title, lang=lang)


def entries_of(lines: Sequence[WantLine]) -> list[Entry]:
    """The entries of a list in their order; the last few are kept together."""
    entries = [
        (asked.line, asked.dates, (group.title, len(group.lines)) if number == 0 else None)
        for group in grouped(lines)
        for number, asked in enumerate(group.asked)
    ]
    last = len(entries) - TOGETHER
    return [Entry(*entry, kept=number > last) for number, entry in enumerate(entries)]


class WantsPage(SheetPage):
    """A want list of one's own."""

    kind = "wants"
    name = "wants-sheet"
    route = "lists/<number:pk>/sheet/"
    draw = staticmethod(draw_wants)

    def order(self, form: None) -> Order:
        found = own_or_404(self.request, WantList.objects.all(), self.kwargs["pk"])
        parameters = {"list": found.pk, "paper": self.owner.paper}
        return Order(found.title, parameters, len(lines_of_list(found)), LINES_AT_ONCE)


@login_not_required
@secret_page
@require_safe
def shared_list_sheet(request: HttpRequest, token: str) -> HttpResponse:
    """The list behind a secret link as a PDF: wants, and nothing else about the collection."""
    found = get_object_or_404(access.shared_lists(hash_token(token)))
    if len(lines_of_list(found)) > LINES_SHARED:
        text = _("This list is too long to be drawn while you wait. Take it as CSV instead.")
        return not_drawn(request, found.title, text, status=422)
    parameters = {"list": found.pk, "paper": found.owner.paper}
    return drawn_now(request, lambda: draw_wants(found.owner, parameters), found.title)
