"""The one form of a type: what it is, its measures, its faces, marks, dates and sources."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.db import transaction
from django.db.models import Q, QuerySet
from django.forms.models import model_to_dict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.models import Holding, Reservation, Want
from series.dates import DateError, parse_edtf
from series.forms import Difference, RecordForm
from series.metals import CompositionError, parse_composition
from series.models import CoinType, Currency, Denomination, Face, Series
from series.packs.entries import MarkText, trimmed
from series.records import Record
from series.types import lines
from series.types.dates_editing import DatesPlan, plan_dates, stored_type
from series.types.editing import (
    PLAIN_OF_FACE,
    SIDES,
    FaceWords,
    TypeWords,
    face_legends,
    save_parts,
    source_names,
    type_texts,
)

_WHAT = ("series", "denomination", "name", "purpose")
_MEASURES = (
    "composition", "diameter_mm", "thickness_mm", "mass_g", "remedy_g", "outline", "sides", "hole",
    "hole_mm", "ring_mm", "inner_panel", "edge", "alignment", "convention",
)  # fmt: skip
_LAW = ("withdrawn_on", "tender_until", "exchange_until", "exchange_where", "exchange_rate")
_YEARS = ("first_year", "last_year")
_FACE_TEXTS = ("legends", "motifs", "designers", "engravers")
_PARTS = ("marks", "dates", "references", "citations")


@dataclass(frozen=True)
class Section:
    """Some fields of the form under a heading; ``folded`` where most people leave it empty."""

    heading: str
    lead: str
    fields: list[forms.BoundField]
    folded: bool = False


def _box(label: Any, help_text: Any = "", rows: int = 2) -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=help_text,
        required=False,
        widget=forms.Textarea(attrs={"rows": rows, "spellcheck": "false"}),
    )


def _people(label: Any) -> forms.CharField:
    """Names parted by commas or semicolons; the page offers ``known-people`` for them."""
    widget = forms.TextInput(attrs={"list": "known-people", "autocomplete": "off"})
    return forms.CharField(label=label, required=False, widget=widget)


def _grouped(
    queryset: QuerySet[Any], label: Any, group: Callable[[Any], str], first: str = ""
) -> forms.ModelChoiceField:  # type: ignore[type-arg]
    """A choice of records under the names of what they belong to, one group before the others."""
    field = forms.ModelChoiceField(queryset, label=label)
    groups: dict[str, list[tuple[int, str]]] = {first: []} if first else {}
    for record in queryset:
        groups.setdefault(group(record), []).append((record.pk, str(record)))
    field.widget.choices = [  # type: ignore[attr-defined]
        ("", _("Choose one")),
        *((name, some) for name, some in groups.items() if some),
    ]
    return field


def _money(currency: Currency) -> str:
    """A currency with its countries, since several may have a pound."""
    countries = ", ".join(issuer.name for issuer in currency.issuers.all())
    return f"{currency.name}, {countries}" if countries else currency.name


class TypeForm(RecordForm):
    marks = _box(
        gettext_lazy("Marks"),
        gettext_lazy(
            "One a line: what it is, its kind, whose it is, the face, the place by the clock and "
            "what it is near, as in: S mint Saltmouth reverse 6 below the net. Kinds are mint, "
            "privy, mint master, assayer and signature; add “on every issue” where so."
        ),
        3,
    )
    dates = _box(
        gettext_lazy("Dates"),
        gettext_lazy(
            "As you would write them: 1931–38, 1941, 1947 S/D, 1952 (1953), not struck 1943, "
            "1953 proof, AH 1389 (1969), n.d. (1890–95). A year in brackets is the one it was "
            "struck in; a remark stands in quotes."
        ),
        4,
    )
    references = _box(
        gettext_lazy("References"),
        gettext_lazy("One a line: work | number, or work | edition | number."),
    )
    citations = _box(
        gettext_lazy("Sources"),
        gettext_lazy("Where this is stated, one a line: source: the place in it."),
    )

    class Meta:
        model = CoinType
        fields = [*_WHAT, *_MEASURES, *_YEARS, *_LAW, "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "first_year": gettext_lazy("Only where no single date is known."),
            "diameter_mm": gettext_lazy("The width across where it is not round."),
            "remedy_g": gettext_lazy("The tolerance that the law allows a new coin."),
        }

    def __init__(
        self, *args: Any, like: CoinType | None = None, ask_note: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._add_choices(like)
        for side in SIDES:
            self._add_face(side)
        if ask_note:
            self.fields["proposal_note"] = _box(
                _("A word to the curator"), _("Why it is needed, or where the facts come from.")
            )
        self._stored = stored_type(self.instance) if self.instance.pk else None
        self.plan = DatesPlan()
        source = self.instance if self.instance.pk else like
        if source is not None:
            texts: dict[str, Any] = dict(type_texts(source, self._stored))
            if like is not None and source is like:
                texts["dates"] = ""
                own = model_to_dict(like, fields=[*_WHAT, *_MEASURES, *_LAW, "note"])
                self.initial = {**own, **self.initial}
            self.initial = {**texts, **self.initial}
        for name, value in self.initial.items():
            if isinstance(value, Decimal):
                self.initial[name] = trimmed(value)
        if self._stored and any(i.entry.fact == "struck" for i in self._stored.issues.values()):
            for name in _YEARS:  # they follow from the dates
                del self.fields[name]
        if self.is_bound and not self.instance.pk:
            self.fields.pop("row_version")

    def _add_choices(self, like: CoinType | None) -> None:
        """Series by country, denominations by money; those of the series begun with first."""
        begun = self.instance.series_id or self.initial.get("series") or (like and like.series_id)
        own = Series.objects.filter(pk=begun or 0).select_related("issuer", "currency").first()
        series = Series.objects.select_related("issuer").order_by("issuer__name", "first_year")
        denominations = (
            Denomination.objects.select_related("currency")
            .prefetch_related("currency__issuers")
            .order_by("currency__name", "currency_id", "sort_value")
        )
        self.fields["series"] = _grouped(
            series, _("Series"), lambda one: one.issuer.name, own.issuer.name if own else ""
        )
        self.fields["denomination"] = _grouped(
            denominations,
            _("Denomination"),
            lambda one: _money(one.currency),
            _money(own.currency) if own else "",
        )

    def _add_face(self, side: str) -> None:
        def field(name: str) -> forms.Field:
            of_model: Any = Face._meta.get_field(name)
            made: forms.Field = of_model.formfield()
            return made

        made: dict[str, forms.Field] = {
            "description": _box(_("Description"), rows=3),
            "legends": _box(
                _("Legends"), _("One a line: as struck | transliteration | translation.")
            ),
        }
        if side != "edge":
            made |= {
                "motifs": _box(
                    _("Motifs"),
                    _("Parted by commas; with words about one, a line of its own: net: on poles."),
                ),
                "value_as": field("value_as"),
                "bust": field("bust"),
                "border": field("border"),
                "designers": _people(_("Designed by")),
                "engravers": _people(_("Engraved by")),
                "role": field("role"),
            }
        for name, one in made.items():
            self.fields[f"{side}_{name}"] = one

    # ---- reading ----
    def clean_composition(self) -> str:
        written: str = self.cleaned_data["composition"].strip()
        if written and written != self.initial.get("composition"):
            try:
                parse_composition(written)
            except CompositionError as error:
                raise forms.ValidationError(str(error)) from error
        return written

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        self._check_measures(cleaned)
        for name in _LAW[:3]:
            if (written := cleaned.get(name)) and written != "..":
                with self._reporting(name):
                    cleaned[name] = str(parse_edtf(written))
        series, denomination = cleaned.get("series"), cleaned.get("denomination")
        if series and denomination and series.currency_id != denomination.currency_id:
            self.add_error(
                "denomination",
                _("%(name)s is money of the %(its)s, but this series is in the %(other)s.")
                % {
                    "name": denomination.name,
                    "its": denomination.currency.name,
                    "other": series.currency.name,
                },
            )
        self._read_parts(cleaned)
        return cleaned

    def _check_measures(self, cleaned: dict[str, Any]) -> None:
        for name, value in list(cleaned.items()):
            if isinstance(value, Decimal) and value <= 0:
                self.add_error(
                    name, _("A measure is more than nothing; leave it empty if unknown.")
                )
        hours = cleaned.get("alignment")
        if hours is not None and not 1 <= hours <= 12:
            self.add_error("alignment", _("Write hours from 1 to 12: 12 is medal, 6 coin."))
        first, last = cleaned.get("first_year"), cleaned.get("last_year")
        if first is not None and last is not None and last < first:
            self.add_error("last_year", _("The last year lies before the first."))

    def _read_parts(self, cleaned: dict[str, Any]) -> None:
        for side in SIDES:
            known = []
            if self._stored and side in self._stored.faces:
                known = face_legends(self._stored.faces[side])
            self._read(
                cleaned, f"{side}_legends", lambda text, k=known: lines.read_legends(text, k)
            )
            if side != "edge":
                self._read(cleaned, f"{side}_motifs", lines.read_motifs)
                self._read(cleaned, f"{side}_designers", lines.read_names)
                self._read(cleaned, f"{side}_engravers", lines.read_names)
        self._read(cleaned, "marks", lines.read_marks)
        self._read(cleaned, "references", lines.read_references)
        self._read(cleaned, "citations", lambda text: lines.read_citations(text, source_names()))
        marks: tuple[MarkText, ...] = cleaned.get("marks") or ()
        if "marks" in cleaned:
            with self._reporting("dates"):
                self.plan = plan_dates(cleaned.get("dates") or "", marks, self._stored)
                self._refuse_loss()

    def _read(self, cleaned: dict[str, Any], name: str, read: Any) -> None:
        if name in cleaned:
            with self._reporting(name):
                cleaned[name] = read(cleaned[name])

    def _reporting(self, name: str) -> _Reporting:
        return _Reporting(self, name)

    def _refuse_loss(self) -> None:
        """A date that someone holds, wants or was promised stays, and stays struck."""
        ids = [issue.pk for issue in (*self.plan.removed, *self.plan.unmade)]
        used = used_issues(ids)
        if names := [str(issue) for issue in self.plan.removed if issue.pk in used]:
            raise DateError(
                _("Members hold or want %(dates)s, so it cannot be left out: write it again.")
                % {"dates": ", ".join(names)},
                "",
            )
        if names := [str(issue) for issue in self.plan.unmade if issue.pk in used]:
            raise DateError(
                _("Members hold or want %(dates)s, so it cannot be “not struck”.")
                % {"dates": ", ".join(names)},
                "",
            )

    # ---- saving ----
    def words(self) -> TypeWords:
        faces = {}
        for side in SIDES:
            said = {name: self.cleaned_data.get(f"{side}_{name}") for name in _FACE_TEXTS}
            plain = {
                name: self.cleaned_data[f"{side}_{name}"]
                for name in PLAIN_OF_FACE
                if f"{side}_{name}" in self.cleaned_data
            }
            faces[side] = FaceWords(plain=plain, **said)
        return TypeWords(
            faces=faces,
            marks=self.cleaned_data["marks"],
            dates=self.plan,
            references=self.cleaned_data["references"],
            citations=self.cleaned_data["citations"],
        )

    def save_checked(self) -> bool:
        """Save the type and all its parts, or nothing; False on a stale edit (both are shown)."""
        with transaction.atomic():
            saved = super().save_checked()
            if saved:
                save_parts(self.instance, self.words())
        return saved

    def _show_both(self, current: Record) -> None:
        super()._show_both(current)
        for name, stored in type_texts(CoinType.everything.get(pk=current.pk)).items():
            field = self.fields.get(name)
            if field is None:
                continue
            yours = str(self.data.get(self.add_prefix(name), "")).replace("\r\n", "\n").strip()
            if stored.strip() != yours:
                side = name.partition("_")[0]
                prefix = f"{Face(side=side)}: " if side in SIDES else ""
                self.stale.append(Difference(f"{prefix}{field.label}", stored, yours))

    # ---- showing ----
    def sections(self) -> Iterator[Section]:
        """The form in the order of its page."""
        yield Section(_("What it is"), "", [self[name] for name in _WHAT])
        yield Section(
            _("Dates"),
            "",
            [self[name] for name in ("dates", *_YEARS) if name in self.fields],
        )
        yield Section(_("Metal and measures"), "", [self[name] for name in _MEASURES])
        for side in SIDES:
            fields = [self[name] for name in self.fields if name.startswith(f"{side}_")]
            yield Section(str(Face(side=side)).capitalize(), "", fields, folded=side == "edge")
        yield Section(_("Marks"), "", [self["marks"]])
        yield Section(_("In law"), "", [self[name] for name in _LAW], folded=True)
        rest = ["references", "citations", "note"]
        yield Section(_("Literature, sources, note"), "", [self[name] for name in rest])
        if "proposal_note" in self.fields:
            yield Section(_("For the curator"), "", [self["proposal_note"]])


def take_over(gone: CoinType, kept: CoinType) -> bool:
    """Put what ``gone`` says of measures, faces, law and literature onto ``kept``.

    What it leaves empty stays as it is, and so do marks, dates and name. False if the two do not
    go together: nothing is changed then.
    """
    names = [*_MEASURES, *_LAW, "note"]
    texts = type_texts(gone)
    said = model_to_dict(gone, fields=names) | {
        name: text for name, text in texts.items() if name not in ("marks", "dates")
    }
    shown = TypeForm(instance=kept)
    values = {bound.name: bound.value() for bound in shown}
    values |= {name: value for name, value in said.items() if value not in (None, "")}
    data = {name: "" if value is None else value for name, value in values.items()}
    form = TypeForm(data, instance=kept)
    return form.is_valid() and form.save_checked()


class _Reporting:
    """Turns what the readers of texts raise into an error of a field."""

    def __init__(self, form: TypeForm, name: str) -> None:
        self.form, self.name = form, name

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> bool:
        if isinstance(error, lines.LineError | DateError):
            self.form.add_error(self.name, str(error))
            return True
        return False


def used_issues(ids: list[int]) -> set[int]:
    """Those of these issues that a member holds, wants or was promised."""
    used: set[int] = set()
    for records in (Holding.objects, Want.objects, Reservation.objects):
        found = records.filter(Q(issue__in=ids)).values_list("issue", flat=True)
        used |= set(found)
    return used
