"""What the form of a type makes of what is typed: words for each field, and the coin drawn."""

from __future__ import annotations

from typing import Any

from django.utils.functional import cached_property
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from rapidfuzz import fuzz, process

from catalogue.curation.belonging import Belonging, find_issuer
from catalogue.curation.type_fields import Fold, folds
from catalogue.curation.type_form import TypeForm
from series.dates import words as date_words
from series.entries.columns import read_by
from series.entries.tables import TypeEntry
from series.metal import material
from series.models import CoinType, Issuer
from series.money.units import write_number
from series.picture.faces import two_faces
from series.text.numerals import numeral
from series.text.words import plain, years_text
from series.types import line_words
from series.types.drawn import drawn, width_mm
from series.types.editing import SIDES

ALIKE = 80
"""From this likeness on (of 100) a country is asked after when another name is typed."""
MOST_SIDES = 60
NOT_SAID = {"required"}
"""What is not said of a field while one still types: that it is empty."""
_WORDS = {
    "legends": line_words.legends_words,
    "motifs": line_words.motifs_words,
    "designers": line_words.names_words,
    "engravers": line_words.names_words,
    "marks": line_words.marks_words,
    "references": line_words.references_words,
    "citations": line_words.citations_words,
}
"""How each kind of text is said back."""


