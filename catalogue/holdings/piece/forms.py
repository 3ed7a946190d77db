"""The full form of one holding."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.actions import derive, lock_numbers, next_accessions, set_problems
from catalogue.holdings.changes import note_holdings
from catalogue.holdings.dates.from_form import DateOfForm, date_of_form
from catalogue.holdings.dates.type_change import issue_label
from catalogue.holdings.fields import (
    CurrencyCode,
    DayField,
    GradeField,
    need_currency,
    place_field,
    read_grades,
)
from catalogue.holdings.finding.typeahead import TypeRead, read_type_fields, type_label
from catalogue.holdings.piece.provenance_lines import (
    LineRefused,
    provenance_lines,
    read_provenance,
    read_references,
    reference_lines,
)
from catalogue.members.requests import Viewer
from catalogue.models import (
    Holding,
    HoldingProblem,
    HoldingReference,
    ProvenanceLine,
    Reservation,
)
from series.dates.written import DateError, read_date_input
from series.forms import RecordForm
from series.models import CoinType, Issue, Variety

GRADES = ("grade", "grade_obverse", "grade_reverse")


class HoldingForm(RecordForm):
    """Everything that is kept of a piece, except its status, photographs and papers.

    ``type_text`` is what is typed to find the type; ``types`` holds what to choose from when it
    points to several. The issues offered are those of ``shown_type``. When another type was
    found, the date goes along (``date``, a ``DateOfForm``): what it cannot be is asked for before
    anything is saved. ``looking`` is set where the form is only shown again, not sent.
    """

    looking = False

    type_text = forms.CharField(label=_("Type"), required=False, max_length=300)
    shown_type = forms.CharField(required=False, widget=forms.HiddenInput)
    date_was = forms.CharField(required=False, widget=forms.HiddenInput)
    problems = forms.MultipleChoiceField(
        label=_("Problems"),
        required=False,
        choices=HoldingProblem.Kind.choices,
        widget=forms.CheckboxSelectMultiple,
    )
    provenance_text = forms.CharField(
        label=_("Provenance, oldest first"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("One line each, such as: 1971; bought from Ole Tarn"),
    )
    references_text = forms.CharField(
        label=_("Described in"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("One line each: work; edition; number"),
    )
    price_currency = CurrencyCode(label=_("Paid in"))
    graded_on = DayField(label=_("Graded on"))
    acquired_on = DayField(label=_("Acquired on"))

    class Meta:
        model = Holding
        fields = [
            "coin_type",
            "issue",
            "variety",
            "date_reading",
            "title",
            "quantity",
            "accession",
            "grade_scale",
            *GRADES,
            "graded_by",
            "graded_on",
            *(name for names in Holding.MEASURES.values() for name in names),
            "alignment",
            "acquired_on",
            "acquired_from",
            "price",
            "price_currency",
            "place",
            "spare",
            "visibility",
            "note",
        ]
        widgets = {"coin_type": forms.HiddenInput, "note": forms.Textarea(attrs={"rows": 3})}
        field_classes = dict.fromkeys(GRADES, GradeField)

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        self.read = TypeRead(self.instance.coin_type)
        self.date = DateOfForm()
        if self.is_bound:
            self._read_type()
        elif self.read.coin_type is not None:
            self.initial["type_text"] = type_label(self.read.coin_type)
        coin_type = self.read.coin_type
        if not self.is_bound:
            self.initial["shown_type"] = str(coin_type.pk) if coin_type else ""
        self._set_choices(self.date.shown if self.read.error else coin_type)
        if self.instance.pk:
            self.initial["problems"] = [p.kind for p in self.instance.problems.all()]
            provenance = self.instance.provenance.values_list("when", "text")
            self.initial["provenance_text"] = provenance_lines(provenance)
            references = self.instance.references.values_list("work", "edition", "number")
            self.initial["references_text"] = reference_lines(references)
        self.fields["date_reading"].help_text = _(
            "When it is none of these or cannot be read whole: 19?8, c. 1931, 1966 or 1968."
        )
        self.fields["alignment"].help_text = _("12 is medal, 6 coin alignment.")

    def _read_type(self) -> None:
        """Put the type that was found into what was sent, so that it is shown and kept."""
        data = self.data.copy()  # type: ignore[attr-defined]
        self.read = read_type_fields(self.viewer, data)
        found, unread = self.read.coin_type, bool(self.read.error)
        self.date = date_of_form(data, found, self.viewer, self.instance, unread=unread)
        data.update(self.date.data)
        self.data = data

    def _set_choices(self, coin_type: CoinType | None) -> None:
        types = CoinType.objects.filter(pk=coin_type.pk if coin_type else None)
        self.fields["coin_type"].queryset = types  # type: ignore[attr-defined]
        offered = Q(withdrawn=False) | Q(pk=self.instance.issue_id)
        field: Any = self.fields["issue"]
        field.label = _("Date")
        field.queryset = Issue.objects.filter(offered, coin_type=coin_type)
        field.empty_label = _("not known, or none of these")
        field.label_from_instance = issue_label
        if self.date.question is not None:
            field.widget.choices = self.date.question.options()
            field.widget.attrs["required"] = True
        varieties: Any = self.fields["variety"]
        varieties.queryset = Variety.objects.filter(issue__coin_type=coin_type).select_related(
            "issue"
        )
        varieties.label = _("Variety")
        varieties.empty_label = _("none told apart")
        varieties.label_from_instance = lambda variety: f"{variety.issue.label}: {variety.name}"
        owner = self.instance.owner
        self.fields["place"] = place_field(owner)

    # ---- each field ----
    def clean_accession(self) -> str:
        number = " ".join(self.cleaned_data["accession"].split())
        owner = self.instance.owner
        taken = Holding.everything.filter(owner=owner, accession=number)
        one = taken.exclude(pk=self.instance.pk).first()
        if one is None:
            return number
        where = {"number": number, "piece": one.label, "free": next_accessions(owner)[0]}
        if one.deleted_at is not None:
            raise forms.ValidationError(
                _("%(number)s belongs to a piece in your bin. The next free number is %(free)s."),
                params=where,
            )
        raise forms.ValidationError(
            _("You already have a %(number)s (%(piece)s). The next free number is %(free)s."),
            params=where,
        )

    def clean_date_reading(self) -> str:
        text = self.cleaned_data["date_reading"]
        if not text or text == self.instance.date_reading:
            return str(text)
        try:
            return str(read_date_input(text))
        except DateError as error:
            raise forms.ValidationError(str(error)) from error

    def clean_quantity(self) -> int:
        quantity: int = self.cleaned_data["quantity"]
        if quantity < 1:
            raise forms.ValidationError(_("Write how many pieces there are, at least 1."))
        return quantity

    def clean_provenance_text(self) -> list[tuple[str, str]]:
        return self._lines(read_provenance, "provenance_text")

    def clean_references_text(self) -> list[tuple[str, str, str]]:
        return self._lines(read_references, "references_text")

    def _lines(self, read: Any, name: str) -> Any:
        try:
            return read(self.cleaned_data[name])
        except LineRefused as refused:
            number, most = refused.args
            raise forms.ValidationError(
                _("Line %(n)d has a part that is empty or longer than %(most)d letters."),
                params={"n": number, "most": most},
            ) from refused

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if self.read.error:
            self.add_error("type_text", self.read.error)
            if not self.read.choices:
                self.add_error(
                    "type_text",
                    _("Or empty this field and give the piece a working title further down."),
                )
        elif self.date.question is not None:
            self.add_error("issue", _("Choose one of these."))
        elif self.date.new_dates and not self.looking:
            self.add_error(
                "issue",
                _("The type is set. Choose its date, or leave it open, and save again."),
            )
        if self.date.variety_lost:
            self.add_error(
                "issue",
                _("The variety “%(name)s” is none of this date's. Save again to leave it off.")
                % {"name": self.date.variety_lost},
            )
        self._clean_what(cleaned)
        read_grades(self)
        self._clean_figures(cleaned)
        return cleaned

    def _clean_what(self, cleaned: dict[str, Any]) -> None:
        issue, variety = cleaned.get("issue"), cleaned.get("variety")
        if variety is not None and issue is None:
            cleaned["issue"] = variety.issue
        elif variety is not None and variety.issue != issue:
            self.add_error("variety", _("This variety is of another date; choose one of them."))
        promised = Reservation.objects.filter(holding=self.instance.pk).first()
        if promised is not None and not cleaned.get("spare"):
            self.add_error(
                "spare",
                _("It is promised to %(member)s; take the promise back first.")
                % {"member": promised.wanted_by},
            )
        nameless = cleaned.get("coin_type") is None and not cleaned.get("title")
        if nameless and not self.read.error:
            self.add_error(
                "type_text", _("Find its type, or give the piece a working title further down.")
            )

    def _clean_figures(self, cleaned: dict[str, Any]) -> None:
        for name, within in Holding.MEASURES.values():
            size, fine = cleaned.get(name), cleaned.get(within)
            if size is not None and size <= 0:
                self.add_error(name, _("A measure is more than nothing."))
            if fine is not None and fine <= 0:
                self.add_error(within, _("Write half of the smallest step you can read."))
            if fine is not None and size is None and name not in self.errors:
                self.add_error(name, _("Write the measure too, or empty how finely it was read."))
        hours = cleaned.get("alignment")
        if hours is not None and not 0 < hours <= 12:
            self.add_error("alignment", _("Write the hour on a dial: more than 0, up to 12."))
        need_currency(self, "price", "price_currency")
        price = cleaned.get("price")
        if price is not None and price < 0:
            self.add_error("price", _("A price is not less than nothing."))

    def _post_clean(self) -> None:
        super()._post_clean()  # type: ignore[misc]
        if not self.errors:
            derive(self.instance)

    # ---- saving ----
    def save_all(self) -> bool:
        """Save the holding and its parts as one; False when it is stale or its number was taken."""
        try:
            with transaction.atomic():
                if "accession" in self.changed_data or self.instance._state.adding:
                    lock_numbers(self.instance.owner)
                if not self.save_checked():
                    return False
                self._save_parts()
        except IntegrityError:
            self.add_error(
                "accession",
                _("This number was taken meanwhile. The next free number is %(free)s.")
                % {"free": next_accessions(self.instance.owner)[0]},
            )
            return False
        return True

    def _save_parts(self) -> None:
        holding, cleaned = self.instance, self.cleaned_data
        set_problems(holding, cleaned["problems"])
        if "provenance_text" in self.changed_data:
            holding.provenance.all().delete()
            ProvenanceLine.objects.bulk_create(
                ProvenanceLine(holding=holding, when=when, text=text, position=position)
                for position, (when, text) in enumerate(cleaned["provenance_text"])
            )
            note_holdings([holding.pk])
        if "references_text" in self.changed_data:
            holding.references.all().delete()
            HoldingReference.objects.bulk_create(
                HoldingReference(holding=holding, work=work, edition=edition, number=number)
                for work, edition, number in cleaned["references_text"]
            )
