"""The one form of a type: where it belongs, its measures, faces, marks, dates and sources."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import partial
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.db import transaction
from django.forms.models import model_to_dict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.curation import type_fields
from catalogue.curation.belonging import Belonging, NowhereYet, belonging, find_issuer, make
from catalogue.curation.record_forms import check_years
from catalogue.curation.text_fields import TextsForm, box, offered
from catalogue.curation.type_fields import LAW, MEASURES, NEXT, SHAPE, WHAT, YEARS
from catalogue.curation.used import why_they_stay
from series.dates.written import DateError
from series.entries.flat import trimmed
from series.entries.tables import TypeEntry
from series.metal.compositions import parse_composition
from series.models import CoinType, Face, Series
from series.money.value_text import in_unit_of
from series.records import Record
from series.types import lines
from series.types.dates_editing import DatesPlan, plan_dates, stored_type
from series.types.editing import (
    SIDES,
    TypeParts,
    face_legends,
    save_parts,
    source_names,
    type_texts,
)

_PLACE = ("country", "value", "series")


class TypeForm(TextsForm):
    """``belongs`` says where a new or moved type belongs; None where that stays as it is."""

    country = offered(gettext_lazy("Country"), "known-countries", max_length=120)
    begin = forms.BooleanField(label=gettext_lazy("Begin this country"), required=False)
    money = forms.CharField(
        label=gettext_lazy("Its money"),
        required=False,
        max_length=200,
        help_text=gettext_lazy(
            "What one of its main unit is, as in 1 marl = 100 tinne. Left empty, the unit of the "
            "value is the main one."
        ),
    )
    value = offered(
        gettext_lazy("Value"),
        "known-values",
        gettext_lazy("25 tinne, ½ crown; a new one: crown = 5 shillings."),
        max_length=160,
    )
    series = forms.ModelChoiceField(Series.objects.none(), required=False)
    new_series = forms.CharField(
        label=gettext_lazy("Or a new series"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Its name, to begin it with this type."),
    )
    marks = box(
        gettext_lazy("Marks"),
        gettext_lazy(
            "One a line: what it is, its kind, whose it is, the face, the place by the clock and "
            "what it is near, as in: S mint Saltmouth reverse 6 below the net. Kinds are mint, "
            "privy, mint master, assayer and signature; add “on every issue” where so."
        ),
        3,
    )
    dates = box(
        gettext_lazy("Dates"),
        gettext_lazy(
            "1931–38, 1941, 1947 S/D, 1952 (1953), not struck 1943, 1953 proof, AH 1389 (1969), "
            "n.d. (1890–95)."
        ),
        1,
    )
    references = box(
        gettext_lazy("References"),
        gettext_lazy("One a line: work | number, or work | edition | number."),
    )
    citations = box(
        gettext_lazy("Sources"),
        gettext_lazy("Where this is stated, one a line: source: the place in it."),
    )

    class Meta:
        model = CoinType
        fields = [*WHAT, "composition", *NEXT, *SHAPE, *type_fields.EDGE, *YEARS, *LAW, "note"]
        labels = {
            "composition": gettext_lazy("Metal"),
            "sides": gettext_lazy("Sides or lobes"),
        }
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "composition": forms.TextInput(attrs={"list": "known-metals", "autocomplete": "off"}),
        }
        help_texts = {
            "composition": gettext_lazy("Bronze, Cu75Ni25, silver 500; ring: …; centre: …"),
            "first_year": gettext_lazy("Only where no single date is known."),
            "remedy_g": gettext_lazy("The tolerance that the law allows a new coin."),
        }

    def __init__(
        self,
        *args: Any,
        like: CoinType | None = None,
        ask_note: bool = False,
        viewer: access.Viewer | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.viewer: access.Viewer = viewer or AnonymousUser()
        self.belongs: Belonging | None = None
        source = self.instance if self.instance.pk else like
        begun = self.initial.get("series") or (source and source.series_id)
        own = Series.objects.filter(pk=begun or 0).select_related("issuer").first()
        self.fields["series"] = type_fields.series_field(own)
        for side in SIDES:
            self.fields |= type_fields.face_fields(side)
        if ask_note:
            self.fields["proposal_note"] = box(
                _("A word to the curator"), _("Why it is needed, or where the facts come from.")
            )
        self._stored = stored_type(self.instance) if self.instance.pk else None
        self.plan = DatesPlan()
        if source is not None:
            self._start_from(source, like)
        if own is not None:
            self.initial.setdefault("country", own.issuer.name)
        for name, value in self.initial.items():
            if isinstance(value, Decimal):
                self.initial[name] = trimmed(value)
        self.fields["dates"].widget.attrs["rows"] = 1 + min(
            len(str(self["dates"].value() or "")) // 50, 4
        )
        first = "value" if self.initial.get("country") else "country"
        if not self.is_bound and not self.instance.pk:
            self.fields[first].widget.attrs["autofocus"] = True
        if self._stored and any(i.entry.fact == "struck" for i in self._stored.issues.values()):
            for name in YEARS:  # they follow from the dates
                del self.fields[name]
        if self.is_bound and not self.instance.pk:
            self.fields.pop("row_version")
        for name, field in self.fields.items():
            told = f"id_{name}_helptext " if field.help_text else ""
            field.widget.attrs["aria-describedby"] = f"{told}{name}-said"

    def _start_from(self, source: CoinType, like: CoinType | None) -> None:
        texts: dict[str, Any] = {**type_texts(source, self._stored), **place_texts(source)}
        texts["series"] = source.series_id
        if source is like:
            texts["dates"] = ""
            own = model_to_dict(like, fields=[*WHAT, *MEASURES, *LAW, "note"])
            self.initial = {**own, **self.initial}
        self.initial = {**texts, **self.initial}

    # ---- reading ----
    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        self._check_measures(cleaned)
        check_years(self)
        self.read("composition", self._composition)
        self.read_dates(TypeEntry)
        self._read_parts(cleaned)
        if cleaned.get("country") and cleaned.get("value"):
            self._find_place(cleaned)
        return cleaned

    def _composition(self, written: str) -> str:
        if written and written != self.initial.get("composition"):
            parse_composition(written)
        return written

    def _kept(self, *names: str) -> bool:
        """Whether these fields still say what they said when the form was shown."""
        return all(
            str(self[name].value() or "").strip() == str(self.initial.get(name) or "")
            for name in names
        )

    def _find_place(self, cleaned: dict[str, Any]) -> None:
        """Find where the type belongs, or say what is missing."""
        series: Series | None = cleaned.get("series")
        if self.instance.pk and self._kept(*_PLACE) and not cleaned.get("new_series"):
            return
        said: dict[str, Any] = {
            name: cleaned.get(name) or "" for name in ("country", "value", "money")
        }
        said["value"] = in_unit_of(said["value"], str(self.initial.get("value") or ""))
        issuer = find_issuer(said["country"])
        if issuer is None and not cleaned.get("begin"):
            self.add_error(
                "country",
                _("There is no country “%(name)s” here yet: mend the name, or tick to begin it.")
                % {"name": cleaned["country"]},
            )
        if series is not None and (series.issuer != issuer or cleaned.get("new_series")):
            if not self._kept("series"):
                self._series_elsewhere(series, said["country"], cleaned.get("new_series") or "")
            series = None
        said["new_series"] = cleaned.get("new_series") or ""
        years = self._years(cleaned)
        for chosen in dict.fromkeys((series, None) if self._kept("series") else (series,)):
            try:
                self.belongs = belonging(self.viewer, years=years, series=chosen, **said)
            except NowhereYet as error:
                nowhere = error
            else:
                return
        self.add_error(nowhere.field, str(nowhere))

    def _series_elsewhere(self, series: Series, country: str, new_series: str) -> None:
        if new_series:
            message = _("Choose a series or begin a new one, not both.")
        else:
            message = _(
                "%(series)s is a series of %(its)s: choose one of %(country)s, or let it be found."
            ) % {"series": series, "its": series.issuer, "country": country}
        self.add_error("series", message)

    def _years(self, cleaned: dict[str, Any]) -> tuple[int | None, int | None]:
        """The years of striking that the form states."""
        struck = [one.dated for one in self.plan.wanted if one.dated.fact == "struck"]
        firsts = [one.struck_from for one in struck if one.struck_from is not None]
        lasts = [one.struck_to for one in struck if one.struck_to is not None]
        if firsts:
            return min(firsts), max(lasts)
        first, last = (cleaned.get(name) for name in YEARS)
        return (first if first is not None else last, last if last is not None else first)

    def _check_measures(self, cleaned: dict[str, Any]) -> None:
        for name, value in list(cleaned.items()):
            if isinstance(value, Decimal) and value <= 0:
                self.add_error(
                    name, _("A measure is more than nothing; leave it empty if unknown.")
                )
        hours = cleaned.get("alignment")
        if hours is not None and not 1 <= hours <= 12:
            self.add_error("alignment", _("Write hours from 1 to 12: 12 is medal, 6 coin."))

    def _read_parts(self, cleaned: dict[str, Any]) -> None:
        for side in SIDES:
            face = self._stored.faces.get(side) if self._stored else None
            known = face_legends(face) if face else []
            self.read(f"{side}_legends", partial(lines.read_legends, known=known))
            self.read(f"{side}_motifs", lines.read_motifs)
            self.read(f"{side}_designers", lines.read_names)
            self.read(f"{side}_engravers", lines.read_names)
        self.read("marks", lines.read_marks)
        self.read("references", lines.read_references)
        self.read("citations", lambda text: lines.read_citations(text, source_names()))
        if "marks" in cleaned:
            self.read("dates", self._read_dates)

    def _read_dates(self, written: str) -> str:
        self.plan = plan_dates(written, self.cleaned_data["marks"], self._stored)
        self._refuse_loss()
        return written

    def _refuse_loss(self) -> None:
        """A date that someone holds, wants or was promised stays, and stays struck."""
        refused = why_they_stay(
            self.plan.removed,
            self.viewer,
            told=_("Members hold or want %(names)s, so it cannot be left out: write it again."),
            untold=_("%(names)s cannot be left out here: write it again, or ask a curator."),
        ) or why_they_stay(
            self.plan.unmade,
            self.viewer,
            told=_("Members hold or want %(names)s, so it cannot be “not struck”."),
            untold=_("%(names)s cannot be made “not struck” here: ask a curator."),
        )
        if refused:
            raise DateError(refused, "")

    # ---- saving ----
    def words(self) -> TypeParts:
        said = self.cleaned_data
        return TypeParts(
            faces={
                side: {
                    name.removeprefix(f"{side}_"): value
                    for name, value in said.items()
                    if name.startswith(f"{side}_")
                }
                for side in SIDES
            },
            marks=said["marks"],
            dates=self.plan,
            references=said["references"],
            citations=said["citations"],
        )

    def take_place(self) -> None:
        """Make what the type belongs to, where it is not there yet, and put the type there."""
        if self.belongs is not None:
            self.instance.series, self.instance.denomination = make(self.belongs)
            self.belongs = None

    def save_checked(self) -> bool:
        """Save the type and all its parts, or nothing; False on a stale edit (both are shown)."""
        with transaction.atomic():
            self.take_place()
            saved = super().save_checked()
            if saved:
                save_parts(self.instance, self.words())
            else:
                transaction.set_rollback(True)
        return saved

    def stored_texts(self, current: Record) -> dict[str, str]:
        stored_now = CoinType.everything.get(pk=current.pk)
        return {**place_texts(stored_now), **type_texts(stored_now)}

    def label_of(self, name: str) -> str:
        side = name.partition("_")[0]
        prefix = f"{Face(side=side)}: " if side in SIDES else ""
        return f"{prefix}{super().label_of(name)}"

    # ---- showing ----
    def first(self) -> Iterator[forms.BoundField]:
        return (self[name] for name in type_fields.FIRST)

    def next(self) -> Iterator[forms.BoundField]:
        return (self[name] for name in NEXT)


def place_texts(coin_type: CoinType) -> dict[str, str]:
    """The country and the value of a type as one types them."""
    return {"country": coin_type.series.issuer.name, "value": coin_type.denomination.name}
