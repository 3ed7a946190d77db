"""Labels and tickets for a member's pieces, and what to say of them before they are printed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from django.utils.translation import gettext as _

from catalogue.models import Holding, Member
from catalogue.printing import words
from catalogue.printing.codes import qr_markup
from catalogue.printing.forms import LabelsForm
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.label_contents import FIELDS, label_of
from catalogue.printing.label_text import Label, Shortened
from catalogue.printing.labels import fit_labels, lay_labels, trial_page
from catalogue.printing.queries import address_of, facts_of, for_labels
from catalogue.printing.responses import Order, SheetPage, drawn_now
from catalogue.printing.scripts import unprintable
from catalogue.printing.selection import chosen_holdings, in_words
from catalogue.printing.sheets import Parameters, Progress, pdf_of, silent
from catalogue.printing.stock import Stock
from series.text.english import some_of

LABELS_AT_ONCE = 60
LOOKED_AT = 2000  # labels, before a sheet of them is drawn
NAMED = 12  # labels shortened alike that are named


def draw_labels(owner: Member, parameters: Parameters, progress: Progress = silent) -> bytes:
    """Labels or tickets for the owner's pieces.

    ``query`` and ``order`` say which pieces, ``stock`` the measures (the fields of Stock),
    ``first`` the first free label, ``lines`` the content, ``code`` whether with a QR code.
    """
    labels = _labels(_pieces(owner, parameters), parameters)
    if not labels:
        raise SheetProblem(words.NOTHING_CHOSEN)
    pages = lay_labels(labels, Stock(**parameters["stock"]), int(parameters.get("first", 1)))
    codes = {label.key: label.code for label in labels if label.code}
    art = {
        box.key: qr_markup(codes[box.key], box.width)
        for page in pages
        for box in page.boxes
        if box.look == "code"
    }
    progress(len(labels), len(labels))
    return pdf_of(pages, words.LABELS, art, tagged=False)


def _pieces(owner: Member, parameters: Parameters) -> QuerySet[Holding]:
    order = parameters.get("order", "coin")
    return for_labels(chosen_holdings(owner, parameters["query"], order))


def _labels(pieces: QuerySet[Holding], parameters: Mapping[str, Any]) -> list[Label]:
    coded = bool(parameters.get("code"))
    return [
        label_of(facts_of(piece), parameters["lines"], address_of(piece) if coded else "")
        for piece in pieces
    ]


def draw_trial(stock: Stock) -> bytes:
    """The outlines of a stock's labels, to hold against the light."""
    return pdf_of([trial_page(stock)], words.TRIAL_SHEET, tagged=False)


@dataclass(frozen=True)
class Notes:
    """What a member should know before labels are printed."""

    size: str
    shortened: list[str]
    scripts: list[str]
    looked_at: int

    @property
    def anything(self) -> bool:
        return bool(self.shortened or self.scripts)


def notes_on(owner: Member, parameters: Parameters) -> Notes:
    """Which labels must be shortened, and how; which scripts cannot be printed.

    Raises SheetProblem for what cannot be laid out.
    """
    labels = _labels(_pieces(owner, parameters)[:LOOKED_AT], parameters)
    fitted = fit_labels(labels, Stock(**parameters["stock"]))
    scripts = unprintable(fact.text for label in labels for fact in label.facts)
    return Notes(words.measure(fitted.size), _said(fitted.shortened), scripts, len(labels))


def _said(shortened: Sequence[Shortened]) -> list[str]:
    """A sentence for all labels that are shortened alike."""
    alike: dict[tuple[tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for one in shortened:
        alike.setdefault((one.dropped, one.cut), []).append(one.key)
    return [_sentence(dropped, cut, keys) for (dropped, cut), keys in alike.items()]


def _sentence(dropped: Sequence[str], cut: Sequence[str], keys: Sequence[str]) -> str:
    parts = []
    if dropped:
        parts.append(_("without %(facts)s") % {"facts": _names(dropped)})
    if cut:
        parts.append(_("fewer words of %(facts)s") % {"facts": _names(cut)})
    return f"{'; '.join(parts)}: {some_of(keys, NAMED)}"


def _names(facts: Sequence[str]) -> str:
    return ", ".join(FIELDS[name] for name in facts)


class LabelsPage(SheetPage):
    """Labels or tickets for the pieces that the address finds."""

    kind = "labels"
    name = "labels-sheet"
    route = "sheets/labels/"
    draw = staticmethod(draw_labels)
    template = "printing/labels.html"
    notes: Notes | None = None

    @cached_property
    def query(self) -> str:
        return self.request.GET.urlencode()

    @cached_property
    def count(self) -> int:
        return chosen_holdings(self.owner, self.query).count()

    @property
    def tickets(self) -> bool:
        return self.request.GET.get("form") == "tickets"

    def form(self) -> LabelsForm:
        sort = self.request.GET.get("sort", "").removeprefix("-")
        initial = {"order": "accession" if sort in {"accession", "added"} else "coin"}
        data = self.request.POST or None
        return LabelsForm(data, owner=self.owner, tickets=self.tickets, initial=initial)

    def order(self, form: LabelsForm) -> Order | HttpResponse | None:
        do = self.request.POST.get("do")
        if do == "trial":
            return drawn_now(self.request, lambda: draw_trial(form.measures), words.TRIAL_SHEET)
        parameters = form.parameters(self.query)
        self.notes = None if do == "anyway" else notes_on(self.owner, parameters)
        if self.notes is not None and self.notes.anything:
            return None
        return Order(words.labels_for(self.count), parameters, self.count, LABELS_AT_ONCE)

    def context(self) -> dict[str, Any]:
        return {
            "count": self.count,
            "notes": self.notes,
            "said": in_words(self.owner, self.query),
            "query": self.query,
            "tickets": self.tickets,
        }