class Understood:
    """A form that was sent or is being typed, as its page says it back."""

    def __init__(self, form: TypeForm) -> None:
        self.form = form

    @property
    def cleaned(self) -> dict[str, Any]:
        return self.form.cleaned_data if self.form.is_bound and self.form.errors is not None else {}

    @cached_property
    def begins(self) -> bool:
        """Whether the country typed is one to begin; on an empty site it can be no other."""
        name = self._country()
        return find_issuer(name) is None if name else not Issuer.objects.exists()

    def _country(self) -> str:
        return " ".join(str(self.form["country"].value() or "").split())

    @property
    def begins_money(self) -> bool:
        """Whether the money of the country is to be said too."""
        if self.begins:
            return True
        if not self.form.is_bound:
            return False
        belongs = self.form.belongs
        return belongs.currency is None if belongs else bool(self.form.errors.get("money"))

    # ---- words ----
    def words(self) -> dict[str, str]:
        """What was understood at each field; "" where nothing is to be said."""
        said = dict.fromkeys(self.form.fields, "")
        if not self.form.is_bound:
            return said
        said |= self._of_place(self.form.belongs) if self.form.belongs else {}
        if self.begins and self._country():
            said["country"] = self._new_country(self._country())
        said["dates"] = line_words.dates_words([one.dated for one in self.form.plan.wanted])
        said["composition"] = self._metal()
        for name in self.form.fields:
            if (kind := name.rpartition("_")[2]) in _WORDS:
                said[name] = self._read(name, _WORDS[kind])
        for name in read_by(TypeEntry, "edtf"):
            if (written := self.cleaned.get(name)) and written != "..":
                said[name] = date_words.in_words(written)
        return said

    def _read(self, name: str, words: Any) -> str:
        read = self.cleaned.get(name)
        return str(words(read)) if read and not isinstance(read, str) else ""

    def _metal(self) -> str:
        written = self.cleaned.get("composition") or ""
        parts = [material.described(written)]
        if found := material.density_text(written):
            parts.append(_("%(density)s g/cm³") % {"density": found})
        return ", ".join(filter(None, parts))

    def _of_place(self, place: Belonging) -> dict[str, str]:
        main = place.money.main
        worth = f"{write_number(place.coin.value)} {main.name_for(place.coin.value)}"
        if place.denomination is not None:
            value = _("%(worth)s, in the catalogue already") % {"worth": worth}
        else:
            value = _("%(worth)s, a new value of the %(money)s") % {
                "worth": worth,
                "money": main.name,
            }
            if place.coin.unit is not None and place.coin.unit.name != main.name:
                value += (
                    f": 1 {place.coin.unit.name} = {write_number(1 / place.coin.unit.per_main)}"
                )
                value += f" {main.name}"
        said = {"value": value, "series": self._series(place)}
        if place.currency is None:
            said["money"] = str(place.money)
        return said

    def _series(self, place: Belonging) -> str:
        if place.series is None:
            return _("A new series, “%(name)s”, is begun.") % {"name": place.series_name}
        years = years_text(place.series.first_year, place.series.last_year)
        return f"{place.series}, {years}" if years else str(place.series)

    def _new_country(self, name: str) -> str:
        names = list(Issuer.objects.values_list("name", flat=True))
        near = process.extractOne(name, names, scorer=fuzz.ratio, score_cutoff=ALIKE)
        if near is not None:
            return _("Did you mean %(near)s? Else it is begun with this type.") % {"near": near[0]}
        return _("It is not here yet, and is begun with this type.")

    # ---- what is wrong, while typing ----
    def errors(self, typing: bool = False) -> dict[str, list[str]]:
        """The errors at each field; while typing an empty field is not yet one."""
        found: dict[str, list[str]] = {}
        for name, errors in self.form.errors.items() if self.form.is_bound else ():
            said = [error for error in errors.as_data() if not (typing and error.code in NOT_SAID)]
            messages = [str(text) for error in said for text in error.messages]
            if typing and name == "country" and self.begins:
                messages = []  # it is offered below instead
            found[name] = messages
        return found

    def slots(self, typing: bool = False) -> list[dict[str, Any]]:
        words, errors = self.words(), self.errors(typing)
        return [
            {
                "name": name,
                "errors": wrong,
                "words": words[name] if not wrong or name == "country" else "",
            }
            for name, field in self.form.fields.items()
            if name != "begin" and not field.widget.is_hidden
            for wrong in [errors.get(name, [])]
        ]

    def put_slots(self) -> None:
        """Give each field of the form its slot, for a page that shows the whole of it."""
        for slot in self.slots():
            self.form[slot["name"]].slot = slot  # type: ignore[attr-defined]

    def folds(self) -> list[Fold]:
        return list(folds(self.form))

    # ---- the coin ----
    def picture(self) -> SafeString:
        """Both faces as far as they are described, and what is said of them."""
        shape = drawn(self._draft(), text="")
        faces = [self._face(side) for side in SIDES[:2]]
        label = _("The coin as described so far: %(words)s") % {"words": self.caption()}
        return mark_safe(two_faces(shape, faces[0], faces[1], label, _("size not recorded")))

    def _face(self, side: str) -> tuple[str, str]:
        """What stands in the middle of a face and along its rim."""
        written = str(self.form[f"{side}_legends"].value() or "")
        legends = [line.split("|")[0].strip() for line in written.splitlines()]
        legend = " · ".join(filter(None, legends))
        shows_value = self.form[f"{side}_value_as"].value()
        other = self.form["obverse_value_as" if side == "reverse" else "reverse_value_as"].value()
        if shows_value or (side == "reverse" and not other):
            return numeral(self._value()), legend
        return next((letter.upper() for letter in legend if letter.isalpha()), ""), legend

    def _value(self) -> str:
        if self.form.belongs is not None:
            return self.form.belongs.coin.name
        return str(self.form["value"].value() or "").partition("=")[0].strip()

    def _draft(self) -> CoinType:
        """The type as far as it can be read; what cannot be is left out."""
        draft = CoinType()
        for name in ("diameter_mm", "hole_mm", "ring_mm", "sides", "hole", "outline"):
            value = self._of(name)
            if value not in (None, "") and not self.form.errors.get(name):
                setattr(draft, name, value)
        draft.inner_panel = str(self._of("inner_panel") or "")
        draft.composition = str(self._of("composition") or "")
        draft.sides = min(draft.sides, MOST_SIDES) if draft.sides else None
        for name in ("hole_mm", "ring_mm"):  # wider than its coin: a slip that is not drawn
            if float(getattr(draft, name) or 0) > 0.8 * width_mm(draft):
                setattr(draft, name, None)
        return draft

    def _of(self, name: str) -> Any:
        if self.form.is_bound:
            return self.cleaned.get(name)
        return getattr(self.form.instance, name, None) or self.form.initial.get(name)

    def caption(self) -> str:
        """Value, width and metal in one line."""
        width = self._draft().diameter_mm
        parts = [
            self._value() or _("no value yet"),
            f"{plain(width)}\u00a0mm" if width else _("size not said"),
            material.described(self._draft().composition) or _("metal not said"),
        ]
        return ", ".join(parts)
