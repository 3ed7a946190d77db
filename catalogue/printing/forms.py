"""Forms of the sheets: label stock, what goes on labels, how album pages are laid out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.models import LabelStock, Member, Place
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.label_contents import CONTENTS, FIELDS, LINES_MOST, lines_by_number
from catalogue.printing.queries import measures_of
from catalogue.printing.stock import READY_MADE, Stock, misfits, ticket_stock
from catalogue.printing.words import measure
from series.forms import RecordForm

TICKETS = "tickets"


class StockForm(RecordForm):
    """A member's own label stock; what does not fit the paper is said measure by measure."""

    class Meta:
        model = LabelStock
        fields = [
            "name",
            "paper",
            "shape",
            "columns",
            "rows",
            "width_mm",
            "height_mm",
            "left_mm",
            "top_mm",
            "gap_across_mm",
            "gap_down_mm",
        ]
        widgets = {"paper": forms.Select(choices=Member.Paper.choices)}
        help_texts = {
            "width_mm": gettext_lazy("Of a round label: its diameter."),
            "left_mm": gettext_lazy("From the edge of the paper to the first column."),
            "top_mm": gettext_lazy("From the edge of the paper to the first row."),
        }

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if not self.errors:
            values = {name: cleaned[name] for name in self.Meta.fields}
            for problem in misfits(measures_of(LabelStock(**values))):
                self.add_error(None, problem)
        return cleaned


