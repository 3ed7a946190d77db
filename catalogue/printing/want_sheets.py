"""A want list on paper: grouped by series, each thing with its dates to tick off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import get_language

from catalogue import access
from catalogue.models import Member, WantList
from catalogue.printing.lettering import bound
from catalogue.printing.pdf import render_pdf
from catalogue.printing.sheets import Parameters, Progress, silent
from catalogue.wants.lists import WantLine, grouped, lines_of_list

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
    lang = get_language() or "en-GB"
    context = {
        "list": found,
        "entries": entries_of(lines),
        "count": len(lines),
        "page_name": f"flow-{paper.lower()}",
        "day": timezone.localdate(),
        "lang": lang,
    }
    html = render_to_string("print/wants.html", context)
    return render_pdf(html, title=found.title, lang=lang)


def entries_of(lines: Sequence[WantLine]) -> list[Entry]:
    """The entries of a list in their order; the last few are kept together."""
    entries = [
        (asked.line, asked.dates, (group.title, len(group.lines)) if number == 0 else None)
        for group in grouped(lines)
        for number, asked in enumerate(group.asked)
    ]
    last = len(entries) - TOGETHER
    return [Entry(*entry, kept=number > last) for number, entry in enumerate(entries)]