class LabelsForm(forms.Form):
    """Stock, first free label and content of a sheet of labels.

    After ``is_valid`` the measures are in ``measures`` and the lines in ``label_lines``.
    """

    stock = forms.ChoiceField(label=gettext_lazy("Labels or tickets"))
    first = forms.IntegerField(
        label=gettext_lazy("First free label"),
        min_value=1,
        initial=1,
        help_text=gettext_lazy("On a sheet already begun: counted from the top left, by rows."),
    )
    content = forms.ChoiceField(
        label=gettext_lazy("What stands on them"),
        choices=[
            ("full", gettext_lazy("full: all that is recorded")),
            ("short", gettext_lazy("short: coin, country, grade, number")),
            ("ticket", gettext_lazy("ticket: one fact a line")),
            ("own", gettext_lazy("lines of your own, chosen below")),
        ],
    )
    order = forms.ChoiceField(
        label=gettext_lazy("In the order of"),
        choices=[
            ("coin", gettext_lazy("country, value and date")),
            ("accession", gettext_lazy("accession numbers")),
        ],
    )
    code = forms.BooleanField(
        label=gettext_lazy("With a QR code that leads to the piece's page"), required=False
    )
    shape = forms.ChoiceField(label=gettext_lazy("Shape"), choices=LabelStock.Shape.choices)
    holder = forms.ChoiceField(
        label=gettext_lazy("For a holder of one of your places"), required=False
    )
    inner_mm = forms.DecimalField(
        label=gettext_lazy("Or its inner size, mm"),
        required=False,
        min_value=Decimal(5),
        max_value=Decimal(200),
        help_text=gettext_lazy("The diameter, or the width. A ticket is cut 0.5 mm smaller."),
    )
    inner_height_mm = forms.DecimalField(
        label=gettext_lazy("Inner height, mm"),
        required=False,
        min_value=Decimal(5),
        max_value=Decimal(280),
        help_text=gettext_lazy("Of a rectangular holder that is not square."),
    )
    paper = forms.ChoiceField(
        label=gettext_lazy("Paper the tickets are cut from"), choices=Member.Paper.choices
    )

    def __init__(self, *args: Any, owner: Member, tickets: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.own = {f"own-{s.pk}": s for s in access.owned(LabelStock.objects.all(), owner)}
        self.fields["stock"].choices = self._stocks(owner)  # type: ignore[attr-defined]
        self.fields["holder"].choices = _holders(owner)  # type: ignore[attr-defined]
        first = next(n for n, stock in enumerate(READY_MADE) if stock.paper == owner.paper)
        self.initial.setdefault("stock", TICKETS if tickets else f"ready-{first}")
        self.initial.setdefault("content", "ticket" if tickets else "full")
        self.initial.setdefault("shape", LabelStock.Shape.ROUND)
        self.initial.setdefault("paper", owner.paper)
        numbers = [("", "—"), *((str(n), str(n)) for n in range(1, LINES_MOST + 1))]
        suggested = {name: n for n, line in enumerate(CONTENTS["full"], 1) for name in line}
        for name, label in FIELDS.items():
            self.fields[f"line_{name}"] = forms.ChoiceField(
                label=capfirst(label),
                choices=numbers,
                required=False,
                initial=str(suggested[name]),
            )

    def _stocks(self, owner: Member) -> list[Any]:
        papers = sorted(Member.Paper.values, key=lambda paper: paper != owner.paper)
        ready = [
            (
                _("Ready-made, on %(paper)s") % {"paper": Member.Paper(paper).label},
                [
                    (f"ready-{n}", stock_words(stock))
                    for n, stock in enumerate(READY_MADE)
                    if stock.paper == paper
                ],
            )
            for paper in papers
        ]
        own = [(_("Your own"), [(key, s.name) for key, s in self.own.items()])] if self.own else []
        return [*own, (TICKETS, _("tickets cut to a holder, see below")), *ready]

    def line_fields(self) -> list[forms.BoundField]:
        return [self[f"line_{name}"] for name in FIELDS]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        self.label_lines = self._content(cleaned)
        stock = None if self.errors else self._stock(cleaned)
        if stock is not None:
            self.measures = stock
            for problem in misfits(stock):
                self.add_error("stock", problem)
            if cleaned["first"] > stock.per_sheet:
                text = _("This sheet has %(n)d labels; choose one of them as the first free one.")
                self.add_error("first", text % {"n": stock.per_sheet})
        return cleaned

    def _content(self, cleaned: dict[str, Any]) -> list[list[str]]:
        if cleaned.get("content") in CONTENTS:
            return [list(line) for line in CONTENTS[cleaned["content"]]]
        lines = lines_by_number({n: int(cleaned.get(f"line_{n}") or 0) for n in FIELDS})
        if cleaned.get("content") == "own" and not lines:
            self.add_error("content", _("Give at least one fact the number of a line."))
        return lines

    def _stock(self, cleaned: dict[str, Any]) -> Stock | None:
        chosen = cleaned["stock"]
        if chosen in self.own:
            return measures_of(self.own[chosen])
        if chosen != TICKETS:
            return READY_MADE[int(chosen.removeprefix("ready-"))]
        inner = cleaned.get("inner_mm") or Decimal(cleaned.get("holder") or 0)
        if not inner:
            text = _("Say how wide the holder is inside, in millimetres, or choose one of yours.")
            self.add_error("inner_mm", text)
            return None
        height = cleaned.get("inner_height_mm") or 0
        shape = cleaned["shape"]
        try:
            return ticket_stock(
                cleaned["paper"],
                shape,
                float(inner),
                float(height) if shape == LabelStock.Shape.RECTANGLE else 0.0,
            )
        except SheetProblem as problem:
            self.add_error("inner_mm", str(problem))
            return None

    def parameters(self, query: str) -> dict[str, Any]:
        """What ``draw_labels`` takes; call it on a valid form."""
        cleaned = self.cleaned_data
        return {
            "query": query,
            "order": cleaned["order"],
            "stock": asdict(self.measures),
            "first": cleaned["first"],
            "lines": self.label_lines,
            "code": cleaned["code"],
        }


def stock_words(stock: Stock) -> str:
    """A ready-made stock in words: "3 × 8 labels of 70 × 37 mm"."""
    values = {
        "columns": stock.columns,
        "rows": stock.rows,
        "width": measure(stock.width),
        "height": measure(stock.height),
    }
    if stock.round:
        return _("%(columns)d × %(rows)d round tickets of %(width)s mm, to be cut") % values
    if stock.cut:
        return _("%(columns)d × %(rows)d tickets of %(width)s × %(height)s mm, to be cut") % values
    return _("%(columns)d × %(rows)d labels of %(width)s × %(height)s mm") % values


def _holders(owner: Member) -> list[tuple[str, str]]:
    """The holders of the owner's places, each size once."""
    sized = access.owned(Place.objects.filter(inner_mm__isnull=False), owner)
    rows = sized.order_by("inner_mm", "holder").values_list("inner_mm", "holder").distinct()
    choices = []
    for inner, holder in rows:
        words = {"holder": holder or _("holder"), "size": measure(float(inner))}
        choices.append((str(inner), _("%(holder)s, %(size)s mm") % words))
    return [("", "—"), *dict(choices).items()]


class AlbumForm(forms.Form):
    """How album pages are laid out; ``without`` names what is not asked for."""

    coins = forms.ChoiceField(
        label=gettext_lazy("In the pockets of what you hold"),
        choices=[
            ("pictures", gettext_lazy("your photograph, else the coin's picture")),
            ("drawn", gettext_lazy("the coin drawn from its record")),
            ("empty", gettext_lazy("nothing: the coins themselves will lie there")),
        ],
    )
    gaps = forms.BooleanField(
        label=gettext_lazy("With the dates you lack, as empty circles"), required=False
    )
    each = forms.BooleanField(
        label=gettext_lazy("A pocket for every piece, not one for each date"), required=False
    )
    clearance = forms.DecimalField(
        label=gettext_lazy("Pocket wider than the coin by, mm"),
        min_value=Decimal(0),
        max_value=Decimal(20),
        initial=Decimal(1),
    )
    paper = forms.ChoiceField(label=gettext_lazy("Paper"), choices=Member.Paper.choices)

    def __init__(self, *args: Any, without: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in without:
            del self.fields[name]

    def parameters(self, scope: dict[str, Any]) -> dict[str, Any]:
        """What ``draw_album`` takes; call it on a valid form."""
        return {**scope, **self.cleaned_data, "clearance": str(self.cleaned_data["clearance"])}
